"""The beginning of a build record: whose engine, what it is, what was decided, what came of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from builder.jobs.check import CheckedJob
from builder.jobs.kinds import Finding, counted
from builder.jobs.measured import Count, Measured, count, found, left
from builder.jobs.moments import day, shown
from builder.jobs.whole import Whole
from builder.model.base import Text, Word
from builder.model.written import Exact
from builder.render import words
from builder.render.job_papers.documents import Block, Point, Section, Stamp, facts, named, text
from builder.render.job_papers.tables import plain_table

BASES: Final = {
    "rebuilt": "rebuilt: every part is held to the limits of a new one",
    "overhauled": "overhauled: a part that was left untouched may stand inside its service limit",
}


BEFORE: Final = ("Engine", "Engine number", "Owner", "Basis", "Came with", "Comes back from")
"""The facts that are known before the work."""


def before(whole: Whole) -> tuple[tuple[str, str], ...]:
    """What is known of an engine before the work."""
    return tuple(fact for fact in identity(whole) if fact[0] in BEFORE)


def identity(whole: Whole) -> tuple[tuple[str, str], ...]:
    """The facts that tell this engine from any other."""
    job = whole.job
    first, last = _span(whole)
    return facts(
        (
            ("Engine", str(whole.engine.title)),
            ("Engine number", str(job.engine_number or "")),
            ("Owner", str(job.owner or "")),
            ("Basis", BASES.get(str(job.basis), str(job.basis))),
            ("Came with", "; ".join(_sizes(job.came_with))),
            ("Size steps", "; ".join(_sizes(job.sizes))),
            ("Work", f"{first} to {last}" if first else ""),
            ("Comes back from", _earlier(whole)),
            ("Note", str(job.note or "")),
        )
    )


def _earlier(whole: Whole) -> str:
    earlier = whole.job.earlier
    return f"job {earlier.job}" if earlier is not None else ""


def _sizes(steps: Mapping[Word, Mapping[Text, Exact]]) -> Iterator[str]:
    for name, sizes in steps.items():
        yield f"{words.plain(str(name))} {_steps(sizes)}"


def _steps(sizes: Mapping[Text, Exact]) -> str:
    if set(sizes) == {Text("")}:
        return str(next(iter(sizes.values())).text)
    return ", ".join(f"{label or 'the others'} {size.text}" for label, size in sizes.items())


def _span(whole: Whole) -> tuple[str, str]:
    """The first and the last day on which anything was done."""
    days = [day(moment) for sheet in whole.sheets for moment in (sheet.begun, sheet.ended) if moment]
    days += [str(paper.on) for paper in whole.job.paper.values()]
    return (min(days), max(days)) if days else ("", "")


# The stamp


def stamp(checked: CheckedJob) -> Stamp:
    """Whether the engine may go, in a frame; if it may not, every open point and what is not done yet."""
    if checked.may_be_released:
        return Stamp("Nothing stands open", _released(checked.whole))
    points = tuple(map(point, checked.findings))
    faults = tuple(f"{one.span}: {one.message}" for one in checked.faults)
    number = len(points) + len(faults) + len(checked.waiting)
    waiting = tuple(f"Not done yet: {line}" for line in checked.waiting)
    lead = "This engine may not leave the shop before each point below is closed, in this order."
    return Stamp(f"NOT RELEASED: {counted(number, 'open point')}", lead, points, (*faults, *waiting), True)


def _released(whole: Whole | None) -> str:
    """Who released the engine and when; that nobody has done so yet."""
    said = "Every value, signature and part was checked for this record."
    hold = whole.holds[whole.release] if whole is not None and whole.release else None
    if whole is None or hold is None:
        return said
    signed = [one for role in hold.by for _, one in whole.signatures(whole.release, str(role))]
    if not signed:
        return f"{said} The release ({hold.code}) is to be signed."
    return f"Released by {named(whole, str(signed[-1].by))} on {shown(str(signed[-1].when))}. {said}"


def point(finding: Finding) -> Point:
    """An open point in words."""
    place = finding.place
    step = f"step {place.number or place.step}" if place.step else ""
    where = ", ".join(filter(None, (place.code or place.path, step, place.at)))
    return Point(str(finding.kind), where, text(finding.what), text(finding.cure))


# In short


def in_short(checked: CheckedJob, parts: tuple[Measured, ...]) -> Section:
    """What the record comes to, in a few sentences."""
    return Section("short", "In short", (Block(listed=tuple(_sentences(checked, parts))),))


def _sentences(checked: CheckedJob, parts: tuple[Measured, ...]) -> Iterator[str]:
    leaves, came = count(left(parts)), count(found(parts))
    if came.values:
        yield f"As found: {_counts(came)}."
    if leaves.values:
        yield f"As the engine leaves: {_counts(leaves)}."
    seen = [str(one.seen) for sheet in checked.sheets for one in sheet.looks.values()]
    if seen:
        wrong = f"{seen.count('no')} of them not as it should be" if "no" in seen else "each as it should be"
        yield f"Looked at: {counted(len(seen), 'thing')}, {wrong}."
    conceded = len(checked.whole.job.concessions) if checked.whole is not None else 0
    yield (
        f"Accepted in writing although out: {counted(conceded, 'concession')}."
        if conceded
        else "No concession."
    )


def _counts(one: Count) -> str:
    """How many values there are and what they come to: `352 values, 300 in, 52 out`."""
    said = (
        (one.inside, "in"),
        (one.out, "out"),
        (one.no_limit, "without a limit"),
        (one.not_read, "not read"),
    )
    beside = (
        (one.edge, "nearer to a limit than the gauge can tell"),
        (one.suspect, "suspect, to be taken again"),
    )
    counts = [f"{number} {words}" for number, words in (*said, *beside) if number]
    return f"{counted(one.values, 'value')}, {', '.join(counts)}"


# Decisions and people


def decisions(whole: Whole) -> Iterator[Section]:
    """The options that were chosen."""
    rows = [
        (
            str(one.what),
            str(one.chosen),
            str(one.stage or ""),
            ", ".join(named(whole, str(by)) for by in one.by),
            str(one.on),
        )
        for one in whole.job.decisions
    ]
    if rows:
        table = plain_table(("Question", "Chosen", "Stage", "By", "On"), rows)
        yield Section("decisions", "What was decided with the owner", (Block(table=table),))


def people(whole: Whole) -> Block:
    """Who worked on the engine and signed for it."""
    rows = [
        (
            str(initials),
            str(person.name or ""),
            words.listed(words.ROLES.get(str(role), str(role)) for role in person.role),
        )
        for initials, person in whole.job.people.items()
    ]
    return Block("People", table=plain_table(("Initials", "Name", "As"), rows))

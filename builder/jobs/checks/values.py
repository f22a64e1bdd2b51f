"""What was read on the final run: outs, slips, readings that do not stand, gauges past their date."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import groupby

from builder.checklist import Labels
from builder.jobs.cures import cure_words
from builder.jobs.kinds import Finding, Kind, Subject, counted
from builder.jobs.kinds import Place as Where
from builder.jobs.plan import Thing, thing_at
from builder.jobs.worked import LAST_STAGES, Worked
from builder.judge import Flag, JudgedSheet, Judgement, Verdict
from builder.judge.taken import Taken, Terms, position
from builder.judge.words import against_words, value_words
from builder.manual import row as row_of


def value_findings(worked: Worked) -> Iterator[Finding]:
    """The findings in the values of a final sheet at its last stages, each cause once."""
    for judged in last_judged(worked):
        groups = out_groups(judged)
        yield from (_out(worked, judged, key, values) for key, values in groups.items())
        yield from _readings(worked, judged)
        yield from _doubtful(worked, judged, {one.name for group in groups.values() for one in group})


def last_judged(worked: Worked) -> Iterator[JudgedSheet]:
    """The judged stages of a final sheet at which a part is as the owner gets it; clean ones are left out."""
    if worked.is_final:
        for stage in worked.stages:
            if stage in LAST_STAGES and not worked.is_clean(stage):
                yield worked.judged_at(stage)


# Outs


def out_groups(judged: JudgedSheet) -> dict[Thing, list[Judgement]]:
    """The values that are out, by the thing they are of; a value of the whole engine by its step.

    A reading that is suspect by a slip is not among them: nothing is decided on it.
    """
    slips = {(one.grid.step, one.grid.name, position(one.blank.at)) for one in judged.taken if one.slip}
    found: dict[Thing, list[Judgement]] = {}
    for one in judged.judgements:
        if one.verdict is Verdict.OUT and (one.step, one.name, position(one.at)) not in slips:
            found.setdefault(thing_at(one.at) or (("step", one.step),), []).append(one)
    return found


def _out(worked: Worked, judged: JudgedSheet, key: Thing, values: Sequence[Judgement]) -> Finding:
    first = min(values, key=lambda one: worked.plan.steps[one.step].number)
    at = {side: label for side, label in key if side != "step"}
    steps = frozenset(one.step for one in values)
    what = "; ".join(_what(worked, judged, group) for group in _by_name(values))
    relied = sum(bool(one.doubt) for one in judged.taken if _relies(one, {one.name for one in values}, at))
    if relied:
        what += f"; {counted(relied, 'reading')} were taken while it was out and do not stand"
    cure = cure_words(worked, judged, at, steps)
    if any(Flag.SUSPECT in one.flags for one in values):
        cure = f"First clear what makes its readings suspect. {cure}"
    if relied:
        cure += f" Then take the {counted(relied, 'reading')} again."
    subjects = tuple(Subject(worked.plan.name, one.step, one.name, one.at) for one in values)
    return Finding(Kind.OUT, worked.where(first.step, position(at)), what, cure, subjects)


def _by_name(values: Sequence[Judgement]) -> Iterator[Sequence[Judgement]]:
    """The values by name, what was worked out before what was read."""
    ordered = sorted(values, key=lambda one: (one.typed_places is not None, one.step, one.name))
    for _, group in groupby(ordered, key=lambda one: (one.step, one.name)):
        yield tuple(group)


def _what(worked: Worked, judged: JudgedSheet, values: Sequence[Judgement]) -> str:
    """The worst of the values of one name, in words."""
    worst = max(values, key=_beyond)
    row = row_of(worked.plan.checklist.engine, worst.characteristic)
    title = str(row.title) if row is not None else worst.name.replace("_", " ")
    ends = [one for one in judged.judgements if (one.step, one.name, one.at) == _same(worst) and one.value]
    said = " to ".join(value_words(one) for one in ends) if worst.end else value_words(worst)
    wear = Terms.of(worked.job, judged.stage).limits(row, worst.characteristic, worst.at).wear
    inside = wear is not None and worst.value is not None and wear.holds(worst.value)
    saved = " (the service limit passes no machined or new part)" if inside else ""
    return f"{title} {said}: {against_words(worst)}{saved}"


def _same(one: Judgement) -> tuple[str, str, Labels]:
    return one.step, one.name, one.at


def _beyond(one: Judgement) -> Fraction:
    band = one.decision.by
    return band.beyond(one.value) if band is not None and one.value is not None else Fraction(0)


def _relies(one: Taken, names: set[str], at: Labels) -> bool:
    meets = all(one.blank.at.get(side, label) == label for side, label in at.items())
    return meets and any(str(name) in names for name in one.grid.measure.relies_on)


# Readings that do not stand


def _readings(worked: Worked, judged: JudgedSheet) -> Iterator[Finding]:
    for one in judged.taken:
        where = worked.where(str(one.grid.step), position(one.blank.at))
        if one.slip and one.quantity is not None:
            what = f"`{one.grid.name}` {one.quantity.text} is suspect: {one.slip}"
            yield Finding(Kind.SLIP, where, what, "Take this reading again before anything is decided on it.")
        elif one.unreadable and one.reading is not None:
            what = f"`{one.grid.name}`: {one.unreadable}"
            yield Finding(Kind.UNREADABLE, where, what, "Correct the entry, with the reason.")


def _doubtful(worked: Worked, judged: JudgedSheet, out: set[str]) -> Iterator[Finding]:
    """Readings that rely on something that was put right after they were taken."""
    doubted = [
        one for one in judged.taken if one.doubt and not out & set(map(str, one.grid.measure.relies_on))
    ]
    for (step, name), group in groupby(doubted, key=lambda one: (str(one.grid.step), str(one.grid.name))):
        readings = list(group)
        what = f"{counted(len(readings), 'reading')} of `{name}` do not stand: {readings[0].doubt}"
        yield Finding(Kind.DOUBTFUL, worked.where(step), what, "Take them again.")


# Gauges


def gauge_findings(sheets: Iterable[Worked]) -> Iterator[Finding]:
    """One finding for each gauge that was past its date, with how many readings lie under it."""
    found: dict[str, list[tuple[Worked, Taken]]] = {}
    for worked in sheets:
        for judged in last_judged(worked):
            for one in judged.taken:
                if one.culprit:
                    found.setdefault(one.culprit, []).append((worked, one))
    for gauge, readings in found.items():
        yield _stale(gauge, readings)


def _stale(gauge: str, readings: Sequence[tuple[Worked, Taken]]) -> Finding:
    worked, first = readings[0]
    own = next((one for _, one in readings if one.stale.startswith(f"{gauge} ")), first)
    used = dict.fromkeys(str(one.reading.gauge) for _, one in readings if one.reading is not None)
    setters = [name for name in used if name != gauge]
    by_set = f", those of {', '.join(setters)} among them, which it set" if setters else ""
    codes = ", ".join(dict.fromkeys(of.plan.code for of, _ in readings))
    number = counted(len(readings), "reading")
    what = f"{own.stale}: {number} of {codes} are suspect{by_set}"
    cure = f"Compare {gauge} with its standard. Then take the {number} again, in date."
    return Finding(Kind.STALE_GAUGE, Where(worked.path, worked.plan.code), what, cure)


def unknown_gauges(worked: Worked) -> Iterator[Finding]:
    """Gauges that the job does not list: nobody knows whether they were in date."""
    unknown = {reading.gauge for reading in worked.sheet.readings} - worked.job.gauges.keys() - {""}
    for gauge in sorted(unknown):
        number = sum(reading.gauge == gauge for reading in worked.sheet.readings)
        what = f"{gauge} took {counted(number, 'reading')} and is not among the gauges of the job"
        yield Finding(Kind.UNKNOWN_GAUGE, worked.where(), what, "Write it into job.yaml with its date.")

"""The condition report: each part, what was found, its limit, the verdict, what can be done about it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Final

from builder.jobs.check import CheckedJob
from builder.jobs.kinds import counted
from builder.jobs.survey import PartFound, Place, SizeChoice, parts_found, sizes_to_choose
from builder.jobs.whole import Whole
from builder.judge import Judgement
from builder.judge.taken import position
from builder.judge.words import against_words, value_words, verdict_words
from builder.model.base import Text
from builder.model.estimate import Condition
from builder.model.kinds import KINDS, Wear
from builder.model.spec import LimitRow
from builder.quantity import show
from builder.render.checklist_facts import decision_rule
from builder.render.job_papers.documents import (
    Block,
    Document,
    Section,
    Stamp,
    facts,
    html_of,
    invented,
    style,
)
from builder.render.job_papers.identity import before
from builder.render.job_papers.limits import column_words, limit_words, plainly
from builder.render.job_papers.tables import plain_table
from builder.render.page_parts import raised
from builder.render.values import printed

TITLE: Final = "Condition report"
NOT_SAID: Final = "to be decided"

NOTHING: Final = Condition()


def condition_report(checked: CheckedJob, whole: Whole, size: str = "") -> str:
    """The condition of an engine as it was found, for the customer to decide on."""
    parts, choices = parts_found(checked), sizes_to_choose(checked)
    said = whole.job.condition or NOTHING
    out = [one for one in parts if one.out]
    document = Document(
        title=TITLE,
        job=str(whole.job.number),
        lines=(str(whole.engine.title), "As found, before anything is cut"),
        facts=before(whole),
        sections=tuple(_sections(parts, choices, said)),
        stamp=_stamp(parts, out, said),
        invented=invented(whole),
        style=style(whole, TITLE, size),
    )
    return html_of(document)


def _stamp(parts: Sequence[PartFound], out: Sequence[PartFound], said: Condition) -> Stamp:
    if not parts:
        return Stamp(
            "No reading as found is filed",
            "This report tells what was seen, and nothing of sizes.",
            is_warning=True,
        )
    lead = f"{counted(len(said.found), 'finding')} without a gauge. {_unknown(said)}"
    return Stamp(f"{len(out)} of {len(parts)} characteristics are out", lead)


def _unknown(said: Condition) -> str:
    number = counted(len(said.unknown), "thing")
    return f"{number} not known yet." if said.unknown else "Nothing is said to be unknown yet."


def _sections(
    parts: Sequence[PartFound], choices: Sequence[SizeChoice], said: Condition
) -> Iterator[Section]:
    out = [one for one in parts if one.out]
    if out:
        rows = [_out(one, said) for one in out]
        head = ("Part", "Finding", "Limit", "Verdict", "What can be done")
        yield Section("out", "Out, and what can be done", (Block(table=plain_table(head, rows)),))
    if said.found:
        rows = [(str(one.part), str(one.finding), str(one.option or NOT_SAID)) for one in said.found]
        table = plain_table(("Part", "Finding", "What can be done"), rows)
        yield Section("seen", "Found without a gauge", (Block(table=table),))
    doubtful = [line for one in parts for line in _doubtful(one)]
    if doubtful:
        lead = "A price that rests on a wrong reading is paid by the shop. These are taken again first."
        yield Section("doubtful", "To be read again", (Block(listed=tuple(doubtful)),), lead)
    if choices:
        yield Section("sizes", "Sizes to choose", tuple(_choice(one, parts) for one in choices))
    stays = [one for one in parts if not one.out]
    if stays:
        head = ("Part", "Readings", "Found", "Limit", "Verdict")
        yield Section("stays", "In, and may stay", (Block(table=plain_table(head, map(_stays, stays))),))
    unknown = tuple(map(str, said.unknown)) or ("The report names nothing that is not known yet.",)
    yield Section("unknown", "Not known yet", (Block(listed=unknown),))
    yield Section("rule", "Decision rule", (Block(words=(decision_rule(),)),))


# Out


def _out(one: PartFound, said: Condition) -> tuple[str, ...]:
    worst = one.worst
    judged = one.out[worst] if worst is not None else next(iter(one.out.values()))
    option = said.options.get(Text(one.part.characteristic))
    return (
        _title(one),
        _finding(one, worst, judged),
        limit_words(judged.decision.by) if judged.decision.by is not None else "none",
        verdict_words(judged),
        str(option or NOT_SAID),
    )


def _title(one: PartFound) -> str:
    row = one.part.row
    return f"{one.part.title} ({row.code})" if row is not None and row.code else one.part.title


def _finding(one: PartFound, worst: Place | None, judged: Judgement) -> str:
    """How many are out and how the worst lies: `24 of 24 out; worst cylinder 4 top T: 3.5333 in, …`."""
    where = _where(worst) if worst is not None else ""
    of = f"{len(one.out)} of {len(one.read)} out; worst " if len(one.read) > 1 else ""
    return printed(
        ": ".join(filter(None, (f"{of}{where}".strip(), f"{value_words(judged)}, {_beyond(judged)}")))
    )


def _beyond(judged: Judgement) -> str:
    """How far a value lies outside: `0.0123 in over`."""
    said = against_words(judged)
    for side in (" over ", " under "):
        if side in said:
            return said.partition(side)[0] + side.rstrip()
    return said


def _where(place: Place) -> str:
    thing, column = place
    return " ".join(filter(None, (position(dict(thing)), column_words(column))))


def _doubtful(one: PartFound) -> Iterator[str]:
    for place, judged in one.suspect.items():
        reasons = plainly("; ".join(judged.reasons)) or "not read"
        yield printed(f"{one.part.title}, {_where(place)}: {reasons}".replace(", :", ":"))


# In


def _stays(one: PartFound) -> tuple[str, ...]:
    bands = dict.fromkeys(j.decision.by for j in one.read.values() if j.decision.by is not None)
    limits = "; ".join(map(limit_words, bands)) if len(bands) <= 2 else "by position"  # noqa: PLR2004 - two lines
    verdicts = dict.fromkeys(verdict_words(judged) for judged in one.read.values())
    return (_title(one), str(len(one.read)), _range(one), limits or "none", "; ".join(verdicts))


def _range(one: PartFound) -> str:
    """The smallest and the largest reading."""
    valued = [judged for judged in one.read.values() if judged.value is not None]
    if not valued:
        return "no value"
    low, high = (pick(valued, key=_value) for pick in (min, max))
    first, last = value_words(low), value_words(high)
    return printed(first if first == last else f"{first} to {last}")


def _value(judged: Judgement) -> Fraction:
    return judged.value or Fraction(0)


# Sizes


def _choice(one: SizeChoice, parts: Sequence[PartFound]) -> Block:
    unit = one.unit
    chosen = (
        "no listed size is enough"
        if one.chosen is None or unit is None
        else show(unit.from_base(one.chosen), unit, 3)
    )
    offered = [
        cited.body
        for kind in ("supplier", "new", "shop")
        if (said := getattr(one.offered, kind))
        for cited in said.every()
    ]
    told = facts(
        (
            ("To choose", plainly(one.why) if one.chosen is None and one.why else chosen),
            ("Decided by", _deciding(one, parts)),
            ("Sizes offered", "; ".join(map(str, offered))),
            ("The job says", one.agreed or "nothing yet"),
            ("Worked out by", f"{one.code}: {one.title[:1].lower()}{one.title[1:]}"),
        )
    )
    rows = [
        (
            str(moved.row.title),
            str(moved.row.code or ""),
            str(moved.number),
            limit_words(moved.limits.in_force),
        )
        for moved in one.moved
        if moved.limits.in_force is not None
    ]
    head = ("Goes with it", "Code", "Number", "Limit then")
    title = raised(one.step.replace("_", " "))
    return Block(f"{title}: {chosen}", facts=told, table=plain_table(head, rows) if rows else None)


def _deciding(one: SizeChoice, parts: Sequence[PartFound]) -> str:
    """The largest bore or the smallest journal of all that move with a step."""
    for found in parts:
        row = found.part.row
        if isinstance(row, LimitRow) and one.step in row.moves_with:
            kind = KINDS.get(str(row.kind))
            shrinks = kind is not None and kind.wear is Wear.SHRINKS
            valued = {place: judged for place, judged in found.read.items() if judged.value is not None}
            if valued:
                place = (min if shrinks else max)(valued, key=lambda at: _value(valued[at]))
                end = "smallest" if shrinks else "largest"
                return f"{_where(place)}: {value_words(valued[place])}, the {end} of {len(valued)}"
    return ""

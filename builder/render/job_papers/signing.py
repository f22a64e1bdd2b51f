"""Who signed what, with which gauges it was measured, and how to read the record."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from builder.citation import COMMON_PRACTICE
from builder.jobs.check import CheckedJob
from builder.jobs.checks.holds import HoldCheck, hold_checks
from builder.jobs.checks.signers import is_self
from builder.jobs.measured import Measured
from builder.jobs.moments import shown
from builder.jobs.whole import Whole
from builder.judge.words import WHOSE
from builder.model.record import Signature
from builder.render import words
from builder.render.checklist_facts import decision_rule
from builder.render.holds import hold_title
from builder.render.job_papers.documents import Block, Section, Sign, named
from builder.render.job_papers.identity import people
from builder.render.job_papers.tables import Cell, Table, plain_table


def signatures(whole: Whole) -> Section:
    """Every hold with who signed it, and the places where this record itself is signed."""
    groups = tuple(tuple(_hold_rows(hold)) for hold in hold_checks(whole))
    lead = "Work stops at a hold until these have signed. A person signs for another's work, not for his own."
    if whole.job.shop_of_one:
        lead = (
            "This is a shop of one. Where a second person would sign, the builder has measured everything a "
            "second time, later and apart from the first; it says so: self, re-measured."
        )
    head = tuple(
        Cell(text, is_head=True) for text in ("Hold", "What was verified", "As", "Signed by", "When")
    )
    table = Table((head,), groups, "words")
    signs = tuple(Sign(role) for role in ("Foreman, for the shop", "Owner, record received"))
    blocks = (Block(table=table), people(whole), Block("This record", signs=signs))
    return Section("signatures", "Signatures", blocks, lead)


def _hold_rows(hold: HoldCheck) -> Iterator[tuple[Cell, ...]]:
    title = f"{hold.hold.code} {hold_title(hold.name, hold.hold)}"
    if hold.own is not None:
        title = f"{title}, {hold.own.plan.code}"
    rows = len(hold.hold.by)
    first = [Cell(title, rows=rows, is_head=True), Cell(str(hold.hold.check.text), rows=rows)]
    for role in map(str, hold.hold.by):
        yield (*first, *map(Cell, (words.ROLES.get(role, role), *_signed(hold, role))))
        first = []


def _signed(hold: HoldCheck, role: str) -> tuple[str, str]:
    good = hold.good.get(role, [])
    if good:
        return _by(hold, good[-1]), shown(str(good[-1].when))
    every = hold.signed(role)
    if every:
        return f"{every[-1][1].by}: no signature", shown(str(every[-1][1].when))
    return ("on paper" if _is_on_paper(hold) else "not signed"), ""


def _is_on_paper(hold: HoldCheck) -> bool:
    """Whether the sheet that asks for it is kept on paper."""
    whole = hold.whole
    asking = [plan for plan in whole.route if hold.name in plan.holds]
    return any(whole.paper(plan.name) is not None for plan in asking) and hold.own is None


def _by(hold: HoldCheck, one: Signature) -> str:
    if not is_self(hold.whole.job, one, hold.scopes):
        return named(hold.whole, str(one.by))
    read = any(worked.readings_up_to(number) for worked, number in hold.scopes)
    return f"{named(hold.whole, str(one.by))}, {'self, re-measured' if read else 'self'}"


# How to read it


def reading_it(checked: CheckedJob, whole: Whole, parts: tuple[Measured, ...]) -> Section:
    """The decision rule, whose limits these are, where they are printed, the gauges."""
    kinds = tuple((said, words.LIMITS[_MEANT.get(kind, kind)].meaning) for kind, said in WHOSE.items())
    verdicts = (
        ("in", "inside the limit; a value on the limit is inside"),
        ("out", "outside the limit"),
        ("no limit", "nothing is published; the value is recorded"),
        ("not read", "no reading, and never a pass"),
        ("edge", "nearer to the limit than the gauge can tell; read again before it is decided"),
        ("suspect", "it only makes sense as another reading wrongly taken; it does not count"),
        ("off aim", "inside the limit, beside the shop's own narrower aim"),
        ("inside wear only", "a part left untouched, inside the service limit and not that of a new part"),
    )
    bars = (
        "In a bar the lines at the ends are the limits. A full mark is a value as it leaves, an "
        "open one a value from before, a cross lies outside, an arrow lies beyond the end of the bar."
    )
    blocks = (
        Block("Decision rule", words=(decision_rule(), bars)),
        Block("Verdicts", facts=verdicts),
        Block("Whose limits", facts=kinds),
        Block("Sources", facts=tuple(_sources(whole, parts))),
        Block("Gauges", table=_gauges(whole)),
        *_remarks(checked),
    )
    return Section(
        "reading",
        "How to read this record",
        tuple(one for one in blocks if one.words or one.facts or one.table or one.listed),
    )


_MEANT: Final = {"sheet": "supplier"}
"""A limit of the sheet in this job's boxes means what any supplier's means."""


def _sources(whole: Whole, parts: tuple[Measured, ...]) -> Iterator[tuple[str, str]]:
    """The sources that the limits of this record name, in full."""
    bands = (one.decision.by for part in parts for one in part.every if one.decision.by is not None)
    names = dict.fromkeys(c.source for band in bands for cited in band.printed for c in cited.citations)
    for name in names:
        source = whole.manual.source(whole.engine, name)
        full = [str(source.title), str(source.edition or "")] if source is not None else []
        yield (
            name,
            ", ".join(filter(None, full)) or ("no source" if name == COMMON_PRACTICE else "named by the job"),
        )


def _gauges(whole: Whole) -> Table | None:
    used = _used(whole)
    rows = [
        (
            str(number),
            words.plain(str(one.instrument)),
            str(one.set_to or ""),
            str(one.due),
            str(used[number]),
        )
        for number, one in whole.job.gauges.items()
        if number in used
    ]
    return plain_table(("Gauge", "Instrument", "Set to", "In date until", "Readings"), rows) if rows else None


def _used(whole: Whole) -> Mapping[str, int]:
    found: dict[str, int] = {}
    for worked in whole.sheets:
        for reading in worked.sheet.readings:
            found[str(reading.gauge)] = found.get(str(reading.gauge), 0) + 1
    return found


def _remarks(checked: CheckedJob) -> Iterator[Block]:
    if checked.remarks:
        yield Block("Remarks", listed=checked.remarks)

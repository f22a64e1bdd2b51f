"""What stands on the page of a job, in finished words: its sheets, holds, parts, gauges, open points."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from builder.jobs import CheckedJob, Finding, Worked
from builder.jobs.compared.points import builder_of
from builder.jobs.kinds import counted
from builder.jobs.moments import day, moment, shown
from builder.judge import Flag
from builder.manual import Manual
from builder.model.base import Text
from builder.model.written import Exact
from builder.render import addresses
from builder.render.page_parts import Head, Link, Piece, coded

WORST_FIRST = ("out", "suspect", "in", "no limit", "not read")
"""The order in which the verdicts of a sheet are counted."""


@dataclass(frozen=True, slots=True)
class JobLine:
    """A job in the list of all."""

    link: Link
    family: Link
    state: str
    open: str


@dataclass(frozen=True, slots=True)
class JobsView:
    """All jobs."""

    head: Head
    jobs: tuple[JobLine, ...]
    compared: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class FactLine:
    """A labelled line."""

    label: str
    words: str


@dataclass(frozen=True, slots=True)
class OpenPoint:
    """A finding: its kind, where it stands, what is wrong, what to do."""

    kind: str
    where: Link
    what: tuple[Piece, ...]
    cure: tuple[Piece, ...]


@dataclass(frozen=True, slots=True)
class SheetLine:
    """A filled sheet."""

    title: Link
    run: str
    by: str
    days: str
    values: str
    verdicts: str


@dataclass(frozen=True, slots=True)
class HoldLine:
    """A hold with its signatures."""

    title: Link
    signed: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LotLine:
    """Parts of one kind and origin."""

    part: str
    state: str
    at: str
    size: str
    origin: str


@dataclass(frozen=True, slots=True)
class TicketLine:
    """Outside work."""

    number: str
    work: str
    to: str
    days: str
    measured: str


@dataclass(frozen=True, slots=True)
class GaugeLine:
    """A gauge of the job."""

    number: str
    instrument: str
    due: str
    set_to: str
    readings: str


@dataclass(frozen=True, slots=True)
class JobView:
    """One job."""

    head: Head
    ways: tuple[Link, ...]
    identity: tuple[FactLine, ...]
    faults: tuple[str, ...]
    findings: tuple[OpenPoint, ...]
    waiting: tuple[str, ...]
    remarks: tuple[str, ...]
    sheets: tuple[SheetLine, ...]
    holds: tuple[HoldLine, ...]
    lots: tuple[LotLine, ...]
    tickets: tuple[TicketLine, ...]
    gauges: tuple[GaugeLine, ...]
    wear: tuple[str, ...]


def identity(checked: CheckedJob) -> Iterator[FactLine]:
    """Whose engine it is, on what basis, in which sizes, who works on it."""
    job = checked.folder.job
    if job is None:
        return
    if job.engine_number is not None:
        yield FactLine("Engine number", str(job.engine_number))
    if job.owner is not None:
        yield FactLine("Owner", str(job.owner))
    yield FactLine("Basis", str(job.basis))
    if job.sizes:
        yield FactLine("Sizes", "; ".join(_sizes(str(name), by) for name, by in job.sizes.items()))
    people = (f"{initials} {', '.join(map(str, one.role))}" for initials, one in job.people.items())
    yield FactLine("People", "; ".join(people))
    if job.earlier is not None and job.earlier.complaint is not None:
        yield FactLine("Complaint", str(job.earlier.complaint))
    if job.earlier is not None and job.earlier.cause is not None:
        yield FactLine("Cause", str(job.earlier.cause))
    if job.note is not None:
        yield FactLine("Note", str(job.note))


def _sizes(name: str, by: Mapping[Text, Exact]) -> str:
    words = name.replace("_", " ")
    return ", ".join(f"{words}{f' {label}' if label else ''} {size.text}" for label, size in by.items())


def findings(here: str, checked: CheckedJob) -> Iterator[OpenPoint]:
    """The findings in the order to deal with them, each leading to its checklist."""
    for one in checked.findings:
        place = one.place
        step = f"step {place.number or place.step}" if place.step else ""
        where = ", ".join(filter(None, (place.code or place.path, step, place.at)))
        kind = f"{str(one.kind)[:1].upper()}{str(one.kind)[1:]}"
        yield OpenPoint(
            kind, Link(where, _checklist_of(here, checked, one)), coded(one.what), coded(one.cure)
        )


def _checklist_of(here: str, checked: CheckedJob, finding: Finding) -> str:
    worked = next((one for one in checked.sheets if one.path == finding.place.path), None)
    return _checklist(here, worked) if worked is not None else ""


def _checklist(here: str, worked: Worked) -> str:
    there = addresses.checklist_page(str(worked.plan.checklist.engine.engine), worked.plan.name)
    return addresses.link(here, there)


def sheets(here: str, checked: CheckedJob) -> Iterator[SheetLine]:
    """The filled sheets in the order of the route, each with its verdicts counted."""
    for worked in checked.sheets:
        title = f"{worked.plan.code} {worked.plan.checklist.procedure.title}"
        first, last = day(worked.begun), day(worked.ended)
        run = "mock-up" if not worked.is_final else "final"
        yield SheetLine(
            title=Link(title, _checklist(here, worked)),
            run=run,
            by=builder_of(worked),
            days=first if first == last else f"{first} to {last}",
            values=str(len(worked.sheet.readings)),
            verdicts=_verdicts(worked),
        )


def _verdicts(worked: Worked) -> str:
    """How many values are in, out, suspect, without a limit, stage by stage where there are several."""
    said = []
    for judged in worked.judged:
        values = [one for one in judged.judgements if one.value is not None]
        counts = Counter(str(one.verdict) for one in values if Flag.SUSPECT not in one.flags)
        counts["suspect"] = sum(Flag.SUSPECT in one.flags for one in values)
        stage = f"{judged.stage.replace('_', ' ')}: " if len(worked.stages) > 1 else ""
        said.append(stage + ", ".join(f"{counts[name]} {name}" for name in WORST_FIRST if counts[name]))
    return "; ".join(said)


def holds(here: str, checked: CheckedJob) -> Iterator[HoldLine]:
    """The holds of the family, each with who signed it; those that nobody signed say so."""
    whole = checked.whole
    if whole is None:
        return
    for name, hold in whole.holds.items():
        signed = [
            f"{role}: {one.by} on {shown(str(one.when))} ({worked.plan.code})"
            for role in hold.by
            for worked, one in whole.signatures(name, str(role))
        ]
        title = Link(f"{hold.code} {hold.title}", addresses.link(here, addresses.hold(name)))
        yield HoldLine(title, tuple(signed) or ("not signed",))


def lots(checked: CheckedJob) -> Iterator[LotLine]:
    """What went in."""
    job = checked.folder.job
    for part, record in job.parts.items() if job is not None else ():
        for lot in record.fitted:
            ticket = f"ticket {lot.ticket}" if lot.ticket is not None else ""
            batch = f"batch {lot.batch}" if lot.batch is not None else ""
            origin = ", ".join(filter(None, (str(lot.maker or ""), batch, ticket, str(lot.sheet or ""))))
            where = ", ".join(map(str, lot.at)) or "every position"
            yield LotLine(str(part).replace("_", " "), str(lot.state), where, str(lot.size or ""), origin)


def tickets(checked: CheckedJob) -> Iterator[TicketLine]:
    """What was sent out."""
    job = checked.folder.job
    for number, one in job.tickets.items() if job is not None else ():
        back = f"back {one.back}" if one.back is not None else "still out"
        measured = f"measured by {one.measured_by}" if one.measured_by is not None else "not measured yet"
        yield TicketLine(
            str(number), f"{one.part}: {one.work}", str(one.to), f"out {one.out}, {back}", measured
        )


def gauges(manual: Manual, checked: CheckedJob) -> Iterator[GaugeLine]:
    """The gauges, each with how many readings it took and when the last."""
    job = checked.folder.job
    if job is None:
        return
    used: dict[str, list[str]] = {}
    for worked in checked.sheets:
        for one in worked.sheet.readings:
            used.setdefault(str(one.gauge), []).append(str(one.when))
    for number, gauge in job.gauges.items():
        kind = manual.instruments.get(gauge.instrument)
        title = str(kind.title) if kind is not None else str(gauge.instrument).replace("_", " ")
        days = used.get(str(number), [])
        last = f", last on {day(max(days, key=moment))}" if days else ""
        yield GaugeLine(
            str(number),
            title,
            str(gauge.due),
            str(gauge.set_to or ""),
            f"{counted(len(days), 'reading')}{last}",
        )

"""What `job.yaml` itself must account for: parts, outside work, procedures left out, the release."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from itertools import product

from builder.checklist import Part, feature_sides
from builder.jobs.kinds import Finding, Kind, counted
from builder.jobs.kinds import Place as Where
from builder.jobs.outside import held, returned, where_words
from builder.jobs.whole import Whole, hold_words
from builder.model.base import Text
from builder.model.job import Lot, PartRecord
from builder.model.outside import OutsideTicket

NOTHING = "none"


def paper_findings(whole: Whole, path: str) -> Iterator[Finding]:
    """What is wanting in the papers of a job."""
    yield from _parts(whole, path)
    yield from _tickets(whole, path)
    yield from _left_out(whole, path)
    yield from _vouched(whole, path)


# Parts


def _parts(whole: Whole, path: str) -> Iterator[Finding]:
    """Every part that a finished sheet takes is accounted for, position by position."""
    wanted, codes = _wanted(whole)
    for name, part in wanted.items():
        record = whole.job.parts.get(Text(name))
        for what in _unaccounted(whole, part, record):
            said = f"{name.replace('_', ' ')} ({codes[name]}): {what}"
            cure = "Write into `parts` what went in: new, reused or machined, and what came out."
            yield Finding(Kind.PARTS, Where(path), said, cure)
    for name, record in whole.job.parts.items():
        yield from _tickets_of(whole, str(name), record, path)


def _wanted(whole: Whole) -> tuple[Mapping[str, Part], Mapping[str, str]]:
    """The parts of the finished sheets by name, and the codes of the procedures that take them."""
    wanted: dict[str, Part] = {}
    codes: dict[str, str] = {}
    for worked in whole.final.values():
        for name, part in worked.plan.parts.items() if worked.is_complete else ():
            if name not in wanted or wanted[name].number < part.number:
                wanted[name] = part
            codes[name] = f"{codes[name]}, {worked.plan.code}" if name in codes else worked.plan.code
    return wanted, codes


def _unaccounted(whole: Whole, part: Part, record: PartRecord | None) -> Iterator[str]:
    if record is None:
        yield f"nothing is said of the {part.number} that go in"
        return
    each = _positions(whole, part)
    unknown = [str(at) for lot in record.fitted for at in lot.at if at not in each]
    if unknown:
        yield f"there is no position {', '.join(unknown)}"
        return
    fitted = sum(_number(part, lot) for lot in record.fitted)
    if fitted != part.number:
        yield f"{part.number} go in, {fitted} are accounted for{_which(part, record, each)}"
    elif odd := _which(part, record, each):
        yield f"a position is named twice or left out{odd}"
    put_in = sum(_number(part, lot) for lot in record.fitted if lot.state != NOTHING)
    if record.came_out is not None and record.came_out != put_in and record.note is None:
        yield f"{record.came_out} came out, {put_in} went in, and no note says why"


def _positions(whole: Whole, part: Part) -> tuple[str, ...]:
    """The labels of what a part is counted by: `3`, or `3 top` for a ring of a cylinder."""
    if not part.count.each:
        return ()
    sides = feature_sides(whole.engine, part.count.each)
    return tuple(" ".join(labels) for labels in product(*(side.labels for side in sides)))


def _number(part: Part, lot: Lot) -> int:
    if lot.count is not None:
        return lot.count
    return part.count.number * len(lot.at) if lot.at else part.number


def _which(part: Part, record: PartRecord, each: tuple[str, ...]) -> str:
    """The positions that are named too seldom or too often."""
    if not each or not all(lot.at for lot in record.fitted):
        return ""
    counted = Counter(str(at) for lot in record.fitted for at in lot.at)
    odd = [position for position in each if counted[position] != 1]
    return f", look at {part.count.each} {', '.join(odd)}" if odd else ""


def _tickets_of(whole: Whole, name: str, record: PartRecord, path: str) -> Iterator[Finding]:
    for lot in record.fitted:
        if lot.ticket is not None and lot.ticket not in whole.job.tickets:
            what = f"{name.replace('_', ' ')}: ticket {lot.ticket} is not among the tickets of the job"
            yield Finding(Kind.PARTS, Where(path), what, "Write the ticket, or correct its number.")


# Outside work, procedures left out


def _tickets(whole: Whole, path: str) -> Iterator[Finding]:
    for number, ticket in whole.job.tickets.items():
        if ticket.back is not None and ticket.measured_by is None:
            what = f"ticket {number}, {ticket.part}, came back on {ticket.back} and nobody measured it"
            yield Finding(Kind.TICKET, Where(path), what, "Measure it against the ticket and write who did.")
        elif ticket.back is not None:
            yield from _measured(whole, str(number), ticket, path)
        elif ticket.measured_by is not None:
            what = f"ticket {number}, {ticket.part}, is measured and has no day of return"
            yield Finding(Kind.TICKET, Where(path), what, "Write the day it came back.")


def _measured(whole: Whole, number: str, ticket: OutsideTicket, path: str) -> Iterator[Finding]:
    """Each size that a ticket asks for was measured on return and is as it was asked for."""
    for one in held(whole, ticket):
        found = returned(whole, ticket, one)
        title = str(one.row.title).lower()
        if not found:
            what = f"ticket {number}, {ticket.part}: nothing is written down of its {title} on return"
            cure = "Measure it, and write it under `received`, or file the sheet that has it."
            yield Finding(Kind.TICKET, Where(path), what, cure)
        wrong = [f"{where_words(one, size)} {size.shown}".strip() for size in found if not size.is_in]
        if wrong:
            what = f"ticket {number}, {ticket.part}: {title} is not as asked for: {', '.join(wrong)}"
            cure = f"Send it back to {ticket.to}, or decide with the foreman and write a new ticket."
            yield Finding(Kind.TICKET, Where(path), what, cure)


def _left_out(whole: Whole, path: str) -> Iterator[Finding]:
    for one in whole.job.skipped:
        if one.step is None and not (one.reason and one.by):
            what = f"`{one.procedure}` is left out and job.yaml does not give reason and name"
            yield Finding(Kind.SKIPPED, Where(path), what, "Write both: a blank is no answer.")


def _vouched(whole: Whole, path: str) -> Iterator[Finding]:
    """Whoever answers for sheets on paper is a foreman of the job."""
    roles = {str(name): person.role for name, person in whole.job.people.items()}
    for name, paper in whole.job.paper.items():
        if "foreman" not in roles.get(str(paper.by), ()):
            what = f"`{name}` is on paper, and {paper.by}, who answers for it, is no foreman of this job"
            yield Finding(Kind.NOBODY, Where(path), what, "A foreman reads it through and answers for it.")


def release_findings(whole: Whole, others: int) -> Iterator[Finding]:
    """The release is signed although something stands open."""
    if not others or not whole.release:
        return
    hold = whole.holds[whole.release]
    signatures = [found for role in hold.by for found in whole.signatures(whole.release, str(role))]
    for worked, signed in signatures[:1]:
        words = hold_words(whole.release, hold)
        what = f"{words} is signed by {signed.by}, and {counted(others, 'point')} stand open"
        yield Finding(Kind.RELEASED, worked.where(), what, "Close them, and sign it again then.")

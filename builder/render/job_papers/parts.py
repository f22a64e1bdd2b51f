"""Parts by position, outside work and concessions of a job."""

from __future__ import annotations

from collections.abc import Iterator

from builder.jobs.checks.conceding import about
from builder.jobs.whole import Whole
from builder.model.job import Lot
from builder.render import words
from builder.render.job_papers.documents import Block, Section, named
from builder.render.job_papers.tables import Cell, Table, plain_table
from builder.render.page_parts import raised


def parts(whole: Whole) -> Iterator[Section]:
    """What came out and what went in, by position."""
    groups = tuple(
        tuple(
            _lot(str(name), record.came_out, lot, len(record.fitted) if place == 0 else 0)
            for place, lot in enumerate(record.fitted)
        )
        for name, record in whole.job.parts.items()
        if record.fitted
    )
    notes = tuple(
        f"{raised(words.plain(str(name)))}: {record.note}"
        for name, record in whole.job.parts.items()
        if record.note
    )
    if groups:
        head = ("Part", "Came out", "Went in", "Positions", "Size", "Batch, maker, sheet", "Remark")
        table = Table((tuple(Cell(one, is_head=True) for one in head),), groups, "words")
        yield Section("parts", "Parts by position", (Block(table=table, listed=notes),))


def _lot(name: str, came_out: int | None, lot: Lot, rows: int) -> tuple[Cell, ...]:
    of = [
        ("batch", lot.batch),
        ("of", lot.maker),
        ("sheet", lot.sheet),
        ("ticket", lot.ticket),
    ]
    marks = ", ".join(str(said) if label == "sheet" else f"{label} {said}" for label, said in of if said)
    came = "" if came_out is None else str(came_out)
    first = (Cell(raised(words.plain(name)), rows=rows, is_head=True), Cell(came, rows=rows)) if rows else ()
    number = f"{lot.count} {lot.state}" if lot.count is not None else str(lot.state)
    where = ", ".join(map(str, lot.at)) or "all"
    rest = (number, where, str(lot.size or ""), marks, str(lot.note or ""))
    return (*first, *(Cell(said) for said in rest))


def outside_work(whole: Whole) -> Iterator[Section]:
    """What was done outside, with its certificates."""
    rows = [
        (
            str(number),
            str(one.part),
            str(one.work),
            str(one.to),
            f"{one.out} to {one.back}" if one.back else f"out since {one.out}",
            named(whole, str(one.measured_by)) if one.measured_by else "",
            ", ".join(filter(None, (str(one.certificate or ""), str(one.batch or "")))),
        )
        for number, one in whole.job.tickets.items()
    ]
    if rows:
        head = ("Ticket", "Part", "Work", "By", "Days", "Measured on return by", "Certificate, batch")
        yield Section("outside", "Work done outside", (Block(table=plain_table(head, rows)),))


def concessions(whole: Whole) -> Section:
    """What was accepted in writing although it was out; that there is none is said too."""
    rows = [
        (
            about(one),
            str(one.reason or "no reason given"),
            named(whole, str(one.by)) if one.by else "nobody",
            str(one.on or ""),
            str(one.customer_told or "not told"),
        )
        for one in whole.job.concessions
    ]
    if not rows:
        return Section("concessions", "Concessions", (Block(words=("None.",)),))
    head = ("About", "Reason", "Foreman", "On", "Customer told")
    return Section("concessions", "Concessions", (Block(table=plain_table(head, rows)),))

"""Tickets for outside work: what to do, the sizes to hold on this job, and room to measure on return."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from builder.jobs.outside import Held, Returned, held, returned
from builder.jobs.whole import Whole
from builder.judge.bounds import Band
from builder.model.outside import OutsideTicket
from builder.render import words
from builder.render.job_papers.documents import (
    Block,
    Document,
    Section,
    Sign,
    facts,
    html_of,
    invented,
    named,
    style,
)
from builder.render.job_papers.identity import identity
from builder.render.job_papers.limits import limit_words
from builder.render.job_papers.tables import Cell, Table
from builder.render.page_parts import lowered, raised
from builder.render.values import printed

TITLE: Final = "Tickets for outside work"
ROOM: Final = 3
"""Boxes for readings at each position."""


def tickets_paper(whole: Whole, size: str = "") -> str:
    """Every ticket of a job, each on a page of its own."""
    tickets = whole.job.tickets
    document = Document(
        title=TITLE if len(tickets) > 1 else f"Ticket {next(iter(tickets))}",
        job=str(whole.job.number),
        lines=(str(whole.engine.title),),
        facts=tuple(fact for fact in identity(whole) if fact[0] in _TELLS),
        sections=tuple(
            _ticket(whole, str(name), one, place) for place, (name, one) in enumerate(tickets.items())
        ),
        invented=invented(whole),
        style=style(whole, TITLE, size),
        look="compact",
    )
    return html_of(document)


_TELLS: Final = ("Engine", "Engine number", "Size steps")


def _ticket(whole: Whole, number: str, ticket: OutsideTicket, place: int) -> Section:
    asked = held(whole, ticket)
    told = facts(
        (
            ("To", str(ticket.to)),
            ("Part", str(ticket.part)),
            ("Work", str(ticket.work)),
            ("Left", str(ticket.out)),
            ("Wanted by", str(ticket.due or "no day is given")),
            ("Came back", str(ticket.back or "")),
            ("Certificate", str(ticket.certificate or "")),
            ("Batch", str(ticket.batch or "")),
            ("Note", str(ticket.note or "")),
        )
    )
    blocks = [Block(facts=told)]
    if ticket.instruction:
        blocks.append(Block("What to do", listed=tuple(map(str, ticket.instruction))))
    if asked:
        words_ = ("Sizes hold at 68 °F. If one cannot be held, stop and ask before more is taken off.",)
        blocks.append(Block("Sizes to hold", words=words_, table=_sizes(asked)))
    signs = (Sign("Sent by, foreman"), Sign(f"Accepted, {ticket.to}"))
    blocks.append(Block(signs=signs))
    blocks += [
        Block(
            f"On return: {lowered(str(one.row.title))}",
            code=str(one.row.code or ""),
            table=_measured(whole, ticket, one),
            look="measured narrow" if ticket.back is not None else "short",
        )
        for one in asked
    ]
    by = named(whole, str(ticket.measured_by)) if ticket.measured_by else ""
    blocks.append(Block(signs=(Sign("Measured on return by", by, str(ticket.back or "") if by else ""),)))
    return Section(f"ticket-{place + 1}", f"Ticket {number}", tuple(blocks), look="page" if place else "")


# Sizes


def _sizes(asked: tuple[Held, ...]) -> Table:
    head = tuple(Cell(name, is_head=True) for name in ("Size", "Where", "Hold"))
    groups = tuple(tuple(_size_rows(one)) for one in asked)
    return Table((head,), groups, "words")


def _size_rows(one: Held) -> Iterator[tuple[Cell, ...]]:
    """A line for each limit; positions that share one stand together."""
    by_limit: dict[Band | None, list[str]] = {}
    for label, band in one.bands.items():
        by_limit.setdefault(band, []).append(label)
    code = f" ({one.row.code})" if one.row.code else ""
    first = [Cell(f"{one.row.title}{code}", rows=len(by_limit), is_head=True)]
    for band, labels in by_limit.items():
        where = f"{words.plain(str(one.row.each))} {', '.join(labels)}" if one.row.each else "the part"
        yield (*first, Cell(where), Cell(_hold(one, band), "hold"))
        first = []


def _hold(one: Held, band: Band | None) -> str:
    if band is None:
        return "no size is known: ask"
    said = limit_words(band)
    written = said.partition(f", {_SHEET}")[0] if one.is_written else said
    differs = f" (the manual says {limit_words(one.book)})" if one.book is not None else ""
    return f"{written}{differs}"


_SHEET: Final = "supplier's sheet of this job"


# Measured on return


def _measured(whole: Whole, ticket: OutsideTicket, one: Held) -> Table:
    found = returned(whole, ticket, one)
    return _filled(one, found) if found else _empty(one)


def _empty(one: Held) -> Table:
    """Boxes for the readings at each position, to be filled in by hand."""
    names = (_corner(one), *(f"reading {number}" for number in range(1, ROOM + 1)), "in / out", "by")
    head = tuple(Cell(name, is_head=True) for name in names)
    blank = Cell("", "blank")
    rows = tuple(
        (
            (
                Cell(label or "the part", is_head=True),
                *(blank for _ in range(ROOM)),
                Cell("☐ in  ☐ out", "tick"),
                blank,
            ),
        )
        for label in one.bands
    )
    return Table((head,), rows, "boxes")


def _filled(one: Held, found: tuple[Returned, ...]) -> Table:
    head = tuple(Cell(name, is_head=True) for name in (_corner(one), "measured", "verdict", "by"))
    groups = tuple(tuple(_lines(label, [size for size in found if size.at == label])) for label in one.bands)
    return Table((head,), tuple(group for group in groups if group), "words")


def _lines(label: str, sizes: list[Returned]) -> Iterator[tuple[Cell, ...]]:
    """What was measured at one position, in one line while all of it is in."""
    if not sizes:
        yield Cell(label or "the part", is_head=True), Cell("not measured"), Cell(""), Cell("")
        return
    shown = printed(", ".join(dict.fromkeys(f"{size.place} {size.shown}".strip() for size in sizes)))
    is_in = all(size.is_in for size in sizes)
    by = ", ".join(dict.fromkeys(size.by for size in sizes))
    verdict = Cell("in" if is_in else "OUT", "" if is_in else "number out")
    yield Cell(label or "the part", is_head=True), Cell(shown), verdict, Cell(by)


def _corner(one: Held) -> str:
    return raised(words.plain(str(one.row.each))) if one.row.each else ""

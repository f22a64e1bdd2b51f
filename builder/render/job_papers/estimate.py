"""The estimate and the customer's authority: stages, options, sums, what is ordered, where to sign."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain
from typing import Final

from builder.jobs.moments import shown
from builder.jobs.pricing import Priced, Staged, Way, priced
from builder.jobs.whole import Whole
from builder.model.estimate import Amount, Estimate, Line, sum_of
from builder.model.procedure import Hold
from builder.render.job_papers.documents import (
    Block,
    Document,
    Section,
    Sign,
    Stamp,
    facts,
    html_of,
    invented,
    named,
    style,
)
from builder.render.job_papers.identity import before
from builder.render.job_papers.tables import Cell, Table
from builder.render.page_parts import raised

TITLE: Final = "Estimate and authority"
CUSTOMER: Final = "customer"


def estimate_paper(whole: Whole, estimate: Estimate, size: str = "") -> str:
    """The estimate of a job on paper, with the customer's authority to sign."""
    sums = priced(whole.job, estimate)
    told = facts(
        (
            *before(whole),
            ("Written", f"{estimate.on} by {named(whole, str(estimate.by))}"),
            ("Holds until", str(estimate.until or "no day is given")),
            ("Prices in", f"{estimate.money}, the hour of the shop at {estimate.hour.text}"),
            ("Note on prices", str(estimate.note or "")),
        )
    )
    document = Document(
        title=TITLE,
        job=str(whole.job.number),
        lines=(str(whole.engine.title),),
        facts=told,
        sections=tuple(_sections(whole, sums)),
        stamp=_stamp(sums),
        invented=invented(whole),
        style=style(whole, TITLE, size),
    )
    return html_of(document)


def _stamp(sums: Priced) -> Stamp:
    money = sums.estimate.money
    spread = f"From {sums.least.text} to {sums.most.text} {money}, as it is decided and found."
    if sums.decided is None:
        return Stamp(f"{sums.least.text} to {sums.most.text} {money}", "Not everything is decided yet.")
    return Stamp(f"As decided: {sums.decided.text} {money}", spread)


def _sections(whole: Whole, sums: Priced) -> Iterator[Section]:
    yield Section("stages", "Stages and prices", (Block(table=_overview(sums), look="short"),), _OVER)
    for one in sums.stages:
        yield _stage(one, sums.estimate)
    ordered = _ordered(sums)
    if ordered is not None:
        lead = "Sizes are those that the survey asks for. A price without a delivery time is no price."
        yield Section("order", "What is to be ordered", (Block(table=ordered),), lead)
    hold = authority(whole)
    if hold is not None:
        yield _authority(whole, sums, hold)


_OVER: Final = (
    "Each stage ends at a place where you can stop. Nothing that cannot be undone is begun before you sign."
)


# All stages


def _overview(sums: Priced) -> Table:
    head = tuple(_heads(("Stage", "Option", "Hours", f"Price, {sums.estimate.money}", "Decided")))
    groups = tuple(tuple(_row(one, way) for way in one.ways) for one in sums.stages)
    least = (Cell("All stages, lowest", columns=3, is_head=True), Cell(sums.least.text, "number"), Cell())
    most = (
        Cell("All stages, highest, with all that may come on top", columns=3, is_head=True),
        Cell(sums.most.text, "number"),
        Cell(),
    )
    decided = sums.decided.text if sums.decided is not None else "not yet"
    total = (Cell("As decided", "total", columns=3, is_head=True), Cell(decided, "number total"), Cell())
    return Table((head,), (*groups, (least, most, total)), "words")


def _heads(names: tuple[str, ...]) -> Iterator[Cell]:
    for name in names:
        yield Cell(
            name, "number" if name.startswith(("Hours", "Price", "Each", "Comes")) else "", is_head=True
        )


def _row(one: Staged, way: Way) -> tuple[Cell, ...]:
    first = (Cell(str(one.stage.title), rows=len(one.ways), is_head=True),) if way is one.ways[0] else ()
    title = f"{way.letter}: {way.option.title}" if way.option is not None else "as below"
    fixed = "fixed price" if one.stage.fixed else ""
    decided = _decided(one) if one.decision is not None and way is one.chosen else fixed
    return (
        *first,
        Cell(title),
        Cell(_hours(way.hours), "number"),
        Cell(way.price.text, "number"),
        Cell(decided),
    )


def _decided(one: Staged) -> str:
    decision = one.decision
    return f"chosen by {', '.join(map(str, decision.by))} on {decision.on}" if decision is not None else ""


def _hours(hours: Amount) -> str:
    return hours.text.removesuffix("0").removesuffix(".0") if hours.value else ""


# One stage


def _stage(one: Staged, estimate: Estimate) -> Section:
    blocks = [Block(words=(str(one.stage.ends),))] if one.stage.ends else []
    if one.stage.lines:
        title = "Whatever the option" if one.stage.options else ""
        blocks.append(Block(title, table=_lines(one.stage.lines, estimate), look="short"))
    for way in one.ways:
        if way.option is not None:
            told = facts(
                (
                    ("For good", str(way.option.changes or "")),
                    ("Stays as it is", str(way.option.keeps or "")),
                )
            )
            title = f"Option {way.letter}: {way.option.title}"
            blocks.append(Block(title, facts=told, table=_lines(way.option.lines, estimate), look="short"))
    if one.stage.extras:
        head = tuple(_heads(("May come on top, if", f"Price, {estimate.money}")))
        rows = tuple(
            ((Cell(str(extra.if_), is_head=True), Cell(extra.price.text, "number")),)
            for extra in one.stage.extras
        )
        words = ("None of it is done before you are asked.",)
        blocks.append(Block("May come on top", words=words, table=Table((head,), rows, "words")))
    return Section(f"stage-{one.name}", raised(str(one.stage.title)), tuple(blocks))


def _lines(lines: tuple[Line, ...], estimate: Estimate) -> Table:
    head = tuple(_heads(("What", "Size", "Delivery", "Hours", "Price", "Comes to")))
    rows = tuple((_line(line, estimate),) for line in lines)
    total = (
        Cell("Together", "total", columns=5, is_head=True),
        Cell(sum_of(lines, estimate.hour).text, "number total"),
    )
    return Table((head,), (*rows, (total,)), "words")


def _line(line: Line, estimate: Estimate) -> tuple[Cell, ...]:
    return (
        Cell(raised(str(line.what)), is_head=True),
        Cell(str(line.size or "")),
        Cell(str(line.lead or "")),
        Cell(_hours(line.hours) if line.hours is not None else "", "number"),
        Cell(line.price.text if line.price is not None else "", "number"),
        Cell(sum_of((line,), estimate.hour).text, "number"),
    )


def _ordered(sums: Priced) -> Table | None:
    """Everything that is ordered; of a decided stage only what its option takes."""
    rows = tuple(
        (
            (
                Cell(raised(str(line.what)), is_head=True),
                Cell(str(line.size or "")),
                Cell(str(line.lead or "")),
                Cell(line.price.text if line.price is not None else "", "number"),
                Cell(f"{one.stage.title}{f', option {letter}' if letter else ''}"),
            ),
        )
        for one in sums.stages
        for letter, line in _of(one)
        if line.order
    )
    head = tuple(_heads(("What", "Size", "Delivery", "Price", "For")))
    return Table((head,), rows, "words") if rows else None


def _of(one: Staged) -> Iterator[tuple[str, Line]]:
    ways = (one.chosen,) if one.chosen is not None else one.ways
    options = ((way.letter, way.option) for way in ways if way is not None and way.option is not None)
    return chain(
        (("", line) for line in one.stage.lines), ((k, line) for k, o in options for line in o.lines)
    )


# The authority


def authority(whole: Whole) -> tuple[str, Hold] | None:
    """The hold that the customer signs first: the authority for the work."""
    return next(((name, hold) for name, hold in whole.holds.items() if CUSTOMER in hold.by), None)


def _authority(whole: Whole, sums: Priced, hold: tuple[str, Hold]) -> Section:
    name, asked = hold
    title = f"{asked.code} {asked.title or 'Authority'}"
    lead = f"{asked.check.text} A word on the telephone is no authority."
    head = tuple(
        _heads(("Stage and option", f"Price, {sums.estimate.money}", "Agreed", "Initials of the customer"))
    )
    rows = tuple(
        (
            (
                Cell(_choice(one, way), is_head=True),
                Cell(way.price.text, "number"),
                Cell(_agreed(one, way), "tick"),
                Cell("", "blank"),
            ),
        )
        for one in sums.stages
        for way in one.ways
    )
    upper = (
        Cell("No more than this is spent without asking again", is_head=True),
        Cell("", "blank", columns=3),
    )
    blocks = (
        Block(table=Table((head,), (*rows, (upper,)), "words")),
        Block(signs=tuple(_sign(whole, name, str(role)) for role in asked.by)),
    )
    return Section("authority", title, blocks, lead, look="page")


def _choice(one: Staged, way: Way) -> str:
    return (
        f"{one.stage.title}, option {way.letter}: {way.option.title}" if way.option else str(one.stage.title)
    )


def _agreed(one: Staged, way: Way) -> str:
    if one.decision is None:
        return "☐"
    return f"☒ {one.decision.on}" if way is one.chosen else "☐"


def _sign(whole: Whole, hold: str, role: str) -> Sign:
    """A place to sign; where the record has the signature, whose it is and when."""
    signed = [one for _, one in whole.signatures(hold, role)]
    if not signed:
        return Sign(raised(role))
    return Sign(raised(role), named(whole, str(signed[-1].by)), shown(str(signed[-1].when)))

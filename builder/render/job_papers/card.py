"""The card for the first miles: this engine's limits, its oil, when to stop, lines to fill in."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from builder.jobs.check import CheckedJob
from builder.jobs.measured import Measured, measured
from builder.jobs.whole import Whole
from builder.manual import row as row_of
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
from builder.render.job_papers.limits import both_words
from builder.render.job_papers.tables import Cell, Table
from builder.render.values import Shower

TITLE: Final = "First 500 miles"

RULES: Final = ("service.first_miles", "service.first_due")
FLUIDS: Final = ("oil.service", "oil.capacity", "fluid.coolant", "fuel.octane")
PRESSURES: Final = ("oil.pressure_hot", "oil.pressure_idle")
HEATS: Final = ("run_in.water_out", "run_in.oil_temperature")
LINES: Final = 6

STOPS: Final = (
    "The oil pressure falls below its limit on this card, or the light stays on: switch off at once.",
    "Water or oil goes past the heat above, or the water boils: let it cool, and leave the cap shut.",
    "It knocks, or a noise is there that was not there before.",
    "Blue smoke that stays, or any smell of burning or of fuel.",
)
CARE: Final = (
    "Run it in the open: exhaust gas kills without a smell.",
    "Open the radiator cap only when the engine is cold.",
    "Look at oil and water before each start, on level ground, and write it down below.",
    "The seals stay as they are until the first service. A broken seal ends the warranty.",
)


def card(checked: CheckedJob, whole: Whole, size: str = "") -> str:
    """The card for the first miles of an engine, on one page."""
    released = checked.may_be_released
    warning = Stamp(
        "NOT RELEASED", "This engine does not run on the road yet. The card is a draft.", is_warning=True
    )
    document = Document(
        title=TITLE,
        job=str(whole.job.number),
        lines=(str(whole.engine.title),),
        facts=facts(
            (("Engine number", str(whole.job.engine_number or "")), ("Owner", str(whole.job.owner or "")))
        ),
        sections=tuple(_sections(whole, measured(checked))),
        stamp=None if released else warning,
        invented=invented(whole),
        style=style(whole, TITLE, size),
        look="compact",
    )
    return html_of(document)


def card_section(checked: CheckedJob, whole: Whole) -> Section:
    """The card as the last page of a build record."""
    blocks = [block for section in _sections(whole, measured(checked)) for block in _titled(section)]
    return Section("card", TITLE, tuple(blocks), look="page compact")


def _titled(section: Section) -> Iterator[Block]:
    for block in section.blocks:
        yield Block(section.title, facts=block.facts, table=block.table, listed=block.listed)


def _sections(whole: Whole, parts: tuple[Measured, ...]) -> Iterator[Section]:
    rules = facts(
        (*_said(whole, RULES), *_said(whole, FLUIDS), *_pressures(whole, parts), *_said(whole, HEATS))
    )
    yield Section("limits", "Limits, oil and water", (Block(facts=rules),))
    yield Section("stop", "Stop and telephone the shop when", (Block(listed=STOPS),))
    yield Section("care", "Always", (Block(listed=CARE),))
    yield Section("log", "Write down", (Block(table=_log()),))


def _said(whole: Whole, names: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    """What the spec table says, in both units."""
    shower = Shower(whole.manual, whole.engine, "")
    for name in names:
        row = row_of(whole.engine, name)
        values = [one for one in shower.values(row) if one.kind != "wear"] if row is not None else []
        if row is not None and values:
            beside = f" ({values[0].partner})" if values[0].partner else ""
            yield str(row.title), f"{values[0].shown}{beside}"


def _pressures(whole: Whole, parts: tuple[Measured, ...]) -> Iterator[tuple[str, str]]:
    """The limits of the oil pressure, and what was read on this engine when it was hot."""
    for name in PRESSURES:
        read = [word for part in parts if part.characteristic == name for word in _read(part)]
        for title, limit in _said(whole, (name,)):
            yield title, "; ".join((limit, *read))


def _read(part: Measured) -> Iterator[str]:
    last = part.last(())
    if last is not None and last[0].leaves:
        yield from (f"{both_words(one)} was read on this engine" for one in last[1].values())


def _log() -> Table:
    head = tuple(
        Cell(name, is_head=True) for name in ("Day", "Miles", "Oil added", "Oil pressure, hot", "Remark")
    )
    blank = Cell("", "blank")
    return Table((head,), tuple(((blank,) * len(head),) for _ in range(LINES)), "boxes")

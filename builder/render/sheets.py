"""Printed sheets: what stands on a checklist on paper, to be filled in by pen."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final, TypeVar

from markupsafe import Markup

from builder.checklist import Checklist
from builder.edition import edition
from builder.judge.bounds import Band, limits_at
from builder.judge.program import decimals_of, holds_needed
from builder.judge.taken import row_unit, steps_of
from builder.manual import row as row_of
from builder.model.job import Job
from builder.model.spec import LimitRow
from builder.number import show_number
from builder.render import addresses, decided, words
from builder.render.checklist_facts import SizesView, approval, decision_rule, sizes, unproved
from builder.render.checklist_steps import HoldView, StepView, Writer, part_words
from builder.render.grids import GridView, LimitView, ResultView
from builder.render.hazards import SafetyBox, dangers, hazard_box
from builder.render.holds import need_link
from builder.render.job_values import JobShower, job_line, skipped_lines
from builder.render.page_parts import is_invented
from builder.render.qr import page_address, qr_code
from builder.render.spec_tables import instrument
from builder.units import Unit

T = TypeVar("T")

MOST_COLUMNS: Final = 6
"""Columns of blanks that stand side by side on a page: 18 mm each beside the names of the rows."""

MOST_RESULTS: Final = 4
"""Columns of worked-out values that stand side by side: the verdict and the initials need room too."""

LONG: Final = 8
"""Rows from which a narrow table is folded into two blocks side by side."""

GAUGE_LINES: Final = 4
OPEN_LINES: Final = 4
SKIP_LINES: Final = 3


@dataclass(frozen=True, slots=True)
class SheetRow:
    """One row of a table of blanks: its name, then each blank's field code and leading digits."""

    label: str
    blanks: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class SheetTable:
    """Blanks of one or more measurements over the same rows; `heads` are titles and column counts.

    The rows stand in one block, or in two side by side.
    """

    heads: tuple[tuple[str, int], ...]
    columns: tuple[str, ...]
    things: str
    blocks: tuple[tuple[SheetRow, ...], ...]


@dataclass(frozen=True, slots=True)
class ResultTable:
    """Worked-out values over the same rows: a title and its ends for each, one verdict a row to circle."""

    heads: tuple[tuple[str, int], ...]
    ends: tuple[str, ...]
    things: str
    blocks: tuple[tuple[str, ...], ...]
    limits: tuple[LimitView, ...]

    @property
    def paired(self) -> bool:
        """Whether any of them has a least and a most."""
        return any(self.ends)


@dataclass(frozen=True, slots=True)
class MovedLimit:
    """A limit at each listed size."""

    code: str
    sizes: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class SheetStep:
    """A step with what only paper needs: blanks in tables, limits at every size."""

    step: StepView
    tables: tuple[SheetTable, ...]
    lone: tuple[GridView, ...]
    results: tuple[ResultTable, ...]
    moved: tuple[MovedLimit, ...]


@dataclass(frozen=True, slots=True)
class SheetView:
    """A printed sheet."""

    code: str
    place: str
    name: str
    family: str
    purpose: str
    invented: str
    warning: str
    warning_why: str
    revision: str
    edition: str
    approved: str
    tried: str
    sizes: tuple[SizesView, ...]
    needs: tuple[str, ...]
    tools: tuple[str, ...]
    parts: tuple[str, ...]
    supplies: str
    dangers: tuple[str, ...]
    job: str
    engine_number: str
    of_job: tuple[str, ...]
    page: str
    qr: Markup
    hazards: tuple[SafetyBox, ...]
    holds: tuple[HoldView, ...]
    decided: tuple[str, ...]
    stops: tuple[str, ...]
    steps: tuple[SheetStep, ...]
    rule: str
    gauge_lines: range
    open_lines: range
    skip_lines: range


def path_of(checklist: Checklist) -> str:
    """Where a checklist's sheet is."""
    return addresses.sheet_page(str(checklist.engine.engine), str(checklist.procedure.procedure))


def sheet_view(checklist: Checklist, place: str = "", job: Job | None = None) -> SheetView:
    """A sheet in finished words; `place` says which of a pack it is: `sheet 3 of 41`.

    For a job, its number and sizes stand at the head, and what was decided for it beside the other limits.
    """
    here = path_of(checklist)
    manual, procedure = checklist.manual, checklist.procedure
    known = JobShower(manual, checklist.engine, here, job) if job is not None else None
    writer = Writer(checklist, here, known=known)
    steps = writer.steps()
    warning, why = unproved(checklist)
    page = _page(checklist)
    needed = [need for need in checklist.needs if not need.startswith("hold ")]
    return SheetView(
        code=str(procedure.code),
        place=place,
        name=str(procedure.title),
        family=str(checklist.engine.title),
        purpose=str(procedure.purpose),
        invented="Invented for demonstration." if is_invented(checklist.engine) else "",
        warning=warning,
        warning_why=why,
        revision=str(procedure.revision),
        edition=edition(checklist),
        approved=approval(procedure),
        tried=words.VERIFICATIONS.get(procedure.verification, str(procedure.verification)),
        sizes=tuple(sizes(checklist)),
        needs=tuple(need_link(manual, need, here).text for need in needed),
        tools=tuple(instrument(manual, str(tool), here).text for tool in procedure.tools),
        parts=tuple(map(part_words, checklist.parts)),
        supplies=words.listed(map(str, procedure.supplies)) or "none",
        dangers=dangers(checklist),
        job=str(job.number) if job is not None else "",
        engine_number=str(job.engine_number or "") if job is not None else "",
        of_job=(job_line(job), *skipped_lines(job, procedure)) if job is not None else (),
        page=page,
        qr=qr_code(page),
        hazards=tuple(hazard_box(manual.hazards[key]) for key in procedure.hazards if key in manual.hazards),
        holds=tuple(writer.hold(name, hold) for name, hold in holds_needed(checklist).items()),
        decided=decided.of_checklist(checklist),
        stops=tuple(f"{step.hold.code} after step {step.number}" for step in steps if step.hold),
        steps=tuple(_step(checklist, step) for step in steps),
        rule=decision_rule(),
        gauge_lines=range(GAUGE_LINES),
        open_lines=range(OPEN_LINES),
        skip_lines=range(SKIP_LINES),
    )


def _page(checklist: Checklist) -> str:
    """The address of the checklist's page; empty where the site is served nowhere."""
    there = addresses.checklist_page(str(checklist.engine.engine), str(checklist.procedure.procedure))
    return page_address(checklist.manual.served_at, there, edition(checklist))


def _step(checklist: Checklist, step: StepView) -> SheetStep:
    against = {limit.id: limit.code for grid in step.grids for limit in grid.limits}
    wide = [grid for grid in step.grids if not grid.lone]
    return SheetStep(
        step=step,
        tables=tuple(
            table
            for grids in together(wide, _labels, _columns, MOST_COLUMNS)
            for table in narrowed(_table(grids), MOST_COLUMNS)
        ),
        lone=tuple(grid for grid in step.grids if grid.lone),
        results=tuple(map(_results, together(step.results, _places, _ends, MOST_RESULTS))),
        moved=tuple(_moved(checklist, against)),
    )


def together(
    items: Iterable[T], rows: Callable[[T], tuple[str, ...]], width: Callable[[T], int], most: int
) -> Iterator[tuple[T, ...]]:
    """Neighbours over the same rows, as many side by side as have at most so many columns together."""
    side: list[T] = []
    for item in items:
        full = sum(map(width, side)) + width(item) > most
        if side and (rows(side[0]) != rows(item) or full):
            yield tuple(side)
            side = []
        side.append(item)
    if side:
        yield tuple(side)


def folded(rows: tuple[T, ...], columns: int, most: int) -> tuple[tuple[T, ...], ...]:
    """Rows in one block; many of them with at most so many columns in two, side by side."""
    if len(rows) < LONG or columns > most:
        return (rows,)
    half = (len(rows) + 1) // 2
    return rows[:half], rows[half:]


def narrowed(table: SheetTable, most: int) -> Iterator[SheetTable]:
    """A table that is wider than the page as several over the same rows, alike in width; else the table."""
    every = len(table.columns)
    parts = -(-every // most)
    width = -(-every // parts)
    for begin in range(0, every, width) if parts > 1 else ():
        part = slice(begin, begin + width)
        blocks = tuple(
            tuple(replace(row, blanks=row.blanks[part]) for row in block) for block in table.blocks
        )
        columns = table.columns[part]
        yield replace(table, heads=((table.heads[0][0], len(columns)),), columns=columns, blocks=blocks)
    if parts == 1:
        yield table


def _labels(grid: GridView) -> tuple[str, ...]:
    return tuple(row.label for row in grid.rows)


def _columns(grid: GridView) -> int:
    return len(grid.columns)


def _places(result: ResultView) -> tuple[str, ...]:
    return tuple(row.label for row in result.rows)


def _ends(result: ResultView) -> int:
    return len(result.ends) or 1


def _results(results: tuple[ResultView, ...]) -> ResultTable:
    return ResultTable(
        heads=tuple((titled(one), _ends(one)) for one in results),
        ends=tuple(end for one in results for end in (one.ends or ("",))),
        things=results[0].things,
        blocks=folded(_places(results[0]), sum(map(_ends, results)), MOST_RESULTS // 3),
        limits=tuple(one.limit for one in results if one.limit),
    )


def titled(one: GridView | ResultView) -> str:
    """A title with its unit: `Journal, in`."""
    return f"{one.title}, {one.unit}" if one.unit else one.title


def _table(grids: tuple[GridView, ...]) -> SheetTable:
    rows = tuple(
        SheetRow(rows[0].label, tuple((cell.code, cell.leading) for row in rows for cell in row.cells))
        for rows in zip(*(grid.rows for grid in grids), strict=True)
    )
    return SheetTable(
        heads=tuple((titled(grid), len(grid.columns)) for grid in grids),
        columns=tuple(column for grid in grids for column in grid.columns),
        things=grids[0].things,
        blocks=folded(rows, sum(map(_columns, grids)), MOST_COLUMNS // 3),
    )


def _moved(checklist: Checklist, against: dict[str, str]) -> Iterator[MovedLimit]:
    """Limits that a size step moves, at every listed size."""
    for name, code in against.items():
        row = row_of(checklist.engine, name)
        if isinstance(row, LimitRow) and row.moves_with:
            listed = tuple(_at_sizes(checklist, name, row))
            if listed:
                yield MovedLimit(code or str(row.title), listed)


def _at_sizes(checklist: Checklist, name: str, row: LimitRow) -> Iterator[tuple[str, str]]:
    unit = row_unit(row)
    for size, text in (*dict(steps_of(checklist, name)).items(),):
        band = limits_at(row, {}, dict.fromkeys(map(str, row.moves_with), size)).in_force
        if band is not None and unit is not None:
            yield text, band_words(band, unit, decimals_of(row))


def band_words(band: Band, unit: Unit, decimals: int) -> str:
    """A band in its unit: `2.6135 to 2.6140 in`."""
    low, high = (None if end is None else _shown(end, unit, decimals) for end in (band.low, band.high))
    if low is None:
        return f"{high} {unit.label} max"
    if high is None:
        return f"{low} {unit.label} min"
    return f"{low} to {high} {unit.label}"


def _shown(bound: Fraction, unit: Unit, decimals: int) -> str:
    return show_number(unit.from_base(bound), decimals)

"""Measuring grids and worked-out values as a checklist shows them: heads, rows, columns, blanks, limits."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import product, takewhile
from typing import Final

from builder.checklist import Blank, Checklist, ChecklistStep, Grid, Labels, Side
from builder.field_code import PLACES, codes
from builder.formula import Cell, Missing, Pair, Scope, evaluate
from builder.formula import Grid as Cells
from builder.judge.bounds import limits_at
from builder.judge.program import decimals_of
from builder.judge.sheet import dims_of, ends_of, links_of
from builder.judge.taken import position, row_unit, steps_of
from builder.manual import row as row_of
from builder.model.procedure import WorkOut
from builder.model.spec import LIMIT_KINDS, LimitRow
from builder.number import show_number
from builder.render import diagrams, words
from builder.render.page_parts import Link, raised
from builder.render.spec_tables import instrument
from builder.render.values import Shower, Value, printed, unit_label

UNREAD: Final = Missing("nothing is read yet")


@dataclass(frozen=True, slots=True)
class LimitView:
    """What a characteristic asks of readings: the limit in force, the aim, the wear limit."""

    id: str
    code: str
    title: str
    where: str
    values: tuple[Value, ...]
    condition: str


@dataclass(frozen=True, slots=True)
class CellView:
    """One blank: its number in the grid, where it is in words, its column, and what paper needs."""

    index: int
    where: str
    column: str
    code: str
    leading: str
    judged: bool


@dataclass(frozen=True, slots=True)
class GridRow:
    """One row of blanks."""

    label: str
    cells: tuple[CellView, ...]


@dataclass(frozen=True, slots=True)
class GridView:
    """The blanks of one measurement."""

    name: str
    title: str
    unit: str
    tool: Link | None
    tool_name: str
    things: str
    columns: tuple[str, ...]
    rows: tuple[GridRow, ...]
    limits: tuple[LimitView, ...]
    legend: tuple[str, ...]
    lone: bool
    count: int


@dataclass(frozen=True, slots=True)
class ResultRow:
    """One position of a worked-out value; `place` is its labels joined by `|`."""

    place: str
    label: str


@dataclass(frozen=True, slots=True)
class ResultView:
    """A value worked out of readings, position by position; `ends` is empty for one value."""

    name: str
    title: str
    unit: str
    ends: tuple[str, ...]
    limit: LimitView | None
    rows: tuple[ResultRow, ...]
    things: str


@dataclass(frozen=True)
class Ruler:
    """What it takes to lay out the grids of a checklist; `paper` asks for leading digits and field codes."""

    checklist: Checklist
    shower: Shower
    paper: bool = True

    @cached_property
    def thrust(self) -> str:
        """The main that takes the thrust; empty where no one says."""
        standing = diagrams.cylinders(self.checklist.engine)
        return standing.thrust if standing else ""

    @cached_property
    def positions(self) -> Mapping[tuple[str, str], tuple[Labels, ...]]:
        """Where each value is worked out, by step and name: its formula over readings not yet taken."""
        values: dict[str, Cells[Cell]] = {}
        pairs: dict[str, Pair] = {}
        scope = Scope(values, pairs, links=links_of(self.checklist))
        found: dict[tuple[str, str], tuple[Labels, ...]] = {}
        for step in self.checklist.steps:
            for grid in step.grids:
                values[str(grid.name)] = Cells(dims_of(grid), (UNREAD,) * len(grid.blanks))
            for name, out in step.work_outs.items():
                made = {end: evaluate(formula.node, scope) for end, formula in ends_of(out)}
                if "" in made:
                    values[name] = made[""]
                elif {"least", "most"} <= set(made):
                    pairs[name] = Pair(made["least"], made["most"])
                places = (at for value in made.values() for at, _ in value.items())
                found[str(step.step.id), name] = tuple({tuple(at.items()): at for at in places}.values())
        return found

    @cached_property
    def begun(self) -> dict[tuple[str, str], str]:
        """The leading digits already found, by characteristic and the label that chooses its limit."""
        return {}

    def leading(self, blank: Blank, row: LimitRow) -> str:
        """The digits that a reading of a blank begins with, found once for all blanks under one limit."""
        chosen = {str(key) for kind in LIMIT_KINDS if (stated := getattr(row, kind)) for key in stated.by}
        label = next((str(label) for label in blank.at.values() if label in chosen), "")
        key = (str(blank.against), label)
        if key not in self.begun:
            self.begun[key] = leading(self.checklist, blank)
        return self.begun[key]

    @cached_property
    def codes(self) -> Mapping[tuple[str, str, tuple[str, ...]], str]:
        """The field code of every blank, by step, measurement and labels."""
        return codes(self.checklist)

    # Grids

    def grid(self, grid: Grid) -> GridView:
        """A measurement as a grid: things down, places across."""
        down, across = sides_apart(grid.sides)
        columns = tuple(_across(labels) for labels in product(*(side.labels for side in across)))
        cells = iter(self._cells(grid))
        rows = tuple(
            GridRow(self._down(down, labels), tuple(next(cells) for _ in columns))
            for labels in product(*(side.labels for side in down))
        )
        tool = str(grid.measure.tool or "")
        return GridView(
            name=str(grid.name),
            title=str(grid.measure.title or words.plain(grid.name).capitalize()),
            unit=self._unit(grid),
            tool=instrument(self.checklist.manual, tool, self.shower.here) if tool else None,
            tool_name=tool,
            things=words.plain(down[-1].name).capitalize() if down else "",
            columns=columns,
            rows=rows,
            limits=tuple(self._limits(grid)),
            legend=tuple(_legend(grid.sides)),
            lone=len(grid.blanks) == 1,
            count=len(grid.blanks),
        )

    def _unit(self, grid: Grid) -> str:
        if grid.measure.unit:
            return unit_label(str(grid.measure.unit)) or str(grid.measure.unit)
        rows = (row_of(self.checklist.engine, blank.against) for blank in grid.blanks)
        unit = next((row_unit(row) for row in rows if isinstance(row, LimitRow)), None)
        return unit.label if unit else ""

    def _down(self, sides: tuple[Side, ...], labels: tuple[str, ...]) -> str:
        said = ", ".join(
            f"{words.plain(side.name)} {label}" for side, label in zip(sides, labels, strict=True)
        )
        is_thrust = bool(sides) and sides[-1].name == "main" and labels[-1] == self.thrust
        return f"{raised(said)}{' (thrust)' if is_thrust else ''}"

    def _cells(self, grid: Grid) -> Iterator[CellView]:
        _, across = sides_apart(grid.sides)
        for index, blank in enumerate(grid.blanks):
            row = row_of(self.checklist.engine, blank.against)
            yield CellView(
                index=index,
                where=position(blank.at) or str(grid.measure.title or words.plain(grid.name)),
                column=_across(tuple(blank.at[side.name] for side in across)),
                code=self.codes[grid.step, grid.name, tuple(blank.at.values())] if self.paper else "",
                leading=self.leading(blank, row) if self.paper and isinstance(row, LimitRow) else "",
                judged=row is not None,
            )

    def _limits(self, grid: Grid) -> Iterator[LimitView]:
        """One limit for each characteristic that readings of the grid are held against."""
        held: dict[str, list[str]] = {}
        for key, name in (grid.measure.against or {}).items():
            held.setdefault(str(name), []).append(str(key))
        for against, keys in held.items():
            if any(blank.against == against for blank in grid.blanks):
                yield from self.limit(against, words.listed(filter(None, keys)))

    def limit(self, name: str, where: str = "") -> Iterator[LimitView]:
        """A characteristic's limits; nothing where the family has no such characteristic."""
        row = row_of(self.checklist.engine, name)
        if row is not None:
            yield LimitView(
                id=name,
                code=str(row.code or ""),
                title=str(row.title),
                where=where,
                values=self.shower.values(row),
                condition=printed(row.condition or ""),
            )

    # Worked-out values

    def result(self, step: ChecklistStep, name: str, out: WorkOut) -> ResultView:
        """A worked-out value with its positions."""
        places = self.positions.get((str(step.step.id), name), ())
        row = row_of(self.checklist.engine, out.against)
        unit = row_unit(row) if isinstance(row, LimitRow) else None
        things = list(places[0]) if places else []
        return ResultView(
            name=name,
            title=str(out.title or words.plain(name).capitalize()),
            unit=unit_label(str(out.unit)) if out.unit else (unit.label if unit else ""),
            ends=("least", "most") if out.least and out.most else (),
            limit=next(self.limit(str(out.against)), None) if out.against else None,
            rows=tuple(map(self._result_row, places)),
            things=words.plain(things[-1]).capitalize() if things else "",
        )

    def _result_row(self, at: Labels) -> ResultRow:
        said = raised(position(at)) or "Worked out"
        is_thrust = at.get("main") == self.thrust != ""
        return ResultRow("|".join(at.values()), f"{said}{' (thrust)' if is_thrust else ''}")


def sides_apart(sides: tuple[Side, ...]) -> tuple[tuple[Side, ...], tuple[Side, ...]]:
    """The sides that run down a grid and those that run across: things and places, or the last thing."""
    down = tuple(side for side in sides if side.name not in PLACES)
    across = tuple(side for side in sides if side.name in PLACES)
    if not across and len(down) > 1:
        return down[:-1], down[-1:]
    return down, across


def _across(labels: Iterable[str]) -> str:
    return " ".join(words.plain(label) for label in labels)


def _legend(sides: tuple[Side, ...]) -> Iterator[str]:
    """The places that need words: `T, across the crank on the thrust side`."""
    for side in sides:
        if side.name in PLACES:
            yield from (said for label in side.labels if ", " in (said := words.PLACES.get(label, "")))


def leading(checklist: Checklist, blank: Blank) -> str:
    """The digits that a reading of this blank begins with, whatever size the job is ground to."""
    row = row_of(checklist.engine, blank.against)
    unit = row_unit(row) if isinstance(row, LimitRow) else None
    if not isinstance(row, LimitRow) or unit is None:
        return ""
    bounds: list[str] = []
    for size in (Fraction(0), *(step for step, _ in steps_of(checklist, blank.against))):
        band = limits_at(row, blank.at, dict.fromkeys(map(str, row.moves_with), size)).in_force
        if band is None or band.high is None:
            return ""
        ends = (band.low if band.low is not None else Fraction(0), band.high)
        bounds += [show_number(unit.from_base(end), decimals_of(row)) for end in ends]
    begun = "".join(digits[0] for digits in takewhile(_same, zip(*bounds, strict=False)))
    return begun if "." in begun and len(begun) < len(bounds[0]) else ""


def _same(digits: tuple[str, ...]) -> bool:
    return len(set(digits)) == 1

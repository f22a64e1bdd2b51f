"""A quick look at a sheet: is anything out or suspect at a stage? Only then is it judged in full.

The look knows no uncertainty, no reason and no amount, so that it has little to do. It compares exactly, as
the judge does. Where it cannot tell it says that a sheet is not clean, and the judge decides.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property, lru_cache
from typing import Any

from builder.checklist import Checklist, Labels
from builder.diagnostics import Fault
from builder.formula import Grid as Cells
from builder.formula import Missing, Pair, Scope
from builder.formula.sketch import Sketch, known, scaled, sketch, taken
from builder.judge.bounds import Band, Limits
from builder.judge.sheet import bounds_in, dims_of, ends_of, is_untouched, links_of, steps_in
from builder.judge.taken import Terms, read_typed, stale_on, unit_of
from builder.judge.verdict import end_of
from builder.manual import row as row_of
from builder.model.base import Text
from builder.model.job import Gauge, Job
from builder.model.procedure import WorkOut
from builder.model.record import Reading
from builder.units import unit as unit_named

Place = tuple[str, str, tuple[str, ...]]
"""Step, measurement and labels in the order of the grid's sides."""

DAY = len("2026-03-19")


@dataclass(frozen=True)
class Bounds:
    """A limit as whole numbers over one denominator each: compared by multiplying, with no fraction made.

    The bounds are multiplied by the scale of a sketch as often as the values that are held against them.
    """

    low: tuple[int, int] | None
    high: tuple[int, int] | None

    @classmethod
    def of(cls, band: Band, power: int) -> Bounds:
        """The bounds of a limit."""
        ends = (None if end is None else scaled(end, power) for end in (band.low, band.high))
        return cls(*(None if end is None else end.as_integer_ratio() for end in ends))

    def holds(self, above: int, below: int) -> bool:
        """Whether `above / below` lies inside; equality is inside."""
        if self.low is not None and above * self.low[1] < self.low[0] * below:
            return False
        return self.high is None or above * self.high[1] <= self.high[0] * below


Bands = tuple[Bounds, ...]
"""The limits any of which lets a value pass; a value without any is only recorded."""


class _Typed(dict[tuple[str, str, str], int | Fraction | None]):
    """What may be typed into a blank: entry, unit and setting, and the value, None where it does not pass."""

    def __init__(self, own: str, bands: Bands) -> None:
        super().__init__()
        self.own, self.bands = own, bands

    def __missing__(self, typed: tuple[str, str, str]) -> int | Fraction | None:
        value = _value(*typed, self.own)
        self[typed] = value if value is not None and passes(value, self.bands) else None
        return self[typed]


class Dates(dict[tuple[str, str], bool]):
    """Whether a gauge of a job could be trusted on a day, looked up once."""

    def __init__(self, gauges: Mapping[Text, Gauge]) -> None:
        super().__init__()
        self.gauges = gauges

    def __missing__(self, used: tuple[str, str]) -> bool:
        self[used] = not stale_on(self.gauges, *used)[0]
        return self[used]


@dataclass(frozen=True, eq=False)
class QuickLook:
    """What a clean sheet of one checklist must hold at one stage of a job of these sizes."""

    blanks: Mapping[Place, tuple[int, _Typed]]
    """The number of each blank, and what may be typed there."""
    worked: tuple[tuple[Sketch, Bands], ...]
    """The values that are worked out and held against limits."""
    relied: frozenset[str]
    """The steps whose values other readings rely on."""

    @classmethod
    def of(cls, checklist: Checklist, job: Job | None, stage: str) -> QuickLook:
        """Lay a checklist out for jobs of the same sizes, supplier sheets and basis."""
        return _Layout(checklist, job, stage).look()

    def is_clean(self, readings: Mapping[Place, Reading], dates: Dates) -> bool:
        """Whether nothing of these readings of one stage is out or suspect."""
        values: list[Any] = [None] * len(self.blanks)
        for place, reading in readings.items():
            blank = self.blanks.get(place)
            if blank is None:
                continue  # it stands in no blank, and the judge does not look at it either
            number, typed = blank
            value = typed[reading.typed, reading.unit, reading.setting]
            if value is None or not dates[reading.gauge, reading.when[:DAY]]:
                return False
            if reading.try_ > 1 and reading.step in self.relied:
                return False
            values[number] = value
        return all(passes(known(cell, values), bands) for cell, bands in self.worked)


def passes(value: Any, bands: Bands) -> bool:  # noqa: ANN401 - a value, an answer, or none
    """Whether one of the limits lets a value pass; what has no limit or no value does."""
    if not bands or value is None or isinstance(value, bool):
        return True
    above, below = value.as_integer_ratio()
    return any(band.holds(above, below) for band in bands)


@lru_cache(maxsize=65536)
def _value(typed: str, unit: str, setting: str, own: str) -> int | Fraction | None:
    """What was typed, in SI base units and scaled; None when it cannot be read there."""
    try:
        return scaled(read_typed(typed, unit, setting, unit_named(own) if own else None).base)
    except Fault:
        return None


@dataclass(frozen=True, eq=False)
class _Layout:
    """What it takes to lay a checklist out."""

    checklist: Checklist
    job: Job | None
    stage: str

    @cached_property
    def terms(self) -> Terms:
        """What the job says about limits."""
        return Terms.of(self.job, self.stage)

    def look(self) -> QuickLook:
        blanks = dict(self._blanks())
        return QuickLook(blanks, tuple(self._worked(blanks)), frozenset(self._relied()))

    def _blanks(self) -> Iterator[tuple[Place, tuple[int, _Typed]]]:
        number = 0
        for step in self.checklist.steps:
            for grid in step.grids:
                for blank in grid.blanks:
                    own = unit_of(grid, row_of(self.checklist.engine, blank.against))
                    place = (str(grid.step), str(grid.name), tuple(blank.at.values()))
                    bands = self._bands(blank.against, blank.at, "", 1)
                    yield place, (number, _Typed(own.symbol if own else "", bands))
                    number += 1

    def _bands(self, name: str | None, at: Labels, end: str, power: int) -> Bands:
        row = row_of(self.checklist.engine, name)
        limits: Limits = self.terms.limits(row, name, at)
        wear = limits.wear if is_untouched(self.job, self.stage) else None
        found = (end_of(limits.in_force, end), end_of(wear, end))
        return tuple(Bounds.of(band, power) for band in found if band is not None)

    def _worked(self, blanks: Mapping[Place, tuple[int, _Typed]]) -> Iterator[tuple[Any, Bands]]:
        scope = Scope(
            values=dict(self._values(blanks)),
            pairs={},
            limits=dict(bounds_in(self.checklist, self.terms)),
            steps=dict(steps_in(self.checklist)),
            links=links_of(self.checklist),
        )
        for step in self.checklist.steps:
            for name, out in step.work_outs.items():
                grids = {end: sketch(formula.node, scope) for end, formula in ends_of(out)}
                scope = _with(scope, name, grids)
                yield from self._cells(out, grids)

    def _cells(self, out: WorkOut, grids: Mapping[str, Cells[Any]]) -> Iterator[tuple[Any, Bands]]:
        for end, grid in grids.items() if out.against else ():
            for at, cell in grid.items():
                bands = (
                    () if isinstance(cell, Missing) else self._bands(str(out.against), at, end, cell.power)
                )
                if bands:
                    yield cell, bands

    def _values(self, blanks: Mapping[Place, tuple[int, _Typed]]) -> Iterator[tuple[str, Cells[Any]]]:
        for step in self.checklist.steps:
            for grid in step.grids:
                places = ((str(grid.step), str(grid.name), tuple(blank.at.values())) for blank in grid.blanks)
                yield str(grid.name), Cells(dims_of(grid), tuple(taken(blanks[place][0]) for place in places))

    def _relied(self) -> Iterator[str]:
        grids = (grid for step in self.checklist.steps for grid in step.grids)
        names = {str(name) for grid in grids for name in grid.measure.relies_on}
        yield from (str(step.step.id) for step in self.checklist.steps if names & set(step.work_outs))


def _with(scope: Scope, name: str, grids: Mapping[str, Cells[Any]]) -> Scope:
    """A scope in which a worked-out value is known."""
    if "" in grids:
        return Scope({**scope.values, name: grids[""]}, scope.pairs, scope.limits, scope.steps, scope.links)
    if "least" in grids and "most" in grids:
        pairs = {**scope.pairs, name: Pair(grids["least"], grids["most"])}
        return Scope(scope.values, pairs, scope.limits, scope.steps, scope.links)
    return scope

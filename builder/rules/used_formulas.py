"""What every formula of every step measures, family by family: what the rules on formulas go by."""

from __future__ import annotations

from collections import ChainMap
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from itertools import chain

from builder.checklist import Checklist, ChecklistStep, Grid, resolve
from builder.diagnostics import Fault, Span
from builder.formula import Holds, Shape, dimension_of, names_of
from builder.manual import Manual, row
from builder.model.base import Text
from builder.model.engine import Engine
from builder.model.procedure import IfOut, WorkOut
from builder.model.spec import BasicRow, LimitRow, StepsRow
from builder.model.written import Formula
from builder.rules.table import dimension, in_force, statements
from builder.units import Unit, unit
from builder.worksheet import unread_defaults

Shapes = Mapping[str, Shape]


@dataclass(frozen=True)
class Used:
    """A formula on one family's sheet: what it is for, what it measures there or what is wrong with it."""

    engine: Engine
    formula: Formula
    result: Shape | Fault | None
    out: WorkOut | None = None
    if_out: IfOut | None = None

    def place(self, fault: Fault) -> Span:
        """Where a fault stands; one in a worksheet that the step uses, at the name of the worksheet."""
        if self.out is not None and self.out.use is not None:
            return self.formula.text.span
        return self.formula.text.part(fault.start, fault.end)


def known_unit(text: Text | None) -> Unit | None:
    """The unit that a text names; None where there is none or it is not in the list."""
    try:
        return unit(text) if text is not None else None
    except Fault:
        return None


def _reading(engine: Engine, grid: Grid) -> Shape | None:
    """The shape of a measurement's readings; None where its unit is not known."""
    own = known_unit(grid.measure.unit)
    rows = [row(engine, name) for name in (grid.measure.against or {}).values()]
    found = [dimension(engine, one) for one in rows if isinstance(one, LimitRow)]
    measured = own.dimension if own is not None else next(iter(found), None)
    if measured is None:
        return None
    labels = {side.name: side.labels for side in grid.sides}
    return Shape(measured, tuple(labels), Holds.VALUE, labels)


def _of_row(engine: Engine, one: BasicRow) -> Shape | None:
    """The shape of a characteristic; None where it has neither limits nor sizes."""
    if isinstance(one, StepsRow):
        sizes = next((cited.value for _, stated in statements(one) for cited in stated.every()), ())
        return Shape(sizes[0].unit.dimension, holds=Holds.STEPS) if sizes else None
    measured = dimension(engine, one) if isinstance(one, LimitRow) else None
    stated = in_force(one) if isinstance(one, LimitRow) else None
    if measured is None:
        return None
    first = stated.at() if stated is not None else None
    exact = first is not None and first.value.low is not None and first.value.low == first.value.high
    return Shape(measured, holds=Holds.EXACT if exact else Holds.LIMIT)


def _shapes(told: _Told, pairs: Iterable[tuple[str, Shape | None]]) -> dict[str, Shape]:
    return {name: told.alike(shape) for name, shape in pairs if shape is not None}


@dataclass(frozen=True)
class _Rows:
    """The characteristics of a family that a formula may use, and the names of those that cannot be told."""

    shapes: Shapes
    lost: frozenset[str]
    on: Mapping[str, str]
    """What sits on what: rods on crankpins."""


def _rows(engine: Engine, told: _Told) -> _Rows:
    shapes = _shapes(told, ((str(name), _of_row(engine, one)) for name, one in engine.specs.items()))
    limits = {str(name) for name, one in engine.specs.items() if isinstance(one, LimitRow)}
    on = {str(name): str(seat) for name, one in engine.features.items() for seat in one.on}
    return _Rows(shapes, frozenset(limits - set(shapes)), on)


class _Told:
    """What formulas measure, told once for all families on which their names measure the same."""

    def __init__(self) -> None:
        self._alike: dict[tuple[object, ...], Shape] = {}
        self._names: dict[int, tuple[str, ...]] = {}
        self._results: dict[tuple[object, ...], Shape | Fault] = {}

    def alike(self, shape: Shape) -> Shape:
        """The first shape that was like this one, so that shapes are compared by what they are once."""
        key = (shape.dimension, shape.dims, shape.holds, *shape.labels.items())
        return self._alike.setdefault(key, shape)

    def names(self, formula: Formula) -> tuple[str, ...]:
        """The names in a formula."""
        if id(formula) not in self._names:
            self._names[id(formula)] = tuple(name.name for name in names_of(formula.node))
        return self._names[id(formula)]

    def result(self, formula: Formula, names: Shapes, on: Mapping[str, str]) -> Shape | Fault:
        """What a formula measures where its names measure this, or what is wrong with it."""
        mine = (id(names.get(name)) for name in self.names(formula))
        key = (id(formula), *mine, *on.items())
        if key not in self._results:
            try:
                self._results[key] = dimension_of(formula.node, names, on)
            except Fault as fault:
                self._results[key] = fault
        return self._results[key]


def _unread_defaults(checklist: Checklist) -> set[str]:
    """The inputs of worksheets in use for which nothing can stand, which is reported at the worksheet."""
    outs = chain.from_iterable(step.work_outs.values() for step in checklist.steps)
    sheets = {out.use: checklist.manual.worksheets.get(out.use) for out in outs if out.use is not None}
    return {name for one in sheets.values() if one is not None for name in unread_defaults(one)}


class _Names:
    """What formulas may use on one sheet: readings, characteristics, and the results so far.

    `lost` are names that stand there but could not be told; a formula that uses one is not judged, so that a
    fault is reported once.
    """

    def __init__(self, checklist: Checklist, rows: _Rows, told: _Told) -> None:
        grids = [grid for step in checklist.steps for grid in step.grids]
        self.engine = checklist.engine
        self.told = told
        self.results = _shapes(told, ((str(grid.name), _reading(self.engine, grid)) for grid in grids))
        self.names = ChainMap(self.results, dict(rows.shapes))
        self.on = rows.on
        self.lost = {*rows.lost, *checklist.manual.left_out}
        self.lost |= {str(grid.name) for grid in grids} - set(self.results)
        self.lost |= _unread_defaults(checklist)

    def shape(self, formula: Formula) -> Shape | Fault | None:
        """What a formula measures here; None where a name in it is lost."""
        if not self.lost.isdisjoint(self.told.names(formula)):
            return None
        return self.told.result(formula, self.names, self.on)

    def of_step(self, step: ChecklistStep) -> Iterator[Used]:
        """The formulas of a step in order; each result joins the names for the next."""
        for name, out in step.work_outs.items():
            mine = [
                Used(self.engine, one, self.shape(one), out) for one in (out.is_, out.least, out.most) if one
            ]
            yield from mine
            self.remember(str(name), mine, Holds.VALUE if out.is_ else Holds.PAIR)
        for if_out in step.if_out:
            for formula in (if_out.when, if_out.amount):
                if formula is not None:
                    yield Used(self.engine, formula, self.shape(formula), if_out=if_out)

    def remember(self, name: str, mine: list[Used], holds: Holds) -> None:
        """Let later formulas use a result, or pass over them where it could not be told."""
        first = mine[0].result if mine else None
        if isinstance(first, Shape):
            self.results[name] = self.told.alike(Shape(first.dimension, first.dims, holds, first.labels))
        else:
            self.lost.add(name)


@lru_cache(maxsize=1)
def used(manual: Manual) -> tuple[Used, ...]:
    """Every formula of every procedure on every family that it serves."""
    found: list[Used] = []
    told = _Told()
    engines = manual.engines.values() if manual.procedures else ()
    rows = {str(engine.engine): _rows(engine, told) for engine in engines}
    for procedure in manual.procedures.values():
        if any(step.work_out or step.if_out for step in procedure.steps):
            for engine in manual.families_of(procedure):
                checklist = resolve(manual, engine, procedure)
                names = _Names(checklist, rows[str(engine.engine)], told)
                for step in checklist.steps:
                    found.extend(names.of_step(step))
    return tuple(found)

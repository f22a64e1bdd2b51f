"""A formula walked once becomes functions of the readings, to be worked out for many sheets.

`evaluate` lays out grids anew for every sheet, and carries along which reading moves what. A sketch does the
laying out once and keeps only the value: what is left for a sheet is the arithmetic itself, as exact.
"""

from __future__ import annotations

import operator
from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from typing import Any, TypeAlias

from builder.formula.amount import Amount, Cell, Truth
from builder.formula.bounds import exact
from builder.formula.evaluate import operation_of, sizes_listed
from builder.formula.grid import Grid, Missing, single
from builder.formula.nodes import Binary, Call, Node, Unary
from builder.formula.operations import gather, stepped
from builder.formula.scope import Bounds, Scope, Value
from builder.formula.walk import Operation, Walk

Known: TypeAlias = Fraction | bool | None
"""A value, an answer, or None where there is none."""

Sketch: TypeAlias = Callable[[Sequence[Any]], Any]
"""A value as a function of the readings of a sheet, by number; a reading not taken is None there."""

_SIGNS: Mapping[str, Callable[[Any, Any], Any]] = {
    "+": operator.add,
    "-": operator.sub,
    "*": operator.mul,
    "/": operator.truediv,
}
_HEAPS: Mapping[str, Callable[[Sequence[Any]], Any]] = {
    "min": min,
    "max": max,
    "spread": lambda values: max(values) - min(values),
    "sum": lambda values: sum(values, Fraction(0)),
    "mean": lambda values: sum(values, Fraction(0)) / len(values),
}


def taken(index: int) -> Sketch:
    """The reading of a sheet at this number."""
    return operator.itemgetter(index)


def sketch(node: Node, scope: Scope) -> Grid[Any]:
    """Walk a formula to a grid of sketches, or of `Missing` where no reading can help.

    The values of the scope are grids of sketches themselves; its limits and steps are amounts.
    """
    return _Sketching(scope).value(node)


def known(cell: Sketch | Missing, readings: Sequence[Any]) -> Known:
    """What a sketch comes to with these readings; None where one that it needs was not taken."""
    if isinstance(cell, Missing):
        return None
    try:
        value: Known = cell(readings)
    except (TypeError, ZeroDivisionError):
        return None
    return value


class _Sketching(Walk[Any]):
    """Cells are functions of the readings."""

    def constant(self, value: Fraction) -> Sketch:
        return _always(value)

    def lost(self, missing: Missing) -> Missing:
        return missing

    def taken(self, value: Value) -> Grid[Any]:
        return Grid(value.dims, tuple(map(_function, value.cells)))

    def limited(self, name: str, bounds: Bounds) -> Grid[Any]:
        return self.taken(exact(name, bounds))

    def operation(self, node: Node) -> Operation[Any]:
        if isinstance(node, Binary) and node.operator in _SIGNS:
            return _plain(_SIGNS[node.operator])
        if isinstance(node, Unary) and node.operator == "-":
            return lambda cell: lambda readings: -cell(readings)
        return _through(operation_of(node))

    def gather(self, function: str, cells: Sequence[Any]) -> Any:  # noqa: ANN401 - a sketch or a complaint
        there = [cell for cell in cells if not (isinstance(cell, Missing) and cell.nothing_there)]
        missing = next((cell for cell in there if isinstance(cell, Missing)), None)
        if not there or missing is not None:
            return missing or "has nothing to take"
        heap = _HEAPS.get(function)
        if heap is None:
            return _through(lambda *heaped: gather(function, heaped))(*there)
        return lambda readings: heap([cell(readings) for cell in there])

    def chosen(self, node: Call) -> Grid[Any]:
        listed = sizes_listed(node.arguments[0], self.scope)
        if isinstance(listed, Missing):
            return single(listed)
        return self.applied(node, node.arguments[1:], _through(stepped(node.function, listed)))


def _always(value: Known) -> Sketch:
    return lambda _: value


def _function(cell: Any) -> Any:  # noqa: ANN401 - a cell of either interpretation
    """A cell of the scope as a sketch."""
    return _always(_known(cell)) if isinstance(cell, Amount | Truth) else cell


def _plain(sign: Callable[[Any, Any], Any]) -> Operation[Any]:
    return lambda left, right: lambda readings: sign(left(readings), right(readings))


def _through(operation: Callable[..., Cell | str]) -> Operation[Any]:
    """An operation on exact amounts, as one on sketches."""

    def made(*cells: Sketch) -> Sketch:
        return lambda readings: _known(operation(*(_cell(cell(readings)) for cell in cells)))

    return made


def _cell(value: Known) -> Cell:
    if value is None:
        raise TypeError("a reading was not taken")
    return Truth(value) if isinstance(value, bool) else Amount(value)


def _known(cell: Cell | str) -> Known:
    match cell:
        case Amount(value=value):
            return value
        case Truth(holds=holds):
            return holds
        case _:
            return None

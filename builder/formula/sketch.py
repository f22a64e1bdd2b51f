"""A formula walked once becomes functions of the readings, to be worked out for many sheets.

`evaluate` lays out grids anew for every sheet, and carries along which reading moves what. A sketch does the
laying out once and keeps only the value: what is left for a sheet is the arithmetic itself, as exact.

Readings are given multiplied by `SCALE`, which makes whole numbers of nearly all of them: a size typed in
inches or millimetres is one. Sums, differences, least and largest of whole numbers are many times quicker
than those of fractions. A sketch knows the power of `SCALE` that its value carries.
"""

from __future__ import annotations

import operator
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
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

SCALE = 10**12
"""What readings in SI base units are multiplied by: an inch typed to eight decimals is whole."""

Known: TypeAlias = int | Fraction | bool | None
"""A value, an answer, or None where there is none."""

Work: TypeAlias = Callable[[Sequence[Any]], Any]
"""A value from the readings of a sheet, by number; a reading that was not taken is None there."""


@dataclass(frozen=True, slots=True)
class Sketch:
    """A value as a function of the readings, `power` times multiplied by `SCALE`.

    `constant` is the value itself where no reading has a part in it.
    """

    work: Work
    power: int = 0
    constant: Fraction | bool | None = None


def scaled(value: Fraction, power: int = 1) -> int | Fraction:
    """A value so many times multiplied by `SCALE`, as a whole number if it is one."""
    found: Fraction = value * SCALE**power
    return found.numerator if found.denominator == 1 else found


def taken(index: int) -> Sketch:
    """The reading of a sheet at this number."""
    return Sketch(operator.itemgetter(index), 1)


def sketch(node: Node, scope: Scope) -> Grid[Any]:
    """Walk a formula to a grid of sketches, or of `Missing` where no reading can help.

    The values of the scope are grids of sketches themselves; its limits and steps are amounts.
    """
    return _Sketching(scope).value(node)


def known(of: Sketch, readings: Sequence[Any]) -> Known:
    """What a sketch comes to with these readings; None where one that it needs was not taken."""
    try:
        value: Known = of.work(readings)
    except (TypeError, ZeroDivisionError):
        return None
    return value


class _Sketching(Walk[Any]):
    """Cells are sketches."""

    def constant(self, value: Fraction) -> Sketch:
        return _always(value)

    def lost(self, missing: Missing) -> Missing:
        return missing

    def taken(self, value: Value) -> Grid[Any]:
        return Grid(value.dims, tuple(map(_sketched, value.cells)))

    def limited(self, name: str, bounds: Bounds) -> Grid[Any]:
        return self.taken(exact(name, bounds))

    def operation(self, node: Node) -> Operation[Any]:
        if isinstance(node, Binary) and node.operator in _SIGNS:
            return _SIGNS[node.operator]
        if isinstance(node, Unary) and node.operator == "-":
            return _negative
        return _through(operation_of(node))

    def gather(self, function: str, cells: Sequence[Any]) -> Any:  # noqa: ANN401 - a sketch or a complaint
        there = [cell for cell in cells if not (isinstance(cell, Missing) and cell.nothing_there)]
        missing = next((cell for cell in there if isinstance(cell, Missing)), None)
        if not there or missing is not None:
            return missing or "has nothing to take"
        if function not in _HEAPS:
            return _through(lambda *heaped: gather(function, heaped))(*there)
        return _heap(_HEAPS[function], *_alike(*there))

    def chosen(self, node: Call) -> Grid[Any]:
        listed = sizes_listed(node.arguments[0], self.scope)
        if isinstance(listed, Missing):
            return single(listed)
        return self.applied(node, node.arguments[1:], _through(stepped(node.function, listed)))


def _always(value: Fraction | bool) -> Sketch:
    return Sketch(lambda _: value, 0, value)


def _sketched(cell: Any) -> Any:  # noqa: ANN401 - a cell of either interpretation
    """A cell of the scope as a sketch."""
    if isinstance(cell, Amount):
        return _always(cell.value)
    return _always(cell.holds) if isinstance(cell, Truth) else cell


# Arithmetic on what may be multiplied


def _plain(of: Sketch) -> Sketch:
    """A sketch that is not multiplied."""
    work, factor = of.work, SCALE**of.power
    return of if not of.power else Sketch(lambda readings: Fraction(work(readings)) / factor)


def _alike(*sketches: Sketch) -> tuple[Sketch, ...]:
    """Sketches brought to one power of the scale."""
    powers = {one.power for one in sketches if one.constant is None}
    if len(powers) != 1:
        return tuple(map(_plain, sketches))
    (power,) = powers
    return tuple(one if one.constant is None else _multiplied(one.constant, power) for one in sketches)


def _multiplied(constant: Fraction | bool, power: int) -> Sketch:
    value = scaled(Fraction(constant), power)
    return Sketch(lambda _: value, power)


def _sum(sign: Callable[[Any, Any], Any]) -> Operation[Any]:
    def made(left: Sketch, right: Sketch) -> Sketch:
        one, other = _alike(left, right)
        first, second = one.work, other.work
        return Sketch(lambda readings: sign(first(readings), second(readings)), one.power)

    return made


def _product(left: Sketch, right: Sketch) -> Sketch:
    first, second = left.work, right.work
    return Sketch(lambda readings: first(readings) * second(readings), left.power + right.power)


def _quotient(left: Sketch, right: Sketch) -> Sketch:
    if left.power < right.power:
        left, right = _plain(left), _plain(right)
    first, second = left.work, right.work
    return Sketch(lambda readings: Fraction(first(readings)) / second(readings), left.power - right.power)


def _negative(of: Sketch) -> Sketch:
    work = of.work
    return Sketch(lambda readings: -work(readings), of.power)


_SIGNS: Mapping[str, Operation[Any]] = {
    "+": _sum(operator.add),
    "-": _sum(operator.sub),
    "*": _product,
    "/": _quotient,
}


def _heap(of: Callable[[Sequence[Any]], Any], *sketches: Sketch) -> Sketch:
    works = [one.work for one in sketches]
    return Sketch(lambda readings: of([work(readings) for work in works]), sketches[0].power)


def _spread(values: Sequence[Any]) -> Any:  # noqa: ANN401 - whole numbers or fractions
    return max(values) - min(values)


def _mean(values: Sequence[Any]) -> Fraction:
    return sum(values, Fraction(0)) / len(values)


_HEAPS: Mapping[str, Callable[[Sequence[Any]], Any]] = {
    "min": min,
    "max": max,
    "spread": _spread,
    "sum": sum,
    "mean": _mean,
}


# Everything else goes through the operations on exact amounts


def _through(operation: Callable[..., Cell | str]) -> Operation[Any]:
    """An operation on exact amounts, as one on sketches."""

    def made(*cells: Sketch) -> Sketch:
        works = [_plain(cell).work for cell in cells]
        return Sketch(lambda readings: _known(operation(*(_cell(work(readings)) for work in works))))

    return made


def _cell(value: Known) -> Cell:
    if value is None:
        raise TypeError("a reading was not taken")
    return Truth(value) if isinstance(value, bool) else Amount(Fraction(value))


def _known(cell: Cell | str) -> Known:
    match cell:
        case Amount(value=value):
            return value
        case Truth(holds=holds):
            return holds
        case _:
            return None

"""A formula over limits instead of readings: the range that its value can take, for `follows`.

Each name is the range of its limit in force. Exact where every name stands once in the formula and each
operation moves one way; a name that stands twice is taken as two independent ones, so the range comes out
wider than it is, never narrower.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeAlias, TypeGuard

from builder.formula.amount import Amount, Cell
from builder.formula.curves import CURVES, power
from builder.formula.grid import Grid, Missing, combine, single
from builder.formula.nodes import Binary, Call, Compare, Logic, Node, Unary
from builder.formula.scope import Bounds, Scope, Value
from builder.formula.walk import Operation, Walk, degrees


@dataclass(frozen=True, slots=True)
class Range:
    """From `low` to `high` in base units, ends inside; None where a side is open."""

    low: Fraction | None
    high: Fraction | None
    approximate: bool = False


Extent: TypeAlias = Range | Missing


def interval(node: Node, scope: Scope) -> Grid[Extent]:
    """The range of a formula's value at each position; `Missing` where it cannot be told."""
    return _Intervals(scope).value(node)


class _Intervals(Walk[Extent]):
    """Cells are ranges."""

    def constant(self, value: Fraction) -> Extent:
        return Range(value, value)

    def lost(self, missing: Missing) -> Extent:
        return missing

    def taken(self, value: Value) -> Grid[Extent]:
        return Grid(value.dims, tuple(map(_point, value.cells)))

    def limited(self, name: str, bounds: Bounds) -> Grid[Extent]:  # noqa: ARG002 - every name is a range
        grids = [_OPEN if side is None else self.taken(side) for side in (bounds.low, bounds.high)]
        result = combine(_between, grids, self.scope.links)
        return single(result) if isinstance(result, Missing) else result

    def operation(self, node: Node) -> Operation[Extent]:
        match node:
            case Unary(operator=sign):
                return _SIGNS.get(sign, _untold)
            case Binary(operator=sign) | Compare(operator=sign) | Logic(operator=sign):
                return _OPERATIONS.get(sign, _untold)
            case Call(function=function) if function in ("degF", "degC"):
                factor, offset = degrees(function)
                return lambda reading: _add(_multiply(reading, _sure(factor)), _sure(offset))
            case Call(function=function):
                return _OPERATIONS.get(function, _untold)
            case _:
                raise AssertionError(node)

    def gather(self, function: str, cells: Sequence[Extent]) -> Extent | str:
        there = [cell for cell in cells if not (isinstance(cell, Missing) and cell.nothing_there)]
        missing = next((cell for cell in there if isinstance(cell, Missing)), None)
        if missing is not None:
            return missing
        if not there:
            return "has nothing to take"
        return _GATHERED[function](there) if _ranges(there) else "has nothing to take"

    def chosen(self, node: Call) -> Grid[Extent]:
        return self.none(f"`{node.text}` {_untold()}")


def _ranges(cells: Sequence[Extent]) -> TypeGuard[Sequence[Range]]:
    return all(isinstance(cell, Range) for cell in cells)


_OPEN: Grid[Extent] = single(Range(None, None))


def _point(cell: Cell) -> Extent:
    match cell:
        case Amount(value=value, approximate=approximate):
            return Range(value, value, approximate)
        case Missing():
            return cell
        case _:
            return Missing("a comparison has no range")


def _between(low: Extent, high: Extent) -> Extent:
    if isinstance(low, Missing) or isinstance(high, Missing):
        return low if isinstance(low, Missing) else high
    return Range(low.low, high.high)


def _untold(*_: Extent) -> str:
    return "has no range that can be told"


def _sure(value: Fraction) -> Range:
    return Range(value, value)


def _both(left: Range, right: Range) -> bool:
    return left.approximate or right.approximate


def _sum(left: Fraction | None, right: Fraction | None) -> Fraction | None:
    return None if left is None or right is None else left + right


def _add(left: Range, right: Range) -> Range:
    return Range(_sum(left.low, right.low), _sum(left.high, right.high), _both(left, right))


def _negate(operand: Range) -> Range:
    low = None if operand.high is None else -operand.high
    return Range(low, None if operand.low is None else -operand.low, operand.approximate)


def _subtract(left: Range, right: Range) -> Range:
    return _add(left, _negate(right))


def _scale(operand: Range, by: Fraction) -> Range:
    """A range times a sure number."""
    if by < 0:
        return _scale(_negate(operand), -by)
    if by == 0:
        return Range(by, by, operand.approximate)
    low = None if operand.low is None else operand.low * by
    return Range(low, None if operand.high is None else operand.high * by, operand.approximate)


def _multiply(left: Range, right: Range) -> Range:
    """Corner by corner; a range with an open side is scaled, or all is open."""
    for one, other in ((left, right), (right, left)):
        if one.low is not None and one.low == one.high:
            return Range(*_ends(_scale(other, one.low)), _both(left, right))
    corners = [a * b for a in _ends(left) for b in _ends(right) if a is not None and b is not None]
    if len(corners) < 4:  # noqa: PLR2004 - two ends by two ends
        return Range(None, None, _both(left, right))
    return Range(min(corners), max(corners), _both(left, right))


def _ends(operand: Range) -> tuple[Fraction | None, Fraction | None]:
    return operand.low, operand.high


def _divide(left: Range, right: Range) -> Range | str:
    if right.low is None or right.high is None or right.low <= 0 <= right.high:
        return "divides by a range that may be zero"
    return _multiply(left, Range(1 / right.high, 1 / right.low, right.approximate))


def _absolute(operand: Range) -> Range:
    """Without its sign: a range about zero begins at zero."""
    if operand.low is not None and operand.low >= 0:
        return operand
    turned = _negate(operand)
    if turned.low is not None and turned.low >= 0:
        return turned
    far = None if operand.high is None or turned.high is None else max(operand.high, turned.high)
    return Range(Fraction(0), far, operand.approximate)


def _rising(curve: Callable[[Amount], Amount | str]) -> Callable[[Range], Range | str]:
    """A function that rises all the way, taken at both ends."""

    def ranged(operand: Range) -> Range | str:
        if operand.low is None or operand.high is None:
            return "needs a limit on both sides"
        low, high = curve(Amount(operand.low)), curve(Amount(operand.high))
        if isinstance(low, str) or isinstance(high, str):
            return low if isinstance(low, str) else str(high)
        return Range(low.value, high.value, operand.approximate or low.approximate or high.approximate)

    return ranged


def _power(base: Range, exponent: Range) -> Range | str:
    """A range to a sure power: an even one loses the sign, a negative one divides."""
    sure = exponent.low
    if sure is None or sure != exponent.high:
        return "takes a power that is not one number"
    if sure < 0:
        below = _power(base, _sure(-sure))
        return below if isinstance(below, str) else _divide(_sure(Fraction(1)), below)
    even = sure.denominator == 1 and sure.numerator % 2 == 0
    return _rising(lambda amount: power(amount, Amount(sure)))(_absolute(base) if even else base)


def _least(ends: Sequence[Fraction | None]) -> Fraction | None:
    """The least of several lower ends; open where one is open."""
    known = [end for end in ends if end is not None]
    return min(known) if len(known) == len(ends) else None


def _smallest(ranges: Sequence[Range]) -> Range:
    highs = [item.high for item in ranges if item.high is not None]
    low = _least([item.low for item in ranges])
    return Range(low, min(highs, default=None), any(item.approximate for item in ranges))


def _largest(ranges: Sequence[Range]) -> Range:
    return _negate(_smallest([_negate(item) for item in ranges]))


def _spread(ranges: Sequence[Range]) -> Range:
    """Greatest less least: never below zero, and zero for one alone."""
    if len(ranges) == 1:
        return _sure(Fraction(0))
    apart = _subtract(_largest(ranges), _smallest(ranges))
    least = Fraction(0) if apart.low is None else max(apart.low, Fraction(0))
    return Range(least, apart.high, apart.approximate)


def _total(ranges: Sequence[Range]) -> Range:
    total = _sure(Fraction(0))
    for item in ranges:
        total = _add(total, item)
    return total


_SIGNS: dict[str, Operation[Extent]] = {"-": _negate, "+": lambda operand: operand}
_OPERATIONS: dict[str, Operation[Extent]] = {
    "+": _add,
    "-": _subtract,
    "*": _multiply,
    "/": _divide,
    "**": _power,
    "abs": _absolute,
    **{name: _rising(CURVES[name]) for name in ("sqrt", "exp", "log", "asin")},
}
_GATHERED: dict[str, Callable[[Sequence[Range]], Range]] = {
    "min": _smallest,
    "max": _largest,
    "spread": _spread,
    "sum": _total,
    "mean": lambda ranges: _scale(_total(ranges), Fraction(1, len(ranges))),
    "count": lambda ranges: _sure(Fraction(len(ranges))),
}

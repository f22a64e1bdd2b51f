"""What the signs and functions of a formula do to cells; a complaint is the end of a sentence on the node."""

from __future__ import annotations

import operator
from collections.abc import Callable, Sequence
from fractions import Fraction
from typing import TypeAlias, TypeGuard

from builder.formula import amount
from builder.formula.amount import ZERO, Amount, Cell, Effects, Truth, merged, readings_behind, too_large
from builder.formula.curves import CURVES, power
from builder.formula.grid import Missing

Operation: TypeAlias = Callable[..., Cell | str]

_REDUCERS: dict[str, Callable[[Sequence[Amount]], Amount]] = {
    "min": amount.smallest,
    "max": amount.largest,
    "mean": amount.mean,
    "spread": amount.spread,
    "sum": amount.total,
}


def _amounts(cells: Sequence[Cell]) -> TypeGuard[Sequence[Amount]]:
    return all(isinstance(cell, Amount) for cell in cells)


def _truths(cells: Sequence[Cell]) -> TypeGuard[Sequence[Truth]]:
    return all(isinstance(cell, Truth) for cell in cells)


def _numbers(operation: Callable[..., Cell | str]) -> Operation:
    """An operation on amounts only, that stays within the size of exact arithmetic."""

    def checked(*cells: Cell) -> Cell | str:
        if not _amounts(cells):
            return "takes yes or no for a number"
        result = operation(*cells)
        if isinstance(result, Amount) and too_large(result.value):
            return "grows too large to work out"
        return result

    return checked


def _answers(operation: Callable[[Sequence[bool]], bool]) -> Operation:
    """An operation on truths only."""

    def checked(*cells: Cell) -> Cell | str:
        if not _truths(cells):
            return "takes a number for yes or no"
        return _answer(cells, operation([cell.holds for cell in cells]))

    return checked


def _answer(cells: Sequence[Amount] | Sequence[Truth], holds: bool) -> Truth:
    sources = frozenset(reading for cell in cells for reading in readings_behind(cell))
    return Truth(holds, sources, any(cell.approximate for cell in cells))


def _comparison(holds: Callable[[Fraction, Fraction], bool]) -> Operation:
    return _numbers(lambda left, right: _answer((left, right), holds(left.value, right.value)))


def _quotient(left: Amount, right: Amount) -> Amount | str:
    return amount.divide(left, right) if right.value else "divides by zero"


OPERATIONS: dict[str, Operation] = {
    "+": _numbers(amount.add),
    "-": _numbers(amount.subtract),
    "*": _numbers(amount.multiply),
    "/": _numbers(_quotient),
    "**": _numbers(power),
    "<": _comparison(operator.lt),
    "<=": _comparison(operator.le),
    ">": _comparison(operator.gt),
    ">=": _comparison(operator.ge),
    "==": _comparison(operator.eq),
    "!=": _comparison(operator.ne),
    "and": _answers(all),
    "or": _answers(any),
    **{name: _numbers(curve) for name, curve in CURVES.items()},
}
"""Signs between operands, `and`, `or`, and the functions of one variable."""

SIGNS: dict[str, Operation] = {
    "-": _numbers(amount.negate),
    "+": _numbers(lambda operand: operand),
    "not": _answers(lambda holds: not holds[0]),
}
"""Signs before one operand."""


def gather(function: str, cells: Sequence[Cell]) -> Cell | str:
    """Make one cell of many; the first Missing decides, positions with nothing by nature are passed over."""
    there = [cell for cell in cells if not (isinstance(cell, Missing) and cell.nothing_there)]
    if not there:
        return "has nothing to take"
    missing = next((cell for cell in there if isinstance(cell, Missing)), None)
    if missing is not None:
        return missing
    if function == "count":
        return _count(there)
    return _REDUCERS[function](there) if _amounts(there) else "takes yes or no for a number"


def _count(cells: Sequence[Cell]) -> Amount:
    """How many hold, or how many values there are; no reading moves a count."""
    held = sum(not isinstance(cell, Truth) or cell.holds for cell in cells)
    unmoved: Effects = {reading: ZERO for cell in cells for reading in readings_behind(cell)}
    approximate = any(isinstance(cell, Amount | Truth) and cell.approximate for cell in cells)
    return Amount(Fraction(held), merged([(unmoved, ZERO)]), approximate)


def step_at_least(steps: Sequence[Fraction], wanted: Amount) -> Amount | str:
    """The smallest listed size that is not below the wanted one."""
    enough = [step for step in steps if step >= wanted.value]
    return amount.scaled(wanted, min(enough), ZERO) if enough else "finds no listed size large enough"


def nearest_step(steps: Sequence[Fraction], wanted: Amount) -> Amount | str:
    """The listed size nearest to the wanted one; the smaller of two equally near."""
    near = sorted(steps, key=lambda step: (abs(step - wanted.value), step))
    return amount.scaled(wanted, near[0], ZERO) if near else "finds no listed size"


def stepped(function: str, steps: Sequence[Fraction]) -> Operation:
    """`first_at_least` or `nearest` over these sizes."""
    choose = step_at_least if function == "first_at_least" else nearest_step
    return _numbers(lambda wanted: choose(steps, wanted))

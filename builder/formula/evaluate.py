"""A formula and a scope to a grid of exact values. Nothing is raised: what has no value says why."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from builder.formula.amount import Amount, Cell
from builder.formula.bounds import exact
from builder.formula.functions import FUNCTIONS, Sort
from builder.formula.grid import Grid, Missing, single
from builder.formula.nodes import Binary, Call, Compare, Logic, Node, Steps, Unary, word
from builder.formula.operations import OPERATIONS, SIGNS, Operation, gather, stepped
from builder.formula.scope import Bounds, Scope, Value
from builder.formula.walk import Walk, degrees


def evaluate(node: Node, scope: Scope) -> Value:
    """Work a formula out: a grid of amounts or truths, or of `Missing` with its reason in one sentence.

    Every amount carries the effect of each reading behind it, so one pass gives value and sensitivity.
    """
    return _Evaluation(scope).value(node)


def operation_of(node: Node) -> Operation:
    """What a sign, or a function of one value, does to cells."""
    match node:
        case Unary(operator=sign):
            return SIGNS[sign]
        case Binary(operator=sign) | Compare(operator=sign) | Logic(operator=sign):
            return OPERATIONS[sign]
        case Call(function=function) if FUNCTIONS[function].sort is Sort.DEGREES:
            return _thermometer(function)
        case Call(function=function):
            return OPERATIONS[function]
        case _:
            raise AssertionError(node)


def sizes_listed(node: Node, scope: Scope) -> Sequence[Fraction] | Missing:
    """The sizes of a list, written out or by the name of a characteristic."""
    return _Evaluation(scope).listed(node)


class _Evaluation(Walk[Cell]):
    """Cells are exact amounts with their effects, or truths."""

    def constant(self, value: Fraction) -> Cell:
        return Amount(value)

    def lost(self, missing: Missing) -> Cell:
        return missing

    def taken(self, value: Value) -> Grid[Cell]:
        return value

    def limited(self, name: str, bounds: Bounds) -> Grid[Cell]:
        return exact(name, bounds)

    def operation(self, node: Node) -> Operation:
        return operation_of(node)

    def gather(self, function: str, cells: Sequence[Cell]) -> Cell | str:
        return gather(function, cells)

    def chosen(self, node: Call) -> Value:
        """`first_at_least(bore.oversizes, needed)`."""
        listed = self.listed(node.arguments[0])
        if isinstance(listed, Missing):
            return single(listed)
        return self.applied(node, node.arguments[1:], stepped(node.function, listed))

    def listed(self, node: Node) -> Sequence[Fraction] | Missing:
        """The sizes of a list, written out or by the name of a characteristic."""
        if not isinstance(node, Steps):
            return self.scope.steps.get(word(node)) or Missing(f"`{node.text}` lists no sizes here")
        cells = [cell for item in node.items for cell in self.value(item).cells]
        sizes = [cell.value for cell in cells if isinstance(cell, Amount)]
        if len(sizes) == len(cells):
            return sizes
        lost = next((cell for cell in cells if isinstance(cell, Missing)), None)
        return lost or Missing(f"`{node.text}` is not a list of sizes")


def _thermometer(function: str) -> Operation:
    factor, offset = degrees(function)
    times, plus = OPERATIONS["*"], OPERATIONS["+"]

    def absolute(reading: Cell) -> Cell | str:
        scaled = times(reading, Amount(factor))
        return scaled if isinstance(scaled, str) else plus(scaled, Amount(offset))

    return absolute

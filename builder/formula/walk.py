"""One way through a formula for every sort of cell: what the nodes mean for grids, whatever a cell holds.

`evaluate` fills the cells with exact amounts, `interval` with ranges; both say what a constant, a name and an
operation are to them, and share how positions meet, are reduced, picked and passed over.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Sequence
from fractions import Fraction
from typing import Generic, TypeAlias, TypeVar, assert_never

from builder.formula.bounds import bound
from builder.formula.functions import FUNCTIONS, Sort
from builder.formula.grid import Grid, Missing, combine, neighbour, pick, reduce, single
from builder.formula.irrational import PI
from builder.formula.nodes import Binary, Call, Compare, Logic, Name, Node, Number, Steps, Unary, word
from builder.formula.scope import Bounds, Scope, Value
from builder.units import IDENTIFIERS, UNITS

C = TypeVar("C")
Operation: TypeAlias = Callable[..., C | str]
"""Cells to a cell, or to the end of a sentence about the node that says why there is none."""

_LAST = Missing("the last one has no neighbour after it", nothing_there=True)


def factor(name: str) -> Fraction | None:
    """What a unit's name stands for: its factor. The scale of a thermometer has none of its own."""
    unit = IDENTIFIERS.get(name)
    return None if unit is None or unit.offset else unit.factor


class Walk(ABC, Generic[C]):
    """An interpretation of formulas in one scope; C is its cell, `Missing` among what a cell may be."""

    def __init__(self, scope: Scope) -> None:
        self.scope = scope

    @abstractmethod
    def constant(self, value: Fraction) -> C:
        """A cell for a number that is known exactly."""

    @abstractmethod
    def lost(self, missing: Missing) -> C:
        """A cell for what has no value."""

    @abstractmethod
    def taken(self, value: Value) -> Grid[C]:
        """A value of the scope as this interpretation sees it."""

    @abstractmethod
    def limited(self, name: str, bounds: Bounds) -> Grid[C]:
        """The bare name of a characteristic with limits."""

    @abstractmethod
    def operation(self, node: Node) -> Operation[C]:
        """What a sign, or a function of one value, does to cells."""

    @abstractmethod
    def gather(self, function: str, cells: Sequence[C]) -> C | str:
        """Many cells to one."""

    @abstractmethod
    def chosen(self, node: Call) -> Grid[C]:
        """A size out of a list: `nearest` or `first_at_least`."""

    def value(self, node: Node) -> Grid[C]:
        """Work out any node."""
        match node:
            case Number(value=value):
                return single(self.constant(value))
            case Name(name=name):
                return self.named(name)
            case Unary(operand=operand):
                return self.applied(node, (operand,), self.operation(node))
            case Binary(left=left, right=right) | Compare(left=left, right=right):
                return self.applied(node, (left, right), self.operation(node))
            case Logic(operands=operands):
                return self.applied(node, operands, self.operation(node))
            case Steps():
                return self.none(f"`{node.text}` is a list, not a value")
            case Call():
                return self.called(node)
            case _:
                assert_never(node)

    def none(self, reason: str) -> Grid[C]:
        """A single cell without a value."""
        return single(self.lost(Missing(reason)))

    def named(self, name: str) -> Grid[C]:
        """The value of a name: of the scope first, then `pi` or a unit as a factor."""
        scope = self.scope
        if name in scope.values:
            return self.taken(scope.values[name])
        if name in scope.limits:
            return self.limited(name, scope.limits[name])
        if name in scope.pairs:
            return self.none(f"`{name}` has a least and a most: say which")
        if name in scope.steps:
            return self.none(f"`{name}` is a list, not a value")
        known = PI if name == "pi" else factor(name)
        return self.none(f"`{name}` is not known here") if known is None else single(self.constant(known))

    def applied(self, node: Node, operands: Sequence[Node], operation: Operation[C]) -> Grid[C]:
        """Work out the operands and combine them position by position; the first Missing is passed on."""

        def guarded(*cells: C) -> C:
            missing = next((cell for cell in cells if isinstance(cell, Missing)), None)
            return self.worded(node, operation(*cells)) if missing is None else missing

        return self.met(node, [self.value(operand) for operand in operands], guarded)

    def met(self, node: Node, grids: Sequence[Grid[C]], operation: Callable[..., C]) -> Grid[C]:
        """Combine grids, or say why they do not meet."""
        return self.settled(node, grids, combine(operation, grids, self.scope.links))

    def settled(self, node: Node, grids: Sequence[Grid[C]], result: Grid[C] | Missing) -> Grid[C]:
        """A result; where there is none, what its parts miss already, else why they do not go together."""
        if not isinstance(result, Missing):
            return result
        lost = next((cell for grid in grids for cell in grid.cells if isinstance(cell, Missing)), None)
        why = f"`{node.text}` cannot be worked out: {result.reason}"
        return self.none(why) if lost is None else single(self.lost(lost))

    def worded(self, node: Node, result: C | str) -> C:
        """A complaint becomes a sentence about the node."""
        return self.lost(Missing(f"`{node.text}` {result}")) if isinstance(result, str) else result

    def called(self, node: Call) -> Grid[C]:
        """Work out a function by its sort."""
        match FUNCTIONS[node.function].sort:
            case Sort.REDUCE:
                return self.reduced(node)
            case Sort.PICK | Sort.NEIGHBOUR:
                return self.along(node)
            case Sort.BOUND:
                return self.taken(bound(node, self.scope))
            case Sort.STEP:
                return self.chosen(node)
            case Sort.CURVE | Sort.DEGREES:
                return self.applied(node, node.arguments, self.operation(node))

    def reduced(self, node: Call) -> Grid[C]:
        """`max(journal, axis)` along dimensions, or `max(a, b)` position by position."""

        def gathered(cells: Sequence[C]) -> C:
            return self.worded(node, self.gather(node.function, cells))

        whole, rest = self.value(node.arguments[0]), node.arguments[1:]
        removed = [word(argument) for argument in rest if word(argument) in whole.dims]
        if removed and len(removed) == len(rest):
            return reduce(gathered, whole, removed)
        if removed or not rest:
            return self.none(f"`{node.text}` names neither dimensions nor values only")
        grids = [whole, *(self.value(argument) for argument in rest)]
        return self.met(node, grids, lambda *cells: gathered(cells))

    def along(self, node: Call) -> Grid[C]:
        """`pick(bore, axis, V)` or `neighbour(stand_proud, cylinder)`."""
        whole, dim = self.value(node.arguments[0]), word(node.arguments[1])
        if node.function == "neighbour":
            result = neighbour(whole, dim, self.lost(_LAST))
        else:
            result = pick(whole, dim, [word(label) for label in node.arguments[2:]])
        return self.settled(node, [whole], result)


def degrees(function: str) -> tuple[Fraction, Fraction]:
    """Factor and offset of `degF` or `degC`: a reading of the thermometer as an absolute temperature."""
    return UNITS[function].factor, UNITS[function].offset

"""A formula and a scope to a grid of exact values. Nothing is raised at the bench: what has no value says why."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from typing import assert_never

from builder.formula.amount import Amount, Cell
from builder.formula.functions import FUNCTIONS, Sort
from builder.formula.grid import Missing, combine, neighbour, pick, reduce, single
from builder.formula.irrational import PI
from builder.formula.nodes import Binary, Call, Compare, Logic, Name, Node, Number, Steps, Unary, word
from builder.formula.operations import OPERATIONS, SIGNS, Operation, gather, stepped
from builder.formula.scope import Bounds, Scope, Value
from builder.units import IDENTIFIERS, UNITS


def evaluate(node: Node, scope: Scope) -> Value:  # noqa: PLR0911 - one case per sort of node
    """Work a formula out: a grid of amounts or truths, or of `Missing` with its reason in one sentence."""
    match node:
        case Number(value=value):
            return single(Amount(value))
        case Name(name=name):
            return _named(name, scope)
        case Unary(operator=sign, operand=operand):
            return _apply(node, (operand,), scope, SIGNS[sign])
        case Binary(operator=sign, left=left, right=right) | Compare(operator=sign, left=left, right=right):
            return _apply(node, (left, right), scope, OPERATIONS[sign])
        case Logic(operator=sign, operands=operands):
            return _apply(node, operands, scope, OPERATIONS[sign])
        case Steps():
            return _none(f"`{node.text}` is a list, not a value")
        case Call(function=function):
            return _CALLS[FUNCTIONS[function].sort](node, scope)
        case _:
            assert_never(node)


def _none(reason: str) -> Value:
    return single(Missing(reason))


def _apply(node: Node, operands: Sequence[Node], scope: Scope, operation: Operation) -> Value:
    """Work out the operands and combine them position by position."""
    return _met(node, [evaluate(operand, scope) for operand in operands], scope, _guarded(node, operation))


def _met(node: Node, grids: Sequence[Value], scope: Scope, operation: Callable[..., Cell]) -> Value:
    """Combine grids; where they do not meet, say what is missing already, else why they do not."""
    result = combine(operation, grids, scope.links)
    if not isinstance(result, Missing):
        return result
    lost = next((cell for grid in grids for cell in grid.cells if isinstance(cell, Missing)), None)
    return single(lost or Missing(f"`{node.text}` cannot be worked out: {result.reason}"))


def _guarded(node: Node, operation: Operation) -> Callable[..., Cell]:
    """An operation that passes on the first Missing among its cells."""
    def guarded(*cells: Cell) -> Cell:
        missing = next((cell for cell in cells if isinstance(cell, Missing)), None)
        return missing or _worded(node, operation(*cells))
    return guarded


def _worded(node: Node, result: Cell | str) -> Cell:
    """A complaint becomes a sentence about the node."""
    return Missing(f"`{node.text}` {result}") if isinstance(result, str) else result


def _named(name: str, scope: Scope) -> Value:
    """The value of a name: of the scope first, then `pi` or a unit as a factor."""
    if name in scope.values:
        return scope.values[name]
    if name in scope.limits:
        return _exact(name, scope.limits[name])
    if name in scope.pairs:
        return _none(f"`{name}` has a least and a most: say which")
    if name in scope.steps:
        return _none(f"`{name}` is a list, not a value")
    constant = PI if name == "pi" else factor(name)
    return _none(f"`{name}` is not known here") if constant is None else single(Amount(constant))


def factor(name: str) -> Fraction | None:
    """What a unit's name stands for in a formula: its factor, so that `18 * degF` is a difference."""
    return IDENTIFIERS[name].factor if name in IDENTIFIERS else None


def _exact(name: str, bounds: Bounds) -> Value:
    if bounds.low is None or bounds.low != bounds.high:
        return _none(f"`{name}` has limits, not one value: say low, high or mid")
    return bounds.low


def _reduced(node: Call, scope: Scope) -> Value:
    """`max(journal, axis)` along dimensions, or `max(a, b)` position by position."""
    whole = evaluate(node.arguments[0], scope)
    rest = node.arguments[1:]
    removed = [word(argument) for argument in rest if word(argument) in whole.dims]
    if removed and len(removed) == len(rest):
        return reduce(lambda cells: _worded(node, gather(node.function, cells)), whole, removed)
    if removed or not rest:
        return _none(f"`{node.text}` names neither dimensions nor values only")
    grids = [whole, *(evaluate(argument, scope) for argument in rest)]
    return _met(node, grids, scope, lambda *cells: _worded(node, gather(node.function, cells)))


def _picked(node: Call, scope: Scope) -> Value:
    """`pick(bore, axis, V)`; a value that is missing altogether stays so."""
    value, dim, *labels = node.arguments
    whole = evaluate(value, scope)
    return _or_missing(node, whole, pick(whole, word(dim), [word(label) for label in labels]))


_LAST = Missing("the last one has no neighbour after it", nothing_there=True)


def _neighboured(node: Call, scope: Scope) -> Value:
    """`neighbour(stand_proud, cylinder)`."""
    value, dim = node.arguments
    whole = evaluate(value, scope)
    return _or_missing(node, whole, neighbour(whole, word(dim), _LAST))


def _or_missing(node: Node, whole: Value, result: Value | Missing) -> Value:
    if not isinstance(result, Missing):
        return result
    lost = next((cell for cell in whole.cells if isinstance(cell, Missing)), None)
    return single(lost or Missing(f"`{node.text}` cannot be worked out: {result.reason}"))


def _bound(node: Call, scope: Scope) -> Value:
    """`low(main.clearance)`, `least(clearance)` and their kin."""
    name = word(node.arguments[0])
    if name in scope.pairs and node.function in ("least", "most"):
        pair = scope.pairs[name]
        return pair.least if node.function == "least" else pair.most
    if name in scope.limits:
        return _BOUNDS[node.function](node, scope.limits[name], scope)
    return _none(f"`{name}` has no limits here")


def _side(node: Call, side: Value | None, words: str) -> Value:
    return _none(f"`{word(node.arguments[0])}` has no {words} limit") if side is None else side


def _low(node: Call, bounds: Bounds, _: Scope) -> Value:
    return _side(node, bounds.low, "lower")


def _high(node: Call, bounds: Bounds, _: Scope) -> Value:
    return _side(node, bounds.high, "upper")


def _mid(node: Call, bounds: Bounds, scope: Scope) -> Value:
    """The middle of the limit in force."""
    return _middle(node, scope, _low(node, bounds, scope), _high(node, bounds, scope))


def _mid_aim(node: Call, bounds: Bounds, scope: Scope) -> Value:
    """The middle of the aim; of the limit in force where nothing narrower is aimed at."""
    if bounds.aim_low is None and bounds.aim_high is None:
        return _mid(node, bounds, scope)
    low = _side(node, bounds.aim_low, "lower aim")
    return _middle(node, scope, low, _side(node, bounds.aim_high, "upper aim"))


def _middle(node: Call, scope: Scope, low: Value, high: Value) -> Value:
    return _met(node, (low, high), scope, _guarded(node, lambda *ends: gather("mean", ends)))


_BOUNDS: dict[str, Callable[[Call, Bounds, Scope], Value]] = {
    "low": _low, "least": _low, "high": _high, "most": _high, "mid": _mid, "mid_aim": _mid_aim,
}


def _step(node: Call, scope: Scope) -> Value:
    """`first_at_least(bore.oversizes, needed)`."""
    listed = _listed(node.arguments[0], scope)
    if isinstance(listed, Missing):
        return single(listed)
    return _apply(node, node.arguments[1:], scope, stepped(node.function, listed))


def _listed(node: Node, scope: Scope) -> Sequence[Fraction] | Missing:
    """The sizes of a list, written out or by the name of a characteristic."""
    if not isinstance(node, Steps):
        return scope.steps.get(word(node)) or Missing(f"`{node.text}` lists no sizes here")
    cells = [cell for item in node.items for cell in evaluate(item, scope).cells]
    sizes = [cell.value for cell in cells if isinstance(cell, Amount)]
    if len(sizes) == len(cells):
        return sizes
    lost = next((cell for cell in cells if isinstance(cell, Missing)), None)
    return lost or Missing(f"`{node.text}` takes yes or no for a number")


def _curved(node: Call, scope: Scope) -> Value:
    """`sqrt(area)` and the other functions of one value."""
    return _apply(node, node.arguments, scope, OPERATIONS[node.function])


def _degrees(node: Call, scope: Scope) -> Value:
    """`degF(68)`: a reading of a thermometer as an absolute temperature."""
    unit = UNITS[node.function]
    shifted = OPERATIONS["+"]
    def absolute(degrees: Cell) -> Cell | str:
        scaled = OPERATIONS["*"](degrees, Amount(unit.factor))
        return scaled if isinstance(scaled, str) else shifted(scaled, Amount(unit.offset))
    return _apply(node, node.arguments, scope, absolute)


_CALLS: dict[Sort, Callable[[Call, Scope], Value]] = {
    Sort.REDUCE: _reduced, Sort.PICK: _picked, Sort.NEIGHBOUR: _neighboured, Sort.BOUND: _bound,
    Sort.STEP: _step, Sort.CURVE: _curved, Sort.DEGREES: _degrees,
}

"""`low(main.clearance)` and its kin: an end, or the middle, of a characteristic's limits or of a pair."""

from __future__ import annotations

from collections.abc import Callable

from builder.formula.amount import Amount, Cell, mean
from builder.formula.grid import Missing, combine, single
from builder.formula.nodes import Call, word
from builder.formula.scope import Bounds, Scope, Value


def bound(node: Call, scope: Scope) -> Value:
    """The end or the middle that a call asks for; Missing where that side is open."""
    name = word(node.arguments[0])
    if name in scope.pairs and node.function in ("least", "most"):
        pair = scope.pairs[name]
        return pair.least if node.function == "least" else pair.most
    if name in scope.limits:
        return _ENDS[node.function](name, scope.limits[name])
    return single(Missing(f"`{name}` has no limits here"))


def exact(name: str, bounds: Bounds) -> Value:
    """The value of a bare characteristic: there is one only where both limits are the same."""
    if bounds.low is None or not bounds.exact:
        return single(Missing(f"`{name}` has limits, not one value: say low, high or mid"))
    return bounds.low


def _side(name: str, side: Value | None, words: str) -> Value:
    return single(Missing(f"`{name}` has no {words} limit")) if side is None else side


def _low(name: str, bounds: Bounds) -> Value:
    return _side(name, bounds.low, "lower")


def _high(name: str, bounds: Bounds) -> Value:
    return _side(name, bounds.high, "upper")


def _mid(name: str, bounds: Bounds) -> Value:
    """The middle of the limit in force."""
    return _middle(_low(name, bounds), _high(name, bounds))


def _mid_aim(name: str, bounds: Bounds) -> Value:
    """The middle of the aim; of the limit in force where nothing narrower is aimed at."""
    if bounds.aim_low is None and bounds.aim_high is None:
        return _mid(name, bounds)
    return _middle(_side(name, bounds.aim_low, "lower aim"), _side(name, bounds.aim_high, "upper aim"))


def _middle(low: Value, high: Value) -> Value:
    result = combine(_mean, (low, high), {})
    return single(result) if isinstance(result, Missing) else result


def _mean(low: Cell, high: Cell) -> Cell:
    if isinstance(low, Amount) and isinstance(high, Amount):
        return mean((low, high))
    return low if isinstance(low, Missing) else high


_ENDS: dict[str, Callable[[str, Bounds], Value]] = {
    "low": _low,
    "least": _low,
    "high": _high,
    "most": _high,
    "mid": _mid,
    "mid_aim": _mid_aim,
}

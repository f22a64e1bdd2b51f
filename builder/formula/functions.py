"""The functions of the formula language: how many arguments each takes, and of which sort."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Sort(StrEnum):
    """What a function does with its arguments."""

    REDUCE = "reduce"
    """One value and the dimensions that it removes, or several values taken position by position."""
    PICK = "pick"
    """A value, one of its dimensions, and the labels wanted."""
    NEIGHBOUR = "neighbour"
    """A value and one of its dimensions."""
    BOUND = "bound"
    """The name of a characteristic, or of a worked-out pair."""
    STEP = "step"
    """A list of sizes and a value."""
    CURVE = "curve"
    """One value, through a function of one variable."""
    DEGREES = "degrees"
    """A plain number of degrees on a thermometer, as an absolute temperature."""


@dataclass(frozen=True, slots=True)
class Function:
    """One function: its sort, its number of arguments (`most` None: no upper end), and how it is written."""

    sort: Sort
    least: int
    most: int | None
    form: str

    @property
    def words(self) -> slice:
        """Which arguments must be words: a dimension and its labels, or the name of what has limits."""
        return _WORDS.get(self.sort, slice(0, 0))


_WORDS = {Sort.PICK: slice(1, None), Sort.NEIGHBOUR: slice(1, None), Sort.BOUND: slice(0, 1)}


FUNCTIONS = {
    "min": Function(Sort.REDUCE, 1, None, "min(bore, plane)"),
    "max": Function(Sort.REDUCE, 1, None, "max(journal, axis)"),
    "mean": Function(Sort.REDUCE, 1, None, "mean(stand_proud, point)"),
    "spread": Function(Sort.REDUCE, 1, None, "spread(journal, axis)"),
    "sum": Function(Sort.REDUCE, 1, None, "sum(weight, rod)"),
    "count": Function(Sort.REDUCE, 1, None, "count(bore > 3 * inch, cylinder)"),
    "pick": Function(Sort.PICK, 3, None, "pick(bore, axis, V)"),
    "neighbour": Function(Sort.NEIGHBOUR, 2, 2, "neighbour(stand_proud, cylinder)"),
    "low": Function(Sort.BOUND, 1, 1, "low(main.clearance)"),
    "high": Function(Sort.BOUND, 1, 1, "high(main.clearance)"),
    "mid": Function(Sort.BOUND, 1, 1, "mid(main.clearance)"),
    "mid_aim": Function(Sort.BOUND, 1, 1, "mid_aim(main.clearance)"),
    "least": Function(Sort.BOUND, 1, 1, "least(clearance)"),
    "most": Function(Sort.BOUND, 1, 1, "most(clearance)"),
    "first_at_least": Function(Sort.STEP, 2, 2, "first_at_least(bore.oversizes, needed)"),
    "nearest": Function(Sort.STEP, 2, 2, "nearest(bore.oversizes, needed)"),
    "abs": Function(Sort.CURVE, 1, 1, "abs(left - right)"),
    "sqrt": Function(Sort.CURVE, 1, 1, "sqrt(area)"),
    "exp": Function(Sort.CURVE, 1, 1, "exp(ratio)"),
    "log": Function(Sort.CURVE, 1, 1, "log(ratio)"),
    "sin": Function(Sort.CURVE, 1, 1, "sin(angle)"),
    "cos": Function(Sort.CURVE, 1, 1, "cos(angle)"),
    "asin": Function(Sort.CURVE, 1, 1, "asin(ratio)"),
    "degF": Function(Sort.DEGREES, 1, 1, "degF(68)"),
    "degC": Function(Sort.DEGREES, 1, 1, "degC(20)"),
}
"""The closed list. `log` is the natural logarithm; `degF(68)` is a temperature, `18 * Fdeg` a difference."""

REDUCERS = frozenset(name for name, function in FUNCTIONS.items() if function.sort is Sort.REDUCE)

"""What one cell holds: an exact amount with the effect of every reading behind it, or a truth.

Arithmetic is on dual numbers: beside its value an amount carries, for each reading that it was worked out
from, how much the value moves per unit of that reading (the first derivative, exact for linear formulas). At
a `min`, `max` or `abs` the branch in force counts, the first one where two are equal. Readings that were used
but have no part in the branch in force stand with effect 0, so that it is known what a value rests on.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import NamedTuple, TypeAlias

from builder.formula.grid import Missing


class Reading(NamedTuple):
    """Which reading: its name in the step, and its labels in the order of its dimensions."""

    name: str
    at: tuple[str, ...]


Effects: TypeAlias = Mapping[Reading, Fraction]
ZERO = Fraction(0)
BITS = 65536
"""Bits that a numerator or denominator may grow to; beyond, the value is no measurement any more."""


@dataclass(frozen=True, slots=True)
class Amount:
    """An exact value in base units. `approximate`: a root, logarithm or circular function lies behind it."""

    value: Fraction
    effects: Effects = field(default_factory=dict, hash=False)
    approximate: bool = False


@dataclass(frozen=True, slots=True)
class Truth:
    """The answer of a comparison, and the readings that it rests on."""

    holds: bool
    sources: frozenset[Reading] = frozenset()
    approximate: bool = False


Cell: TypeAlias = Amount | Truth | Missing


def merged(parts: Sequence[tuple[Effects, Fraction]]) -> Effects:
    """The sum of effects, each scaled: the chain rule."""
    total: dict[Reading, Fraction] = {}
    for effects, factor in parts:
        as_is = factor == 1  # what is only added or compared: nearly every formula of a sheet
        for reading, effect in effects.items():
            moved = effect if as_is else effect * factor
            total[reading] = total[reading] + moved if reading in total else moved
    return total


def scaled(amount: Amount, value: Fraction, slope: Fraction, *, approximate: bool = False) -> Amount:
    """A function of one amount: its value there and its slope there."""
    return Amount(value, merged([(amount.effects, slope)]), amount.approximate or approximate)


def add(left: Amount, right: Amount) -> Amount:
    """Left plus right."""
    effects = merged([(left.effects, Fraction(1)), (right.effects, Fraction(1))])
    return Amount(left.value + right.value, effects, left.approximate or right.approximate)


def subtract(left: Amount, right: Amount) -> Amount:
    """Left minus right."""
    effects = merged([(left.effects, Fraction(1)), (right.effects, Fraction(-1))])
    return Amount(left.value - right.value, effects, left.approximate or right.approximate)


def multiply(left: Amount, right: Amount) -> Amount:
    """Left times right."""
    effects = merged([(left.effects, right.value), (right.effects, left.value)])
    return Amount(left.value * right.value, effects, left.approximate or right.approximate)


def divide(left: Amount, right: Amount) -> Amount:
    """Left by right; the caller has seen to it that right is not zero."""
    quotient = left.value / right.value
    effects = merged([(left.effects, 1 / right.value), (right.effects, -quotient / right.value)])
    return Amount(quotient, effects, left.approximate or right.approximate)


def negate(amount: Amount) -> Amount:
    """The amount with the other sign."""
    return scaled(amount, -amount.value, Fraction(-1))


def absolute(amount: Amount) -> Amount:
    """The amount without its sign; at zero the effects are those of the amount itself."""
    return negate(amount) if amount.value < 0 else amount


def blend(amounts: Sequence[Amount], value: Fraction, weights: Mapping[int, int]) -> Amount:
    """A value that moves with the amounts at these places; the others leave their readings with effect 0."""
    parts = [(amount.effects, Fraction(weights.get(place, 0))) for place, amount in enumerate(amounts)]
    return Amount(value, merged(parts), any(amount.approximate for amount in amounts))


def _places(amounts: Sequence[Amount], value: Fraction) -> list[int]:
    """Where this value stands among the amounts."""
    return [place for place, amount in enumerate(amounts) if amount.value == value]


def smallest(amounts: Sequence[Amount]) -> Amount:
    """The least of them; the first where several are equal."""
    value = min(amount.value for amount in amounts)
    return blend(amounts, value, {_places(amounts, value)[0]: 1})


def largest(amounts: Sequence[Amount]) -> Amount:
    """The greatest of them; the first where several are equal."""
    value = max(amount.value for amount in amounts)
    return blend(amounts, value, {_places(amounts, value)[0]: 1})


def spread(amounts: Sequence[Amount]) -> Amount:
    """Greatest less least, of two different amounts even when all are equal: none is certain."""
    high = max(amount.value for amount in amounts)
    low = min(amount.value for amount in amounts)
    top = _places(amounts, high)[0]
    others = [place for place in _places(amounts, low) if place != top]
    return blend(amounts, high - low, {top: 1, others[0]: -1} if others else {})


def total(amounts: Sequence[Amount]) -> Amount:
    """Their sum."""
    value = sum((amount.value for amount in amounts), ZERO)
    return blend(amounts, value, dict.fromkeys(range(len(amounts)), 1))


def mean(amounts: Sequence[Amount]) -> Amount:
    """Their mean, exact."""
    whole, share = total(amounts), Fraction(1, len(amounts))
    return scaled(whole, whole.value * share, share)


def readings_behind(cell: Cell) -> frozenset[Reading]:
    """Every reading that a cell was worked out from, in force or not."""
    match cell:
        case Amount(effects=effects):
            return frozenset(effects)
        case Truth(sources=sources):
            return sources
        case Missing():
            return frozenset()


def too_large(value: Fraction) -> bool:
    """Whether a value has outgrown exact arithmetic."""
    return max(value.numerator.bit_length(), value.denominator.bit_length()) > BITS

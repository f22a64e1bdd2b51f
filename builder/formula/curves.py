"""Functions of one amount, and powers: their value and slope, or what is wrong, as the end of a sentence."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import TypeAlias

from builder.formula.amount import BITS, ZERO, Amount, absolute, add, scaled
from builder.formula.irrational import PI, arc_sine, cosine, exponential, logarithm, sine, square_root
from builder.units import UNITS

Curve: TypeAlias = Callable[[Amount], Amount | str]

RADIAN = 180 * UNITS["deg"].factor / PI
"""One radian in the base unit of angles."""
STEEPEST = 1000
"""How far from zero an exponent may lie."""


def _root(amount: Amount) -> Amount | str:
    """The square root; at zero, where no slope exists, its readings stand with effect 0."""
    if amount.value < 0:
        return "takes the root of a negative number"
    root, exact = square_root(amount.value)
    return scaled(amount, root, 1 / (2 * root) if root else ZERO, approximate=not exact)


def _exponential(amount: Amount) -> Amount | str:
    if abs(amount.value) > STEEPEST:
        return "grows too large to work out"
    value = exponential(amount.value)
    return scaled(amount, value, value, approximate=True)


def _logarithm(amount: Amount) -> Amount | str:
    if amount.value <= 0:
        return "takes the logarithm of a number that is not above zero"
    return scaled(amount, logarithm(amount.value), 1 / amount.value, approximate=True)


def _sine(amount: Amount) -> Amount:
    angle = amount.value / RADIAN
    return scaled(amount, sine(angle), cosine(angle) / RADIAN, approximate=True)


def _cosine(amount: Amount) -> Amount:
    angle = amount.value / RADIAN
    return scaled(amount, cosine(angle), -sine(angle) / RADIAN, approximate=True)


def _arc_sine(amount: Amount) -> Amount | str:
    """The angle whose sine is given; at a quarter turn, where no slope exists, effects are 0."""
    if abs(amount.value) > 1:
        return "asks for an angle whose sine is beyond 1"
    beside, _ = square_root(1 - amount.value * amount.value)
    slope = RADIAN / beside if beside else ZERO
    return scaled(amount, arc_sine(amount.value) * RADIAN, slope, approximate=True)


CURVES: dict[str, Curve] = {
    "abs": absolute,
    "sqrt": _root,
    "exp": _exponential,
    "log": _logarithm,
    "sin": _sine,
    "cos": _cosine,
    "asin": _arc_sine,
}


def power(base: Amount, exponent: Amount) -> Amount | str:
    """Base to an exponent: exact for whole exponents, else by way of the logarithm."""
    if abs(exponent.value) > STEEPEST:
        return "grows too large to work out"
    if base.value == 0 and exponent.value < 0:
        return "divides by zero"
    if exponent.value.denominator == 1 and not exponent.effects:
        return _whole_power(base, exponent.value.numerator)
    if base.value < 0:
        return "takes a broken power of a negative number"
    return _broken_power(base, exponent)


def _whole_power(base: Amount, exponent: int) -> Amount | str:
    size = max(base.value.numerator.bit_length(), base.value.denominator.bit_length())
    if size * abs(exponent) > BITS:
        return "grows too large to work out"
    if exponent == 0:
        return scaled(base, Fraction(1), ZERO)
    slope = exponent * base.value ** (exponent - 1) if base.value or exponent > 0 else ZERO
    return scaled(base, base.value**exponent, slope)


def _broken_power(base: Amount, exponent: Amount) -> Amount | str:
    """By way of e and the logarithm; a power of zero is zero, and no reading moves it."""
    if base.value == 0:
        value = Fraction(int(exponent.value == 0))
        return scaled(add(base, exponent), value, ZERO, approximate=True)
    height = logarithm(base.value)
    if abs(exponent.value * height) > STEEPEST:
        return "grows too large to work out"
    value = exponential(exponent.value * height)
    by_base = scaled(base, value, value * exponent.value / base.value, approximate=True)
    by_exponent = scaled(exponent, ZERO, value * height)
    return add(by_base, by_exponent)

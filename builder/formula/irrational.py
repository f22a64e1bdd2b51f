"""Roots, logarithms and circular functions by whole-number arithmetic: the same digits on every machine.

Floating-point sines differ in their last digit between a shop's browser and its command line; these do not.
Each takes and gives exact rationals; the result is right to better than 2**-120 and is called approximate,
except a square root that comes out even. Series from any book of tables: the exponential and the sines by
Taylor's series after taking out multiples of ln 2 and of a quarter turn, the logarithm of m by
2 artanh((m-1)/(m+1)), the arc by halving it and the arctangent's series. The browser does the same, step by
step, in `irrational.js`.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from math import isqrt

PI = Fraction(3141592653589793238462643383279502884197169399375105820974944592307816406286, 10**75)
"""Pi to 75 decimals (OEIS A000796), one fixed rational for every formula, not called approximate."""

_DEPTH = 192  # bits after the point while a series runs
_KEPT = 128  # bits after the point of a result
_ONE = 1 << _DEPTH


def _fixed(value: Fraction) -> int:
    return (value.numerator << _DEPTH) // value.denominator


def _settled(fixed: int) -> Fraction:
    """Round the running digits to the kept ones, half upwards."""
    spare = _DEPTH - _KEPT
    return Fraction((fixed + (1 << (spare - 1))) >> spare, 1 << _KEPT)


def _series(first: int, step: Callable[[int, int], int], share: Callable[[int, int], int]) -> int:
    """Sum a series: `step` makes the next term from the one before, `share` what of it counts."""
    total, term, index = 0, first, 0
    while term not in (0, -1):  # shifting a negative term ends at -1, never at 0
        total += share(term, index)
        index += 1
        term = step(term, index)
    return total


def _odd_powers(value: int, sign: int) -> int:
    """The series v + sign·v³/3 + v⁵/5 + …: artanh for sign 1, arctan for sign -1."""
    square = sign * value * value >> _DEPTH

    def step(term: int, _: int) -> int:
        return term * square >> _DEPTH

    return _series(value, step, lambda term, index: term // (2 * index + 1))


_LN2 = 2 * _odd_powers(_ONE // 3, 1)


def square_root(value: Fraction) -> tuple[Fraction, bool]:
    """The root of a value that is not negative, and whether it is exact."""
    top, bottom = isqrt(value.numerator), isqrt(value.denominator)
    if top * top == value.numerator and bottom * bottom == value.denominator:
        return Fraction(top, bottom), True
    root = isqrt(value.numerator * value.denominator << 2 * _KEPT)
    return Fraction(root, value.denominator << _KEPT), False


def exponential(value: Fraction) -> Fraction:
    """The power of e to a value; the caller keeps it within a thousand of zero."""
    fixed = _fixed(value)
    doublings = (fixed + _LN2 // 2) // _LN2
    rest = fixed - doublings * _LN2
    mantissa = _series(_ONE, lambda term, index: (term * rest >> _DEPTH) // index, lambda term, _: term)
    return _settled(mantissa) * Fraction(2) ** doublings


def logarithm(value: Fraction) -> Fraction:
    """The natural logarithm of a value above zero."""
    doublings = value.numerator.bit_length() - value.denominator.bit_length()
    mantissa = _fixed(value / Fraction(2) ** doublings)
    ratio = ((mantissa - _ONE) << _DEPTH) // (mantissa + _ONE)
    return _settled(2 * _odd_powers(ratio, 1) + doublings * _LN2)


def sine(angle: Fraction) -> Fraction:
    """The sine of an angle in radians."""
    return _circular(angle, 0)


def cosine(angle: Fraction) -> Fraction:
    """The cosine of an angle in radians."""
    return _circular(angle, 1)


def _circular(angle: Fraction, ahead: int) -> Fraction:
    """The sine of an angle that lies `ahead` quarter turns further on."""
    quarters = (2 * angle / PI + Fraction(1, 2)).__floor__()
    rest = _fixed(angle - quarters * PI / 2)
    square = -(rest * rest >> _DEPTH)
    turn = (quarters + ahead) % 4
    start, shift = (_ONE, 0) if turn % 2 else (rest, 1)

    def step(term: int, index: int) -> int:
        return (term * square >> _DEPTH) // ((2 * index - 1 + shift) * (2 * index + shift))

    wave = _series(start, step, lambda term, _: term)
    return _settled(-wave if turn > 1 else wave)


def arc_sine(ratio: Fraction) -> Fraction:
    """The angle in radians, within a quarter turn of zero, whose sine is a ratio between -1 and 1."""
    sine_now = _fixed(ratio)
    beside = isqrt(max(_ONE * _ONE - sine_now * sine_now, 0))
    tangent = (sine_now << _DEPTH) // (_ONE + beside)  # of half the angle
    for _ in range(2):
        slant = isqrt(_ONE * _ONE + tangent * tangent)
        tangent = (tangent << _DEPTH) // (_ONE + slant)  # and of half of that
    return _settled(8 * _odd_powers(tangent, -1))

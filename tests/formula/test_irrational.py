"""Roots, logarithms and circular functions by whole numbers, held against the standard library."""

from __future__ import annotations

import math
from decimal import Decimal, localcontext
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.formula.irrational import PI, arc_sine, cosine, exponential, logarithm, sine, square_root

CLOSE = Fraction(1, 2**120)
values = st.fractions(-50, 50, max_denominator=10**9)
above_zero = st.fractions(Fraction(1, 10**9), 10**9, max_denominator=10**9)


def _decimal(value: Fraction) -> Decimal:
    return Decimal(value.numerator) / Decimal(value.denominator)


def _off(ours: Fraction, theirs: Decimal) -> Decimal:
    return abs(_decimal(ours) / theirs - 1) if theirs else abs(_decimal(ours))


def test_pi_has_its_published_decimals() -> None:
    """OEIS A000796 prints 3.1415926535897932384626433832795028841971693993751; Machin's sum agrees."""
    assert str(_fifty_digits(PI)) == "3.1415926535897932384626433832795028841971693993751"

    machin = 16 * _arctangent(Fraction(1, 5)) - 4 * _arctangent(Fraction(1, 239))
    assert abs(machin - PI) < Fraction(1, 10**75)


def _fifty_digits(value: Fraction) -> Decimal:
    with localcontext(prec=50):
        return _decimal(value)


def _arctangent(value: Fraction) -> Fraction:
    terms = ((-1) ** index * value ** (2 * index + 1) / (2 * index + 1) for index in range(60))
    return sum(terms, Fraction(0))


@given(values)
def test_exponential_agrees_with_decimal(value: Fraction) -> None:
    """To 120 bits of what the standard library's decimal arithmetic gives."""
    with localcontext(prec=60):
        assert _off(exponential(value), _decimal(value).exp()) < _decimal(CLOSE)


@given(above_zero)
def test_logarithm_agrees_with_decimal(value: Fraction) -> None:
    """The same for the natural logarithm, in absolute terms near one."""
    with localcontext(prec=60):
        assert abs(_decimal(logarithm(value)) - _decimal(value).ln()) < _decimal(CLOSE)


@given(above_zero)
def test_root_squared_is_the_value(value: Fraction) -> None:
    """The square of the root is the value, exactly where the root says that it is exact."""
    root, exact = square_root(value)

    assert root * root == value if exact else abs(root * root / value - 1) < CLOSE


@given(above_zero)
def test_root_of_a_square_is_exact(value: Fraction) -> None:
    """A square of a rational gives that rational back."""
    assert square_root(value * value) == (value, True)


@given(values)
def test_sine_and_cosine_agree_with_floats_and_with_each_other(angle: Fraction) -> None:
    """To the last bits of a float, and their squares add up to one."""
    assert float(sine(angle)) == pytest.approx(math.sin(angle), abs=1e-13)
    assert float(cosine(angle)) == pytest.approx(math.cos(angle), abs=1e-13)
    assert abs(sine(angle) ** 2 + cosine(angle) ** 2 - 1) < CLOSE


@given(st.fractions(-1, 1, max_denominator=10**6))
def test_arc_sine_undoes_the_sine(ratio: Fraction) -> None:
    """The sine of the arc is the ratio, and a quarter turn is where it should be."""
    assert abs(sine(arc_sine(ratio)) - ratio) < CLOSE
    assert float(arc_sine(ratio)) == pytest.approx(math.asin(ratio), abs=1e-12)


def test_known_angles() -> None:
    """Quarter turns come out even; asin(1) is half of pi."""
    assert (sine(PI), cosine(PI / 2), sine(PI / 2), cosine(PI), sine(Fraction(0))) == (0, 0, 1, -1, 0)
    assert abs(arc_sine(Fraction(1)) - PI / 2) < CLOSE
    assert (logarithm(Fraction(1)), exponential(Fraction(0))) == (0, 1)

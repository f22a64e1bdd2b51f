"""Numbers as a shop writes them, and the ways in which they go wrong."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.diagnostics import Fault
from builder.number import Number, places_of, read_number, show_number


@pytest.mark.parametrize(
    ("text", "value", "decimals"),
    [
        ("0.0015", "3/2000", 4),
        (".0015", "3/2000", 4),
        ("0.0020", "1/500", 4),
        ("-2", "-2", 0),
        ("−0.002", "-1/500", 3),
        ("+ .000", "0", 3),
        ("12000", "12000", 0),
        ("0", "0", 0),
        ("3/8", "3/8", None),
        ("1 3/4", "7/4", None),
        ("-1 3/4", "-7/4", None),
        ("2½", "5/2", None),
        ("2 ½", "5/2", None),
        ("+2½", "5/2", None),
        ("⅞", "7/8", None),
        ("11/8", "11/8", None),
    ],
)
def test_number_is_read_exactly(text: str, value: str, decimals: int | None) -> None:
    """Decimals, fractions and signs come out exact; the digits shown are remembered."""
    number = read_number(text)

    assert (number.value, number.decimals) == (Fraction(value), decimals)


def test_number_keeps_its_text() -> None:
    """The text stays as typed, so that trailing zeros are not lost."""
    assert read_number(" 0.0020 ") == Number(Fraction(1, 500), "0.0020", 4)


@pytest.mark.parametrize(
    ("text", "message", "hint"),
    [
        ("", "a number is missing", "write digits, for example `0.0015`"),
        ("2,4272", "`2,4272` has a comma for a decimal point", "write `2.4272`"),
        (
            "1,500",
            "`1,500` has a comma, which may stand for a point or for thousands",
            "write `1.500` or `1500`",
        ),
        ("12,000.5", "`12,000.5` has a comma between thousands", "write `12000.5`"),
        ("1,250,000", "`1,250,000` has commas between thousands", "write the digits without commas"),
        ("Q.00", "`Q.00` has a letter among its digits", "write `0.00`"),
        ("O.002", "`O.002` has a letter among its digits", "write `0.002`"),
        ("1.O5", "`1.O5` has a letter among its digits", "write `1.05`"),
        ("l.25", "`l.25` has a letter among its digits", "write `1.25`"),
        ("005", "`005` has lost its decimal point", "write `0.005`, or `5` if that is meant"),
        ("00.5", "`00.5` begins with needless noughts", "write `0.5`"),
        ("02.5", "`02.5` begins with a needless nought", "write `2.5`"),
        ("0.00.15", "`0.00.15` has two decimal points", "write one point"),
        ("1-3/4", "`1-3/4` joins the whole number and the fraction by a dash", "write `1 3/4`"),
        ("2.", "`2.` ends in a point", "write `2` or `2.0`"),
        ("3/0", "`3/0` divides by nought", "write a fraction such as `3/4`"),
        ("1 10/8", "`1 10/8` has a fraction of one or more", "write it as one fraction or a decimal"),
        ("1.5e-3", "`1.5e-3` is written in powers of ten", "write all the digits, for example `0.0015`"),
        ("1234567890", "`1234567890` has more digits than any gauge reads", "write at most 9 digits"),
        ("two", "`two` is not a number", "write digits, for example `0.0015`, `.0015` or `1 3/4`"),
        ("1 2", "`1 2` is not a number", "write digits, for example `0.0015`, `.0015` or `1 3/4`"),
    ],
)
def test_wrong_number_is_refused_with_the_right_form(text: str, message: str, hint: str) -> None:
    """What is wrong is named, and what to write instead."""
    with pytest.raises(Fault) as caught:
        read_number(text)

    assert (caught.value.message, caught.value.hint) == (message, hint)


@pytest.mark.parametrize(
    ("value", "decimals", "shown"),
    [
        ("1/500", 4, "0.0020"),
        ("1/8", 2, "0.12"),  # half to even, as ASTM E29 and NIST ask
        ("3/8", 2, "0.38"),
        ("-1/500", 3, "-0.002"),
        ("-1/8", 2, "-0.12"),
        ("-1/100000", 3, "0.000"),
        ("12345/10", 0, "1234"),
        ("99999/10000", 2, "10.00"),
    ],
)
def test_number_is_shown_half_to_even(value: str, decimals: int, shown: str) -> None:
    """Rounded half to even with its trailing zeros; nothing is shown as minus nought."""
    assert show_number(Fraction(value), decimals) == shown


@pytest.mark.parametrize(("value", "places"), [("5/2", 1), ("3", 0), ("2624/1000", 3), ("1/3", 9)])
def test_places_show_a_value_in_full(value: str, places: int) -> None:
    """As many decimals as the value needs, nine where it never ends."""
    assert places_of(Fraction(value)) == places


@given(st.integers(-(10**9) + 1, 10**9 - 1), st.integers(0, 8))
def test_shown_number_reads_back(digits: int, decimals: int) -> None:
    """A value shown with all its decimals is read as the same value with the same decimals."""
    value = Fraction(digits, 10**decimals)

    number = read_number(show_number(value, decimals))

    assert (number.value, number.decimals) == (value, decimals)


@given(st.text(alphabet="0123456789.,/ -+½OQle", max_size=12) | st.text(max_size=12))
def test_any_text_is_read_or_refused(text: str) -> None:
    """No text makes the reader fail in another way than by a Fault with a hint."""
    try:
        outcome = str(read_number(text).value)
    except Fault as fault:
        outcome = fault.hint

    assert outcome

"""Quantities as books print them and readings as builders type them."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.diagnostics import Fault
from builder.quantity import read_quantity, read_reading, show
from builder.units import UNITS

INCH = UNITS["in"]


@pytest.mark.parametrize(
    ("text", "value", "symbol", "base"),
    [
        ("0.0001 in", "0.0001", "in", "0.00000254"),
        ("1 3/4 in", "1.75", "in", "0.04445"),
        ("2½ thou", "2.5", "thou", "0.0000635"),
        ("3 tenths", "3", "tenth", "0.00000762"),
        ("68 degF", "68", "degF", "293.15"),
        ("18 Fdeg", "18", "Fdeg", "10"),
        ("2.5 %", "2.5", "percent", "0.025"),
        ("8 count", "8", "count", "8"),
        ("10 min", "10", "min", "600"),
        ("221.9 cu in", "221.9", "cu in", "0.0036362895016"),
    ],
)
def test_quantity_is_read_with_its_unit(text: str, value: str, symbol: str, base: str) -> None:
    """The value stands in its unit and, exactly, in base units."""
    quantity = read_quantity(text)

    assert (quantity.value, quantity.unit.symbol, quantity.base) == (Fraction(value), symbol, Fraction(base))


def test_quantity_shows_the_number_as_typed() -> None:
    """Trailing zeros and fractions stay."""
    assert [str(read_quantity(text)) for text in ("0.0020 inches", "1 3/4 in")] == ["0.0020 in", "1 3/4 in"]


@pytest.mark.parametrize(
    ("text", "message", "hint", "wrong"),
    [
        ("", "a value is missing", "write a number and a unit, for example `0.0015 in`", ""),
        ("0.0015", "`0.0015` has no unit", "write the unit too, for example `0.0015 in`", "0.0015"),
        ("0.0015 inn", "`inn` is not a unit of the list", "write `in`", "inn"),
        ("2,4272 in", "`2,4272` has a comma for a decimal point", "write `2.4272`", "2,4272"),
        ("21OC", "`21OC` has a letter for the degree sign", "write `21 degC`", "21OC"),
        ("a bit", "`a bit` is not one number with a unit", "write it like `0.0015 in`", "a bit"),
    ],
)
def test_wrong_quantity_is_refused_at_its_place(text: str, message: str, hint: str, wrong: str) -> None:
    """The fault names what is wrong, where, and the right form."""
    with pytest.raises(Fault) as caught:
        read_quantity(text)

    fault = caught.value
    assert (fault.message, fault.hint, text[fault.start : fault.end]) == (message, hint, wrong)


@pytest.mark.parametrize(
    ("typed", "inches"),
    [
        ("2.4998", "2.4998"),
        ("2.4998 in", "2.4998"),
        (".0015", "0.0015"),
        ("15 tenths", "0.0015"),
        ("1 1/2 thou", "0.0015"),
        ("2 thou", "0.002"),
        ("-0.0005", "-0.0005"),
        ("25.4 mm", "1"),
        ("1/64", "0.015625"),
    ],
)
def test_reading_is_in_the_unit_typed_or_that_of_its_box(typed: str, inches: str) -> None:
    """A bare number takes the unit of the box; thou, tenths and millimetres are read as such."""
    assert read_reading(typed, INCH).base == Fraction(inches) * INCH.factor


@pytest.mark.parametrize(
    ("typed", "size"),
    [
        ("+2½", "2.62425"),
        ("-1", "2.6239"),
        ("−1½", "2.62385"),
        ("+2.5", "2.62425"),
        ("+0.0003", "2.6243"),
        ("+3 thou", "2.627"),
        ("-0.0254 mm", "2.623"),
        ("+0", "2.624"),
        ("2.6243", "2.6243"),
    ],
)
def test_signed_entry_counts_from_the_set_size(typed: str, size: str) -> None:
    """Builders write +2½ for 2½ tenths over the ring the gauge was set to (common practice, no source)."""
    reading = read_reading(typed, INCH, read_quantity("2.6240 in"))

    assert (reading.value, reading.unit.symbol) == (Fraction(size), "in")


def test_set_size_entry_is_shown_in_full() -> None:
    """The true size is shown with the digits that it needs, and no fewer than the setting's."""
    setting = read_quantity("2.6240 in")

    assert [str(read_reading(typed, INCH, setting)) for typed in ("+2½", "-10")] == [
        "2.62425 in",
        "2.6230 in",
    ]


def test_metric_setting_takes_an_entry_with_its_unit() -> None:
    """On a gauge set in millimetres an entry says what it counts."""
    setting = read_quantity("63.500 mm")

    assert str(read_reading("+0.005 mm", UNITS["mm"], setting)) == "63.505 mm"
    with pytest.raises(Fault, match="`\\+2½` does not say what it counts"):
        read_reading("+2½", UNITS["mm"], setting)


@pytest.mark.parametrize(
    ("typed", "box", "degrees"),
    [
        ("5 BTDC", "", "-5"),
        ("5 deg BTDC", "BTDC", "-5"),
        ("5", "BTDC", "-5"),
        ("5", "ATDC", "5"),
        ("2 ATDC", "BTDC", "2"),
        ("45½ ABDC", "BBDC", "45.5"),
        ("12", "", "12"),
    ],
)
def test_angle_before_dead_centre_is_negative(typed: str, box: str, degrees: str) -> None:
    """A crank angle is signed about its dead centre, whichever side is typed or printed."""
    assert read_reading(typed, UNITS["deg"], datum=box).value == Fraction(degrees)


@pytest.mark.parametrize(
    ("typed", "setting", "message", "hint"),
    [
        ("2,4272", "", "`2,4272` has a comma for a decimal point", "write `2.4272`"),
        ("+2½", "", "`+2½` counts from a set size, but the gauge has no setting",
         "write the size in full, or enter what the gauge was set to"),
        ("+.02", "2.6240 in", "`+.02` may be tenths or inches", "write `+.02 tenths` or `+.02 in`"),
        ("40 psi", "", "`psi` is a unit of pressure but length is read here", "write the reading in `in`"),
        ("2.4998 inn", "", "`inn` is not a unit of the list", "write `in`"),
        ("5 BTDC", "", "`BTDC` tells an angle but length is read here", "write the reading in `in`"),
        ("", "", "a number is missing", "write digits, for example `0.0015`"),
        ("ok", "", "`ok` is not a number", "write digits, for example `0.0015`, `.0015` or `1 3/4`"),
    ],
)  # fmt: skip
def test_wrong_reading_is_refused(typed: str, setting: str, message: str, hint: str) -> None:
    """What cannot be read at the bench is refused with the right form."""
    with pytest.raises(Fault) as caught:
        read_reading(typed, INCH, read_quantity(setting) if setting else None)

    assert (caught.value.message, caught.value.hint) == (message, hint)


def test_angle_is_told_from_the_dead_centre_of_its_box() -> None:
    """An angle after bottom dead centre is no answer to one before top dead centre."""
    with pytest.raises(Fault, match="`ABDC` is not told from TDC"):
        read_reading("5 ABDC", UNITS["deg"], datum="BTDC")


@given(st.integers(-(10**8), 10**8), st.integers(0, 6), st.sampled_from(sorted(UNITS)))
def test_shown_value_reads_back(digits: int, decimals: int, symbol: str) -> None:
    """What is shown is read as the same value in the same unit, in every unit of the list."""
    value = Fraction(digits, 10**decimals)

    quantity = read_quantity(show(value, UNITS[symbol], decimals))

    assert (quantity.value, quantity.unit, quantity.number.decimals) == (value, UNITS[symbol], decimals)


@given(st.text(alphabet="0123456789.,/ -+½inmthouBTDC%", max_size=14) | st.text(max_size=14))
def test_any_typed_text_is_read_or_refused(typed: str) -> None:
    """No text makes the reader fail in another way than by a Fault with a hint."""
    try:
        outcome = str(read_reading(typed, INCH, read_quantity("2.5 in")))
    except Fault as fault:
        outcome = fault.hint

    assert outcome

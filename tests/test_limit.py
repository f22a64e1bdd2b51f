"""Limits in the trade's notation: every form, its bounds, and the clearances that published stacks give."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from builder.diagnostics import Fault
from builder.limit import Form, Limit, read_limit
from builder.number import show_number
from builder.units import NO_UNIT, UNITS

Meaning = tuple[str, str, str, str, str, int | None, str]


def stated(limit: Limit) -> Meaning:
    """A limit in short: form, unit, low, high, nominal, decimals, datum."""
    low, high, nominal = ("" if end is None else str(end) for end in (limit.low, limit.high, limit.nominal))
    return (str(limit.form), limit.unit.symbol, low, high, nominal, limit.decimals, limit.datum)


@pytest.mark.parametrize(
    ("text", "meaning"),
    [
        ("0.0015 to 0.0025 in", ("range", "in", "3/2000", "1/400", "", 4, "")),
        (".0015 to .0025 in", ("range", "in", "3/2000", "1/400", "", 4, "")),
        ("0.001 to 0.0025 in", ("range", "in", "1/1000", "1/400", "", 4, "")),
        ("0 to 0.0003 in", ("range", "in", "0", "3/10000", "", 4, "")),
        ("-0.002 to 0.004 in", ("range", "in", "-1/500", "1/250", "", 3, "")),
        ("−0.002 to +0.004 in", ("range", "in", "-1/500", "1/250", "", 3, "")),
        ("-0.004 to -0.002 in", ("range", "in", "-1/250", "-1/500", "", 3, "")),
        ("1 3/4 to 2 in", ("range", "in", "7/4", "2", "", None, "")),
        ("2½ to 3 thou", ("range", "thou", "5/2", "3", "", None, "")),
        ("16 to 20 microinch", ("range", "microinch", "16", "20", "", 0, "")),
        ("6.0 to 6.2 ratio", ("range", "ratio", "6", "31/5", "", 1, "")),
        ("70 to 75 lb-ft", ("range", "lb-ft", "70", "75", "", 0, "")),
        ("150 to 170 °F", ("range", "degF", "150", "170", "", 0, "")),
        ("0.0015 in to 0.0025 in", ("range", "in", "3/2000", "1/400", "", 4, "")),
        ("1.8750 +0.0000 -0.0005 in", ("tolerance", "in", "3749/2000", "15/8", "15/8", 4, "")),
        ("2.125 +.000 -.020 in", ("tolerance", "in", "421/200", "17/8", "17/8", 3, "")),
        ("2.125 + .000/− .020 in", ("tolerance", "in", "421/200", "17/8", "17/8", 3, "")),
        ("2.125 -0.020 +0.000 in", ("tolerance", "in", "421/200", "17/8", "17/8", 3, "")),
        ("2.500 ± 0.001 in", ("tolerance", "in", "2499/1000", "2501/1000", "5/2", 3, "")),
        ("2.500 +/- 0.001 in", ("tolerance", "in", "2499/1000", "2501/1000", "5/2", 3, "")),
        ("2.500 in ± 0.001 in", ("tolerance", "in", "2499/1000", "2501/1000", "5/2", 3, "")),
        ("9.00 ± .0025 in", ("tolerance", "in", "3599/400", "3601/400", "9", 4, "")),
        ("6.00 ± .15 ratio", ("tolerance", "ratio", "117/20", "123/20", "6", 2, "")),
        ("0.004 in max", ("max", "in", "", "1/250", "", 3, "")),
        ("12 % max", ("max", "percent", "", "12", "", 0, "")),
        ("30 min max", ("max", "min", "", "30", "", 0, "")),
        ("60 lbf min", ("min", "lbf", "60", "", "", 0, "")),
        ("30 min min", ("min", "min", "30", "", "", 0, "")),
        ("5 US gal/min min", ("min", "US gal/min", "5", "", "", 0, "")),
        ("0.012 in exact", ("exact", "in", "3/250", "3/250", "3/250", 3, "")),
        ("8 count", ("exact", "count", "8", "8", "8", 0, "")),
        ("15 to 75 s", ("range", "s", "15", "75", "", 0, "")),
        ("30 min", ("nominal", "min", "", "", "30", 0, "")),
        ("1 3/4 in", ("nominal", "in", "", "", "7/4", None, "")),
        ("1/64 in", ("nominal", "in", "", "", "1/64", None, "")),
        ("2 thou", ("nominal", "thou", "", "", "2", 0, "")),
        ("3 tenths", ("nominal", "tenth", "", "", "3", 0, "")),
        ("221.9 cu in", ("nominal", "cu in", "", "", "2219/10", 1, "")),
        ("12 ± 2 deg BTDC", ("tolerance", "deg", "-14", "-10", "-12", 0, "BTDC")),
        ("45 ± 2½ deg ABDC", ("tolerance", "deg", "85/2", "95/2", "45", None, "ABDC")),
        ("12 to 16 deg BTDC", ("range", "deg", "-16", "-12", "", 0, "BTDC")),
        ("0 ± 2 deg TDC", ("tolerance", "deg", "-2", "2", "0", 0, "TDC")),
        ("10 deg BTDC max", ("max", "deg", "-10", "", "", 0, "BTDC")),
        ("10 deg ATDC max", ("max", "deg", "", "10", "", 0, "ATDC")),
        ("3 deg BTDC exact", ("exact", "deg", "-3", "-3", "-3", 0, "BTDC")),
        ("5 deg BTDC to 2 deg ATDC", ("range", "deg", "-5", "2", "", 0, "TDC")),
        ("50 deg BBDC to 40 deg BBDC", ("range", "deg", "-50", "-40", "", 0, "BBDC")),
        ("same as new", ("same_as_new", "", "", "", "", None, "")),
        ("fit  only", ("fit_only", "", "", "", "", None, "")),
    ],
)
def test_limit_means_what_the_trade_writes(text: str, meaning: Meaning) -> None:
    """Form, unit, exact bounds, bare value, decimals shown and datum, as typed."""
    assert stated(read_limit(text)) == meaning


@pytest.mark.parametrize(
    ("text", "second", "meaning"),
    [
        (
            "7.4915 to 7.4935 in (190.284 to 190.335 mm)",
            "190.284 to 190.335 mm",
            ("range", "mm", "47571/250", "38067/200", "", 3, ""),
        ),
        ("0.004 in max (0.10 mm max)", "0.10 mm max", ("max", "mm", "", "1/10", "", 2, "")),
        ("0.004 in max (0.10 mm)", "0.10 mm max", ("max", "mm", "", "1/10", "", 2, "")),
        ("0.004 in (0.10 mm) max", "0.10 mm max", ("max", "mm", "", "1/10", "", 2, "")),
        ("60 lbf (267 N) min", "267 N min", ("min", "N", "267", "", "", 0, "")),
        (
            "2.500 ± 0.001 in (63.50 ± 0.03 mm)",
            "63.50 ± 0.03 mm",
            ("tolerance", "mm", "6347/100", "6353/100", "127/2", 2, ""),
        ),
        ("1.750 in (44.45 mm)", "44.45 mm", ("nominal", "mm", "", "", "889/20", 2, "")),
        ("70 degF (21 degC) exact", "21 degC exact", ("exact", "degC", "21", "21", "21", 0, "")),
    ],
)
def test_second_unit_is_kept_beside_the_first(text: str, second: str, meaning: Meaning) -> None:
    """Where a book prints both units the second is a limit too; a word outside the brackets goes for both."""
    limit = read_limit(text)

    assert limit.text == text
    assert limit.second is not None
    assert (limit.second.text, stated(limit.second)) == (second, meaning)


def test_worded_limit_has_no_unit_and_no_bounds() -> None:
    """`same as new` and `fit only` hold no number."""
    limit = read_limit("same as new")

    assert (limit.unit, limit.bounded, limit.width_base) == (NO_UNIT, False, None)


def test_bounds_stand_in_base_units_too() -> None:
    """Temperatures with their offset, widths without."""
    limit = read_limit("50 to 68 degF")

    assert (limit.low_base, limit.high_base) == (Fraction("283.15"), Fraction("293.15"))
    assert limit.width_base == 10


@pytest.mark.parametrize(
    ("text", "inside", "outside"),
    [
        ("0.0015 to 0.0025 in", ("0.0015", "0.0020", "0.0025"), ("0.00149999", "0.00250001")),
        ("0.004 in max", ("0.004", "-1"), ("0.0040001",)),
        ("60 in min", ("60", "1000"), ("59.9999",)),
        ("0.012 in exact", ("0.012",), ("0.0121", "0.0119")),
        ("0.012 in", (), ("0.012",)),
        ("fit only", (), ("0",)),
    ],
)
def test_equality_is_inside(text: str, inside: tuple[str, ...], outside: tuple[str, ...]) -> None:
    """A value on the limit is within it; a limit that bounds nothing admits nothing."""
    limit, inch = read_limit(text), UNITS["in"]

    assert [value for value in inside if not limit.admits(inch.to_base(Fraction(value)))] == []
    assert [value for value in outside if limit.admits(inch.to_base(Fraction(value)))] == []


def clearance(hole: str, shaft: str) -> tuple[str, str]:
    """Least and greatest clearance of two fits, in the hole's unit, with four decimals."""
    bore, pin = read_limit(hole), read_limit(shaft)
    least = (bore.low or 0) - (pin.high or 0)
    most = (bore.high or 0) - (pin.low or 0)
    return show_number(Fraction(least), 4), show_number(Fraction(most), 4)


@pytest.mark.parametrize(
    ("hole", "shaft", "printed"),
    [
        ("5.7810 to 5.7830 in", "5.7780 to 5.7800 in", ("0.0010", "0.0050")),
        ("5.8740 to 5.8760 in", "5.8710 to 5.8730 in", ("0.0010", "0.0050")),
    ],
)
def test_liner_stack_gives_the_printed_clearance(hole: str, shaft: str, printed: tuple[str, str]) -> None:
    """TM 5-6115-400-35, Table 1: liner in block, lower and upper fit, as the manual prints it."""
    assert clearance(hole, shaft) == printed


def test_liner_protrusion_is_tighter_than_its_stack() -> None:
    """TM 5-6115-400-35, Table 1: the stack gives 0.0010 to 0.0050, 0.0020 to 0.0050 is required."""
    stack = clearance("0.4630 to 0.4650 in", "0.4600 to 0.4620 in")
    required = read_limit("0.0020 to 0.0050 in")

    assert stack == ("0.0010", "0.0050")
    assert (required.low, required.high) == (Fraction("0.0020"), Fraction(stack[1]))


def test_bearing_bore_follows_from_housing_and_wall() -> None:
    """TM 5-6115-400-35, Table 1: rod bore and shell wall give 3.37568 to 3.37710 in."""
    bore, wall = read_limit("3.6246 to 3.6250 in"), read_limit("0.12395 to 0.12446 in")
    assert bore.low is not None
    assert bore.high is not None
    assert wall.low is not None
    assert wall.high is not None

    assert (bore.low - 2 * wall.high, bore.high - 2 * wall.low) == (Fraction("3.37568"), Fraction("3.37710"))


DECIMALS = st.integers(0, 5)


@given(st.integers(-(10**7), 10**7), st.integers(0, 10**6), DECIMALS, st.sampled_from(sorted(UNITS)))
def test_range_shown_reads_back(low: int, width: int, decimals: int, symbol: str) -> None:
    """A range written from its bounds is read as the same bounds."""
    ends = Fraction(low, 10**decimals), Fraction(low + width, 10**decimals)

    limit = read_limit(f"{show_number(ends[0], decimals)} to {show_number(ends[1], decimals)} {symbol}")

    assert (limit.low, limit.high, limit.unit, limit.decimals) == (*ends, UNITS[symbol], decimals)


USUAL = (
    "{a} to {b} in", "{a} in max", "{a} in min", "{a} in exact", "{a} in", "{a} ± {b} in", "{a} +{b} -{a} in",
    "{a} to {b} in ({a} to {b} mm)", "{a} in max ({b} mm max)", "{a} cu in max", "{a} to {b} N·m",
)  # fmt: skip


@given(st.sampled_from(USUAL), st.integers(1, 10**6), st.integers(0, 10**6), DECIMALS)
def test_quick_reading_and_full_grammar_agree(form: str, first: int, more: int, decimals: int) -> None:
    """Doubled blanks send a text through the whole grammar; it means what the quick pattern made of it."""
    assume(more > 0 or "±" not in form)
    ends = (show_number(Fraction(end, 10**decimals), decimals) for end in (first, first + more))
    text = form.format(**dict(zip("ab", ends, strict=True)))

    quick, full = read_limit(text), read_limit(text.replace(" ", "  ", 1))

    assert replace(full, text=quick.text) == quick


PIECES = st.lists(
    st.sampled_from(
        [
            *"0123456789.,-+±/()½ ",
            " to ",
            "in",
            " mm",
            " max",
            " min",
            " exact",
            "deg",
            " BTDC",
            "%",
            "per",
            "O",
        ]
    ),
    max_size=14,
).map("".join)


@given(PIECES | st.text(max_size=30))
def test_any_text_is_read_or_refused(text: str) -> None:
    """No text makes the reader fail in another way than by a Fault with a hint, inside the text."""
    try:
        outcome = read_limit(text).text == text
    except Fault as fault:
        end = len(text) if fault.end is None else fault.end
        outcome = bool(fault.message and fault.hint) and 0 <= fault.start <= end <= len(text)

    assert outcome


def test_form_compares_with_its_word() -> None:
    """A form is its word."""
    assert read_limit("0.004 in max").form == Form.MAX == "max"

"""Inch beside metric: published pairs agree, published misprints do not, and no conversion widens a limit."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from builder.conversion import FINISH_GRADES, LOST_DIGITS, Agreement, agree, justified_places, other_system
from builder.limit import Limit, read_limit
from builder.number import show_number
from builder.units import UNITS, partner


def agreement(text: str) -> Agreement:
    """How the second unit of a limit agrees with the first."""
    limit = read_limit(text)
    assert limit.second is not None
    return agree(limit, limit.second)


@pytest.mark.parametrize(
    "text",
    [
        "0.0016 to 0.0043 in (0.041 to 0.109 mm)",  # TM 9-2815-260-24, p. 5-65, oil clearance
        "7.4915 to 7.4935 in (190.284 to 190.335 mm)",
        "0.6250 in (15.875 mm)",
        "12.000 in (304.80 mm)",
        "4.500 in (11.430 cm)",
        "0.006 in (0.15 mm)",  # TM 10-4320-315-24, as it should be
        "3.937 in (100 mm)",  # TM 10-4320-315-24, as it should be
        "30 N·m (22.13 lb-ft)",  # TM 10-4320-315-24, as it should be
        "70 degF (21 degC)",  # TM 9-6115-604-34, table 1-4, as it should be
        "0.0020 in max (0.05 mm)",
        "70 to 75 lb-ft (95 to 102 N·m)",
        "60 lbf min (267 N)",
        "2.500 ± 0.001 in (63.50 ± 0.03 mm)",
        "266.0 cu in (4359 cc)",
        "1000 psi (6.9 MPa)",
        "1/64 in (0.4 mm)",
        "1 3/4 in (44.45 mm)",
        "22.5 lb-ft (31 N·m)",
        "0.35 oz-in max (252 g-mm)",
        "0.100 mm max (0.0039 in)",
    ],
)
def test_true_pair_agrees(text: str) -> None:
    """One number is the other, rounded as a book rounds."""
    assert agreement(text) == Agreement.EXACT


@pytest.mark.parametrize(
    "text",
    [
        "0.010 in (2.54 mm)",  # TM 9-6115-604-34, table 1-4 (web transcription): ten times out
        "0.6250 in (18.875 mm)",  # the same table: is 15.875
        "700 degF (21 degC)",  # the same table: 70 °F
        "11.998 to 12.050 in (304.75 to 304.80 mm)",  # TM 5-6115-593-34, table 1-2: is 12.000
        "4.500 in (11.4 cm)",  # TM 9-2815-225-34&P, appendix F: digits lost, is 11.430
        "0.005 in (0.15 mm)",  # TM 10-4320-315-24, tables 3-3 and 3-4: is 0.006
        "3.93 in (100 mm)",  # the same tables: is 3.937
        "22.14 lb-ft (30 N·m)",  # the same tables: is 22.127, a factor of 0.738 was used
        "30 N·m (22.14 lb-ft)",
        "0.0015 to 0.0025 in (0.038 to 0.046 mm)",
        "0.500 in max (12.9 mm)",
    ],
)
def test_published_misprint_disagrees(text: str) -> None:
    """Ten times out, a wrong digit, a lost digit, a wrong factor: each is caught."""
    assert agreement(text) == Agreement.DISAGREE


@pytest.mark.parametrize(
    "text",
    [
        "0.0016 in (0.042 mm)",  # the roundings overlap, yet neither is the other rounded
        "2.4995 in (63.48 mm)",  # cut off: is 63.49
        "100 mm (3.93 in)",  # cut off: is 3.94
    ],
)
def test_last_digit_apart_is_told_from_a_misprint(text: str) -> None:
    """A second number cut off, or rounded from digits not printed, is out by its last digit."""
    assert agreement(text) == Agreement.LAST_DIGIT


@pytest.mark.parametrize(("microinch", "micrometre"), sorted(FINISH_GRADES))
def test_grades_of_finish_agree(microinch: Fraction, micrometre: Fraction) -> None:
    """ISO 1302, N1 to N12: the printed pairs are the same grade, 500 microinch and 12.5 µm too."""
    places = 3 if micrometre < 1 else 1
    metric = f"{show_number(micrometre, places)} um max"
    inch = f"{show_number(microinch, 0)} microinch max"

    assert agreement(f"{inch} ({metric})") == Agreement.EXACT
    assert agreement(f"{metric} ({inch})") == Agreement.EXACT


def test_grade_of_finish_misprinted_disagrees() -> None:
    """One copy of the ISO 1302 table prints N9 as 8.3 µm for 250 microinch; it is 6.3."""
    assert agreement("250 microinch max (8.3 um)") == Agreement.DISAGREE


def test_limits_of_two_sorts_disagree() -> None:
    """A length is no force, and a maximum no minimum."""
    assert agree(read_limit("1 in"), read_limit("1 N")) == Agreement.DISAGREE
    assert agree(read_limit("1 in max"), read_limit("25 mm min")) == Agreement.DISAGREE


@pytest.mark.parametrize(
    ("text", "converted"),
    [
        ("0.0015 to 0.0025 in", "0.039 to 0.063 mm"),
        ("1.8750 +0.0000 -0.0005 in", "47.613 to 47.625 mm"),
        ("0.004 in max", "0.10 mm max"),
        ("60 lbf min", "267 N min"),
        ("70 to 75 lb-ft", "95 to 101 N·m"),
        ("105 to 120 psi", "724 to 827 kPa"),
        ("150 to 170 degF", "65.6 to 76.6 degC"),
        ("18 Fdeg max", "10.0 Cdeg max"),
        ("109.0 ± 0.5 cc", "6.622 to 6.682 cu in"),
        ("0.038 to 0.064 mm", "0.00150 to 0.00251 in"),
        ("-0.002 to 0.004 in", "-0.05 to 0.10 mm"),
        ("16 microinch max", "0.40 um max"),
        ("18 to 21 inHg", "61 to 71 kPa"),
        ("1 3/4 to 2 in", "44.45 to 50.80 mm"),
        ("0.0020 in exact", "0.051 mm exact"),
        ("8.0 US qt", "7.57 L"),
        ("0.00010 to 0.00011 in", "0.0026 to 0.0027 mm"),
        ("1.00 to 1.01 mm", "0.0394 to 0.0397 in"),
    ],
)
def test_limit_is_converted_without_being_widened(text: str, converted: str) -> None:
    """Maximum down, minimum up (ASME A112.18.1, annex A, rule e), with no digits beyond those justified."""
    other = other_system(read_limit(text))

    assert str(other) == converted
    assert other == read_limit(converted)


@pytest.mark.parametrize("text", ["12 ± 2 deg BTDC", "8 count", "6.0 to 6.2 ratio", "fit only", "30 min max"])
def test_limit_that_both_systems_share_is_not_converted(text: str) -> None:
    """Angles, counts, ratios, times and words stay as they are."""
    assert other_system(read_limit(text)) is None


CONVERTED = sorted(symbol for symbol, own in UNITS.items() if partner(own))
FORMS = st.sampled_from(
    ("{a} to {b} {u}", "{a} {u} max", "{a} {u} min", "{b} ± {a} {u}", "{b} +{a} -{a} {u}")
)


@st.composite
def limits(draw: st.DrawFn) -> Limit:
    """A bounded limit in a unit that has a partner."""
    decimals, first, more = draw(st.integers(0, 5)), draw(st.integers(1, 10**6)), draw(st.integers(1, 10**4))
    low, high = (show_number(Fraction(end, 10**decimals), decimals) for end in (first, first + more))
    return read_limit(draw(FORMS).format(a=low, b=high, u=draw(st.sampled_from(CONVERTED))))


@given(limits())
@example(read_limit("0.00010 to 0.00011 in"))
def test_conversion_never_widens(limit: Limit) -> None:
    """Whatever the converted limit admits, the source admits; and what it says reads back as itself."""
    other = other_system(limit)
    assert other is not None

    assert [
        end for end in (other.low_base, other.high_base) if end is not None and not limit.admits(end)
    ] == []
    assert read_limit(other.text) == other


@given(limits())
def test_conversion_narrows_by_less_than_a_place(limit: Limit) -> None:
    """Each bound moves inwards by less than one in its last place."""
    other = other_system(limit)
    assert other is not None
    place = other.unit.factor / 10 ** (other.decimals or 0)

    ends = ((limit.low_base, other.low_base), (limit.high_base, other.high_base))
    assert all(abs(own - new) < place for own, new in ends if own is not None and new is not None)


@given(limits(), st.integers(0, 2))
def test_correctly_rounded_pair_agrees(limit: Limit, extra: int) -> None:
    """What a book prints by rounding the first to the digits that it justifies, or more, agrees with it."""
    other = partner(limit.unit)
    assert other is not None
    places = justified_places(limit, other) + extra
    assume(places <= 8)
    low, high = (
        None if end is None else show_number(other.from_base(end), places)
        for end in (limit.low_base, limit.high_base)
    )
    assume(limit.decimals == 0 or places > 0 or "0" not in (*(low or "")[-1:], *(high or "")[-1:]))
    if low is None or high is None:
        second = f"{high} {other} max" if low is None else f"{low} {other} min"
    else:
        assume(Fraction(low) <= Fraction(high))
        second = f"{low} to {high} {other}"

    assert agree(limit, read_limit(second)) == Agreement.EXACT


@given(st.integers(100, 10**6), st.integers(1, 4), st.integers(0, 9))
def test_changed_leading_digit_disagrees(digits: int, decimals: int, digit: int) -> None:
    """A wrong first digit in a metric number never passes for the inch one."""
    inches = Fraction(digits, 10**decimals)
    right = show_number(inches * Fraction("25.4"), decimals)
    wrong = f"{digit or ''}{right[1:]}".lstrip("0")
    assume(digit != int(right[0]) and not wrong.startswith("."))
    text = f"{show_number(inches, decimals)} in exact ({wrong} mm exact)"

    assert agreement(text) == Agreement.DISAGREE


def test_lost_digits_are_a_place_ten_times_coarser() -> None:
    """Inch thousandths beside hundredths of a millimetre lose nothing; beside whole tenths they do."""
    assert LOST_DIGITS == 10
    assert agreement("2.001 in (50.83 mm)") == Agreement.EXACT
    assert agreement("2.001 in (51 mm)") == Agreement.DISAGREE

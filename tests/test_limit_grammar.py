"""Every wrong way of writing a limit, with the words that the author reads."""

from __future__ import annotations

import pytest

from builder.diagnostics import Fault
from builder.limit import read_limit

TO_FORM = "write it like `0.0015 to 0.0025 in`, `2.500 ± 0.001 in` or `0.004 in max`"
BOTH_TOLERANCES = "write both, for example `2.500 +0.000 -0.001 in`"
UNIT_TOO = "write the unit too, for example `in`, `lb-ft` or `count`"
OR_UNKNOWN = "write a limit, or `unknown:` and the reason"
TWO = "write `to` between the ends of a range, and each other value as a limit of its own"
PER = "write the limit alone and the length under `per:`, for example `per: 1 in of bore.size`"
WHOLE_BRACKETS = "write it like `2.500 to 2.502 in (63.50 to 63.55 mm)`"


def refusal(text: str) -> tuple[str, str, str]:
    """What is said of a text that is not a limit: message, hint, and the piece that is pointed at."""
    with pytest.raises(Fault) as caught:
        read_limit(text)
    fault = caught.value
    return fault.message, fault.hint, text[fault.start : fault.end]


@pytest.mark.parametrize(
    ("text", "message", "hint", "wrong"),
    [
        ("", "a limit is missing", "write one like `0.0015 to 0.0025 in`, or `unknown:` and the reason", ""),
        ("0.0015 to 0.0025", "`0.0015 to 0.0025` has no unit", UNIT_TOO, "0.0015 to 0.0025"),
        ("1.5", "`1.5` has no unit", UNIT_TOO, "1.5"),
        ("12 ± 2 BTDC", "`12 ± 2 BTDC` has no unit", "write `12 ± 2 deg BTDC`", "12 ± 2 BTDC"),
        ("0.002 inn", "`inn` is not a unit of the list", "write `in`", "inn"),
        ("40 to 50 PSI", "`PSI` is not a unit of the list", "write `psi`", "PSI"),
        ("8 qt", "`qt` may mean more than one unit", "write `US qt` or `UK qt`", "qt"),
        ("n/a", "`n/a` holds no number", OR_UNKNOWN, "n/a"),
        ("%", "`%` holds no number", OR_UNKNOWN, "%"),
        ("0.002 in 0.003 in", "`0.002 in 0.003 in` holds two values", TWO, "0.002 in 0.003 in"),
        ("0.010, 0.020 in", "`0.010, 0.020 in` holds two values", TWO, "0.010, 0.020 in"),
        ("70 lb-ft + 90 deg", "`70 lb-ft + 90 deg` is not a limit", TO_FORM, "70 lb-ft + 90 deg"),
    ],
)
def test_missing_piece_is_named(text: str, message: str, hint: str, wrong: str) -> None:
    """No number, no unit, an unknown unit, or too much of either."""
    assert refusal(text) == (message, hint, wrong)


@pytest.mark.parametrize(
    ("text", "right"),
    [
        ("0.0015-0.0025 in", "0.0015 to 0.0025 in"),
        ("0.0015 – 0.0025 in", "0.0015 to 0.0025 in"),
        ("16-20 microinch", "16 to 20 microinch"),
        ("0.001/0.002 in", "0.001 to 0.002 in"),
        ("0.001 thru 0.002 in", "0.001 to 0.002 in"),
        ("1/64-1/32 in", "1/64 to 1/32 in"),
    ],
)
def test_range_without_to_is_refused(text: str, right: str) -> None:
    """A dash may be a minus or a range, so a range is written with `to`."""
    assert refusal(text) == (f"`{text}` is a range without `to`", f"write `{right}`", text)


@pytest.mark.parametrize(
    ("text", "says", "right"),
    [
        ("max 0.004 in", "is a maximum written another way", "0.004 in max"),
        ("≤ .0010 in", "is a maximum written another way", ".0010 in max"),
        ("not over 0.004 in", "is a maximum written another way", "0.004 in max"),
        (">= 8 psi", "is a minimum written another way", "8 psi min"),
        ("min. 8 psi", "is a minimum written another way", "8 psi min"),
        ("0.002 in maximum", "does not end in `max` or `min`", "0.002 in max"),
        ("8 psi min.", "does not end in `max` or `min`", "8 psi min"),
    ],
)
def test_bound_is_written_one_way(text: str, says: str, right: str) -> None:
    """A maximum ends in `max`, a minimum in `min`."""
    assert refusal(text) == (f"`{text}` {says}", f"write `{right}`", text)


@pytest.mark.parametrize(
    ("text", "message", "hint", "wrong"),
    [
        ("2,4272 in", "`2,4272` has a comma for a decimal point", "write `2.4272`", "2,4272"),
        (
            "12,000 psi",
            "`12,000` has a comma, which may stand for a point or for thousands",
            "write `12.000` or `12000`",
            "12,000",
        ),
        # TM 9-6115-604-34, table 1-4, web transcription: a limit "Q.00", and "(21OC)" for 21 °C
        ("Q.00 in", "`Q.00` has a letter among its digits", "write `0.00`", "Q.00"),
        ("70 degF (21OC)", "`21OC` has a letter for the degree sign", "write `21 degC`", "21OC"),
        ("O.002 to 0.004 in", "`O.002` has a letter among its digits", "write `0.002`", "O.002"),
        # TM 10-4320-315-24, tables 3-3 and 3-4: valve clearance "005 in (0.15 mm)"
        (
            "005 in (0.15 mm)",
            "`005` has lost its decimal point",
            "write `0.005`, or `5` if that is meant",
            "005",
        ),
        ("1-3/4 in", "`1-3/4` joins the whole number and the fraction by a dash", "write `1 3/4`", "1-3/4"),
        ("0.25 in (6,35 mm)", "`6,35` has a comma for a decimal point", "write `6.35`", "6,35"),
    ],
)
def test_wrong_number_is_found_in_its_place(text: str, message: str, hint: str, wrong: str) -> None:
    """A slip in a number is told at that number, in brackets too."""
    assert refusal(text) == (message, hint, wrong)


@pytest.mark.parametrize(
    ("text", "message", "hint", "wrong"),
    [
        ("0.0025 to 0.0015 in", "`0.0025` is more than `0.0015`", "write `0.0015 to 0.0025 in`", "0.0025"),
        ("16 to 14 deg BTDC", "`16` is more than `14`", "write `14 to 16 deg BTDC`", "16"),
        ("2 deg ATDC to 5 deg BTDC", "the range runs backwards", "write the earlier angle first", "2"),
        (
            "5 deg BTDC to 9 deg ABDC",
            "`BTDC` and `ABDC` are told from two dead centres",
            "tell both ends from the same one",
            "ABDC",
        ),
        (
            "2.5 to 2.5005 in",
            "`2.5` shows far fewer decimals than the other end",
            "write `2.5000` if that is meant",
            "2.5",
        ),
        (
            "0.001 in to 0.002 mm",
            "`in` and `mm` are two units in one limit",
            "write one unit, at the end",
            "in",
        ),
        ("3 in BTDC", "`BTDC` stands after `in`", "write `deg BTDC`", "BTDC"),
        ("0.001 to 0.002 in max", "`max` stands after two bounds", "leave out `max`", "max"),
        (
            "2.500 +0.002 +0.001 in",
            "both tolerances lie on the same side of the size",
            "write `2.501 to 2.502 in` if that is meant",
            "+0.002",
        ),
        ("2.500 -0.001 in", "`2.500 -0.001` has one tolerance only", BOTH_TOLERANCES, "2.500 -0.001"),
        ("2.500 ± 0.000 in", "the tolerance is nought", "write `2.500 in exact`", "0.000"),
        (
            "± 0.002 in",
            "`± 0.002 in` is a tolerance without a size",
            "write the size before it",
            "± 0.002 in",
        ),
        (
            "10 ± 5 % of 4 ohm",
            "`± 5 %` is a tolerance in percent",
            "work it out and write the lowest and highest value with `to`",
            "± 5 %",
        ),
        ("0.0005 in per 1 in", "`per 1 in` makes this a limit per length", PER, "per 1 in"),
    ],
)
def test_limit_that_makes_no_sense_is_refused(text: str, message: str, hint: str, wrong: str) -> None:
    """Bounds the wrong way round, tolerances on one side, two datums: each with the right form."""
    assert refusal(text) == (message, hint, wrong)


@pytest.mark.parametrize(
    ("text", "message", "hint", "wrong"),
    [
        (
            "0.004 in max (cold)",
            "`(cold)` is not the limit in its other unit",
            "write remarks under `condition:`",
            "cold",
        ),
        (
            "0.004 in max (0.10 N)",
            "`0.10 N max` is a force but `in` a length",
            "write the same limit in its other unit",
            "(0.10 N)",
        ),
        (
            "0.004 in max (0.10 mm min)",
            "`0.10 mm min` is not bounded on the same sides as the limit before it",
            "write both in the same form",
            "(0.10 mm min)",
        ),
        (
            "0.004 in ((0.1 mm))",
            "the brackets are not one pair around the limit in its other unit",
            WHOLE_BRACKETS,
            "((0.1 mm))",
        ),
        (
            "0.004 in (0.1 mm",
            "the brackets are not one pair around the limit in its other unit",
            WHOLE_BRACKETS,
            "(0.1 mm",
        ),
    ],
)
def test_brackets_hold_the_other_unit_and_nothing_else(
    text: str, message: str, hint: str, wrong: str
) -> None:
    """Remarks, another sort of thing or another form are no second unit."""
    assert refusal(text) == (message, hint, wrong)


def test_limit_of_boundless_length_is_refused() -> None:
    """A text far longer than any limit is not searched through."""
    with pytest.raises(Fault, match="a limit this long cannot be read"):
        read_limit("0.0015 to 0.0025 in " * 20)


@pytest.mark.parametrize("text", ["0.0015-0.0025 in", "2,4272 in", "0.0025 to 0.0015 in", "0.002 inn", "n/a"])
def test_fault_speaks_the_shop_s_words(text: str) -> None:
    """No full stop, no word of the program's own, the thing in backticks, the hint imperative."""
    message, hint, _ = refusal(text)

    assert "`" in message
    assert not message.endswith(".")
    assert hint.startswith("write ")

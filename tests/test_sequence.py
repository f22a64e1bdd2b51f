"""Rows of values in one text: steps, rounds, orders, curves and schedules."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.diagnostics import Fault
from builder.sequence import read_curve, read_order, read_rounds, read_row, read_steps
from builder.units import UNITS

RUN_IN = {"speed": UNITS["rpm"], "load": UNITS["lb-ft"], "time": UNITS["min"]}
ADVANCE = "0 at 700, 8 at 1400, 16 at 2400"


def refusal(read: Callable[[str], object], text: str) -> tuple[str, str, str]:
    """What is said of a text that cannot be read: message, hint, and the piece that is pointed at."""
    with pytest.raises(Fault) as caught:
        read(text)
    fault = caught.value
    return fault.message, fault.hint, text[fault.start : fault.end]


def curve(text: str) -> object:
    """The text as a curve of degrees over rpm."""
    return read_curve(text, UNITS["rpm"], UNITS["deg"])


def row(text: str) -> object:
    """The text as a row of a running-in schedule."""
    return read_row(text, RUN_IN)


def test_steps_share_the_unit_at_their_end() -> None:
    """Sizes that a supplier lists, growing."""
    steps = read_steps("0.010, 0.020, 0.030 in")

    assert [str(step) for step in steps] == ["0.010 in", "0.020 in", "0.030 in"]


def test_rounds_end_in_the_final_torque() -> None:
    """`final` is the torque itself, told by None."""
    rounds = read_rounds("30 lb-ft, 55 lb-ft, final")

    assert [str(one) for one in rounds] == ["30 lb-ft", "55 lb-ft", "None"]


def test_order_is_names_joined_by_dashes() -> None:
    """A firing or a tightening order; `any` is no order at all."""
    assert read_order("1-6-2-5-8-3-7-4") == ("1", "6", "2", "5", "8", "3", "7", "4")
    assert read_order("L1 - R1 - L2 - R2") == ("L1", "R1", "L2", "R2")
    assert read_order("any") == ()


@pytest.mark.parametrize(
    ("rpm", "degrees"), [("700", "0"), ("1050", "4"), ("1400", "8"), ("1900", "12"), ("2400", "16")]
)
def test_curve_is_straight_between_its_points(rpm: str, degrees: str) -> None:
    """An advance curve gives every speed between its ends, exactly."""
    found = read_curve(ADVANCE, UNITS["rpm"], UNITS["deg"]).at(Fraction(rpm) / 60)

    assert found == Fraction(degrees)


def test_curve_ends_where_its_points_do() -> None:
    """Beyond the ends nothing is published."""
    found = read_curve(ADVANCE, UNITS["rpm"], UNITS["deg"])

    assert (found.at(Fraction(10)), found.at(Fraction(41))) == (None, None)


def test_row_fills_the_columns_of_a_schedule() -> None:
    """Each number takes its column's unit; a dash is an empty place."""
    assert [str(one) for one in read_row("1000, 0, 30", RUN_IN)] == ["1000 rpm", "0 lb-ft", "30 min"]
    assert [str(one) for one in read_row("400, –, 30", RUN_IN)] == ["400 rpm", "None", "30 min"]


@pytest.mark.parametrize(
    ("read", "text", "message", "hint", "wrong"),
    [
        # TM 5-6115-400-35, table 1: undersizes printed ".10, .020, .030, .040 in"; the first is .010
        (
            read_steps,
            ".10, .020, .030, .040 in",
            "`.10` is not less than the step after it",
            "write the steps in growing order",
            ".10",
        ),
        (
            read_steps,
            "0.010, 0,020 in",
            "`020` has lost its decimal point",
            "write `0.020`, or `20` if that is meant",
            "020",
        ),
        (
            read_steps,
            "0.010, , 0.020 in",
            "an item of the row is missing",
            "write one item after each comma",
            " ,",
        ),
        (read_steps, "0.010 in,", "an item of the row is missing", "write one item after each comma", ""),
        (read_steps, "", "an item of the row is missing", "write one item after each comma", ""),
        (
            read_steps,
            "0.010, 0.020",
            "`0.020` has no unit",
            "write the unit too, for example `0.020 in`",
            "0.020",
        ),
        (read_steps, "O.010, 0.020 in", "`O.010` has a letter among its digits", "write `0.010`", "O.010"),
        (
            read_rounds,
            "final, 55 lb-ft",
            "`final` stands before the last round",
            "write `final` last",
            "final",
        ),
        (
            read_rounds,
            "55 lb-ft, 30 lb-ft, final",
            "`55 lb-ft` is not less than the round after it",
            "write the rounds in growing order",
            "55 lb-ft",
        ),
        (read_rounds, "30 lb-ft, 55 lbft", "`lbft` is not a unit of the list", "write `lb-ft`", "lbft"),
        (read_order, "1-5-3-1", "`1` stands twice in the order", "write each name once", "1"),
        (
            read_order,
            "1-5--3",
            "`` is not a name in an order",
            "write names joined by dashes, such as `1-2-4-3`, or `any`",
            "",
        ),
        (
            read_order,
            "1, 5, 3",
            "`1, 5, 3` is not a name in an order",
            "write names joined by dashes, such as `1-2-4-3`, or `any`",
            "1, 5, 3",
        ),
        (
            curve,
            "0 at 700",
            "a curve of one point has no course",
            "write two points or more, such as `0 at 700, 8 at 1400`",
            "0 at 700",
        ),
        (
            curve,
            "0 at 700, 8 at 600",
            "`8 at 600` does not come after the point before it",
            "write the points in growing order",
            "8 at 600",
        ),
        (curve, "0 at 700, 8", "`8` is not a point of a curve", "write it like `8 at 1400`", "8"),
        (
            curve,
            "0 at 7OO, 8 at 1400",
            "`7OO` has a letter among its digits",
            "write `700`",
            "7OO",
        ),
        (
            row,
            "1000, 30",
            "the row holds 2 values but there are 3 columns",
            "write `speed`, `load`, `time`, a dash where there is none",
            "1000, 30",
        ),
        (
            row,
            "1000, none, 30",
            "`none` is not a number",
            "write digits, for example `0.0015`, `.0015` or `1 3/4`",
            "none",
        ),
    ],
)
def test_wrong_row_is_refused_at_its_item(
    read: Callable[[str], object], text: str, message: str, hint: str, wrong: str
) -> None:
    """The fault stands at the item that is wrong."""
    assert refusal(read, text) == (message, hint, wrong)


TEXTS = st.text(alphabet="0123456789.,- inat/½O", max_size=20) | st.text(max_size=20)


@given(TEXTS, st.sampled_from((read_steps, read_rounds, read_order, curve, row)))
def test_any_row_is_read_or_refused(text: str, read: Callable[[str], object]) -> None:
    """No text makes a reader fail in another way than by a Fault with a hint, inside the text."""
    try:
        outcome = read(text) is not None
    except Fault as fault:
        end = len(text) if fault.end is None else fault.end
        outcome = bool(fault.hint) and 0 <= fault.start <= end <= len(text)

    assert outcome

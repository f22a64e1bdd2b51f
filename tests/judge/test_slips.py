"""Readings that only make sense as other readings wrongly taken (common practice, no source)."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.judge.bounds import Band
from builder.judge.slips import slip

INCH = Fraction(254, 10_000)
BAND = Band(Fraction("2.4795") * INCH, Fraction("2.4800") * INCH, "new", ())
MATES = tuple(Fraction(text) * INCH for text in ("2.4797", "2.4798", "2.4798"))
STEPS = tuple((Fraction(text) * INCH, f"{text} in") for text in ("0.010", "0.020", "0.030"))


def suspected(typed: str, mates: tuple[Fraction, ...] = MATES, band: Band = BAND) -> str:
    """Why a reading typed in inches is suspect."""
    return slip(typed, Fraction(typed) * INCH, band, mates, STEPS)


@pytest.mark.parametrize(
    ("typed", "reason"),
    [
        ("2.4798", ""),
        ("2.4800", ""),  # on the limit
        ("2.4805", ""),  # out by a little: an honest reading
        ("2.4998", "it is exactly the size step 0.020 in over its mates"),
        ("2.4597", "it is exactly the size step 0.020 in under its mates"),
        ("2.5098", "it is exactly the size step 0.030 in over its mates"),
        ("2.4999", ""),  # not exactly a step from any mate: 2.4799 lies beyond them
        ("24.798", "the decimal point has slipped: it is ten times its mates"),
        (".24798", "the decimal point has slipped: it is a tenth of its mates"),
        ("62.98692", "it reads as millimetres written for inches"),
        ("0.097629", "it reads as inches written for millimetres"),
        ("2.4978", "two digits look exchanged: 2.4798 would lie among its mates"),
        ("4.2798", ""),  # digits on either side of the point are no neighbours
        ("2.7498", "two digits look exchanged: 2.4798 would lie among its mates"),
    ],
)
def test_slip_is_named(typed: str, reason: str) -> None:
    """A size step, the point, the wrong system, exchanged digits: each is named; a plain reading is not."""
    assert suspected(typed) == reason


def test_exchanged_digits_need_mates_and_distance() -> None:
    """Digits are suspected only beyond a band's width outside, and only among mates."""
    wide = Band(Fraction("2.4700") * INCH, Fraction("2.4800") * INCH, "new", ())

    assert suspected("2.4978", mates=()) == ""
    assert suspected("2.4807", band=wide, mates=(Fraction("2.4708") * INCH, Fraction("2.4780") * INCH)) == ""


def test_without_mates_the_limit_itself_is_what_a_slip_must_come_back_to() -> None:
    """The first reading of a grid is held against the limit."""
    assert suspected("2.4999", mates=()) == "it is exactly the size step 0.020 in over its mates"


@given(st.integers(24795, 24800))
def test_reading_inside_is_never_suspected(tenths: int) -> None:
    """Nothing inside its limit is called a slip, whatever its mates read."""
    assert suspected(f"{tenths / 10000:.4f}") == ""


@given(st.sampled_from(["2.4797", "2.4798"]), st.sampled_from(STEPS), st.sampled_from([1, -1]))
def test_every_listed_step_from_a_mate_is_found(typed: str, step: tuple[Fraction, str], way: int) -> None:
    """A mate's reading moved by any listed step, either way, is recognised by that step."""
    moved = Fraction(typed) + way * step[0] / INCH

    found = slip("0", moved * INCH, BAND, MATES, STEPS)

    assert found == f"it is exactly the size step {step[1]} {'over' if way > 0 else 'under'} its mates"

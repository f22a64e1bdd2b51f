"""Rows of published tables against the worksheets and the units."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Any

import pytest

from builder.model.worksheet import Worksheet
from builder.units import UNITS

WorkOut = Callable[..., dict[str, float]]


def test_tolerance_grades_are_those_of_the_table(work_out: WorkOut, published: dict[str, Any]) -> None:
    """Nine steps of IT6 and IT7: the formula is never a whole micrometre off the table."""
    for row in published["tolerances"]["rows"]:
        worked = work_out("tolerance_grade", over=f"{row['over']} mm", up_to=f"{row['up_to']} mm")

        assert worked["grade_6"] == pytest.approx(row["grade_6"], abs=0.9)
        assert worked["grade_7"] == pytest.approx(row["grade_7"], abs=0.9)


def test_expansions_per_celsius_and_fahrenheit_agree(published: dict[str, Any]) -> None:
    """Each printed pair agrees to the last printed digit of both."""
    per_fahrenheit = UNITS["1/Fdeg"]
    for row in published["expansions"]["rows"]:
        converted = per_fahrenheit.from_base(UNITS["1/Cdeg"].to_base(Fraction(row["celsius"])))

        assert abs(converted - Fraction(row["fahrenheit"])) <= Fraction(1, 10), row["metal"]


def test_every_calculation_of_the_trade_has_a_worksheet(worksheets: Mapping[str, Worksheet]) -> None:
    """The forty calculations K01 to K40 each have one worksheet at least."""
    codes = {str(code) for worksheet in worksheets.values() for code in worksheet.code}

    assert codes == {f"K{number:02}" for number in range(1, 41)}

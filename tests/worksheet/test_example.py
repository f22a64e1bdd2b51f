"""Worked examples: each of the shop's worksheets reproduces what is printed, and no misprint."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.manual import Manual
from builder.model.worksheet import Example, Worksheet
from builder.worksheet import compare, holds

FILES = sorted((Path(__file__).parents[2] / "specs" / "worksheets").glob("*.yaml"))


def example(gives: dict[str, str], holds_in: str = "both") -> Example:
    """An example of the sample worksheet: a bore of 101.6 mm, a stroke of 76.2 mm."""
    given = {"bore": "101.6 mm", "stroke": "76.2 mm", "clearance": "81.548526 cc"}
    return Example.model_validate(
        {"given": given, "gives": gives, "from": "arithmetic", "holds_in": holds_in}
    )


@pytest.mark.parametrize("name", [file.stem for file in FILES])
def test_every_example_comes_out(name: str, shop: Manual) -> None:
    """Every printed result of every example comes out to its printed digits, and those of a misprint do not.

    Where each number is from stands in the file, `from memory` where it is.
    """
    worksheet = shop.worksheets[name]

    assert worksheet.examples
    for one in worksheet.examples:
        said = [(found.name, found.printed.text, found.text) for found in compare(worksheet, one)]
        assert said
        assert holds(worksheet, one), said


@pytest.mark.parametrize(
    ("printed", "agrees"),
    [
        ("8.575585", True),
        ("8.58", True),
        ("8.57", False),
        ("8.575586", False),
        ("9 ± 0.5", True),
        ("9 ± 0.4", False),
        ("857.6 percent", True),
        ("8 1/2", False),
    ],
)
def test_printed_digits_are_what_counts(sample: Worksheet, printed: str, agrees: bool) -> None:
    """A result agrees when it rounds to the printed digits, or lies within what is printed beside it."""
    (found,) = compare(sample, example({"ratio": printed}))

    assert found.agrees is agrees
    assert holds(sample, example({"ratio": printed})) is agrees
    assert holds(sample, example({"ratio": printed}, "trap")) is not agrees


def test_one_wrong_digit_is_enough(sample: Worksheet) -> None:
    """An example with a right and a wrong result does not hold; as a trap it does."""
    gives = {"swept": "617.777759 cc", "ratio": "8.6"}
    wrong = {"swept": "617.777759 cc", "ratio": "8.7"}

    assert holds(sample, example(gives))
    assert not holds(sample, example(wrong))
    assert holds(sample, example(wrong, "trap"))


def test_result_is_told_with_one_digit_more(sample: Worksheet) -> None:
    """So that it is seen how the value rounds."""
    (found,) = compare(sample, example({"swept": "37.70 cu in"}))

    assert (found.text, found.agrees) == ("37.699 cu in", True)


def test_unit_of_something_else_never_agrees(sample: Worksheet) -> None:
    """A volume printed as a pressure is compared with nothing."""
    (found,) = compare(sample, example({"swept": "617 psi"}))

    assert (found.value, found.text) == (None, "`psi` measures pressure, not volume")

"""The codes beside the boxes: every box of every sheet has one of its own."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.checklist import Side, checklists
from builder.field_code import codes, fields, shortened
from builder.manual import Manual, load

ROOT = Path(__file__).parents[1]


@pytest.fixture(scope="module")
def manual() -> Manual:
    """The manual of the demonstration shop."""
    return load(ROOT)[0]


def test_no_two_boxes_of_a_sheet_share_a_code(manual: Manual) -> None:
    """Every blank of every checklist has a code, and no other blank of that sheet has it."""
    wanting = []
    for checklist in checklists(manual):
        blanks = sum(len(grid.blanks) for step in checklist.steps for grid in step.grids)
        if len(fields(checklist)) != blanks or len(codes(checklist)) != blanks:
            wanting.append(f"{checklist.engine.engine} {checklist.procedure.code}")

    assert wanting == []


def test_codes_name_characteristic_and_place(manual: Manual) -> None:
    """A box is called as the trade would: its characteristic, main 3, front plane, axis T."""
    mains = next(one for one in checklists(manual) if one.procedure.code == "P16")
    named = [code for code in fields(mains) if " M3 " in code and code.startswith("CRK-01")]

    assert [code.split(" ", 1)[1] for code in named] == ["M3 F T", "M3 F A", "M3 R T", "M3 R A"]


def test_second_measurement_of_a_step_says_so(manual: Manual) -> None:
    """Wrench, arm and adapter of one step without characteristics are told apart by a number."""
    mains = next(one for one in checklists(manual) if one.procedure.code == "P16")

    assert [code for code in fields(mains) if code.startswith("P16-3")] == ["P16-3", "P16-3/2", "P16-3/3"]


@pytest.mark.parametrize(
    ("side", "expected"),
    [
        (Side("axis", ("V", "L45")), ["V", "L45"]),
        (Side("plane", ("front", "rear")), ["F", "R"]),
        (Side("point", ("top_left", "low_left")), ["TL", "LL"]),
        (Side("point", ("first", "second", "fourth")), ["FI", "SE", "FO"]),
        (Side("point", ("front", "fore")), ["FR", "FO"]),
        (Side("cylinder", ("1", "2")), ["C1", "C2"]),
        (Side("rod", ("L1", "R1")), ["L1", "R1"]),
    ],
)
def test_labels_are_as_short_as_they_can_be(side: Side, expected: list[str]) -> None:
    """Initials where they tell the labels apart, else the shortest beginnings that do."""
    assert list(shortened(side).values()) == expected

"""Answers as lines for a terminal."""

from __future__ import annotations

import pytest

from builder.diagnostics import Fault
from builder.manual import Manual
from builder.render import words
from builder.render.find_lines import found_lines


def test_block_begins_with_the_value(small: Manual) -> None:
    """The value in both systems and whose it is, then what it is, then the rest."""
    assert found_lines(small, "main clearance", limit=1) == (
        "0.0012 to 0.0022 in (0.031 to 0.055 mm)  new",
        "    Main bearing oil clearance CRK-09, Tallow Four (invented)",
        "    68 °F, shims in, caps at torque.",
        "    One for each main.",
        f"    aim: 0.0015 to 0.0018 in (0.039 to 0.045 mm), {words.LIMITS['aim'].meaning}",
        "    wear limit: 0.0040 in max (0.101 mm max), only for a part left untouched",
        "    from Tallow Four instruction book (invented), 1930, p. 22",
        "    from Shop notes (invented), 2026, 3",
        "    read in P16 Fit poured main bearings, step 3",
        "    if out, by P16 Fit poured main bearings, step 3:",
        "        under the limit: Take the worked-out amount more out of the bore. (then step 2)",
        "        over the limit: Tell the foreman. (then stop)",
        "    follows from main bearing bore − main journal diameter",
        "    why: The old pump is small; more slack starves the rear main.",
    )


def test_metric_comes_first_where_it_is_asked_for(small: Manual) -> None:
    """The printed value stands in brackets behind the converted one."""
    first, *_ = found_lines(small, "main clearance", metric=True, limit=1)

    assert first == "0.031 to 0.055 mm (0.0012 to 0.0022 in)  new"


def test_positions_and_stages_stand_a_line_each(small: Manual) -> None:
    """Every value in force, each with its place."""
    assert [line for line in found_lines(small, "camshaft journal", limit=1) if not line.startswith(" ")] == [
        "2.1235 to 2.1245 in (53.937 to 53.962 mm)  new  main 1",
        "2.0925 to 2.0935 in (53.150 to 53.174 mm)  new  main 2",
    ]
    assert found_lines(small, "run in stages", limit=1)[:2] == (
        "1000 rpm, 30 min  stage 1",
        "1200 rpm, 45 min  stage 2",
    )


def test_nothing_published_is_said(small: Manual) -> None:
    """A row without a value says what was searched."""
    assert found_lines(small, "camshaft end float") == (
        "nothing published",
        "    Camshaft end float CAM-03, Tallow Four (invented)",
        "    Manual searched",
    )


def test_half_a_match_says_so(small: Manual) -> None:
    """Nobody takes the nearest row for the one asked for; what matches nothing gives no line."""
    lines = found_lines(small, "gap squish", limit=1)

    assert lines[:2] == ("nothing matches all of `gap squish`; the nearest:", "")
    assert found_lines(small, "squish") == ()


def test_rest_is_counted(small: Manual) -> None:
    """An empty line between two blocks, and how many more there are."""
    lines = found_lines(small, "main", limit=2)

    assert lines.count("") == 2
    assert lines[-1].startswith("and ")


def test_family_that_is_not_there_is_a_fault(small: Manual) -> None:
    """The command line turns it into a message of its own."""
    with pytest.raises(Fault):
        found_lines(small, "gap", "nettle")

"""Named-dimension arrays: cells meet by the names of their positions, never by order."""

from __future__ import annotations

from operator import sub

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.formula.grid import Grid, Link, Missing, combine, join, neighbour, path, pick, reduce, single

MAIN, PLANE = ("1", "2"), ("front", "rear")
BOTH: Grid[int] = Grid({"main": MAIN, "plane": PLANE}, (11, 12, 21, 22))
RODS = {
    "rod": Link("crankpin", {"L1": "1", "R1": "1", "L2": "2"}),
    "shell": Link("rod", {"a": "R1", "b": "L2"}),
}


def test_cells_are_found_by_name() -> None:
    """Labels in any order; labels of dimensions that the grid lacks say nothing."""
    assert BOTH.at({"plane": "rear", "main": "2", "axis": "T"}) == 22
    assert dict(BOTH.items().__next__()[0]) == {"main": "1", "plane": "front"}
    with pytest.raises(KeyError):
        BOTH.at({"plane": "rear", "main": "3"})


def test_value_without_a_dimension_is_the_same_all_along_it() -> None:
    """A value by plane meets a value by main and plane at every main."""
    planes: Grid[int] = Grid({"plane": PLANE}, (1, 2))

    assert combine(sub, (BOTH, planes), {}) == Grid(BOTH.dims, (10, 10, 20, 20))
    assert combine(sub, (planes, BOTH), {}) == Grid({"plane": PLANE, "main": MAIN}, (-10, -20, -10, -20))


def test_same_dimensions_in_another_order_meet_by_name() -> None:
    """Neither the order of the dimensions nor that of the labels matters."""
    turned: Grid[int] = Grid({"plane": ("rear", "front"), "main": MAIN}, (12, 22, 11, 21))

    assert combine(sub, (BOTH, turned), {}) == Grid(BOTH.dims, (0, 0, 0, 0))


def test_rods_meet_the_crankpin_they_sit_on() -> None:
    """Two rods on one pin each meet that pin, through any number of links."""
    pins: Grid[int] = Grid({"crankpin": ("1", "2")}, (100, 200))
    rods: Grid[int] = Grid({"rod": ("L1", "R1", "L2")}, (1, 2, 3))
    shells: Grid[int] = Grid({"shell": ("a", "b")}, (7, 8))

    assert combine(sub, (pins, rods), RODS) == Grid(rods.dims, (99, 98, 197))
    assert combine(sub, (pins, shells), RODS) == Grid(shells.dims, (93, 192))


@pytest.mark.parametrize(
    ("left", "right", "reason"),
    [
        (Grid({"main": MAIN}, (1, 2)), Grid({"cylinder": ("1", "2")}, (1, 2)),
         "one is by main, another by cylinder, and nothing links the two"),
        (Grid({"axis": ("V", "S")}, (1, 2)), Grid({"axis": ("T", "A")}, (1, 2)),
         "the axis is V, S in one and T, A in another"),
        (Grid({"rod": ("L1", "X9")}, (1, 2)), Grid({"crankpin": ("1", "2")}, (1, 2)),
         "nothing says what X9 sits on"),
        (Grid({"rod": ("L1", "L2")}, (1, 2)), Grid({"crankpin": ("1", "3")}, (1, 2)),
         "nothing says what 2 sits on"),
    ],
)  # fmt: skip
def test_what_has_no_common_position_does_not_meet(left: Grid[int], right: Grid[int], reason: str) -> None:
    """The reason is a clause that can stand in a sentence."""
    assert combine(sub, (left, right), RODS) == Missing(reason)


def test_place_on_a_part_needs_no_link() -> None:
    """A value by plane and one by main have every plane of every main in common."""
    assert join([("plane",), ("main",)], {}) == ("plane", "main")
    assert join([("cylinder", "ring"), ("cylinder",)], {}) == ("cylinder", "ring")


def test_links_that_go_round_end() -> None:
    """A loop in what sits on what finds no way instead of running for ever."""
    assert path("a", "c", {"a": "b", "b": "a"}) == ()
    assert path("a", "b", {"a": "b", "b": "a"}) == ("a", "b")


def test_reduction_removes_the_named_dimensions() -> None:
    """One after the other or both at once, in any order."""
    assert reduce(sum, BOTH, ["plane"]) == Grid({"main": MAIN}, (23, 43))
    assert reduce(sum, BOTH, ["main"]) == Grid({"plane": PLANE}, (32, 34))
    assert reduce(sum, BOTH, ["plane", "main"]) == single(66)


def test_picking_one_label_removes_and_several_narrow() -> None:
    """A label that is not there says so."""
    assert pick(BOTH, "plane", ["rear"]) == Grid({"main": MAIN}, (12, 22))
    assert pick(BOTH, "plane", ["rear", "front"]) == BOTH
    assert pick(BOTH, "plane", ["top"]) == Missing("there is no plane top to pick")
    assert pick(BOTH, "axis", ["T"]) == Missing("there is no axis T to pick")


def test_neighbour_is_the_next_in_order_and_the_last_has_none() -> None:
    """Along the order of the labels."""
    assert neighbour(BOTH, "main", -1) == Grid(BOTH.dims, (21, 22, -1, -1))
    assert neighbour(BOTH, "axis", -1) == Missing("there is no axis to have a neighbour")


@given(st.permutations(["main", "plane", "axis"]), st.permutations(["main", "plane", "axis"]), st.data())
def test_meeting_does_not_depend_on_the_order_of_dimensions(
    first: list[str], second: list[str], data: st.DataObject
) -> None:
    """A grid laid out anew and subtracted from itself is zero everywhere."""
    labels = {"main": ("1", "2"), "plane": ("f", "m", "r"), "axis": ("T", "A")}
    cells = tuple(data.draw(st.lists(st.integers(), min_size=12, max_size=12)))
    grid = Grid({dim: labels[dim] for dim in first}, cells)
    blank = Grid({dim: labels[dim] for dim in second}, (0,) * 12)
    turned = Grid(blank.dims, tuple(grid.at(place) for place, _ in blank.items()))

    assert combine(sub, (grid, turned), {}) == Grid(grid.dims, (0,) * 12)

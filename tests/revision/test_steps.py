"""Which steps moved: as few as can be, so that one step taken elsewhere is told as one."""

from __future__ import annotations

from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from builder.revision.steps import out_of_order

NAMES = [f"s{number}" for number in range(7)]


def test_one_step_taken_to_the_end_has_moved_alone() -> None:
    """Those that close the gap have not moved."""
    assert out_of_order(["b", "c", "d", "a"], ["a", "b", "c", "d"], {}) == {"a"}
    assert out_of_order(["d", "a", "b", "c"], ["a", "b", "c", "d"], {}) == {"d"}
    assert out_of_order([], [], {}) == set()


def test_of_two_that_changed_places_the_lighter_one_moved() -> None:
    """A step of one sentence is rather taken elsewhere than one with all its readings."""
    assert out_of_order(["b", "a"], ["a", "b"], {"a": 20, "b": 900}) == {"a"}
    assert out_of_order(["b", "a"], ["a", "b"], {"a": 900, "b": 20}) == {"b"}


@given(order=st.permutations(NAMES))
def test_fewest_steps_have_moved(order: list[str]) -> None:
    """What stayed is in its old order, and no larger part of the steps is."""
    moved = out_of_order(order, NAMES, {})
    stayed = [name for name in order if name not in moved]
    longer = combinations(order, len(stayed) + 1)

    assert stayed == sorted(stayed)
    assert not any(list(some) == sorted(some) for some in longer)

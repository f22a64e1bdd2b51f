"""Slips between a typed word and a known one."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.lookup.near import slips, slips_allowed

LETTERS = st.text(alphabet="abcde", max_size=9)


@pytest.mark.parametrize(
    ("typed", "known", "whole", "begun"),
    [
        ("babit", "babbitt", 2, 1),
        ("carburetor", "carburettor", 1, 1),
        ("guage", "gauge", 1, 1),
        ("jurnal", "journal", 1, 1),
        ("gudg", "gudgeon", 3, 0),
        ("torqe", "torque", 1, 1),
        ("torque", "torque", 0, 0),
        ("", "nip", 3, 0),
        ("ca", "abc", 3, 1),
    ],
)
def test_slips_are_counted_to_the_whole_and_to_the_nearest_beginning(
    typed: str, known: str, whole: int, begun: int
) -> None:
    """Counted by hand; `ca` to `abc` is 3 because no stretch is changed twice (optimal string alignment)."""
    assert slips(typed, known) == (whole, begun)


@pytest.mark.parametrize(("word", "allowed"), [("nip", 0), ("lash", 1), ("piston", 1), ("journal", 2)])
def test_longer_words_forgive_more_slips(word: str, allowed: int) -> None:
    """None under 4 letters, one from 4, two from 7."""
    assert slips_allowed(word) == allowed


@given(LETTERS, LETTERS)
def test_slips_to_the_whole_are_the_same_both_ways(one: str, other: str) -> None:
    """A letter left out of one is a letter put into the other."""
    assert slips(one, other)[0] == slips(other, one)[0]


@given(LETTERS, LETTERS)
def test_the_nearest_beginning_is_the_nearest_of_all(typed: str, known: str) -> None:
    """The count for the beginning is the least over every beginning of the known word."""
    beginnings = [known[:end] for end in range(len(known) + 1)]

    assert slips(typed, known)[1] == min(slips(typed, beginning)[0] for beginning in beginnings)

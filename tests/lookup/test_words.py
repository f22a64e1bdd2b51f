"""Folding of texts and queries."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.lookup.words import folded, singular, telling, words


@pytest.mark.parametrize(
    ("text", "folded"),
    [
        ("Big-end nuts", ("big", "end", "nuts")),
        ("Main journal roughness, Ra (µm)", ("main", "journal", "roughness", "ra", "um")),
        ("CRK-09", ("crk", "09")),
        ("brass bush", ("brass", "bush")),
        ("½ gauge  Öl", ("1", "2", "gauge", "ol")),
        ("main.journal_out_of_round", ("main", "journal", "out", "of", "round")),
        ("<b>&amp;", ("b", "amp")),
        ("", ()),
        ("--", ()),
    ],
)
def test_text_folds_to_plain_words(text: str, folded: tuple[str, ...]) -> None:
    """Case, marks, hyphens and points go."""
    assert words(text) == folded


@pytest.mark.parametrize(
    ("query", "kept"),
    [
        ("what do I finish to", ("finish",)),
        ("the main clearance", ("main", "clearance")),
        ("run in", ("run", "in")),
        ("what", ("what",)),
        ("to the", ("to", "the")),
    ],
)
def test_small_words_are_set_aside_unless_nothing_else_is_typed(query: str, kept: tuple[str, ...]) -> None:
    """`in` is no small word: it tells `run in` from `run-out`."""
    assert telling(query) == kept


@pytest.mark.parametrize(
    ("word", "one"),
    [("nuts", "nut"), ("brass", "brass"), ("gas", "gas"), ("clearances", "clearance"), ("pres", "pre")],
)
def test_plural_loses_its_ending(word: str, one: str) -> None:
    """A word of three letters or in `ss` keeps it; `pres` is left to the ranking, which sees both."""
    assert singular(word) == one


def test_name_is_folded_into_telling_words_in_the_singular() -> None:
    """How a title stands in the index."""
    assert folded("The number of core plugs") == ("number", "core", "plug")


@given(st.text(max_size=60))
def test_folding_twice_is_folding_once(text: str) -> None:
    """A folded word is its own fold."""
    once = words(text)

    assert words(" ".join(once)) == once

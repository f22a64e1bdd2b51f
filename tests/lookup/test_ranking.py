"""The rules of the ranking, each worked out by hand, on the invented list of the vectors."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from builder.lookup import Index, as_data, rank


def hits(invented: Index, query: str, family: int | None = None) -> dict[str, int]:
    """The hits of a query by id, best first."""
    return {invented.subjects[hit.subject]: hit.points for hit in rank(invented, query, family).hits}


@pytest.mark.parametrize(
    ("query", "first", "points"),
    [
        ("ovality", "bore.out_of_round", 12 * 6 + 14 * 6 - 1),           # the whole of an own word
        ("end play", "crank.end_float", 2 * 12 * 6 + 14 * 6 - 2),        # the whole of an own phrase
        ("play end", "crank.end_float", 2 * 12 * 6 + 4 * 6 - 2),         # together, not in this order
        ("CRK-09", "main.clearance", 2 * 12 * 7 + 14 * 7 - 2),           # a code in two words
        ("crk09", "main.clearance", 12 * 7 + 14 * 7 - 1),                # a code in one
        ("main journal", "main.journal", 2 * 12 * 6 + 8 * 6 - 3),        # in a row in a title of three
        ("oval", "bore.out_of_round", (6 + 3 * 4 // 7) * 6 + 8 * 6 - 1), # begun
        ("ovalty", "bore.out_of_round", 5 * 6 + 8 * 6 - 1),              # one slip
        ("cleerence", "main.clearance", 3 * 6 + 8 * 6 - 2),              # two slips
        ("ovalt", "bore.out_of_round", (5 - 1) * 6 + 8 * 6 - 1),         # one slip, the end not typed
        ("whip", "crank.run_out", 12 * 5 + 14 * 5 - 1),                  # a term that leads to it
        ("pres", "oil.pressure", (6 + 3 * 4 // 8) * 6 + 8 * 6 - 3),  # half of `pressure`, not `pre`
        ("endfloat", "crank.end_float", 2 * 12 * 6 + 8 * 6 - 3),         # two words typed as one
    ],
)  # fmt: skip
def test_points_follow_the_rules(invented: Index, query: str, first: str, points: int) -> None:
    """Points times weight for each word, plus the best phrase that holds them all, less its length."""
    ranked = hits(invented, query)

    assert next(iter(ranked.items())) == (first, points)


def test_own_word_outranks_the_term_and_the_synonym(invented: Index) -> None:
    """`end play` is on one row, a term leads from it to the next, of the last it is only a synonym."""
    assert list(hits(invented, "end play")) == ["crank.end_float", "cam.end_float", "rod.side_clearance"]


def test_equals_stand_in_the_order_of_the_tables(invented: Index) -> None:
    """Nothing but the order of the tables tells these apart."""
    ranked = hits(invented, "oil clearance")

    assert list(ranked) == ["main.clearance", "rod.clearance"]
    assert ranked["main.clearance"] == ranked["rod.clearance"]


def test_what_matches_fewer_words_is_not_shown(invented: Index) -> None:
    """Both words are needed as long as anything has both."""
    assert list(hits(invented, "side clearance")) == ["rod.side_clearance"]
    assert rank(invented, "squish clearance").unmatched == 1


def test_family_chosen_counts_only_its_own(invented: Index) -> None:
    """Family 1 has no big end in this list."""
    assert "rod.clearance" in hits(invented, "oil clearance")
    assert list(hits(invented, "oil clearance", 1)) == ["main.clearance"]


def test_family_named_in_the_query_is_the_family_chosen(invented: Index) -> None:
    """`tallow` begins no known word, so it names the family."""
    ranking = rank(invented, "tallow oil clearance")

    assert ranking.family == 0
    assert hits(invented, "tallow oil clearance") == hits(invented, "oil clearance", 0)


def test_misspelling_is_tried_only_where_nothing_matches_plainly(invented: Index) -> None:
    """`bore` is a word of its own and no slip for another; `hwip` begins with another letter than `whip`."""
    assert list(hits(invented, "bore")) == ["main.bore", "bore.out_of_round"]
    assert hits(invented, "hwip") == {}


def test_no_words_give_everything_in_the_order_of_the_tables(invented: Index) -> None:
    """An empty box, or one with nothing but marks."""
    assert list(hits(invented, "")) == list(hits(invented, "--")) == list(invented.subjects)


def test_the_ranking_gives_the_shared_vectors(
    invented: Index, vectors: dict[str, Any], ranked: Callable[..., dict[str, Any]]
) -> None:
    """The index and every query of the file, which the browser runs too."""
    assert as_data(invented) == vectors["index"]
    for query in vectors["queries"]:
        expected = {key: query[key] for key in ("hits", "family", "unmatched")}
        assert ranked(invented, query["query"], query["chosen"]) == expected, query["query"]

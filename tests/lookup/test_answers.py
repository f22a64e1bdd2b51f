"""Answers to queries."""

from __future__ import annotations

import pytest

from builder.diagnostics import Fault
from builder.lookup import Lookup, find
from builder.manual import Manual


def test_an_answer_holds_the_rows_of_all_families_together(manual: Manual) -> None:
    """Without a family both end floats stand in one answer."""
    first, *_ = find(manual, "end play")

    assert first.name == "crank.end_float"
    assert [str(entry.engine.engine) for entry in first.entries] == [
        "pellbrook-35-eight",
        "tarnwick-222h-six",
    ]


def test_an_answer_for_one_family_holds_its_row_only(manual: Manual) -> None:
    """By id, by the beginning of a word of its name, or named in the query."""
    for answers in (
        find(manual, "end play", "tarnwick-222h-six"),
        find(manual, "end play", "tarn"),
        find(manual, "tarnwick end play"),
    ):
        assert [str(entry.engine.engine) for entry in answers[0].entries] == ["tarnwick-222h-six"]


def test_an_answer_names_the_mates_that_it_follows_from(manual: Manual) -> None:
    """Three mates make the clearance in shells, two the one in poured metal."""
    poured, shells = find(manual, "main clearance", limit=1)[0].entries

    assert poured.mates == ("main.bore", "main.journal")
    assert shells.mates == ("main.tunnel", "main.shell_wall", "main.journal")


def test_as_many_answers_are_given_as_are_asked_for(manual: Manual) -> None:
    """Five when nobody says how many; none where nothing is found."""
    assert [len(find(manual, "clearance", limit=limit)) for limit in (0, 1, 7)] == [0, 1, 7]
    assert len(find(manual, "clearance")) == 5
    assert find(manual, "squish") == ()


@pytest.mark.parametrize(
    ("name", "message", "hint"),
    [
        ("tarnwik", "`tarnwik` is no engine family", "write `tarnwick-222h-six`"),
        ("", "`` is no engine family", "write `pellbrook-35-eight` or `tarnwick-222h-six`"),
        (
            "invented",
            "`invented` means more than one engine family",
            "write `pellbrook-35-eight` or `tarnwick-222h-six`",
        ),
    ],
)
def test_a_family_that_is_not_there_is_a_fault(lookup: Lookup, name: str, message: str, hint: str) -> None:
    """The fault offers what is there."""
    with pytest.raises(Fault) as caught:
        lookup.family(name)

    assert (caught.value.message, caught.value.hint) == (message, hint)


def test_every_row_of_the_manual_can_be_answered(lookup: Lookup) -> None:
    """An empty query gives every characteristic, each with the rows of all families that have it."""
    answers = lookup.answers(lookup.rank(""), limit=1000)

    assert sum(len(answer.entries) for answer in answers) == sum(1 for _ in lookup.manual.rows())

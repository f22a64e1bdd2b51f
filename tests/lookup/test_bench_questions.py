"""Thirty questions as they are typed at the bench, with the first hit that a builder expects.

Common practice, no source: the words are those of the trade on both sides of the water, old ones and misspelt
ones among them. Every typed form must lead first to one of the expected rows of the demonstration manual.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from builder.lookup import Lookup
from builder.manual import Manual

QUESTIONS: dict[str, dict[str, list[str]]] = json.loads(
    (Path(__file__).parents[1] / "vectors" / "lookup" / "bench_questions.json").read_text("utf-8")
)
"""Thirty questions: each typed form with the rows that answer it."""


@pytest.mark.parametrize("question", QUESTIONS, ids=str)
def test_first_hit_answers_the_question(lookup: Lookup, question: str) -> None:
    """Every typed form of a question leads to a right row first, over both families."""
    firsts = {typed: first_hit(lookup, typed) for typed in QUESTIONS[question]}

    assert {typed for typed, first in firsts.items() if first not in QUESTIONS[question][typed]} == set()


def test_first_hits_stay_right_however_many_families_there_are(whole: Manual) -> None:
    """With every family of the demonstration, none of the typed forms goes astray."""
    every = Lookup(whole)
    wrong = {
        typed
        for forms in QUESTIONS.values()
        for typed, right in forms.items()
        if first_hit(every, typed) not in right
    }

    assert wrong == set()


def test_thirty_questions_are_asked(lookup: Lookup, record_property: pytest.RecordProperty) -> None:
    """How many questions, and how many of their typed forms, lead to a right row first."""
    forms = [(typed, right) for typed_forms in QUESTIONS.values() for typed, right in typed_forms.items()]
    good = sum(first_hit(lookup, typed) in right for typed, right in forms)
    record_property("typed forms right", f"{good} of {len(forms)}")
    print(f"\n{len(QUESTIONS)} questions, {good} of {len(forms)} typed forms lead to a right row first")  # noqa: T201

    assert len(QUESTIONS) == 30


@pytest.mark.parametrize(
    ("half", "first"),
    [
        ("gudgeon p", "pin.diameter"),
        ("crk-0", "main.journal"),
        ("fas-03", "head.torque"),
        ("carb", "carburettor.type"),
        ("thermo", "thermostat.opens"),
        ("oil pum cle", "oil_pump.gear_end_clearance"),
        ("plu ga", "plug.gap"),
        ("cam end", "cam.end_float"),
        ("vacume", "engine.idle_vacuum"),
        ("valvegap", "intake_valve.lash_hot"),
    ],
)
def test_half_a_word_will_do(lookup: Lookup, half: str, first: str) -> None:
    """Half words, half codes, two words in one, misspelt words."""
    assert first_hit(lookup, half) == first


def test_a_family_in_the_query_chooses_it(lookup: Lookup) -> None:
    """`tarnwick` names the six; the side-valve eight has no collapsed gap at all."""
    ranking = lookup.rank("tarnwick end play")

    assert ranking.family == 1
    assert lookup.index.subjects[ranking.hits[0].subject] == "crank.end_float"
    assert lookup.rank("collapsed gap", "pellbrook").unmatched == 1


def first_hit(lookup: Lookup, typed: str, family: str | None = None) -> str:
    """The id of the first hit, over all families or in one."""
    hits = lookup.rank(typed, family).hits
    return lookup.index.subjects[hits[0].subject] if hits else ""

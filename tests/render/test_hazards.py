"""Safety boxes."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.checklist import resolve
from builder.manual import Manual, load
from builder.model.base import Text
from builder.model.hazard import DEFERRAL, Message
from builder.render.hazards import SafetyBox, dangers, hazard_box, message_box

SHOP = Path(__file__).parents[2]


def message(**words: str) -> Message:
    """A message in place."""
    return Message(**{key: Text(word) for key, word in words.items()})


@pytest.mark.parametrize(
    ("severity", "word"),
    [
        ("death", "danger"), ("serious", "warning"), ("moderate", "caution"), ("minor", "caution"),
        ("damage", "notice"), ("bad", "warning"),
    ],
)  # fmt: skip
def test_signal_word_follows_from_the_worst_outcome(severity: str, word: str) -> None:
    """ANSI Z535.6 keeps three words for people (from memory); what is not known is a warning."""
    assert message_box(message(harm="person", severity=severity), None).word == word


def test_message_of_its_own_ends_with_the_deferral() -> None:
    """A message that names no hazard has its own words, and local codes after them."""
    box = message_box(
        message(
            harm="equipment",
            severity="damage",
            hazard="A loose bar.",
            consequence="It chatters.",
            avoid="Lock it.",
            as_printed="Caution",
        ),
        None,
    )

    assert box == SafetyBox(
        word="notice",
        shown="Notice",
        harm="equipment",
        label="Notice: A loose bar.",
        hazard="A loose bar.",
        consequence="It chatters.",
        avoid="Lock it.",
        protect="",
        defer=DEFERRAL,
        printed="The book prints: Caution.",
    )


def test_hazard_lists_its_protective_equipment(small: Manual) -> None:
    """A declared hazard brings what to wear and its own deferral into the box."""
    box = hazard_box(small.hazards[Text("lead")])

    assert (box.word, box.protect, box.defer) == (
        "warning",
        "respirator and gloves",
        "Follow the local rules for lead work.",
    )


def test_sheet_lists_what_can_hurt_the_worst_first_with_its_steps() -> None:
    """Signal word, hazard, and whether it holds throughout or in which steps, on page and paper alike."""
    manual, _ = load(SHOP)
    engine = manual.engines["tarnwick-222h-six"]
    found = dangers(resolve(manual, engine, manual.procedures["lay-in-crankshaft"]))

    assert found == (
        "danger: Asbestos in old gaskets, packings and linings, step 2",
        "danger: Lifting an engine, throughout",
        "warning: Hot and frozen parts, throughout",
    )

"""Hazards and the safety messages that stand before a step."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from builder.model.base import StrictModel, Text, Word, Words

HARMS = ("person", "equipment")
SEVERITIES = {"person": ("death", "serious", "moderate", "minor"), "equipment": ("damage",)}
SIGNAL_WORDS = {
    "death": "danger",
    "serious": "warning",
    "moderate": "caution",
    "minor": "caution",
    "damage": "notice",
}
"""ANSI Z535.6 reserves its three injury words for harm to people; damage alone is a notice (from memory)."""

DEFERRAL = "Local codes, and licensed or trained practice, come before this sheet."


class Message(StrictModel):
    """A safety message in place, or the id of a declared hazard."""

    hazard_id: Word | None = None
    """The declared hazard; the rest is then empty."""
    harm: Word | None = None
    """Who or what is harmed: person or equipment."""
    severity: Word | None = None
    """The worst credible outcome."""
    hazard: Word | None = None
    """What the danger is."""
    consequence: Word | None = None
    """What it does."""
    avoid: Word | None = None
    """How to keep clear of it."""
    as_printed: Word | None = None
    """A book's own signal word, kept as printed."""


class Hazard(StrictModel):
    """A hazard of the trade, declared once."""

    code: Word | None = None
    """The short code, as in Z02."""
    title: Word
    """Its name."""
    harm: Word
    """Who or what is harmed: person or equipment."""
    severity: Word
    """The worst credible outcome."""
    hazard: Word
    """What the danger is."""
    consequence: Word
    """What it does."""
    avoid: Word
    """How to keep clear of it."""
    protect: Words = ()
    """Protective equipment."""
    defer: Word
    """The deferral to local codes and to licensed or trained practice."""
    words: Words = ()
    """Words in a step that imply it."""
    as_printed: Word | None = None
    """A book's own signal word, kept as printed."""
    source: Word | None = None
    """Where the facts are from."""


def messages_of(tree: Any) -> Any:  # noqa: ANN401 - whatever stands in the file
    """Let a hazard's id alone stand for a message."""
    items = tree if isinstance(tree, list | tuple) else [tree]
    return tuple({"hazard_id": item} if isinstance(item, Text) else item for item in items)


Messages = Annotated[tuple[Message, ...], BeforeValidator(messages_of), Field(default=())]

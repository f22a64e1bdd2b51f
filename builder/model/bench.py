"""What stands beside the engines: instruments and terms."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

from pydantic import PlainValidator, WithJsonSchema

from builder.model.base import StrictModel, Text, Word, Words, items_of, word_of
from builder.model.engine import Source
from builder.model.written import CitedText, ExactField


class Instrument(StrictModel):
    """An instrument: what it resolves, how far it can be trusted, how it is set."""

    title: Word
    """Its name."""
    code: Word | None = None
    """The short code on gauge tags, as in OM."""
    reads: ExactField | None = None
    """Its resolution."""
    uncertainty: CitedText | None = None
    """Its expanded uncertainty at k = 2, with where the figure comes from."""
    setting: Word | None = None
    """How it is set and zeroed."""
    misuse: Word | None = None
    """How it is usually misused."""
    words: Words = ()
    """Other names."""


class Term(StrictModel):
    """A word of the trade: the preferred one, and what else people say."""

    meaning: Word
    """What it is."""
    british: Words = ()
    """Said in Britain."""
    american: Words = ()
    """Said in America."""
    old: Words = ()
    """Said in old books."""
    also: Words = ()
    """Said elsewhere in the trade."""
    misspelt: Words = ()
    """Usual misspellings."""
    see: Words = ()
    """Characteristics it leads to."""
    refuse: Words = ()
    """Synonyms that procedures do not use."""

    def synonyms(self) -> tuple[Text, ...]:
        """Every other word for it, misspellings last."""
        return (*self.british, *self.american, *self.old, *self.also, *self.misspelt)


class SharedSources(StrictModel):
    """The sources that all families may cite."""

    sources: dict[Word, Source]
    """By id."""


def texts_of(tree: object) -> Mapping[Text, Text]:
    """Read a mapping of words to words."""
    return {key: word_of(value) for key, value in items_of(tree)}


Texts = Annotated[
    Mapping[Text, Text],
    PlainValidator(texts_of),
    WithJsonSchema({"type": "object", "additionalProperties": {"type": ["string", "integer"]}}),
]

"""The index of the look-up: every phrase under which a characteristic can be found, prepared once.

A phrase is a name, an id, a code or a synonym as folded words. Phrases, and the lists of characteristics that
share them, stand here once however many characteristics use them, so that the index stays small: twenty
thousand rows of a hundred families share two hundred names.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from enum import IntEnum
from functools import cached_property
from typing import Any

VERSION = 1


class Field(IntEnum):
    """Where a phrase comes from; the number is what a match in it weighs."""

    ID = 3
    SYNONYM = 4
    TERM = 5
    NAME = 6
    CODE = 7


@dataclass(frozen=True)
class Family:
    """An engine family as the index knows it: its id and the words that name it."""

    id: str
    words: tuple[str, ...]


@dataclass(frozen=True)
class Subject:
    """A characteristic by id, the families that have it (by number), its phrases and where they come from."""

    id: str
    families: tuple[int, ...]
    phrases: tuple[tuple[Field, tuple[str, ...]], ...]


@dataclass(frozen=True)
class Phrase:
    """A phrase as numbers of words, and its uses: where it comes from, which list of subjects uses it so."""

    words: tuple[int, ...]
    uses: tuple[tuple[int, int], ...]


@dataclass(frozen=True)
class Index:
    """Everything that ranking needs, by number: words in alphabetical order, phrases, subjects, families."""

    families: tuple[Family, ...]
    words: tuple[str, ...]
    phrases: tuple[Phrase, ...]
    lists: tuple[tuple[int, ...], ...]
    subjects: tuple[str, ...]
    had_by: tuple[tuple[int, ...], ...]
    """The families of each subject."""

    @cached_property
    def phrases_of(self) -> tuple[tuple[int, ...], ...]:
        """The phrases that hold each word."""
        found: list[dict[int, None]] = [{} for _ in self.words]
        for number, phrase in enumerate(self.phrases):
            for word in phrase.words:
                found[word][number] = None
        return tuple(tuple(phrases) for phrases in found)

    def beginning(self, start: str) -> range:
        """The numbers of the words that begin with `start`."""
        first = bisect_left(self.words, start)
        last = first
        while last < len(self.words) and self.words[last].startswith(start):
            last += 1
        return range(first, last)

    def number_of(self, word: str) -> int | None:
        """The number of a word, None if it is not known."""
        place = bisect_left(self.words, word)
        return place if place < len(self.words) and self.words[place] == word else None


def index_of(families: Iterable[Family], subjects: Iterable[Subject]) -> Index:
    """Build the index; the order of the subjects settles what ranks equal."""
    every = tuple(subjects)
    words = tuple(sorted({word for subject in every for _, phrase in subject.phrases for word in phrase}))
    number = {word: place for place, word in enumerate(words)}
    lists: dict[tuple[int, ...], int] = {}
    phrases = [
        Phrase(
            tuple(number[word] for word in phrase),
            tuple((int(field), lists.setdefault(users, len(lists))) for field, users in uses),
        )
        for phrase, uses in _phrases(every)
    ]
    return Index(
        families=tuple(families),
        words=words,
        phrases=tuple(phrases),
        lists=tuple(lists),
        subjects=tuple(subject.id for subject in every),
        had_by=tuple(subject.families for subject in every),
    )


_Uses = list[tuple[Field, tuple[int, ...]]]


def _phrases(subjects: tuple[Subject, ...]) -> Iterator[tuple[tuple[str, ...], _Uses]]:
    """Every phrase in alphabetical order with its uses, the weightiest first; a subject uses it once."""
    users: dict[tuple[str, ...], dict[int, Field]] = {}
    for number, subject in enumerate(subjects):
        for field, phrase in subject.phrases:
            known = users.setdefault(phrase, {})
            known[number] = max(field, known.get(number, field))
    for phrase in sorted(users):
        by_field: dict[Field, list[int]] = {}
        for number, field in users[phrase].items():
            by_field.setdefault(field, []).append(number)
        yield phrase, [(field, tuple(by_field[field])) for field in sorted(by_field, reverse=True)]


def as_data(index: Index) -> Mapping[str, Any]:
    """The index as plain data for the browser, which ranks by it as `rank` does.

    Lists of lists are written flat, the length of each beside them: a browser reads one long list of numbers
    many times faster than many short ones.
    """
    uses = [tuple(part for use in phrase.uses for part in use) for phrase in index.phrases]
    return {
        "version": VERSION,
        "families": [[family.id, list(family.words)] for family in index.families],
        "words": " ".join(index.words),
        "phrases": _flat(phrase.words for phrase in index.phrases),
        "uses": _flat(uses),
        "lists": _flat(map(_steps, index.lists)),
        "subjects": " ".join(index.subjects),
        "had_by": _packed(index.had_by),
    }


def _flat(rows: Iterable[tuple[int, ...]]) -> list[list[int]]:
    """The length of each row, then all their numbers."""
    every = tuple(rows)
    return [[len(row) for row in every], [number for row in every for number in row]]


def _steps(numbers: tuple[int, ...]) -> tuple[int, ...]:
    """Rising numbers as the first one and the steps between them, which are short to write."""
    return tuple(number - before for before, number in zip((0, *numbers), numbers, strict=False))


def _packed(groups: tuple[tuple[int, ...], ...]) -> list[Any]:
    """Each different group once, then for each subject which one is its own."""
    known: dict[tuple[int, ...], int] = {}
    own = [known.setdefault(group, len(known)) for group in groups]
    return [[list(group) for group in known], own]

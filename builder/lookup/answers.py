"""Answers: the characteristics that a query means, with every family's row and its place in the work."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cached_property

from builder.diagnostics import Fault
from builder.formula import names_of
from builder.lookup.index import Index
from builder.lookup.ranking import Ranking, rank
from builder.lookup.subjects import manual_index
from builder.lookup.traces import Key, Trace, traces
from builder.lookup.words import words
from builder.manual import Manual, row
from builder.model.engine import Engine
from builder.model.spec import BasicRow, LimitRow

MOST = 5
"""How many answers are given when nobody says how many."""


@dataclass(frozen=True)
class Entry:
    """One family's row of a characteristic, the mates that it follows from, where it turns up in the work."""

    engine: Engine
    name: str
    row: BasicRow
    mates: tuple[str, ...]
    trace: Trace


@dataclass(frozen=True)
class Answer:
    """A characteristic that a query means: the rows of all families that have it, or of the one asked for."""

    name: str
    entries: tuple[Entry, ...]


@dataclass(frozen=True)
class Lookup:
    """A manual made ready for questions."""

    manual: Manual

    @cached_property
    def index(self) -> Index:
        """The phrases under which its characteristics are found."""
        return manual_index(self.manual)

    @cached_property
    def numbers(self) -> Mapping[str, int]:
        """The number of each characteristic in the index."""
        return {name: number for number, name in enumerate(self.index.subjects)}

    @cached_property
    def traces(self) -> Mapping[Key, Trace]:
        """Where they turn up in the work."""
        return traces(self.manual)

    def rank(self, query: str, engine: str | None = None) -> Ranking:
        """Rank the characteristics for a query, of one family or of all.

        `engine` is a family's id, or beginnings of words of its name that fit no other.

        Raises:
            Fault: no family, or more than one, goes by that name.
        """
        return rank(self.index, query, self.family(engine) if engine else None)

    def family(self, name: str) -> int:
        """The number of the family that goes by `name`."""
        ids = [family.id for family in self.index.families]
        if name in ids:
            return ids.index(name)
        asked = words(name)
        found = [
            number
            for number, family in enumerate(self.index.families)
            if asked and all(any(own.startswith(word) for own in family.words) for word in asked)
        ]
        if len(found) == 1:
            return found[0]
        near = [ids[number] for number in found] or get_close_matches(name, ids, 1, 0.3) or ids
        fault = "means more than one engine family" if found else "is no engine family"
        raise Fault(f"`{name}` {fault}", f"write {' or '.join(f'`{each}`' for each in near)}")

    def answers(self, ranking: Ranking, engine: str | None = None, limit: int = MOST) -> tuple[Answer, ...]:
        """The first `limit` hits with their rows: those of the family asked for, or of all that have them."""
        chosen = self.family(engine) if engine else ranking.family
        return tuple(self._answer(hit.subject, chosen) for hit in ranking.hits[:limit])

    def _answer(self, subject: int, chosen: int | None) -> Answer:
        families = self.index.had_by[subject] if chosen is None else (chosen,)
        engines = [self.manual.engines[self.index.families[number].id] for number in families]
        name = self.index.subjects[subject]
        return Answer(name, tuple(entry for engine in engines if (entry := self.entry(engine, name))))

    def entry(self, engine: Engine, name: str) -> Entry | None:
        """A family's row of a characteristic, None if it has none."""
        found = row(engine, name)
        if found is None:
            return None
        trace = self.traces.get((str(engine.engine), name), Trace())
        return Entry(engine, name, found, _mates(engine, found), trace)


def find(manual: Manual, query: str, engine: str | None = None, limit: int = MOST) -> tuple[Answer, ...]:
    """The answers to a query, best first; `engine` as `Lookup.rank` takes it, which also raises its Fault."""
    lookup = Lookup(manual)
    return lookup.answers(lookup.rank(query, engine), engine, limit)


def _mates(engine: Engine, found: BasicRow) -> tuple[str, ...]:
    """The characteristics in the formula that a row follows from."""
    if not isinstance(found, LimitRow) or found.follows is None:
        return ()
    names = dict.fromkeys(name.name for name in names_of(found.follows.node))
    return tuple(name for name in names if row(engine, name) is not None)

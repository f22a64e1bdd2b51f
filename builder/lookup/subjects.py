"""What a manual's characteristics are found under: names, codes, own words, what the trade calls them.

Families that share an id share one subject. The table of terms adds synonyms twice: to the characteristics
that a term leads to (`see`), and to those whose name holds the term or a longer name that means the same.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Final

from builder.lookup.index import Family, Field, Index, Subject, index_of
from builder.lookup.words import folded, singular, words
from builder.manual import Manual
from builder.model.bench import Term
from builder.model.engine import Engine
from builder.model.spec import BasicRow

Phrase = tuple[str, ...]
Synonyms = Mapping[Phrase, tuple[Phrase, ...]]
"""What else is said for a phrase that stands in a name."""

_CODE: Final = re.compile(r"([a-z]+)0*(\d+[a-z]?)")


def manual_index(manual: Manual) -> Index:
    """The index of a manual; subjects stand in the order of the spec tables."""
    engines = tuple(manual.engines.values())
    order = in_order(tuple(map(str, engine.specs)) for engine in engines)
    rows: dict[str, list[tuple[int, BasicRow]]] = {name: [] for name in order}
    for number, engine in enumerate(engines):
        for name, row in engine.specs.items():
            rows[str(name)].append((number, row))
    led, synonyms = _led_to(manual.terms), _synonyms(manual.terms)
    return index_of(
        (_family(engine) for engine in engines),
        (_subject(name, found, led.get(name, ()), synonyms) for name, found in rows.items()),
    )


def in_order(tables: Iterable[tuple[str, ...]]) -> tuple[str, ...]:
    """One order for the names of several tables: what only a later one has stands before its next there."""
    before: dict[str, str] = {}
    known = {""}
    for table in tables:
        next_name = ""
        for name in reversed(table):
            if name not in known:
                known.add(name)
                before[name] = before.get(next_name, "")
                before[next_name] = name
            next_name = name
    order, name = [], before.get("", "")
    while name:
        order.append(name)
        name = before[name]
    return tuple(reversed(order))


def _family(engine: Engine) -> Family:
    return Family(str(engine.engine), tuple(dict.fromkeys(words(f"{engine.engine} {engine.title}"))))


def _subject(
    name: str, rows: list[tuple[int, BasicRow]], led: Iterable[Phrase], synonyms: Synonyms
) -> Subject:
    own = dict.fromkeys(phrase for _, row in rows for phrase in _own_phrases(row))
    named = [phrase for field, phrase in own if field is Field.NAME]
    more = [(Field.TERM, phrase) for phrase in led]
    more += ((Field.SYNONYM, phrase) for phrase in _said_for(named, synonyms))
    phrases = dict.fromkeys(((Field.ID, tuple(map(singular, words(name)))), *own, *more))
    return Subject(name, tuple(number for number, _ in rows), tuple(pair for pair in phrases if pair[1]))


def _own_phrases(row: BasicRow) -> Iterator[tuple[Field, Phrase]]:
    """The phrases that a row itself gives."""
    yield Field.NAME, folded(row.title)
    yield from ((Field.NAME, folded(word)) for word in row.words)
    yield from ((Field.CODE, phrase) for phrase in _code_phrases(str(row.code or "")))


def _code_phrases(code: str) -> Iterator[Phrase]:
    """`CRK-09` as it is typed: in two words, in one, and without the nought; nothing of an empty code."""
    parts = words(code)
    joined = "".join(parts)
    found = _CODE.fullmatch(joined)
    yield parts
    yield (joined,) if joined else ()
    yield (found[1] + found[2],) if found else ()


def phrases_of(name: str, term: Term) -> tuple[Phrase, ...]:
    """A term and everything that is said for it, folded."""
    said = (name, *term.synonyms(), *term.refuse)
    return tuple(dict.fromkeys(phrase for text in said if (phrase := folded(text))))


def _led_to(terms: Mapping[str, Term]) -> Mapping[str, list[Phrase]]:
    """The phrases that lead to each characteristic."""
    led: dict[str, list[Phrase]] = {}
    for name, term in terms.items():
        for target in term.see:
            led.setdefault(str(target), []).extend(phrases_of(str(name), term))
    return led


def _synonyms(terms: Mapping[str, Term]) -> Synonyms:
    """What else is said for each term, by the term and by every longer name that means the same."""
    found: dict[Phrase, dict[Phrase, None]] = {}
    for name, term in terms.items():
        said = phrases_of(str(name), term)
        longer = (folded(text) for text in (*term.british, *term.american, *term.old))
        for held in (said[0], *(phrase for phrase in longer if len(phrase) > 1)):
            found.setdefault(held, {}).update(dict.fromkeys(said))
    return {held: tuple(said) for held, said in found.items()}


def _said_for(named: Iterable[Phrase], synonyms: Synonyms) -> Iterator[Phrase]:
    """What else is said for any stretch of the names."""
    for phrase in named:
        for start in range(len(phrase)):
            for end in range(start + 1, len(phrase) + 1):
                yield from synonyms.get(phrase[start:end], ())

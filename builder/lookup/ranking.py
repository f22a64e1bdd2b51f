"""Ranking: which characteristics a query means, best first. The browser ranks by the same rules.

The rules, all in whole numbers:

1. The query is folded into words; small words are set aside unless nothing else is typed (`words`).
2. A word matches a known word that it equals (12 points) or begins (6 points, and up to 3 more for the share
   typed), in the plural or in the singular; but where the plural itself begins a known word (`pres`), the
   singular matches only what it equals, as if it hardly began it (6 points). A word that matches nothing so
   is taken for the name of a family where it begins a word of that name; else for two known words where it
   is two typed as one; else for a misspelling: same first letter, as few slips as possible and no more than
   its length forgives (5 points for one, 3 for two, one less where the rest of the known word is not typed).
3. A characteristic gets, for each word of the query, the most of points times weight over its phrases; the
   weight is that of the phrase: id 3, synonym 4, term that leads to it 5, title or own word 6, code 7.
4. A phrase that holds every word of the query adds its weight 4 times; 8 times if they stand in a row in the
   order typed; 14 times if they are the whole phrase, each exactly. One is taken off for each word of the
   phrase, and the best phrase counts.
5. What matches more words of the query stands before what matches fewer, and the latter is not shown. Then
   more points stand before fewer, then the order of the spec tables.
6. With a family chosen or named in the query, only its characteristics count.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from builder.lookup.index import Index
from builder.lookup.near import LONGEST, slips, slips_allowed
from builder.lookup.words import singular, telling

EXACT: Final = 12
BEGUN, BEGUN_SHARE = 6, 3
EQUALS_IN_SINGULAR: Final = 6
MISSPELT: Final = {1: 5, 2: 3}
TOGETHER, IN_A_ROW, WHOLE = 4, 8, 14
NAME_FROM: Final = 3
"""The fewest letters that can mean a family, or one of two words typed as one."""
MOST_WORDS: Final = 8
"""Words of a query beyond these are left out."""

Points = Mapping[int, int]
"""What a word of the query earns by each known word, by number."""


@dataclass(frozen=True)
class Hit:
    """One characteristic, by its number in the index, and its points."""

    subject: int
    points: int


@dataclass(frozen=True)
class Ranking:
    """The hits, best first; the family that the query itself names; how many of its words no hit matches."""

    hits: tuple[Hit, ...]
    family: int | None
    unmatched: int


def rank(index: Index, query: str, family: int | None = None) -> Ranking:
    """Rank the characteristics for `query`; without a word, or with none but a family's name, all of them."""
    words, named = _understood(index, telling(query)[:MOST_WORDS])
    chosen = named if family is None else family
    if not words:
        every = (number for number in range(len(index.subjects)) if _has(index, number, chosen))
        return Ranking(tuple(Hit(number, 0) for number in every), named, 0)
    points, bonus = _counted(index, words)
    tallies = [
        (sum(map(bool, row)), sum(row) + bonus.get(number, 0), number)
        for number, row in points.items()
        if _has(index, number, chosen)
    ]
    most = max((matched for matched, _, _ in tallies), default=0)
    best = sorted((-total, number) for matched, total, number in tallies if matched == most)
    return Ranking(tuple(Hit(number, -total) for total, number in best), named, len(words) - most)


def _has(index: Index, subject: int, family: int | None) -> bool:
    return family is None or family in index.had_by[subject]


def _understood(index: Index, words: tuple[str, ...]) -> tuple[list[Points], int | None]:
    """What each word earns by which known words, and the family that the words name."""
    earned: list[Points] = []
    family = None
    for word in words:
        found = _plainly(index, word)
        named = None if found or family is not None else _family(index, word)
        if named is not None:
            family = named
            continue
        earned += [found] if found else _parted(index, word) or [_misspelt(index, singular(word))]
    return earned[:MOST_WORDS], family


def _plainly(index: Index, word: str) -> Points:
    """The known words that `word` equals or begins, in the plural or in the singular."""
    begun, one = _begun(index, word), singular(word)
    if not begun:
        return _begun(index, one)
    known = index.number_of(one) if one != word else None
    return begun if known is None else {known: EQUALS_IN_SINGULAR, **begun}


def _begun(index: Index, word: str) -> Points:
    """The known words that `word` equals or begins as it is."""
    length = len(word)
    known = {number: len(index.words[number]) for number in index.beginning(word)}
    return {
        number: EXACT if other == length else BEGUN + BEGUN_SHARE * length // other
        for number, other in known.items()
    }


def _family(index: Index, word: str) -> int | None:
    """The first family one of whose words `word` begins."""
    if len(word) < NAME_FROM:
        return None
    for number, family in enumerate(index.families):
        if any(name.startswith(word) for name in family.words):
            return number
    return None


def _parted(index: Index, word: str) -> list[Points] | None:
    """The two known words that were typed as one; of several partings the one with the longest first word."""
    for cut in range(len(word) - NAME_FROM, NAME_FROM - 1, -1):
        first = index.number_of(word[:cut])
        rest = _plainly(index, word[cut:]) if first is not None else None
        if first is not None and rest:
            return [{first: EXACT}, rest]
    return None


def _misspelt(index: Index, word: str) -> Points:
    """The known words that are nearest to `word`, where any is near enough."""
    allowed = slips_allowed(word)
    near: dict[int, tuple[int, int]] = {}
    candidates = index.beginning(word[0]) if allowed else range(0)
    for number in (number for number in candidates if len(index.words[number]) <= LONGEST):
        whole, begun = slips(word, index.words[number])
        if begun <= allowed:
            near[number] = (begun, MISSPELT[begun] - (begun < whole))
    least = min((count for count, _ in near.values()), default=0)
    return {number: points for number, (count, points) in near.items() if count == least}


def _counted(index: Index, words: list[Points]) -> tuple[dict[int, list[int]], dict[int, int]]:
    """For each subject the most that each word of the query earns, and the bonus of its best phrase."""
    earned: dict[int, list[int]] = {}
    bonus: dict[int, int] = {}
    touched = {phrase for word in words for known in word for phrase in index.phrases_of[known]}
    for number in touched:
        phrase = index.phrases[number]
        best = [max((word.get(known, 0) for known in phrase.words), default=0) for word in words]
        times = _times(phrase.words, words) if all(best) else 0
        for weight, users in phrase.uses:
            extra = times * weight - len(phrase.words) if times else 0
            for subject in index.lists[users]:
                row = earned.setdefault(subject, [0] * len(words))
                row[:] = map(max, row, (points * weight for points in best))
                bonus[subject] = max(bonus.get(subject, 0), extra)
    return earned, bonus


def _times(phrase: tuple[int, ...], words: list[Points]) -> int:
    """How many times a phrase that holds every word of the query adds its weight."""
    for start in range(len(phrase) - len(words) + 1):
        run = [word.get(known, 0) for word, known in zip(words, phrase[start:], strict=False)]
        if all(run):
            whole = len(phrase) == len(words) and min(run) == EXACT
            return WHOLE if whole else IN_A_ROW
    return TOGETHER

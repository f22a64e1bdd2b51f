"""The browser's ranking against Python's: the shared vectors, and mutilated queries over the manual."""

from __future__ import annotations

from collections.abc import Callable
from random import Random
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from builder.lookup import Lookup, as_data
from builder.lookup.near import slips
from builder.lookup.words import folded, words

Browser = Callable[[dict[str, Any]], Any]
Ranked = Callable[..., dict[str, Any]]
ROUNDS = 1500
KEYS = "abcdefghijklmnopqrstuvwxyz -./09éµ"


def test_the_browser_gives_the_shared_vectors(browser: Browser, vectors: dict[str, Any]) -> None:
    """Every query of the file: the same hits in the same order with the same points."""
    browser({"index": vectors["index"]})

    for query in vectors["queries"]:
        found = browser({"query": query["query"], "family": query["chosen"]})
        assert found == {key: query[key] for key in ("hits", "family", "unmatched")}, query["query"]


def test_both_rank_mutilated_queries_alike(browser: Browser, lookup: Lookup, ranked: Ranked) -> None:
    """Words of the manual, cut short, run together, with letters lost, added, changed and swapped."""
    random = Random(20260)  # noqa: S311 - a test that is the same every time
    browser({"index": as_data(lookup.index)})

    for _ in range(ROUNDS):
        query, family = mutilated(random, lookup), random.choice([-1, 0, 1])
        assert browser({"query": query, "family": family}) == ranked(lookup.index, query, family), query


def mutilated(random: Random, lookup: Lookup) -> str:
    """One to four words of the manual, or a family's, each hurt in some way or whole."""
    names = [word for family in lookup.index.families for word in family.words]
    known = [
        random.choice([*random.sample(lookup.index.words, 12), *names]) for _ in range(random.randint(1, 4))
    ]
    return random.choice([" ", " ", "-", ""]).join(hurt(random, word) for word in known)


def hurt(random: Random, word: str) -> str:
    """A word as somebody in a hurry types it."""
    place = random.randrange(len(word))
    ways = [
        word,
        word[: place + 1],
        word[:place] + word[place + 1 :],
        word[:place] + random.choice(KEYS) + word[place:],
        word[:place] + random.choice(KEYS) + word[place + 1 :],
        word[:place] + word[place + 1 : place + 2] + word[place : place + 1] + word[place + 2 :],
        word.upper() + "s",
    ]
    return random.choice(ways)


def test_both_fold_every_character_alike(browser: Browser) -> None:
    """Each character between two letters, over the whole first plane of Unicode."""
    characters = [chr(code) for code in range(0x20, 0x10000) if not 0xD800 <= code <= 0xDFFF]

    for start in range(0, len(characters), 256):
        text = " ".join(f"a{character}b" for character in characters[start : start + 256])
        assert browser({"words": text}) == {"words": list(words(text)), "folded": list(folded(text))}


@settings(max_examples=300, deadline=None)
@given(text=st.text(max_size=40))
def test_both_fold_any_text_alike(browser: Browser, text: str) -> None:
    """Any characters at all, those that no keyboard has among them."""
    assert browser({"words": text}) == {"words": list(words(text)), "folded": list(folded(text))}


@settings(max_examples=200, deadline=None)
@given(typed=st.text("abcd", max_size=8), known=st.text("abcd", max_size=8))
def test_both_count_slips_alike(browser: Browser, typed: str, known: str) -> None:
    """The whole and the nearest beginning."""
    assert tuple(browser({"slips": [typed, known]})) == slips(typed, known)

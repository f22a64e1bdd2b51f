"""Folding: what a text and a typed query have in common once case, marks, hyphens and plurals are set aside.

The browser folds by the same rules (`assets/js/lookup-words.js`), so every rule here is one that both can
state: compatibility decomposition, lower case, a closed set of letters, one plural ending, a list of small
words. Letters on which two versions of Unicode may differ are left out: those beyond the first 65,536, and
two blocks that still grow.
"""

from __future__ import annotations

import re
import unicodedata
from typing import Final

_UNSETTLED: Final = re.compile("[\u1c80-\u1c8f\ua720-\ua7ff\U00010000-\U0010ffff]")
_MARKS: Final = re.compile("[\u0300-\u036f]")
_GAPS: Final = re.compile("[^a-z0-9\u00c0-\u00d6\u00d8-\u00f6\u00f8-\u1fff\u3040-\ud7ff\uf900-\ufdff]+")

_SMALL = "a an and are at do does for how i is it its many much my of on or should the to what whats with"
SMALL: Final = frozenset(_SMALL.split())
"""Words that say nothing about a characteristic; they count only when nothing else is typed."""

PLURAL_FROM: Final = 4
"""The fewest letters of a word that loses its plural `s`."""


def words(text: str) -> tuple[str, ...]:
    """The words of `text`, folded, in order: `Big-end nuts, Ø` gives `big`, `end`, `nuts`, `ø`."""
    plain = _MARKS.sub("", unicodedata.normalize("NFKD", _UNSETTLED.sub(" ", text))).lower()
    return tuple(word for word in _GAPS.split(plain.replace("\u03bc", "u")) if word)


def telling(text: str) -> tuple[str, ...]:
    """The words of `text` without the small ones, or with them where there are no others."""
    every = words(text)
    return tuple(word for word in every if word not in SMALL) or every


def folded(text: str) -> tuple[str, ...]:
    """The telling words of `text`, each in the singular: how a name or a synonym stands in the index."""
    return tuple(map(singular, telling(text)))


def singular(word: str) -> str:
    """A word without the `s` of its plural."""
    plural = len(word) >= PLURAL_FROM and word.endswith("s") and not word.endswith("ss")
    return word[:-1] if plural else word

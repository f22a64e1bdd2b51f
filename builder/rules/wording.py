"""How a finding offers the right word: the nearest of those that are known."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches


def nearest(word: str, known: Iterable[str], otherwise: str) -> str:
    """`write `main.clearance``, the known word most like this one; `otherwise` where none is."""
    near = get_close_matches(word, list(known), 1)
    return f"write `{near[0]}`" if near else otherwise


def listed(words: Iterable[str], most: int = 4) -> str:
    """Words in backticks with commas, the last ones left out where there are more than `most`."""
    every = list(words)
    shown = ", ".join(f"`{word}`" for word in every[:most])
    return shown if len(every) <= most else f"{shown} and {len(every) - most} more"

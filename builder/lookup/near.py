"""How near a misspelt word is to a known one: letters left out, put in, changed, or neighbours swapped."""

from __future__ import annotations

from typing import Final

LONGEST: Final = 64
"""The most letters of a word, typed or known, that is looked at for slips."""
ONE_SLIP_FROM: Final = 4
TWO_SLIPS_FROM: Final = 7
"""The fewest letters of a word in which one or two slips are forgiven; in a shorter one none is."""


def slips_allowed(word: str) -> int:
    """How many slips are forgiven in a word of this length."""
    if len(word) > LONGEST:
        return 0
    return (len(word) >= ONE_SLIP_FROM) + (len(word) >= TWO_SLIPS_FROM)


def slips(typed: str, known: str) -> tuple[int, int]:
    """The fewest slips from `typed` to the whole of `known`, and to the beginning of it that is nearest.

    Optimal string alignment: no stretch of letters is changed twice.
    """
    before: list[int] = []
    row = list(range(len(known) + 1))
    for number, letter in enumerate(typed, 1):
        before, above = row, before
        row = [number]
        for place, other in enumerate(known, 1):
            least = min(before[place] + 1, row[place - 1] + 1, before[place - 1] + (letter != other))
            if number > 1 and place > 1 and letter == known[place - 2] and other == typed[number - 2]:
                least = min(least, above[place - 2] + 1)
            row.append(least)
    return row[-1], min(row)

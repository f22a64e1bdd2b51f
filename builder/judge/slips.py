"""Slips of the pen and of the gauge: a reading that only makes sense as another reading wrongly taken.

Common practice, no source: a size step forgotten or taken twice, a decimal point slipped, millimetres written
for inches, two neighbouring digits exchanged. Such a reading is retaken before anything is decided on it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from builder.judge.bounds import Band

INCH = Fraction(254, 10)
TEN = Fraction(10)


def slip(
    typed: str, value: Fraction, band: Band, mates: Sequence[Fraction], steps: Sequence[tuple[Fraction, str]]
) -> str:
    """Why a reading is suspect, in words; empty when it is not.

    Args:
        typed: the digits as typed, for exchanged digits.
        value: the reading in SI base units.
        band: the limit in force.
        mates: the other readings of the same grid that lie inside their limit, in SI base units.
        steps: the size steps that are listed for this size, each with its words.
    """
    beyond = band.beyond(value)
    if not beyond:
        return ""
    among = _Among(band, mates)
    for other, words in _others(value, steps):
        if among.holds(other):
            return words
    if band.width is not None and mates and beyond > band.width:
        return _exchanged(typed, value, among)
    return ""


class _Among:
    """The stretch in which the mates lie; without mates, the limit itself."""

    def __init__(self, band: Band, mates: Sequence[Fraction]) -> None:
        self.low = min(mates) if mates else band.low
        self.high = max(mates) if mates else band.high

    def holds(self, value: Fraction) -> bool:
        """Whether a value lies in it."""
        return self.low is not None and self.high is not None and self.low <= value <= self.high


def _others(value: Fraction, steps: Sequence[tuple[Fraction, str]]) -> Iterator[tuple[Fraction, str]]:
    """What the reading may have been meant to be, and the slip that made it what it is."""
    for step, words in steps:
        yield value - step, f"it is exactly the size step {words} over its mates"
        yield value + step, f"it is exactly the size step {words} under its mates"
    yield value / TEN, "the decimal point has slipped: it is ten times its mates"
    yield value * TEN, "the decimal point has slipped: it is a tenth of its mates"
    yield value / INCH, "it reads as millimetres written for inches"
    yield value * INCH, "it reads as inches written for millimetres"


def _exchanged(typed: str, value: Fraction, among: _Among) -> str:
    digits = Fraction(typed) if _plain(typed) else None
    if not digits:
        return ""
    scale = value / digits
    for at in range(len(typed) - 1):
        one, two = typed[at], typed[at + 1]
        if one.isdigit() and two.isdigit() and one != two:
            swapped = typed[:at] + two + one + typed[at + 2 :]
            if among.holds(Fraction(swapped) * scale):
                return f"two digits look exchanged: {swapped} would lie among its mates"
    return ""


def _plain(typed: str) -> bool:
    return typed.replace(".", "", 1).isdigit()

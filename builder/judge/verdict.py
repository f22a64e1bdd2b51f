"""One value against its limits: the verdict, the flags beside it, and a sentence that explains both.

Simple acceptance, compared exactly, nothing rounded first, equality inside (ASME B89.7.3.1-2001 asks that the
rule be named: see `RULE`).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from builder.judge.bounds import Band, Limits

RULE = "simple acceptance, exact comparison, equality inside; nearer than U is flagged `edge`"


class Verdict(StrEnum):
    """What a reading comes to."""

    IN = "in"
    OUT = "out"
    NO_LIMIT = "no limit"
    NOT_READ = "not read"


class Flag(StrEnum):
    """What stands beside a verdict and does not replace it."""

    EDGE = "edge"
    SUSPECT = "suspect"
    OFF_AIM = "off aim"
    WEAR_ONLY = "inside wear only"


@dataclass(frozen=True)
class Decision:
    """A verdict with its flags and the limit that decided, both sides of it."""

    verdict: Verdict
    flags: tuple[Flag, ...] = ()
    by: Band | None = None


def decide(value: Fraction, spread: Fraction, limits: Limits, *, untouched: bool, end: str = "") -> Decision:
    """Judge a value in SI base units.

    Args:
        value: the reading or the worked-out value.
        spread: the square of its expanded uncertainty U, in base units squared.
        limits: the limits at its position.
        untouched: whether the part was left as it was, so that a wear limit may pass it.
        end: `least` is judged against the lower bound alone, `most` against the upper alone, else both.
    """
    band = end_of(limits.in_force, end)
    wear = end_of(limits.wear, end) if untouched else None
    if band is None and wear is None:
        return Decision(Verdict.NO_LIMIT)
    if band is not None and band.holds(value):
        return Decision(
            Verdict.IN, (*_edge(value, spread, band), *_off_aim(value, limits.aim, end)), limits.in_force
        )
    if wear is not None and wear.holds(value):
        only = (Flag.WEAR_ONLY,) if band is not None else ()
        return Decision(Verdict.IN, (*only, *_edge(value, spread, wear)), limits.wear)
    decided = wear or band
    whole = limits.wear if wear is not None else limits.in_force
    return Decision(Verdict.OUT, _edge(value, spread, decided) if decided else (), whole)


def end_of(band: Band | None, end: str) -> Band | None:
    """The bound that one end of a fit is held against."""
    if band is None or not end:
        return band
    low = band.low if end == "least" else None
    high = band.high if end == "most" else None
    return None if low is None and high is None else Band(low, high, band.kind, band.printed, band.moved)


def _edge(value: Fraction, spread: Fraction, band: Band) -> tuple[Flag, ...]:
    """Strictly nearer to a bound than U, on either side; squares are compared so that no root is taken."""
    bounds = [bound for bound in (band.low, band.high) if bound is not None]
    return (Flag.EDGE,) if any((value - bound) ** 2 < spread for bound in bounds) else ()


def _off_aim(value: Fraction, aim: Band | None, end: str) -> tuple[Flag, ...]:
    narrowed = end_of(aim, end)
    return (Flag.OFF_AIM,) if narrowed is not None and not narrowed.holds(value) else ()

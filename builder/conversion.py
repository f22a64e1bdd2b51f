"""Inch beside metric: a limit converted without being widened, and whether two printed limits are the same.

Rounding follows ASME A112.18.1/CSA B125.1, annex A, rule e: a maximum is rounded down, a minimum up. The
grades of surface finish are the pairs of ISO 1302.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from itertools import count
from math import ceil, floor
from typing import Final

from builder.limit import Form, Limit
from builder.number import show_number
from builder.units import Unit, partner

FRACTION_PLACES: Final = 3
"""Decimals that a fraction of an inch stands for when it is converted."""

LOST_DIGITS: Final = 10
"""How many times coarser the last place of one printed number may be than that of the other."""

FINISH_GRADES: Final = frozenset(
    (Fraction(microinch), Fraction(micrometre))
    for microinch, micrometre in (
        ("1", "0.025"),
        ("2", "0.05"),
        ("4", "0.1"),
        ("8", "0.2"),
        ("16", "0.4"),
        ("32", "0.8"),
        ("63", "1.6"),
        ("125", "3.2"),
        ("250", "6.3"),
        ("500", "12.5"),
        ("1000", "25"),
        ("2000", "50"),
    )
)
"""N1 to N12 of ISO 1302 in microinch and µm: the same grade by decree, though not always by arithmetic."""


class Agreement(StrEnum):
    """How well two printed limits agree."""

    EXACT = "exact"
    LAST_DIGIT = "last_digit"
    DISAGREE = "disagree"


def other_system(limit: Limit) -> Limit | None:
    """The limit in the unit that a shop shows beside its own, never wider than it; None where there is none.

    It shows no more decimals than the source justifies, or as few more as keep its lower end below its upper.
    A value without a band (`exact`, or bare) goes to the nearest.
    """
    other = partner(limit.unit)
    if other is None or (limit.nominal is None and not limit.bounded):
        return None
    least = justified_places(limit, other)
    if limit.form in (Form.EXACT, Form.NOMINAL) or limit.low == limit.high:
        return _nearest(limit, other, least)
    return next(found for places in count(least) if (found := _inward(limit, other, places)))


def justified_places(limit: Limit, other: Unit) -> int:
    """The fewest decimals whose place in the other unit is not coarser than the last place of the limit."""
    places = FRACTION_PLACES if limit.decimals is None else limit.decimals
    own_place = limit.unit.factor / 10**places
    return next(places for places in count() if other.factor <= own_place * 10**places)


def _converted(value: Fraction, own: Unit, other: Unit) -> Fraction:
    return other.from_base(own.to_base(value))


def _nearest(limit: Limit, other: Unit, places: int) -> Limit:
    """A single value in the other unit, rounded half to even."""
    value = limit.low if limit.nominal is None else limit.nominal
    shown = show_number(_converted(value or Fraction(0), limit.unit, other), places)
    rounded, exact = Fraction(shown), limit.form is not Form.NOMINAL
    text = f"{shown} {other.symbol}" + (" exact" if exact else "")
    bound = rounded if exact else None
    return Limit(text, Form.EXACT if exact else Form.NOMINAL, other, bound, bound, rounded, places)


def _inward(limit: Limit, other: Unit, places: int) -> Limit | None:
    """The bounds rounded towards each other; None where they would pass each other."""
    ten = 10**places
    low = None if limit.low is None else Fraction(ceil(_converted(limit.low, limit.unit, other) * ten), ten)
    high = (
        None if limit.high is None else Fraction(floor(_converted(limit.high, limit.unit, other) * ten), ten)
    )
    if low is not None and high is not None and low > high:
        return None
    form = Form.RANGE if limit.form is Form.TOLERANCE else limit.form
    return Limit(_written(low, high, other, places), form, other, low, high, None, places)


def _written(low: Fraction | None, high: Fraction | None, shown: Unit, places: int) -> str:
    """Bounds in the notation."""
    if low is None:
        return f"{show_number(high or Fraction(0), places)} {shown.symbol} max"
    if high is None:
        return f"{show_number(low, places)} {shown.symbol} min"
    return f"{show_number(low, places)} to {show_number(high, places)} {shown.symbol}"


@dataclass(frozen=True, slots=True)
class _Printed:
    """One printed number: its value and half its last place in base units, and how it was written."""

    base: Fraction
    half: Fraction
    decimals: int | None
    round_whole: bool


def agree(first: Limit, second: Limit) -> Agreement:
    """Whether the second limit is the first as a book prints it in another unit.

    `exact`: each end is the other correctly rounded, one way or the other. `last_digit`: the roundings
    overlap, or the second is out by less than one in its last place (cut off, not rounded). A number whose
    last place is over ten times coarser than the other's has lost digits and is held to its exact value, and
    so is a round whole number beside decimals (`100 mm` beside `3.93 in`): the size that a designer chose.
    """
    if first.unit.dimension != second.unit.dimension:
        return Agreement.DISAGREE
    looser = 2 if first.form is second.form is Form.TOLERANCE else 1  # two roundings make each end
    ends = [
        _compared((first, own), (second, other), looser)
        for own, other in zip(_ends(first), _ends(second), strict=True)
        if own is not None or other is not None
    ]
    return max(ends, key=list(Agreement).index, default=Agreement.EXACT)


def _ends(limit: Limit) -> tuple[Fraction | None, ...]:
    """What there is to compare: both bounds, and the bare value where that is all."""
    return (limit.low, limit.high, limit.nominal if limit.form is Form.NOMINAL else None)


def _compared(
    first: tuple[Limit, Fraction | None], second: tuple[Limit, Fraction | None], looser: int
) -> Agreement:
    """Whether one end of each limit is the same."""
    (one, own), (two, other) = first, second
    if own is None or other is None:
        return Agreement.DISAGREE
    if _same_grade((one.unit, own), (two.unit, other)):
        return Agreement.EXACT
    return _judged(_printed(one, own, looser), _printed(two, other, looser))


def _same_grade(*values: tuple[Unit, Fraction]) -> bool:
    """Whether the two values are one grade of surface finish."""
    grade = {unit.symbol: value for unit, value in values}
    return (grade.get("microinch"), grade.get("um")) in FINISH_GRADES


def _printed(limit: Limit, value: Fraction, looser: int) -> _Printed:
    decimals = limit.decimals
    half = Fraction(0) if decimals is None else looser * limit.unit.factor / (2 * 10**decimals)
    return _Printed(limit.unit.to_base(value), half, decimals, decimals == 0 and value % 10 == 0)


def _judged(first: _Printed, second: _Printed) -> Agreement:
    gap = abs(first.base - second.base)
    fine, coarse = sorted((first, second), key=lambda printed: printed.half)
    held = _held_exactly(fine, coarse)
    own, other = (Fraction(0) if held and printed is coarse else printed.half for printed in (first, second))
    if gap <= max(own, other):
        return Agreement.EXACT
    cut_off = gap < 2 * other
    return Agreement.LAST_DIGIT if gap <= own + other or cut_off else Agreement.DISAGREE


def _held_exactly(fine: _Printed, coarse: _Printed) -> bool:
    """Whether the coarser number must be the finer one exactly, not merely within its own rounding."""
    if not fine.half or fine.half == coarse.half or fine.round_whole:
        return False
    lost = coarse.half > LOST_DIGITS * fine.half
    return lost or (coarse.round_whole and bool(fine.decimals))

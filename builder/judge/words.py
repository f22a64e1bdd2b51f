"""Verdicts in words: the limit that decided, moved by the job's size steps, and a sentence that explains."""

from __future__ import annotations

from fractions import Fraction

from builder.judge.bounds import Band
from builder.judge.sheet import Judgement
from builder.judge.taken import position
from builder.judge.verdict import Flag, Verdict
from builder.quantity import DATUMS, show
from builder.units import Unit

PLACES = 4
"""Decimals of a value that no characteristic gives digits for."""

WHOSE = {
    "sheet": "supplier's sheet of this job",
    "new": "new",
    "supplier": "supplier",
    "shop": "shop limit",
    "rule": "rule of thumb",
    "wear": "service limit",
    "aim": "shop aim",
}
"""Whose a limit is, in words."""


def band_words(band: Band) -> str:
    """A limit as it stands for this job: `2.4795 to 2.4800 in, new, moved by -0.0200 in`."""
    own = band.printed[0].value.unit
    places = places_of(band)
    low, high = (None if bound is None else own.from_base(bound) for bound in (band.low, band.high))
    whose = WHOSE[band.kind]
    if not band.moved and len(band.printed) == 1:
        return f"{band.printed[0].body}, {whose}"
    moved = f", moved by {show(band.moved / own.factor, own, places)}" if band.moved else ""
    return f"{_range(low, high, own, places)}, {whose}{moved}"


def places_of(band: Band) -> int:
    """The decimals in which a limit is printed; a fraction of an inch stands for four."""
    printed = (cited.value.decimals for cited in band.printed)
    return max((PLACES if places is None else places for places in printed), default=PLACES)


def _range(low: Fraction | None, high: Fraction | None, own: Unit, places: int) -> str:
    if low is None:
        return f"{show(high or Fraction(0), own, places)} max"
    if high is None:
        return f"{show(low, own, places)} min"
    return f"{show(low, own, places).removesuffix(' ' + own.symbol)} to {show(high, own, places)}"


def value_words(one: Judgement) -> str:
    """A value in its unit, in the digits of its limit, from the dead centre that its limit counts from."""
    if one.value is None or one.unit is None:
        return "no value"
    printed = one.decision.by.printed if one.decision.by else ()
    places = [cited.value.decimals for cited in printed if cited.value.decimals is not None]
    if one.typed_places is not None:
        places.append(one.typed_places)
    datum = printed[0].value.datum if printed else ""
    way = DATUMS[datum][1] if datum else 1
    shown = _shown(way * one.unit.from_base(one.value), one.unit, max(places, default=PLACES))
    return f"{shown} {datum}".rstrip()


def _shown(value: Fraction, unit: Unit, places: int) -> str:
    """A value in the digits of its limit; in one more where they would round it, perhaps onto the limit."""
    exact = (value * 10**places).denominator == 1
    return show(value, unit, places if exact else places + 1)


def verdict_words(one: Judgement) -> str:
    """The verdict and its flags: `in, edge`."""
    return ", ".join([str(one.verdict), *map(str, one.flags)])


def sentence(one: Judgement) -> str:
    """The verdict explained in one sentence."""
    where = position(one.at)
    what = " ".join(
        part for part in (one.name.replace("_", " "), f"({one.end})" if one.end else "", where) if part
    )
    reasons = f"; {'; '.join(one.reasons)}" if one.reasons else ""
    if one.verdict is Verdict.NOT_READ:
        return f"{what} is not read{reasons}."
    if one.verdict is Verdict.NO_LIMIT or one.decision.by is None:
        return f"{what} is {value_words(one)}: recorded, there is no limit{reasons}."
    return f"{what} is {value_words(one)}: {against_words(one)}{_beside(one)}{reasons}."


def against_words(one: Judgement) -> str:
    """How a value lies to the limit that decided: inside it, or how far over or under; empty without one."""
    band = one.decision.by
    if band is None or one.value is None:
        return ""
    beyond = band.beyond(one.value)
    limit = band_words(band)
    if not beyond:
        return f"inside {limit}"
    own, places = band.printed[0].value.unit, places_of(band)
    side = "over" if band.high is not None and one.value > band.high else "under"
    return f"{_shown(beyond / own.factor, own, places)} {side} {limit}"


_BESIDE = {
    Flag.EDGE: "nearer to the limit than the gauge can tell, read it again",
    Flag.OFF_AIM: "beside the shop's aim",
    Flag.WEAR_ONLY: "inside the service limit only",
    Flag.SUSPECT: "suspect, retake it",
}


def _beside(one: Judgement) -> str:
    return "".join(f", {_BESIDE[flag]}" for flag in one.flags)

"""How the limits of a row stand to each other: wear side, aim, printed pairs, positions and grades."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from builder.conversion import Agreement, agree
from builder.diagnostics import Severity
from builder.limit import Form, Limit
from builder.manual import Manual, feature
from builder.model.engine import Engine
from builder.model.kinds import KINDS, Wear
from builder.model.spec import LimitRow
from builder.model.written import Cited, Stated
from builder.rules.catalogue import Finding, rule
from builder.rules.table import in_force, limit_rows, place, printed, stated_by_position, unsound
from builder.rules.wording import listed, nearest


@dataclass(frozen=True)
class Band:
    """The widest band of several limits in base units; None where a side is open, words as printed."""

    low: Fraction | None
    high: Fraction | None
    words: str


def band_at(manual: Manual, stated: Stated[Limit], position: str) -> Band | None:
    """What is stated at a position; the widest of all positions or grades where it names none of them.

    None where nothing sound is stated there.
    """
    one = stated.at(position)
    group = [one] if one is not None else [cited for values in stated.by.values() for cited in values[:1]]
    strange = unsound(manual)
    if not group or any(not cited.value.bounded or id(cited) in strange for cited in group):
        return None
    if len(group) == 1:
        return Band(group[0].value.low_base, group[0].value.high_base, group[0].body)
    lows = [cited.value.low_base for cited in group]
    highs = [cited.value.high_base for cited in group]
    low = None if None in lows else min(low for low in lows if low is not None)
    high = None if None in highs else max(high for high in highs if high is not None)
    return Band(low, high, " and ".join(cited.body for cited in group))


@lru_cache(maxsize=1)
def _worn(manual: Manual) -> tuple[tuple[LimitRow, Wear, Cited[Limit], Band | None], ...]:
    """Every sound wear limit, which way its kind wears, and the band of new parts where there is one."""
    found = []
    for _, row, whose, position, cited in printed(manual):
        kind = KINDS.get(row.kind) if whose == "wear" else None
        if kind is not None and cited.value.bounded and id(cited) not in unsound(manual):
            base = row.new or in_force(row)
            found.append((row, kind.wear, cited, band_at(manual, base, position) if base else None))
    return tuple(found)


_WAYS = {Wear.GROWS: ("larger", "max", "above"), Wear.SHRINKS: ("smaller", "min", "below")}


@rule("GL-214")
def wear_limit_on_wrong_side(manual: Manual) -> Iterator[Finding]:
    """A wear limit lies on the side to which the part does not wear.

    Why: A shaft wears smaller and a bore larger. A limit on the other side passes every worn part and fails
    every new one; swapped columns in the book or in the typing are the usual cause.

    Instead: Write a `max` above the new limit for what grows (bores, clearances, run-out), a `min` below it
    for what shrinks (shafts, thicknesses, loads).
    """
    for row, wear, cited, band in _worn(manual):
        if wear is not Wear.EITHER and not _on_wear_side(wear, cited.value, band):
            way, bound, side = _WAYS[wear]
            words = KINDS[row.kind].words
            against = (
                f", and `{cited.body}` is not {side} `{band.words}`"
                if band
                else f", and `{cited.body}` is no `{bound}`"
            )
            hint = f"write a `{bound}` {side} the limit of new parts"
            yield Finding(place(cited), f"a {words} wears {way}{against}", hint)


def _on_wear_side(wear: Wear, limit: Limit, band: Band | None) -> bool:
    """Whether a wear limit bounds the wear side and does not lie beyond the other end of the new band."""
    if wear is Wear.GROWS:
        worn, other = limit.high_base, band.low if band else None
        return worn is not None and (other is None or worn >= other)
    worn, other = limit.low_base, band.high if band else None
    return worn is not None and (other is None or worn <= other)


@rule("GL-215")
def wear_limit_inside_new_band(manual: Manual) -> Iterator[Finding]:
    """A wear limit lies inside the band of new parts.

    Why: A part could then be good as new and worn out at once, so one of the two values is misread.

    Instead: Look at both again in the book. Where a maker allows no wear, write `same as new`.
    """
    for _, wear, cited, band in _worn(manual):
        if band is None or (wear is not Wear.EITHER and not _on_wear_side(wear, cited.value, band)):
            continue
        if _inside(wear, cited.value, band):
            message = f"the wear limit `{cited.body}` lies inside the new limit `{band.words}`"
            yield Finding(place(cited), message, "look at both values again, or write `same as new`")


def _inside(wear: Wear, limit: Limit, band: Band) -> bool:
    """Whether a wear limit is narrower than the new band on a side to which the part wears."""
    low, high = limit.low_base, limit.high_base
    above = wear is not Wear.SHRINKS and high is not None and band.high is not None and high < band.high
    below = wear is not Wear.GROWS and low is not None and band.low is not None and low > band.low
    return above or below


@rule("GL-210")
def printed_units_disagree(manual: Manual) -> Iterator[Finding]:
    """A value is printed in two units that are not the same size.

    Why: One of the two is a misprint. A builder with a metric micrometer and one with an inch micrometer
    would build two different engines.

    Instead: Find out which is right, write that one, and put the misprint into `note:`.
    """
    yield from _pairs(manual, Agreement.DISAGREE, "is not", "find out which of the two is misprinted")


@rule("GL-211", Severity.WARNING)
def printed_units_apart_in_last_digit(manual: Manual) -> Iterator[Finding]:
    """A value is printed in two units that differ only in the last digit shown.

    Why: The book rounded carelessly. The first unit is the master, so nothing is lost, but the second one
    should not be trusted to its last digit.

    Instead: Leave the second unit out; the page works it out itself and never widens the limit.
    """
    yield from _pairs(
        manual, Agreement.LAST_DIGIT, "is in its last digit not quite", "leave the second unit out"
    )


def _pairs(manual: Manual, wanted: Agreement, verb: str, hint: str) -> Iterator[Finding]:
    for _, _, _, _, cited in printed(manual):
        second = cited.value.second
        if second is not None and agree(cited.value, second) is wanted:
            first = cited.body.partition("(")[0].strip()
            yield Finding(place(cited), f"`{first}` {verb} `{second.text}`", hint)


@rule("GL-212", Severity.WARNING)
def aim_without_limit(manual: Manual) -> Iterator[Finding]:
    """A row has an aim but no limit that decides.

    Why: An aim never fails anything, so whatever is read there is accepted.

    Instead: Write the limit beside it: `new`, `supplier`, `shop` or `rule`.
    """
    for _, name, row in limit_rows(manual):
        if row.aim is not None and in_force(row) is None:
            yield Finding(
                name.span, f"`{name}` has an aim but no limit", "write `new`, `supplier`, `shop` or `rule`"
            )


@rule("GL-213")
def aim_outside_limit(manual: Manual) -> Iterator[Finding]:
    """An aim reaches outside the limit in force.

    Why: A builder who does exactly what the shop aims for would be told that the part is out.

    Instead: Write an aim inside the limit, or correct the limit.
    """
    for _, row, whose, position, cited in printed(manual):
        base = in_force(row) if whose == "aim" else None
        band = band_at(manual, base, position) if base is not None else None
        if band is not None and id(cited) not in unsound(manual) and _reaches_out(cited.value, band):
            message = f"the aim `{cited.body}` reaches outside the limit `{band.words}`"
            yield Finding(place(cited), message, "write an aim inside the limit in force")


def _reaches_out(aim: Limit, band: Band) -> bool:
    low, high = aim.low_base, aim.high_base
    ends = [end for end in (low, high) if end is not None]
    under = band.low is not None and any(end < band.low for end in ends)
    return under or (band.high is not None and any(end > band.high for end in ends))


@rule("GL-216")
def same_as_what(manual: Manual) -> Iterator[Finding]:
    """`same as new` stands where there is no limit of new parts to be the same as.

    Why: It points to nothing, so nothing is judged.

    Instead: Write `same as new` under `wear` only, beside a `new` limit; else write the value.
    """
    for _, row, whose, _, cited in printed(manual):
        if cited.value.form is Form.SAME_AS_NEW and (whose != "wear" or row.new is None):
            hint = "write the value, or the `new` limit beside `wear`"
            yield Finding(place(cited), "`same as new` has no new limit to be the same as", hint)


def _names_of(engine: Engine, row: LimitRow) -> tuple[str, ...]:
    """What the keys of a row's values may be: its grades, else the names of the feature that it is of."""
    of = feature(engine, row.each) if row.each is not None else None
    return tuple(map(str, row.grades)) or (tuple(map(str, of.names)) if of else ())


@rule("GL-217")
def position_without_a_feature(manual: Manual) -> Iterator[Finding]:
    """Values are given by position or grade, but the row does not say of what.

    Why: The sheet cannot tell which box a value belongs to.

    Instead: Write `each:` with the feature whose names these are, or `grades:` with the letters.
    """
    for _, row, _, keys in stated_by_position(manual):
        if row.each is None and not row.grades:
            message = f"{listed(keys)} {'is a position' if len(keys) == 1 else 'are positions'} of no feature"
            yield Finding(
                keys[0].span, message, "write `each:` with the feature, or `grades:` with the letters"
            )


@rule("GL-218")
def position_not_a_name(manual: Manual) -> Iterator[Finding]:
    """A value is given for a position or grade that does not exist.

    Why: No box on the sheet has that name, so the value is never used and another box has none.

    Instead: Write one of the names of the feature under `each:`, or one of the `grades`.
    """
    for engine, row, _, keys in stated_by_position(manual):
        names = _names_of(engine, row)
        for key in keys if names else ():
            if key not in names:
                of = "grades" if row.grades else f"`{row.each}`"
                hint = nearest(key, names, f"write one of {listed(names)}")
                yield Finding(
                    key.span, f"`{key}` is none of the {of}" if row.grades else f"`{key}` is no {of}", hint
                )


@rule("GL-219")
def position_missing(manual: Manual) -> Iterator[Finding]:
    """Values are given by position or grade, but one position or grade has none.

    Why: What is read there would be judged by nothing, and look as good as the rest.

    Instead: Write a value for each of the names.
    """
    for engine, row, kind, keys in stated_by_position(manual):
        names = _names_of(engine, row)
        missing = [name for name in names if name not in keys]
        if missing and all(key in names for key in keys):
            verb = "has" if len(missing) == 1 else "have"
            message = f"{listed(missing)} {verb} no `{kind}` value beside the others"
            yield Finding(keys[0].span, message, "write a value for each one")


@rule("GL-233", Severity.WARNING)
def units_differ_in_a_row(manual: Manual) -> Iterator[Finding]:
    """The limits of one row are written in different units.

    Why: They stand beside each other on the sheet, and the eye compares the numbers before the units.

    Instead: Write all limits of a row in the unit of the gauge that reads it. A second unit that the book
    prints goes into brackets.
    """
    first, units = None, None
    for _, row, _, _, cited in printed(manual):
        own = cited.value.unit
        if not cited.value.bounded:
            continue
        if row is not first:
            first, units = row, own
        elif units is not None and own != units and own.dimension == units.dimension:
            message = f"`{own}` stands beside `{units}` in one row"
            yield Finding(place(cited), message, f"write it in `{units}`, the printed unit in brackets")


WIDEST_BAND = Fraction(762, 10**6)
"""0.030 in, in metres: no bore or shaft that fits anything is made so loosely; common practice, no source."""


@rule("GL-238", Severity.WARNING)
def band_wider_than_any_fit(manual: Manual) -> Iterator[Finding]:
    """The two ends of a bore or a shaft lie more than 0.030 in apart.

    Why: Nothing fits such a part. One digit of the two is wrong, or two columns of the book were mixed:
    a printed `6.5615 to 6.6255 in` stood among rows 0.001 to 0.002 in apart.

    Instead: Look at both ends again. Where the book does say so, a size that nothing fits is a `length` or a
    `width`.
    """
    for _, row, whose, _, cited in printed(manual):
        low, high = cited.value.low_base, cited.value.high_base
        sound = row.kind in ("bore", "shaft") and id(cited) not in unsound(manual)
        if sound and whose != "wear" and low is not None and high is not None and high - low > WIDEST_BAND:
            message = f"the ends of `{cited.body}` are too far apart for a {KINDS[row.kind].words}"
            yield Finding(place(cited), message, "look at both ends again in the book")

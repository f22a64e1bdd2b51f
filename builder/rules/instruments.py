"""Whether an instrument can judge what it reads."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import lru_cache

from builder.diagnostics import Fault, Severity
from builder.dimension import RATIO, Dimension
from builder.limit import Limit
from builder.manual import Manual, row
from builder.model.bench import Instrument
from builder.model.spec import LimitRow
from builder.quantity import Quantity, read_quantity, show
from builder.rules.catalogue import Finding, rule
from builder.rules.references import named
from builder.rules.steps import measured, measures
from builder.rules.table import in_force, limit_rows, unsound
from builder.rules.wording import listed
from builder.units import UNITS

_FORMS = frozenset({"taper", "out_of_round", "runout", "flatness"})  # counted from nought


def _uncertainty(instrument: Instrument) -> Quantity | Fault | None:
    """The expanded uncertainty (k = 2) of an instrument; why it cannot be read; None where none is stated."""
    if instrument.uncertainty is None:
        return None
    try:
        return read_quantity(instrument.uncertainty.body)
    except Fault as fault:
        return fault


def _spread(uncertainty: Quantity, limit: Limit) -> Fraction | None:
    """U at the top of a limit, in its unit; a percentage is of the value read; None for another measure."""
    own = uncertainty.unit
    if own.dimension == RATIO and limit.unit.dimension != RATIO:
        return uncertainty.value * own.factor * abs(limit.high or limit.low or Fraction(0))
    if own.dimension != limit.unit.dimension:
        return None
    return uncertainty.value * _times(own.symbol, limit.unit.symbol)


@lru_cache(maxsize=256)
def _times(own: str, other: str) -> Fraction:
    """How many of another unit one of a unit is, offsets aside."""
    return UNITS[own].factor / UNITS[other].factor


def _band(one: LimitRow, limit: Limit) -> Fraction | None:
    """The width of a limit; a form error is counted from nought; None for a limit of one side."""
    if limit.high is None:
        return None
    if limit.low is not None:
        return limit.high - limit.low
    return limit.high if one.kind in _FORMS else None


@lru_cache(maxsize=1)
def _uncertainties(manual: Manual) -> dict[str, tuple[Quantity, Dimension]]:
    """The uncertainties that can be read, by instrument, each with what the instrument reads."""
    found = ((str(name), _uncertainty(one), one.reads) for name, one in manual.instruments.items())
    return {
        name: (one, reads.quantity.unit.dimension if reads is not None else one.unit.dimension)
        for name, one, reads in found
        if isinstance(one, Quantity)
    }


def _too_coarse(manual: Manual, name: str | None, one: LimitRow) -> str:
    """Why an instrument cannot judge a row; empty where it can, or where it is not told."""
    known = _uncertainties(manual).get(name or "")
    base = in_force(one) if known is not None and one.waiver is None else None
    if known is None or base is None:
        return ""
    uncertainty, reads = known
    for cited in base.every():
        limit = cited.value
        if limit.unit.dimension != reads or id(cited) in unsound(manual):
            continue
        band = _band(one, limit)
        own = _spread(uncertainty, limit) if band else None
        if band and own and 2 * own >= band:
            sure = show(own, limit.unit, (limit.decimals or 0) + 1)
            wide = show(band, limit.unit, limit.decimals or 0)
            return f"`{name}` is sure to ± {sure}, too coarse for a band of {wide}"
    return ""


_HINT = "name a finer instrument, or write under `waiver` why it may judge all the same"


@rule("GL-810")
def instrument_too_coarse(manual: Manual) -> Iterator[Finding]:
    """An instrument's uncertainty is so large that it cannot judge the limit.

    Why: Where twice the uncertainty is as wide as the band, a reading in the very middle may belong to a part
    that is out.

    Instead: Name a finer instrument. Where there is none, write `waiver:` and why it may judge all the same.
    """
    for _, _, one in limit_rows(manual):
        why = _too_coarse(manual, one.instrument, one) if one.instrument is not None else ""
        if why and one.instrument is not None:
            yield Finding(one.instrument.span, why, _HINT)
    for procedure, _, _, measure in measures(manual):
        rows = (
            row(engine, name)
            for engine in manual.families_of(procedure)
            for name in (measure.against or {}).values()
        )
        others = (one for one in rows if isinstance(one, LimitRow) and one.instrument != measure.tool)
        why = next(filter(None, (_too_coarse(manual, measure.tool, one) for one in others)), "")
        if why and measure.tool is not None:
            yield Finding(measure.tool.span, why, _HINT)


@rule("GL-813")
def instrument_reads_something_else(manual: Manual) -> Iterator[Finding]:
    """A measurement names an instrument that does not read what is measured.

    Why: A micrometer reads no torque; one of the two is a slip.

    Instead: Write an instrument that reads this, or correct what it is held against.
    """
    for procedure, _, _, measure in measures(manual):
        found = manual.instruments.get(measure.tool) if measure.tool is not None else None
        if measure.tool is None or found is None or found.reads is None or measure.unit is not None:
            continue
        read = found.reads.quantity.unit.dimension
        wanted = next(measured(manual, procedure, measure), read)
        if read != wanted:
            rows = listed((measure.against or {}).values())
            message = f"`{measure.tool}` reads a {read}, and {rows} is a {wanted}"
            yield Finding(measure.tool.span, message, "write an instrument that reads this")


@rule("GL-811", Severity.WARNING)
def uncertainty_not_stated(manual: Manual) -> Iterator[Finding]:
    """An instrument that reads a value says nothing of its uncertainty.

    Why: Nobody can tell whether it can judge the limit, and a reading near the edge looks as sure as any.

    Instead: Write `uncertainty:` at k = 2 with where the figure comes from: `0.00005 in [common practice]`.
    """
    for name, instrument in named(manual.instruments):
        if instrument.reads is not None and instrument.uncertainty is None:
            yield Finding(
                name.span, f"`{name}` states no uncertainty", "write `uncertainty:` with its citation"
            )


@rule("GL-812")
def uncertainty_not_readable(manual: Manual) -> Iterator[Finding]:
    """An instrument's uncertainty is no quantity, has no citation, or is of another measure than it reads.

    Why: It would be taken for nought, and every reading for exact.

    Instead: Write a number with its unit and where it comes from, or a percentage of the reading.
    """
    for instrument in manual.instruments.values():
        stated, found = instrument.uncertainty, _uncertainty(instrument)
        if stated is None:
            continue
        end = len(stated.body)
        if isinstance(found, Fault):
            span = stated.text.part(found.start, end if found.end is None else found.end)
            yield Finding(span, found.message, found.hint)
        elif not stated.citations:
            hint = "write where the figure comes from, as in `[common practice]`"
            yield Finding(stated.text.part(0, end), f"`{stated.body}` has no citation", hint)
        elif found is not None and _other_measure(instrument, found):
            own = found.unit
            message = f"`{own}` is a unit of {own.dimension}, and this reads in `{_reads(instrument)}`"
            yield Finding(
                stated.text.part(0, end), message, "write it in the unit that is read, or in percent"
            )


def _reads(instrument: Instrument) -> str:
    return str(instrument.reads.quantity.unit) if instrument.reads is not None else ""


def _other_measure(instrument: Instrument, uncertainty: Quantity) -> bool:
    own = uncertainty.unit.dimension
    return instrument.reads is not None and own not in (RATIO, instrument.reads.quantity.unit.dimension)

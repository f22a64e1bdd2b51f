"""Outside work: the sizes to hold on this job, and what was measured when the piece came home."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

from builder.checklist import feature_sides
from builder.jobs.moments import later
from builder.jobs.whole import Whole
from builder.judge.bounds import Band, limits_at
from builder.judge.taken import position, sizes_of
from builder.model.base import Text
from builder.model.outside import OutsideTicket
from builder.model.spec import LimitRow
from builder.model.written import Exact


@dataclass(frozen=True, eq=False)
class Held:
    """A characteristic that a ticket asks for: its limits by position (`""` where it has none)."""

    name: str
    row: LimitRow
    bands: Mapping[str, Band | None]
    """The limit to hold at each position, this job's size steps applied."""
    is_written: bool
    """Whether the ticket writes the size itself."""
    book: Band | None
    """The limit in force on this job, where the ticket writes another one."""


@dataclass(frozen=True)
class Returned:
    """A size measured on return: where, in words as typed, in SI base units, whether it is as asked."""

    at: str
    shown: str
    value: Fraction
    is_in: bool
    by: str
    place: str = ""


def held(whole: Whole, ticket: OutsideTicket) -> tuple[Held, ...]:
    """What a ticket asks for, in its order; what it does not write is resolved for this job."""
    names = dict.fromkeys((*ticket.sizes, *ticket.hold))
    return tuple(one for name in names if (one := _held(whole, ticket, name)) is not None)


def _held(whole: Whole, ticket: OutsideTicket, name: Text) -> Held | None:
    row = whole.engine.specs.get(name)
    if not isinstance(row, LimitRow):
        return None
    sizes, written = sizes_of(whole.job, "final"), ticket.sizes.get(name)
    bands: dict[str, Band | None] = {}
    for label in labels(whole, row):
        at = {str(row.each): label} if label else {}
        limits = limits_at(row, at, sizes, written or whole.job.supplier.get(name))
        bands[label] = limits.in_force
    first = next(iter(bands), "")
    own = limits_at(row, {str(row.each): first} if first else {}, sizes).in_force if written else None
    same = own is not None and bands[first] is not None and _ends(own) == _ends(bands[first])
    return Held(str(name), row, bands, written is not None, None if same else own)


def _ends(band: Band | None) -> tuple[Fraction | None, Fraction | None]:
    return (band.low, band.high) if band is not None else (None, None)


def labels(whole: Whole, row: LimitRow) -> tuple[str, ...]:
    """The positions of a characteristic; one without a name where it is of the whole engine."""
    sides = list(feature_sides(whole.engine, str(row.each))) if row.each else []
    return sides[-1].labels if sides else ("",)


# What came home


def returned(whole: Whole, ticket: OutsideTicket, one: Held) -> tuple[Returned, ...]:
    """What was measured of a characteristic since the piece left: on the ticket, else on the filed sheets."""
    typed = ticket.received.get(Text(one.name))
    if typed is not None:
        return tuple(_typed(ticket, one, label, size) for label, size in _by_label(typed, one).items())
    return tuple(_on_sheets(whole, ticket, one))


def _by_label(typed: Mapping[Text, Exact], one: Held) -> dict[str, Exact]:
    """The sizes by position; one that is written for all stands at each."""
    rest = typed.get(Text(""))
    named = {str(label): size for label, size in typed.items() if label}
    everywhere = {label: rest for label in one.bands if rest is not None}
    return {**everywhere, **named}


def _typed(ticket: OutsideTicket, one: Held, label: str, size: Exact) -> Returned:
    value = size.quantity.base
    return Returned(label, str(size.text), value, _is_in(one, label, value), str(ticket.measured_by or ""))


def _is_in(one: Held, label: str, value: Fraction) -> bool:
    band = one.bands.get(label, next(iter(one.bands.values()), None))
    return band is None or band.holds(value)


def _on_sheets(whole: Whole, ticket: OutsideTicket, one: Held) -> Iterator[Returned]:
    for worked in whole.sheets if ticket.back is not None else ():
        for judged in worked.judged if worked.is_final else ():
            for taken in judged.taken if judged.stage != "as_found" else ():
                reading, quantity = taken.reading, taken.quantity
                if taken.row_id != one.name or reading is None or quantity is None:
                    continue
                if taken.slip or taken.stale or taken.doubt or later(str(ticket.back), str(reading.when)):
                    continue
                at = {str(side): str(label) for side, label in taken.blank.at.items()}
                label = at.pop(str(one.row.each), "")
                place = " ".join(at.values())
                inside = _is_in(one, label, quantity.base)
                yield Returned(label, quantity.text, quantity.base, inside, str(reading.by), place)


def where_words(one: Held, found: Returned) -> str:
    """The position of a returned size in words."""
    return position({str(one.row.each): found.at}) if found.at else ""

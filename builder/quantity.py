"""Quantities: a number with its unit, as a book prints it or as a builder types it at the bench."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from builder.diagnostics import Fault
from builder.dimension import ANGLE, LENGTH
from builder.number import (
    LONGEST,
    UNSIGNED,
    Number,
    number_fault,
    places_of,
    read_number,
    show_number,
    slip_in,
)
from builder.units import UNITS, Unit, unit

__all__ = ["DATUMS", "Number", "Quantity", "read_number", "read_quantity", "read_reading", "show"]

DATUMS: Final = {
    "BTDC": ("TDC", -1),
    "TDC": ("TDC", 1),
    "ATDC": ("TDC", 1),
    "BBDC": ("BDC", -1),
    "BDC": ("BDC", 1),
    "ABDC": ("BDC", 1),
}
"""Crank positions: the dead centre that an angle is told from, and -1 where it is told backwards."""

UNIT: Final = r"(?:1/)?[A-Za-zµμ°%ΩΩ\"'][^()\[\]±+−]*?"
"""A pattern for what may be meant as a unit, as short as may be; whether it is one, the list says."""

_QUANTITY = re.compile(rf"\s*(?P<number>[+−-]?\s?{UNSIGNED})\s*(?P<unit>{UNIT})?\s*", re.ASCII)
_READING = re.compile(
    rf"\s*(?P<number>[+−-]?\s?{UNSIGNED})\s*(?P<unit>{UNIT})??(?:\s*\b(?P<datum>{'|'.join(DATUMS)}))?\s*",
    re.ASCII,
)
_METRIC_STEPS: Final = "write the unit too, for example `+0.005 mm`"


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number in a unit."""

    number: Number
    unit: Unit

    @property
    def value(self) -> Fraction:
        """The value in the unit."""
        return self.number.value

    @property
    def base(self) -> Fraction:
        """The value in base units (m, kg, s, K, A, degrees, pieces), a temperature's offset applied."""
        return self.unit.to_base(self.number.value)

    @property
    def text(self) -> str:
        """The number as typed and the unit's symbol."""
        return f"{self.number.text} {self.unit.symbol}"

    def __str__(self) -> str:
        return self.text


def read_quantity(text: str) -> Quantity:
    """One number and its unit, such as `0.0001 in`; a Fault for anything less or more."""
    found = _QUANTITY.fullmatch(text) if len(text) <= LONGEST else None
    if found is None:
        raise slip_in(text) or _not_one_quantity(text)
    if found["unit"] is None:
        raise Fault(f"`{text.strip()}` has no unit", f"write the unit too, for example `{text.strip()} in`")
    return Quantity(read_number(found["number"]), _unit_at(found))


def _not_one_quantity(text: str) -> Fault:
    if not text.strip():
        return Fault("a value is missing", "write a number and a unit, for example `0.0015 in`")
    return Fault(f"`{text.strip()}` is not one number with a unit", "write it like `0.0015 in`")


def _unit_at(found: re.Match[str]) -> Unit:
    """The unit that a match names; its Fault stands at the unit, or at what is wrong with a number there."""
    try:
        return unit(found["unit"])
    except Fault as fault:
        slip = slip_in(found.string)
        if slip:
            raise slip from None
        raise Fault(fault.message, fault.hint, *found.span("unit")) from None


def read_reading(typed: str, own: Unit, setting: Quantity | None = None, datum: str = "") -> Quantity:
    """What a builder typed at the bench, in the unit typed or else in `own`, the unit of the sheet's box.

    A signed entry such as `+2½` counts from `setting`, the size that the gauge was set to: in tenths of a
    thou unless it names a unit or shows three or more decimals. `datum` is the crank position that the box
    prints beside it (`BTDC`); an angle before dead centre comes back negative.
    """
    found = _READING.fullmatch(typed) if len(typed) <= LONGEST else None
    if found is None:
        raise number_fault(typed)
    number, named = read_number(found["number"]), _unit_at(found) if found["unit"] else None
    if named and named.dimension != own.dimension:
        raise _misfit(found, "unit", f"is a unit of {named.dimension}", own)
    if found["datum"] and own.dimension != ANGLE:
        raise _misfit(found, "datum", "tells an angle", own)
    if setting and number.text[0] in "+-":
        return _over_setting(number, named, setting)
    if number.text[0] == "+":
        raise Fault(
            f"`{typed.strip()}` counts from a set size, but the gauge has no setting",
            "write the size in full, or enter what the gauge was set to",
        )
    return Quantity(_about_centre(number, found["datum"], datum), named or own)


def _misfit(found: re.Match[str], piece: str, says: str, own: Unit) -> Fault:
    """A fault at a piece that does not go with the box's unit."""
    what = f"`{found[piece]}` {says} but {own.dimension} is read here"
    return Fault(what, f"write the reading in `{own.symbol}`", *found.span(piece))


def _about_centre(number: Number, typed: str | None, printed: str) -> Number:
    """An angle told from dead centre, negative where it is before it."""
    if typed and printed and DATUMS[typed][0] != DATUMS[printed][0]:
        raise Fault(f"`{typed}` is not told from {DATUMS[printed][0]}", f"write the angle `{printed}`")
    before = bool(typed or printed) and DATUMS[typed or printed][1] < 0
    return Number(-number.value, number.text, number.decimals) if before else number


def _over_setting(number: Number, named: Unit | None, setting: Quantity) -> Quantity:
    """A signed entry added to the set size, in the setting's unit."""
    step = named or _step_unit(number, setting)
    value = setting.value + number.value * step.factor / setting.unit.factor
    places = max(places_of(value), setting.number.decimals or 0)
    return Quantity(Number(value, show_number(value, places), places), setting.unit)


def _step_unit(number: Number, setting: Quantity) -> Unit:
    """The unit of a signed entry that names none: tenths, or the setting's own from three decimals on."""
    places = number.decimals or 0
    if places > 2:  # noqa: PLR2004 - `+0.0003` is inches, nobody reads a thousandth of a tenth
        return setting.unit
    if setting.unit.dimension != LENGTH or setting.unit.system != "inch":
        raise Fault(f"`{number.text}` does not say what it counts", _METRIC_STEPS)
    if places > 1:
        raise Fault(
            f"`{number.text}` may be tenths or inches", f"write `{number.text} tenths` or `{number.text} in`"
        )
    return UNITS["tenth"]


def show(value: Fraction, shown: Unit, decimals: int) -> str:
    """A value of that unit with so many decimals, rounded half to even, trailing zeros kept: `0.0020 in`."""
    return f"{show_number(value, decimals)} {shown.symbol}"

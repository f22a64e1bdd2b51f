"""A worksheet worked out: from what was typed to every step's exact value, or a sentence that says why not.

Nothing is raised at the bench. What is not typed or cannot be read, what divides by zero and what grows
beyond sense has no value and a reason; so has every later step that uses it. The browser does the same in
`worksheet.js`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import count
from typing import Final

from builder.diagnostics import Fault
from builder.dimension import COUNT
from builder.formula import Amount, Cell, Grid, Missing, Scope, Value, evaluate, names_of, single
from builder.model.base import Text
from builder.model.worksheet import Input, Shown, Worksheet
from builder.number import show_number
from builder.quantity import DATUMS, Number, Quantity, read_quantity, read_reading
from builder.units import UNITS, Unit, partner

ITEM: Final = "item"
"""The dimension that a list of readings runs over: `max(readings, item)`."""
LARGEST: Final = 10**12
"""In the unit in which it is shown, a value of this size or more is no measurement."""
PLAIN: Final = Shown(UNITS["ratio"])
"""How a result is shown of which the worksheet says nothing."""
OTHER_PLACES: Final = 3
COARSER: Final = 3
"""How many times coarser a last place in the other system may be."""

_RESOLUTION: Final = {
    quantity.unit.dimension: quantity.value * quantity.unit.factor
    for quantity in map(
        read_quantity,
        (
            "0.001 ratio", "1 tenth", "0.001 sq in", "0.01 cc", "0.1 g", "0.1 lbf", "0.1 lb-ft", "0.1 psi",
            "1 Fdeg", "0.1 deg", "1 s", "1 rpm", "1 ft/min", "0.1 lbf/in", "0.01 oz-in", "0.1 hp", "1 count",
        ),
    )
}  # fmt: skip
"""What a shop cares about, in base units: a tenth of a thou, a tenth of a pound-foot."""


@dataclass(frozen=True)
class Entry:
    """One input: the text that counts, whether it is the default, what was read, or why nothing was."""

    name: str
    own: Input
    typed: str
    by_default: bool
    read: tuple[Quantity, ...] = ()
    why: str = ""
    hint: str = ""


@dataclass(frozen=True)
class Line:
    """One step: its value in the unit in which it is shown, or why there is none.

    `approximate`: a root, logarithm or circular function lies behind it, right to some 36 digits.
    """

    name: str
    shown: Shown
    value: Fraction | None
    why: str = ""
    approximate: bool = False

    @property
    def text(self) -> str:
        """The value with its unit, or why there is none."""
        if self.value is None:
            return self.why
        return written(self.value, self.shown.unit, decimals_of(self.shown))

    @property
    def partner(self) -> str:
        """The value in the unit of the other system; empty where there is none."""
        other = partner(self.shown.unit)
        if self.value is None or other is None:
            return ""
        base = self.shown.unit.to_base(self.value)
        return written(other.from_base(base), other, partner_decimals(self.shown, other))


@dataclass(frozen=True)
class Worked:
    """A worksheet with what was typed in it and every step; `strange` are names that it does not know."""

    worksheet: Worksheet
    entries: tuple[Entry, ...]
    lines: tuple[Line, ...]
    strange: tuple[str, ...] = ()

    @property
    def answer(self) -> Line:
        """The last step."""
        return self.lines[-1]


def work(worksheet: Worksheet, given: Mapping[str, str]) -> Worked:
    """Work a worksheet out from texts as typed; an input that is left out or blank takes its default."""
    entries = tuple(_entry(str(name), own, given.get(name, "")) for name, own in worksheet.inputs.items())
    strange = tuple(name for name in given if name not in worksheet.inputs)
    return Worked(worksheet, entries, tuple(_lines(worksheet, entries)), strange)


def shown_as(worksheet: Worksheet, name: str) -> Shown:
    """How a result is shown."""
    return worksheet.shows.get(Text(name), PLAIN)


def names_in(worksheet: Worksheet) -> frozenset[str]:
    """Every name that its formulas may use: inputs and results."""
    return frozenset(map(str, (*worksheet.inputs, *worksheet.is_)))


def _entry(name: str, own: Input, typed: str) -> Entry:
    text = typed.strip(_BLANKS) or str(own.default or "")
    by_default = not typed.strip(_BLANKS) and bool(text)
    if not text:
        return Entry(name, own, "", by_default, why=f"`{name}` is not typed yet")
    try:
        return Entry(name, own, text, by_default, read_input(own, text))
    except Fault as fault:
        return Entry(name, own, text, by_default, why=f"`{name}`: {fault.message}", hint=fault.hint)


def read_input(own: Input, text: str) -> tuple[Quantity, ...]:
    """The quantities of an input, a Fault for what is none; a list is in the unit of its last."""
    if not own.many:
        return (_one(own, text, own.unit),)
    items = text.split(",")
    last = _one(own, items[-1], own.unit)
    return (*(_one(own, item, last.unit) for item in items[:-1]), last)


def _one(own: Input, text: str, unit: Unit) -> Quantity:
    """One quantity, an angle told from the input's own crank position."""
    told = _TOLD.search(text)
    if told and not own.datum:
        raise Fault(f"`{told[1]}` says from where, but here only the degrees count", "leave it out")
    read = read_reading(text, unit, datum=own.datum)
    if not same_sort(read.unit, own.unit):
        raise Fault(
            f"`{read.unit}` is {_sort(read.unit)} but {_sort(own.unit)} is wanted",
            f"write it in `{own.unit}`",
        )
    return _told_from(own.datum, read) if own.datum else read


def _told_from(datum: str, read: Quantity) -> Quantity:
    """An angle kept about dead centre as degrees before, or after, it: below zero on the other side."""
    value = read.value * DATUMS[datum][1]
    sign = "-" if value < 0 else ""
    number = read.number
    return Quantity(Number(value, sign + number.text.lstrip("+-− "), number.decimals), read.unit)


_TOLD: Final = re.compile(rf"\b({'|'.join(DATUMS)})[ \t]*\Z", re.ASCII)
_BLANKS: Final = " \t\r\n"
_DIFFERENCES: Final = ("Fdeg", "Cdeg")


def same_sort(one: Unit, other: Unit) -> bool:
    """Whether not one is a temperature and the other a difference of temperatures."""
    return not (
        (one.offset and other.symbol in _DIFFERENCES) or (other.offset and one.symbol in _DIFFERENCES)
    )


def _sort(unit: Unit) -> str:
    return "a difference of temperatures" if unit.symbol in _DIFFERENCES else "a temperature"


def _lines(worksheet: Worksheet, entries: tuple[Entry, ...]) -> Iterator[Line]:
    """Every step in order; each is there for the next one to use."""
    values = {entry.name: _value(entry) for entry in entries}
    sizes = {entry.name: tuple(one.base for one in entry.read) for entry in entries if entry.own.many}
    lost = {entry.name: entry.why for entry in entries if entry.why}
    for name, formula in worksheet.is_.items():
        used = next((one.name for one in names_of(formula.node) if one.name in lost), None)
        value = evaluate(formula.node, Scope(values, steps=sizes)) if used is None else _nothing(lost[used])
        line = _line(str(name), shown_as(worksheet, name), value.cells[0])
        if line.value is None:
            lost[str(name)] = line.why
        values[str(name)] = value
        yield line


def _nothing(why: str) -> Value:
    return single(Missing(why))


def _value(entry: Entry) -> Value:
    """What a formula sees of an input: one amount, or a row of them."""
    cells: tuple[Cell, ...] = tuple(Amount(one.base) for one in entry.read) or (Missing(entry.why),)
    if not entry.own.many:
        return single(cells[0])
    return Grid({ITEM: tuple(str(place) for place in range(1, len(cells) + 1))}, cells)


def _line(name: str, shown: Shown, cell: Cell) -> Line:
    if not isinstance(cell, Amount):
        return Line(name, shown, None, cell.reason if isinstance(cell, Missing) else f"`{name}` is no number")
    value = shown.unit.from_base(cell.value)
    if abs(value) >= LARGEST:
        return Line(name, shown, None, f"`{name}` comes out too large to be true: look at what was typed")
    return Line(name, shown, value, approximate=cell.approximate)


def decimals_of(shown: Shown) -> int:
    """The decimals of a result: as the worksheet says, or as fine as a shop cares about."""
    if shown.decimals is not None:
        return shown.decimals
    finest = _RESOLUTION.get(shown.unit.dimension)
    if finest is None:
        return OTHER_PLACES
    return next(places for places in count() if shown.unit.factor <= finest * 10**places)


def partner_decimals(shown: Shown, other: Unit) -> int:
    """The decimals of a result in the other system, the last place about as fine: 0.001 mm for 0.0001 in."""
    own_place = shown.unit.factor / 10 ** decimals_of(shown)
    return next(places for places in count() if other.factor <= COARSER * own_place * 10**places)


def written(value: Fraction, unit: Unit, decimals: int) -> str:
    """A value with its unit as a page prints it: `0.0020 in`, `73.0°`, `8.576`."""
    number = show_number(value, decimals)
    if unit.symbol == "ratio" or unit.dimension == COUNT:
        return number
    return f"{number}{'' if unit.label == '°' else ' '}{unit.label}"

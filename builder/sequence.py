"""Rows of values in one text: size steps, tightening rounds, orders, curves and the rows of a schedule."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import Final

from builder.diagnostics import Fault
from builder.number import Number, read_number
from builder.quantity import Quantity, read_quantity
from builder.units import Unit

_ITEM = re.compile(r"[^,]*(?:,|\Z)")
_NAME = re.compile(r"[A-Za-z0-9_]+")
_BLANKS: Final = ("-", "–", "—")


@dataclass(frozen=True, slots=True)
class _Item:
    """One item of a row and where it stands."""

    text: str
    start: int

    @property
    def end(self) -> int:
        """The first offset after the item."""
        return self.start + len(self.text)

    def fault(self, message: str, hint: str) -> Fault:
        """A fault about the whole item."""
        return Fault(message, hint, self.start, self.end)

    def moved(self, fault: Fault) -> Fault:
        """A fault about a part of the item, with its place in the whole row."""
        end = self.end if fault.end is None else self.start + fault.end
        return Fault(fault.message, fault.hint, self.start + fault.start, end)

    def number(self) -> Number:
        """The item as a bare number."""
        try:
            return read_number(self.text)
        except Fault as fault:
            raise self.moved(fault) from None

    def quantity(self) -> Quantity:
        """The item as a number with its unit."""
        try:
            return read_quantity(self.text)
        except Fault as fault:
            raise self.moved(fault) from None


def _items(text: str) -> tuple[_Item, ...]:
    """The items between commas; a Fault for one that is empty."""
    return tuple(_each_item(text))


def _each_item(text: str) -> Iterator[_Item]:
    for found in _ITEM.finditer(text):
        inside = found[0].removesuffix(",")
        item = _Item(inside.strip(), found.start() + len(inside) - len(inside.lstrip()))
        if not item.text and found.start() == len(text) and not text.rstrip().endswith(",") and text.strip():
            return
        if not item.text:
            raise Fault(
                "an item of the row is missing", "write one item after each comma", found.start(), found.end()
            )
        yield item
        if not found[0].endswith(","):
            return


def read_steps(text: str) -> tuple[Quantity, ...]:
    """Sizes that a part is supplied or machined in, growing: `0.010, 0.020, 0.030 in`."""
    items = _items(text)
    steps = _sizes(items)
    for item, (step, after) in zip(items, pairwise(steps), strict=False):
        if step.value >= after.value:
            raise item.fault(
                f"`{item.text}` is not less than the step after it", "write the steps in growing order"
            )
    return steps


def read_sizes(text: str) -> tuple[Quantity, ...]:
    """Sizes as measured, in any order, the unit after the last: `3.5504, 3.5502 in`."""
    return _sizes(_items(text))


def _sizes(items: tuple[_Item, ...]) -> tuple[Quantity, ...]:
    last = items[-1].quantity()
    return (*(Quantity(item.number(), last.unit) for item in items[:-1]), last)


def read_rounds(text: str) -> tuple[Quantity | None, ...]:
    """The rounds of a tightening, growing: `30 lb-ft, 55 lb-ft, final`; None is the final torque itself."""
    items = _items(text)
    rounds = tuple(None if item.text == "final" else item.quantity() for item in items)
    for item, (one, after) in zip(items, pairwise(rounds), strict=False):
        if one is None:
            raise item.fault("`final` stands before the last round", "write `final` last")
        if after and (one.unit.dimension != after.unit.dimension or one.base >= after.base):
            raise item.fault(
                f"`{item.text}` is not less than the round after it", "write the rounds in growing order"
            )
    return rounds


def read_order(text: str) -> tuple[str, ...]:
    """Names in order, joined by dashes: `1-2-4-3`; empty for `any`. Who should be there is not known here."""
    if text.strip() == "any":
        return ()
    names: list[str] = []
    at = 0
    for part in text.split("-"):
        name = part.strip()
        if not _NAME.fullmatch(name):
            raise Fault(
                f"`{name}` is not a name in an order",
                "write names joined by dashes, such as `1-2-4-3`, or `any`",
                at,
                at + len(part),
            )
        if name in names:
            raise Fault(f"`{name}` stands twice in the order", "write each name once", at, at + len(part))
        names.append(name)
        at += len(part) + 1
    return tuple(names)


@dataclass(frozen=True, slots=True)
class Curve:
    """Points of one value over another, the second growing, joined by straight lines."""

    text: str
    points: tuple[tuple[Number, Number], ...]
    over: Unit
    unit: Unit

    def at(self, base: Fraction) -> Fraction | None:
        """The value in base units where the other is `base`; None beyond either end."""
        ends = [(self.over.to_base(x.value), self.unit.to_base(y.value)) for x, y in self.points]
        for (x, y), (after, to) in pairwise(ends):
            if x <= base <= after:
                return y + (to - y) * (base - x) / (after - x)
        return None


def read_curve(text: str, over: Unit, shown: Unit) -> Curve:
    """A curve such as `0 at 700, 8 at 1400, 16 at 2400`: values in `shown` at values in `over`."""
    items = _items(text)
    points = tuple(_point(item) for item in items)
    if len(points) == 1:
        raise Fault(
            "a curve of one point has no course", "write two points or more, such as `0 at 700, 8 at 1400`"
        )
    for item, (one, after) in zip(items[1:], pairwise(points), strict=True):
        if one[0].value >= after[0].value:
            raise item.fault(
                f"`{item.text}` does not come after the point before it", "write the points in growing order"
            )
    return Curve(text.strip(), points, over, shown)


def _point(item: _Item) -> tuple[Number, Number]:
    value, at, over = item.text.partition(" at ")
    if not at:
        raise item.fault(f"`{item.text}` is not a point of a curve", "write it like `8 at 1400`")
    start = item.start + len(value) + len(at)
    return _Item(over, start).number(), _Item(value, item.start).number()


def read_row(text: str, columns: Mapping[str, Unit]) -> tuple[Quantity | None, ...]:
    """One row of a schedule, a number for each column in its unit: `1000, 0, 30`; None for a dash."""
    items = _items(text)
    if len(items) != len(columns):
        raise Fault(
            f"the row holds {len(items)} values but there are {len(columns)} columns",
            f"write {', '.join(f'`{name}`' for name in columns)}, a dash where there is none",
        )
    return tuple(
        None if item.text in _BLANKS else Quantity(item.number(), own)
        for item, own in zip(items, columns.values(), strict=True)
    )

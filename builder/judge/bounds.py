"""Which limit decides at a position, with the job's size steps applied."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from builder.checklist import Labels
from builder.limit import Limit
from builder.model.base import Text
from builder.model.spec import IN_FORCE, LimitRow
from builder.model.written import Cited, Stated

Size = Fraction | Mapping[str, Fraction]
"""A size step in SI base units: one for all positions, or by label with `""` for those not named."""

Sizes = Mapping[str, Size]
"""The size steps of a job, by name: main_undersize, bore_oversize."""

SHEET = "sheet"
"""The kind of a limit that the supplier's sheet of this very job gives; it comes before all others."""


@dataclass(frozen=True)
class Band:
    """A lower and an upper bound in SI base units, whose they are, and the words they were printed in."""

    low: Fraction | None
    high: Fraction | None
    kind: str
    printed: tuple[Cited[Limit], ...]
    moved: Fraction = Fraction(0)

    @property
    def width(self) -> Fraction | None:
        """High less low; None where a side is open."""
        return None if self.low is None or self.high is None else self.high - self.low

    def holds(self, value: Fraction) -> bool:
        """Whether a value lies inside; equality is inside."""
        return (self.low is None or value >= self.low) and (self.high is None or value <= self.high)

    def beyond(self, value: Fraction) -> Fraction:
        """How far a value lies outside; zero when it is inside."""
        if self.low is not None and value < self.low:
            return self.low - value
        if self.high is not None and value > self.high:
            return value - self.high
        return Fraction(0)


@dataclass(frozen=True)
class Limits:
    """The limits of a characteristic at one position: the one in force, the aim, the wear limit."""

    in_force: Band | None = None
    aim: Band | None = None
    wear: Band | None = None


NO_LIMITS = Limits()


def limits_at(row: LimitRow, at: Labels, sizes: Sizes, sheet: Stated[Limit] | None = None) -> Limits:
    """The limits of a row at a position, moved by the job's size steps.

    Args:
        row: the row of the spec table.
        at: the position; empty for what holds at all of them, where sizes that differ leave no limit.
        sizes: the job's size steps.
        sheet: what the sheet in the box says for this job; it is of the size in the box and moves no more.
    """
    moved = _move(row, at, sizes)
    if moved is None:
        return NO_LIMITS
    boxed = _of_sheet(row, at, sheet)
    in_force = boxed or next((band for kind in IN_FORCE if (band := _band(row, kind, at, moved))), None)
    wear = _band(row, "wear", at, moved)
    if row.wear is not None and wear is None and in_force is not None:
        wear = _same_as_new(row, in_force)
    aim = _band(row, "aim", at, moved)
    if boxed is not None and aim is not None and not _inside(aim, boxed):
        aim = None  # the shop aimed at other parts than those in this box
    return Limits(in_force, aim, wear)


def _inside(aim: Band, of: Band) -> bool:
    return all(bound is None or of.holds(bound) for bound in (aim.low, aim.high))


def _move(row: LimitRow, at: Labels, sizes: Sizes) -> Fraction | None:
    """How far the size steps move a row at a position; None where positions differ and none is told."""
    moved = Fraction(0)
    for step, factor in row.moves_with.items():
        size = sizes.get(step, Fraction(0))
        if not isinstance(size, Fraction):
            if not at and set(size) != {""}:
                return None
            size = _size_at(size, at)
        moved += Fraction(factor) * size
    return moved


def _size_at(size: Mapping[str, Fraction], at: Labels) -> Fraction:
    return next((size[label] for label in (*at.values(), "") if label in size), Fraction(0))


def _of_sheet(row: LimitRow, at: Labels, sheet: Stated[Limit] | None) -> Band | None:
    return None if sheet is None else _banded(_printed(row, sheet, at), SHEET, Fraction(0))


def _same_as_new(row: LimitRow, in_force: Band) -> Band | None:
    """`same as new`: no wear is allowed beyond the limit in force."""
    forms = {cited.value.form for cited in (row.wear.every() if row.wear else ())}
    return (
        Band(in_force.low, in_force.high, "wear", in_force.printed, in_force.moved)
        if forms == {"same_as_new"}
        else None
    )


def _band(row: LimitRow, kind: str, at: Labels, moved: Fraction) -> Band | None:
    stated: Stated[Limit] | None = getattr(row, kind)
    return None if stated is None else _banded(_printed(row, stated, at), kind, moved)


def _banded(printed: tuple[Cited[Limit], ...], kind: str, moved: Fraction) -> Band | None:
    bounded = [cited for cited in printed if cited.value.low is not None or cited.value.high is not None]
    if not bounded:
        return None
    lows = [cited.value.low_base for cited in bounded]
    highs = [cited.value.high_base for cited in bounded]
    return Band(_moved(_least(lows), moved), _moved(_most(highs), moved), kind, tuple(bounded), moved)


def _printed(row: LimitRow, stated: Stated[Limit], at: Labels) -> tuple[Cited[Limit], ...]:
    """The printed values that count at a position: of graded parts, all grades together."""
    if row.grades:
        return tuple(group[0] for group in stated.by.values())
    for label in (*at.values(), ""):
        group = stated.by.get(Text(label))
        if group:
            return (group[0],)
    return ()


def _least(bounds: list[Fraction | None]) -> Fraction | None:
    known = [bound for bound in bounds if bound is not None]
    return min(known) if len(known) == len(bounds) else None


def _most(bounds: list[Fraction | None]) -> Fraction | None:
    known = [bound for bound in bounds if bound is not None]
    return max(known) if len(known) == len(bounds) else None


def _moved(bound: Fraction | None, by: Fraction) -> Fraction | None:
    return None if bound is None else bound + by

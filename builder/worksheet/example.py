"""Worked examples: what a publication prints beside what the worksheet gives."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from builder.model.worksheet import Example, Printed, Worksheet
from builder.units import Unit
from builder.worksheet.work import Line, work, written


@dataclass(frozen=True)
class Compared:
    """A printed result of an example beside what the worksheet gives, both in the printed unit."""

    name: str
    printed: Printed
    unit: Unit
    value: Fraction | None
    why: str = ""

    @property
    def agrees(self) -> bool:
        """Whether the value is the printed one to its last digit, or within what is printed."""
        if self.value is None:
            return False
        number = self.printed.number
        slack = Fraction(0) if number.decimals is None else Fraction(1, 2 * 10**number.decimals)
        if self.printed.within is not None:
            slack = self.printed.within.value
        return abs(self.value - number.value) <= slack

    @property
    def text(self) -> str:
        """What the worksheet gives, with one digit more than is printed."""
        if self.value is None:
            return self.why
        return written(self.value, self.unit, (self.printed.number.decimals or 0) + 1)


def compare(worksheet: Worksheet, example: Example) -> tuple[Compared, ...]:
    """Work an example out and set each printed result beside its value, names that are no result left out."""
    worked = work(worksheet, {str(name): str(text) for name, text in example.given.items()})
    lines = {line.name: line for line in worked.lines}
    return tuple(_compared(lines[name], printed) for name, printed in example.gives.items() if name in lines)


def _compared(line: Line, printed: Printed) -> Compared:
    unit = printed.unit or line.shown.unit
    if line.value is None or unit.dimension != line.shown.unit.dimension:
        why = line.why or f"`{unit}` measures {unit.dimension}, not {line.shown.unit.dimension}"
        return Compared(line.name, printed, unit, None, why)
    return Compared(line.name, printed, unit, unit.from_base(line.shown.unit.to_base(line.value)))


def holds(worksheet: Worksheet, example: Example) -> bool:
    """Whether an example does what it says: its results come out, or those of a trap do not."""
    every = all(one.agrees for one in compare(worksheet, example))
    return every != (example.holds_in == "trap")

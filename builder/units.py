"""Units: a closed list with exact factors, looked up by the spellings that people type.

The only door to pint, which is used to check the table (`python -m builder.units`) and never at run time:
left to itself it reads `cu in` and `Ra` as something else, and takes degrees, counts and ratios for the same.
"""

from __future__ import annotations

import sys
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from importlib import import_module
from keyword import iskeyword
from types import MappingProxyType
from typing import Any, Final

from builder.diagnostics import Fault
from builder.dimension import RATIO, Dimension
from builder.unit_table import PARTNERS, ROWS, Row, System

__all__ = ["IDENTIFIERS", "NO_UNIT", "SPELLINGS", "UNITS", "Dimension", "System", "Unit", "partner", "unit"]


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit: a value times `factor` plus `offset` is the value in m, kg, s, K, A, degrees and pieces.

    `symbol` is what people type and files hold; `label` is what a page prints.
    """

    symbol: str
    dimension: Dimension
    factor: Fraction
    offset: Fraction
    system: System
    label: str

    def to_base(self, value: Fraction) -> Fraction:
        """A value in this unit as a value in base units."""
        scaled = value * self.factor
        return scaled + self.offset if self.offset else scaled

    def from_base(self, base: Fraction) -> Fraction:
        """A value in base units as a value in this unit."""
        return (base - self.offset if self.offset else base) / self.factor

    def __str__(self) -> str:
        return self.symbol

    def __hash__(self) -> int:
        return hash(self.symbol)


NO_UNIT: Final = Unit("", RATIO, Fraction(1), Fraction(0), "both", "")
"""The unit of a limit that holds no number, such as `fit only`."""


def _made(row: Row) -> Unit:
    return Unit(row.symbol, row.dimension, row.factor, row.offset, row.system, row.label or row.symbol)


UNITS: Final[Mapping[str, Unit]] = MappingProxyType({row.symbol: _made(row) for row in ROWS})
"""Every unit by its symbol."""

SPELLINGS: Final[Mapping[str, Unit]] = MappingProxyType(
    {spelling: UNITS[row.symbol] for row in ROWS for spelling in (row.symbol, *row.spellings)}
)
"""Every unit by every way of typing it."""


def _identifier(spelling: str) -> str:
    """A spelling as a formula can write it: `lb-ft` is `lb_ft`, `lbf/in` is `lbf_per_in`."""
    words = spelling.removeprefix("1/") if spelling.startswith("1/") else spelling
    joined = words.replace("/", "_per_").translate(str.maketrans(" -·", "___"))
    return f"per_{joined}" if spelling.startswith("1/") else joined


def _identifiers() -> dict[str, Unit]:
    named = {_identifier(spelling): unit for spelling, unit in SPELLINGS.items()}
    taken = {"min", "count"}  # functions of the formula language
    return {
        name: unit
        for name, unit in named.items()
        if name.isidentifier() and name.isascii() and not iskeyword(name) and name not in taken
    }


IDENTIFIERS: Final[Mapping[str, Unit]] = MappingProxyType(_identifiers())
"""Unit names that a formula may write as factors: `inch`, `lb_ft`, `lbf_per_in`, `minute`, `per_Fdeg`."""

_PARTNER: Final[dict[str, Unit]] = {
    **{metric: UNITS[inch] for inch, metric in reversed(PARTNERS)},
    **{inch: UNITS[metric] for inch, metric in reversed(PARTNERS)},
}

_AMBIGUOUS: Final = {
    "qt": "write `US qt` or `UK qt`",
    "pt": "write `US pt` or `UK pt`",
    "gal": "write `US gal` or `UK gal`",
    "F": "write `degF` for a temperature, `Fdeg` for a difference, `uF` for a capacitance",
    "C": "write `degC` for a temperature, `Cdeg` for a difference",
    '"': "write `in`",
    "'": "write `ft`",
    "Ra": "write `microinch` or `um`",
}


def unit(text: str) -> Unit:
    """The unit that a text names; a Fault with the nearest right spelling where there is none."""
    found = SPELLINGS.get(text)
    if found is None:
        raise _unknown(text)
    return found


def _unknown(text: str) -> Fault:
    """What is wrong with a unit that is not in the list."""
    word = " ".join(text.split())
    if word in SPELLINGS:
        return Fault(f"`{text}` has blanks where a unit has none", f"write `{word}`")
    if word in _AMBIGUOUS:
        return Fault(f"`{word}` may mean more than one unit", _AMBIGUOUS[word])
    return Fault(f"`{word}` is not a unit of the list", _nearest(word))


def _nearest(word: str) -> str:
    lowered = {spelling.lower(): spelling for spelling in reversed(tuple(SPELLINGS))}
    plain = word.lower().replace(".", "")
    matches = get_close_matches(plain, lowered, n=1, cutoff=0.6)
    if not matches:
        return "write a unit such as `in`, `mm`, `lb-ft` or `psi`"
    return f"write `{SPELLINGS[lowered[matches[0]]].symbol}`"


def partner(own: Unit) -> Unit | None:
    """The unit of the other system that a shop shows beside this one; None where both systems share it."""
    return _PARTNER.get(own.symbol)


def _pint_factor(registry: Any, row: Row) -> tuple[Fraction, Fraction]:  # noqa: ANN401 - pint is untyped
    """The factor and offset of a unit to base units, worked out by pint in exact rationals."""
    whole = registry.parse_expression(row.pint)
    zero, one = (
        registry.Quantity(whole.magnitude * value, whole.units).to_base_units().magnitude
        for value in (Fraction(0), Fraction(1))
    )
    return Fraction(one - zero), Fraction(zero)


def compare_with_pint() -> list[str]:
    """Every unit whose factor or offset pint gives otherwise; empty when the table is right."""
    registry: Any = import_module("pint").UnitRegistry(non_int_type=Fraction)
    worked_out = [(row, _pint_factor(registry, row)) for row in ROWS if row.pint]
    return [
        f"{row.symbol}: {row.factor} + {row.offset}, but pint gives {factor} + {offset}"
        for row, (factor, offset) in worked_out
        if (factor, offset) != (row.factor, row.offset)
    ]


def main() -> int:
    """Compare the table with pint and write what differs; the exit code is 1 where anything does."""
    differing = compare_with_pint()
    sys.stdout.write("\n".join([*differing, f"{len(ROWS)} units, {len(differing)} differ"]) + "\n")
    return int(bool(differing))


if __name__ == "__main__":
    sys.exit(main())

"""What a formula may look up: readings and worked-out values, limits, listed steps, and what sits on what."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import product
from typing import TypeAlias

from builder.formula.amount import Amount, Cell, Reading
from builder.formula.grid import Dims, Grid, Links, Missing, single

Value: TypeAlias = Grid[Cell]
"""What a formula gives: named dimensions and in each cell an exact amount, a truth, or why there is none."""


@dataclass(frozen=True, slots=True)
class Pair:
    """A worked-out value with two ends, as `least:` and `most:` of a `work_out` give it."""

    least: Value
    most: Value


@dataclass(frozen=True, slots=True)
class Bounds:
    """The limits of a characteristic in SI base units: in force, and aimed at; None where a side is open."""

    low: Value | None = None
    high: Value | None = None
    aim_low: Value | None = None
    aim_high: Value | None = None

    @classmethod
    def of(
        cls,
        low: Fraction | None,
        high: Fraction | None,
        aim_low: Fraction | None = None,
        aim_high: Fraction | None = None,
    ) -> Bounds:
        """One limit for every position."""
        return cls(_one(low), _one(high), _one(aim_low), _one(aim_high))

    @property
    def exact(self) -> bool:
        """Whether lower and upper limit are one and the same, so that the bare name has a value."""
        return self.low is not None and self.low == self.high


def _one(bound: Fraction | None) -> Value | None:
    return None if bound is None else single(Amount(bound))


@dataclass(frozen=True, slots=True)
class Scope:
    """Everything that names in a formula may mean. A name here comes before a unit of the same spelling."""

    values: Mapping[str, Value] = field(default_factory=dict)
    """Readings (made by `readings`), earlier worked-out values, inputs of a worksheet."""
    pairs: Mapping[str, Pair] = field(default_factory=dict)
    """Worked-out values with a least and a most."""
    limits: Mapping[str, Bounds] = field(default_factory=dict)
    """Characteristics with limits."""
    steps: Mapping[str, tuple[Fraction, ...]] = field(default_factory=dict)
    """Characteristics that list sizes, in SI base units."""
    links: Links = field(default_factory=dict)
    """What each feature sits on: rods on crankpins."""


def readings(name: str, dims: Dims, values: Sequence[Fraction | None]) -> Value:
    """Readings of one name in the order of the positions, in SI base units; None where nothing was read.

    Each amount knows itself as its own source, with effect 1.
    """
    positions = product(*dims.values())
    cells = (_read(name, tuple(dims), at, value) for at, value in zip(positions, values, strict=True))
    return Grid(dims, tuple(cells))


def _read(name: str, dims: tuple[str, ...], at: tuple[str, ...], value: Fraction | None) -> Cell:
    if value is None:
        return Missing(not_read(name, dict(zip(dims, at, strict=True))))
    return Amount(value, {Reading(name, at): Fraction(1)})


def not_read(name: str, place: Mapping[str, str]) -> str:
    """The sentence for a reading that was not taken: `journal` is not read at main 2, plane front, axis A."""
    where = ", ".join(f"{dim} {label}" for dim, label in place.items())
    return f"`{name}` is not read at {where}" if where else f"`{name}` is not read"

"""Selective fitting: which piston into which bore, so that every fit lies nearest the aim."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from scipy.optimize import linear_sum_assignment

from builder.diagnostics import Fault
from builder.number import show_number
from builder.quantity import read_quantity
from builder.sequence import read_sizes

MOST = 200
"""Parts that one pairing takes at most."""


@dataclass(frozen=True)
class Pairing:
    """Which shaft goes into which hole: `order[n]` is the place of the shaft for hole n; and the fits."""

    order: tuple[int, ...]
    fits: tuple[Fraction, ...]
    aim: Fraction

    @property
    def worst(self) -> Fraction:
        """How far the fit farthest from the aim lies from it."""
        return max(abs(fit - self.aim) for fit in self.fits)

    @property
    def spread(self) -> Fraction:
        """Loosest less tightest fit."""
        return max(self.fits) - min(self.fits)


def in_order(holes: Sequence[Fraction], shafts: Sequence[Fraction], aim: Fraction) -> Pairing:
    """The pairing as the parts lie: first to first."""
    return _pairing(holes, shafts, tuple(range(len(holes))), aim)


def pair(holes: Sequence[Fraction], shafts: Sequence[Fraction], aim: Fraction) -> Pairing:
    """The pairing whose fits lie nearest the aim: the sum of their squared distances is least.

    There may be more shafts than holes; the best ones are chosen. Sizes and aim in one unit, exact.

    Raises:
        ValueError: with no hole, fewer shafts than holes, or more than `MOST` parts.
    """
    if not holes or len(shafts) < len(holes) or len(shafts) > MOST:
        raise ValueError(f"a pairing takes from 1 to {MOST} holes, and at least as many shafts")
    scale = max(abs(hole - shaft - aim) for hole in holes for shaft in shafts) or Fraction(1)
    cost = [[float((hole - shaft - aim) / scale) ** 2 for shaft in shafts] for hole in holes]
    _, chosen = linear_sum_assignment(cost)
    return _pairing(holes, shafts, tuple(int(place) for place in chosen), aim)


def _pairing(
    holes: Sequence[Fraction], shafts: Sequence[Fraction], order: tuple[int, ...], aim: Fraction
) -> Pairing:
    fits = tuple(hole - shafts[place] for hole, place in zip(holes, order, strict=True))
    return Pairing(order, fits, aim)


def pairing_lines(
    holes: Sequence[Fraction], shafts: Sequence[Fraction], aim: Fraction, places: int
) -> tuple[str, ...]:
    """The best pairing in lines, and what it gains over fitting the parts as they lie."""
    best, lay = pair(holes, shafts, aim), in_order(holes, shafts[: len(holes)], aim)
    lines = [
        f"hole {number} {_shown(hole, places)}: shaft {place + 1} {_shown(shafts[place], places)}, "
        f"fit {_shown(fit, places)} (as they lie {_shown(before, places)})"
        for number, (hole, place, fit, before) in enumerate(
            zip(holes, best.order, best.fits, lay.fits, strict=True), 1
        )
    ]
    lines.append(
        f"farthest from the aim {_shown(best.worst, places)}, as they lie {_shown(lay.worst, places)}"
    )
    lines.append(
        f"loosest less tightest {_shown(best.spread, places)}, as they lie {_shown(lay.spread, places)}"
    )
    return tuple(lines)


def typed_pairing_lines(holes: str, shafts: str, aim: str) -> tuple[str, ...]:
    """The same from sizes as typed, `3.5504, 3.5506 in`; a Fault says what cannot be read or paired."""
    wanted, bores, pins = read_quantity(aim), read_sizes(holes), read_sizes(shafts)
    if {one.unit.dimension for one in (*bores, *pins)} != {wanted.unit.dimension}:
        raise Fault("sizes and aim are not of one dimension", "write all of them in `in` or in `mm`")
    bore_sizes, pin_sizes = ([wanted.unit.from_base(one.base) for one in group] for group in (bores, pins))
    places = max(one.number.decimals or 0 for one in (*bores, *pins, wanted))
    try:
        return pairing_lines(bore_sizes, pin_sizes, wanted.value, places)
    except ValueError as refused:
        raise Fault(str(refused), "leave no part out") from None


def _shown(value: Fraction, places: int) -> str:
    return show_number(value, places)

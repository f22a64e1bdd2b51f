"""The kinds of characteristic: what each one measures, how it wears, and what is plausible for it.

Common practice, no source, for the wear sides and the plausible ranges: they only catch a slip of the pen.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from builder.units import Dimension, unit


class Wear(StrEnum):
    """Which way a characteristic goes as the engine wears."""

    GROWS = "grows"
    SHRINKS = "shrinks"
    EITHER = "either"


@dataclass(frozen=True)
class Kind:
    """One kind: its dimension, its wear side and the plausible range of its values in SI base units."""

    name: str
    words: str
    dimension: Dimension
    wear: Wear
    least: Fraction
    most: Fraction


_GROWS = frozenset({
    "bore", "depth", "clearance", "end_float", "backlash", "gap",
    "taper", "out_of_round", "runout", "flatness", "finish", "unbalance",
})  # fmt: skip
_SHRINKS = frozenset({"shaft", "thickness", "width", "lift", "interference", "load"})

# kind, its words, the unit of its bounds, least and most plausible value in that unit
_TABLE: tuple[tuple[str, str, str, str, str], ...] = (
    ("bore", "bore", "in", "0.01", "40"),
    ("depth", "depth", "in", "-1", "40"),
    ("shaft", "shaft", "in", "0.01", "40"),
    ("thickness", "thickness", "in", "0.0005", "10"),
    ("width", "width", "in", "0.001", "40"),
    ("lift", "lift", "in", "0.01", "5"),
    ("height", "height", "in", "-5", "60"),
    ("length", "length", "in", "0.001", "200"),
    ("clearance", "clearance", "in", "-0.05", "1"),
    ("end_float", "end float", "in", "0", "0.25"),
    ("backlash", "backlash", "in", "0", "1"),
    ("gap", "gap", "in", "0", "1"),
    ("interference", "interference", "in", "-0.01", "0.05"),
    ("protrusion", "protrusion", "in", "-0.1", "0.25"),
    ("taper", "taper", "in", "0", "0.05"),
    ("out_of_round", "out of round", "in", "0", "0.05"),
    ("runout", "run-out", "in", "0", "0.25"),
    ("flatness", "flatness", "in", "0", "0.1"),
    ("load", "load", "lbf", "0", "20000"),
    ("torque", "torque", "lb-ft", "0", "2000"),
    ("pressure", "pressure", "psi", "-15", "3000"),
    ("temperature", "temperature", "degF", "-400", "3000"),
    ("angle", "angle", "deg", "-720", "720"),
    ("time", "time", "s", "0", "1000000"),
    ("mass", "mass", "lb", "0", "20000"),
    ("volume", "volume", "cc", "0", "200000"),
    ("ratio", "ratio", "ratio", "-100", "1000"),
    ("count", "count", "count", "0", "10000"),
    ("speed", "speed", "rpm", "0", "20000"),
    ("power", "power", "hp", "0", "10000"),
    ("rate", "rate", "lbf/in", "0", "100000"),
    ("finish", "finish", "microinch", "0", "2000"),
    ("unbalance", "unbalance", "oz-in", "0", "1000"),
    ("resistance", "resistance", "ohm", "0", "1000000"),
    ("capacitance", "capacitance", "uF", "0", "1000"),
)


def _wear(name: str) -> Wear:
    if name in _GROWS:
        return Wear.GROWS
    return Wear.SHRINKS if name in _SHRINKS else Wear.EITHER


def _kind(name: str, words: str, symbol: str, least: str, most: str) -> Kind:
    of = unit(symbol)
    bounds = [Fraction(bound) * of.factor + of.offset for bound in (least, most)]
    return Kind(name, words, of.dimension, _wear(name), *bounds)


KINDS = {row[0]: _kind(*row) for row in _TABLE}
SIZES = frozenset({"bore", "depth", "shaft", "thickness", "width", "lift", "height", "length"})
CLEARANCES = frozenset({"clearance", "end_float", "backlash", "gap", "interference", "protrusion"})
OTHER_ROWS = frozenset({"wear_amount", "spread", "order", "steps", "curve", "schedule", "seen", "text"})

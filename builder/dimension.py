"""Dimensions: what sort of thing a number measures, as whole powers of seven named bases.

An angle and a count are bases of their own here, so that degrees, pieces and ratios are never taken for
one another.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

BASES: Final = ("length", "mass", "time", "temperature", "current", "angle", "count")


@dataclass(frozen=True, slots=True)
class Dimension:
    """Whole powers of the `BASES`, in their order; all zero is a ratio."""

    powers: tuple[int, ...]

    def __mul__(self, other: Dimension) -> Dimension:
        return Dimension(tuple(a + b for a, b in zip(self.powers, other.powers, strict=True)))

    def __truediv__(self, other: Dimension) -> Dimension:
        return Dimension(tuple(a - b for a, b in zip(self.powers, other.powers, strict=True)))

    def __pow__(self, exponent: int) -> Dimension:
        return Dimension(tuple(power * exponent for power in self.powers))

    def root(self, degree: int) -> Dimension | None:
        """The dimension whose `degree`-th power this is; None where a power would not be whole."""
        if any(power % degree for power in self.powers):
            return None
        return Dimension(tuple(power // degree for power in self.powers))

    def __str__(self) -> str:
        return NAMES.get(self) or _spelled(self)


def _base(name: str) -> Dimension:
    return Dimension(tuple(int(base == name) for base in BASES))


def _product(powers: list[tuple[str, int]]) -> str:
    return "·".join(name if power == 1 else f"{name}^{power}" for name, power in powers)


def _spelled(dimension: Dimension) -> str:
    """A dimension without a trade name, such as `length^2/time`."""
    pairs = list(zip(BASES, dimension.powers, strict=True))
    above = [(name, power) for name, power in pairs if power > 0]
    below = [(name, -power) for name, power in pairs if power < 0]
    under = f"({_product(below)})" if len(below) > 1 else _product(below)
    return (_product(above) or "1") + (f"/{under}" if below else "")


RATIO: Final = Dimension((0,) * len(BASES))
LENGTH: Final = _base("length")
MASS: Final = _base("mass")
TIME: Final = _base("time")
TEMPERATURE: Final = _base("temperature")
CURRENT: Final = _base("current")
ANGLE: Final = _base("angle")
COUNT: Final = _base("count")
AREA: Final = LENGTH**2
VOLUME: Final = LENGTH**3
SPEED: Final = LENGTH / TIME
TURNING_SPEED: Final = RATIO / TIME
FORCE: Final = MASS * LENGTH / TIME**2
TORQUE: Final = FORCE * LENGTH
PRESSURE: Final = FORCE / AREA
SPRING_RATE: Final = FORCE / LENGTH
POWER: Final = TORQUE / TIME
UNBALANCE: Final = MASS * LENGTH
FLOW: Final = VOLUME / TIME
FUEL_RATE: Final = MASS / TIME
FUEL_CONSUMPTION: Final = MASS / TORQUE
HEAT_VALUE: Final = TORQUE / MASS
DENSITY: Final = MASS / VOLUME
EXPANSION: Final = RATIO / TEMPERATURE
VOLTAGE: Final = POWER / CURRENT
RESISTANCE: Final = VOLTAGE / CURRENT
CAPACITANCE: Final = CURRENT * TIME / VOLTAGE

NAMES: Final[dict[Dimension, str]] = {
    RATIO: "ratio",
    LENGTH: "length",
    MASS: "mass",
    TIME: "time",
    TEMPERATURE: "temperature",
    CURRENT: "current",
    ANGLE: "angle",
    COUNT: "count",
    AREA: "area",
    VOLUME: "volume",
    SPEED: "linear speed",
    TURNING_SPEED: "turning speed",
    FORCE: "force",
    TORQUE: "torque",
    PRESSURE: "pressure",
    SPRING_RATE: "spring rate",
    POWER: "power",
    UNBALANCE: "unbalance",
    FLOW: "flow",
    FUEL_RATE: "fuel rate",
    FUEL_CONSUMPTION: "fuel consumption",
    HEAT_VALUE: "heat value",
    DENSITY: "density",
    EXPANSION: "expansion",
    VOLTAGE: "voltage",
    RESISTANCE: "resistance",
    CAPACITANCE: "capacitance",
}

"""A straight line through values over time, and how likely chance alone would give as much."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import sqrt

from scipy.stats import f, t

from builder.jobs.statistics.variance import OneWay, mean, squares

FEWEST = 3
"""Values from which on a line has anything to miss."""


@dataclass(frozen=True)
class Line:
    """A line by least squares: its slope, its value at zero, the standard error of the slope."""

    slope: Fraction
    start: Fraction
    error: float
    freedom: int

    @property
    def chance(self) -> float:
        """How likely a slope as steep as this is where there is none (two-sided, Student's t)."""
        if not self.error:
            return 0.0 if self.slope else 1.0
        return float(2 * t.sf(abs(float(self.slope)) / self.error, self.freedom))


def line_through(places: Sequence[Fraction], values: Sequence[Fraction]) -> Line:
    """The line through values at these places; sums are exact (NIST StRD, Norris).

    Raises:
        ValueError: for fewer than three values, or where all stand at one place.
    """
    if len(values) < FEWEST or len(set(places)) == 1:
        raise ValueError("a line takes three or more values at more than one place")
    middle, centre = mean(places), mean(values)
    crossed = sum(((x - middle) * (y - centre) for x, y in zip(places, values, strict=True)), Fraction(0))
    along = squares(places)
    slope = crossed / along
    left = squares(values) - slope * crossed
    freedom = len(values) - 2
    return Line(slope, centre - slope * middle, sqrt(left / freedom / along), freedom)


def chance_of(found: OneWay) -> float | None:
    """How likely groups as different as these are where all are alike (F); None where it cannot be told."""
    if found.ratio is None:
        return None
    return float(f.sf(found.ratio, found.between_free, found.within_free))

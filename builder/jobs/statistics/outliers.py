"""Odd values, repeat readings, and how sure a verdict is."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import sqrt

from scipy.stats import norm, t

from builder.jobs.statistics.variance import deviation, mean


def grubbs(values: Sequence[Fraction]) -> tuple[int, float]:
    """The place of the value farthest from the mean, and its distance in standard deviations (Grubbs 1969).

    Raises:
        ValueError: for fewer than three values.
    """
    if len(values) < 3:  # noqa: PLR2004 - of two, neither is odd
        raise ValueError("an outlier is looked for among three or more values")
    centre, spread = mean(values), deviation(values)
    place = max(range(len(values)), key=lambda number: abs(values[number] - centre))
    return place, float(abs(values[place] - centre)) / spread if spread else 0.0


def grubbs_limit(number: int, risk: float = 0.05, *, two_sided: bool = False) -> float:
    """The distance above which a value is called an outlier at this risk (ASTM E178)."""
    point = float(t.ppf(1 - risk / (2 * number if two_sided else number), number - 2))
    return (number - 1) / sqrt(number) * sqrt(point**2 / (number - 2 + point**2))


def expanded_of_repeats(values: Sequence[Fraction], confidence: float = 0.95) -> float:
    """The expanded uncertainty of the mean of repeat readings (JCGM 100:2008, 4.2)."""
    number = len(values)
    return float(t.ppf((1 + confidence) / 2, number - 1)) * deviation(values) / sqrt(number)


def conforming(value: float, uncertainty: float, low: float | None, high: float | None) -> float:
    """The probability that the true value lies inside the limits (JCGM 106:2012, 7).

    `uncertainty` is the standard uncertainty, in the unit of the value.
    """
    above = 1.0 if low is None else float(norm.cdf((value - low) / uncertainty))
    below = 1.0 if high is None else float(norm.cdf((high - value) / uncertainty))
    return above + below - 1.0

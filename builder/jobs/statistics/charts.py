"""Control charts of subgroups: is a characteristic steady over the jobs of a shop."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from math import exp, lgamma, sqrt

from scipy.integrate import quad
from scipy.stats import norm

from builder.jobs.statistics.variance import deviation, mean


@dataclass(frozen=True)
class Chart:
    """Limits of the means and of the standard deviations of subgroups (three sigma)."""

    centre: float
    lower: float
    upper: float
    spread: float
    spread_lower: float
    spread_upper: float
    sigma: float


@cache
def c4(size: int) -> float:
    """How much smaller than sigma a subgroup's standard deviation is on average (Montgomery, App. VI)."""
    return sqrt(2 / (size - 1)) * exp(lgamma(size / 2) - lgamma((size - 1) / 2))


@cache
def d2(size: int) -> float:
    """How many sigma the range of a subgroup is on average (Montgomery, App. VI)."""
    value, _ = quad(lambda x: 1 - norm.cdf(x) ** size - (1 - norm.cdf(x)) ** size, -8, 8)
    return float(value)


def control_chart(groups: Sequence[Sequence[Fraction]]) -> Chart:
    """Limits from subgroups of one size, two or more values each.

    Raises:
        ValueError: when the subgroups are not of one size of two or more.
    """
    sizes = {len(group) for group in groups}
    if len(sizes) != 1 or min(sizes) < 2:  # noqa: PLR2004 - one value has no spread
        raise ValueError("a chart takes subgroups of one size, two or more values each")
    size = sizes.pop()
    centre = float(mean([mean(group) for group in groups]))
    spread = sum(deviation(group) for group in groups) / len(groups)
    sigma = spread / c4(size)
    reach = 3 * sigma / sqrt(size)
    swing = 3 * sigma * sqrt(1 - c4(size) ** 2)
    return Chart(
        centre, centre - reach, centre + reach, spread, max(0.0, spread - swing), spread + swing, sigma
    )

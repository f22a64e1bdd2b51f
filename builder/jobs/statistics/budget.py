"""Uncertainty budgets: contributions combined, freedom, guard bands, capability (JCGM 100 and 106)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import floor, hypot, inf, sqrt

from scipy.stats import norm, t


@dataclass(frozen=True)
class Contribution:
    """One line of a budget: standard uncertainty in the unit of the result, degrees of freedom."""

    name: str
    uncertainty: float
    freedom: float = inf


@dataclass(frozen=True)
class Combined:
    """A combined standard uncertainty and its effective degrees of freedom."""

    uncertainty: float
    freedom: float

    def expanded(self, confidence: float) -> float:
        """U at this confidence; the freedom is cut off to a whole number first (JCGM 100, G.6.4)."""
        whole = floor(self.freedom) if self.freedom != inf else inf
        point = norm.ppf((1 + confidence) / 2) if whole == inf else t.ppf((1 + confidence) / 2, whole)
        return float(point) * self.uncertainty


def combined(contributions: Sequence[Contribution]) -> Combined:
    """Root-sum-square, and degrees of freedom by Welch and Satterthwaite (JCGM 100:2008, 5.1.2 and G.4.1)."""
    whole = hypot(*(one.uncertainty for one in contributions))
    weight = sum(one.uncertainty**4 / one.freedom for one in contributions)
    return Combined(whole, whole**4 / weight if weight else inf)


def guard_band(uncertainty: float, confidence: float = 0.95) -> float:
    """How far inside one limit a reading must lie to be in with this confidence (JCGM 106:2012, 8)."""
    return float(norm.ppf(confidence)) * uncertainty


def swollen(ratio: float) -> float:
    """How much a gauge that is `ratio` times finer than the spread of the parts widens what is seen."""
    return sqrt(1 + 1 / ratio**2)


def capability(low: float, high: float, mean: float, sigma: float) -> tuple[float, float]:
    """Cp and Cpk of a steady process between two limits (NIST/SEMATECH e-Handbook 6.1.6)."""
    return (high - low) / (6 * sigma), min(high - mean, mean - low) / (3 * sigma)

"""Worksheets of measuring, with Student's t and the chart factors from scipy instead of a printed table."""

from __future__ import annotations

from collections.abc import Callable
from math import sqrt
from typing import Any

import pytest
from scipy import special, stats

WorkOut = Callable[..., dict[str, float]]

EIGHT = "199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57 in"
"""NIST/SEMATECH e-Handbook 1.3.5.17, data from memory."""


def test_critical_value_of_an_odd_reading_is_the_published_one(
    work_out: WorkOut, published: dict[str, Any]
) -> None:
    """To the two decimals of the table, for five to twelve readings."""
    for row in published["outliers"]["rows"]:
        number = row["readings"]
        student = stats.t.ppf(1 - 0.05 / number, number - 2)
        listed = ", ".join(f"{place}" for place in range(1, number + 1)) + " in"

        worked = work_out("odd_reading", readings=listed, student=f"{student:.9f}")

        assert worked["critical"] == pytest.approx(float(row["critical"]), abs=0.006)


@pytest.mark.parametrize(("sides", "critical"), [(1, 2.03165200), (2, 2.12664509)])
def test_odd_reading_of_eight(work_out: WorkOut, sides: int, critical: float) -> None:
    """NIST prints 2.4687 and 2.032, from memory; the digits were computed with scipy 1.17.1."""
    student = stats.t.ppf(1 - 0.05 / (8 * sides), 6)

    worked = work_out("odd_reading", readings=EIGHT, student=f"{student:.9f}")

    assert worked["out_of_line"] == pytest.approx(2.46876461, abs=5e-9)
    assert worked["critical"] == pytest.approx(critical, abs=1e-8)


def test_repeat_readings_agree_with_scipy(work_out: WorkOut) -> None:
    """Mean, standard deviation and the interval of the mean, on the same eight readings."""
    values = [float(text) for text in EIGHT.removesuffix(" in").split(",")]
    student = stats.t.ppf(0.975, 7)

    worked = work_out("repeat_readings", readings=EIGHT, student=f"{student:.9f}")

    low, high = stats.t.interval(0.95, 7, loc=sum(values) / 8, scale=stats.sem(values))
    assert worked["deviation"] == pytest.approx(stats.tstd(values), rel=1e-12)
    assert worked["mean_reading"] == pytest.approx((low + high) / 2, rel=1e-12)
    assert worked["uncertainty"] == pytest.approx((high - low) / 2, rel=1e-9)


def test_mean_of_ten_readings(work_out: WorkOut) -> None:
    """For a deviation of 0.00012 in and ten readings, 0.00008584283 in (computed with scipy 1.17.1)."""
    student = stats.t.ppf(0.975, 9)

    worked = work_out("mean_of_repeats", deviation="0.00012 in", readings="10", student=f"{student:.9f}")

    assert student == pytest.approx(2.2621571628, abs=1e-10)
    assert worked["uncertainty"] == pytest.approx(8.584283e-05, rel=1e-6)


def test_chart_factors_are_those_of_samples_of_five(work_out: WorkOut) -> None:
    """The defaults A3 and B4 follow from c4 = sqrt(2 / (n - 1)) Γ(n / 2) / Γ((n - 1) / 2)."""
    c4 = sqrt(2 / 4) * special.gamma(2.5) / special.gamma(2)
    worked = work_out("control_limits", grand_mean="0 mm", mean_deviation="25.4 mm")

    assert c4 == pytest.approx(0.9399856030, abs=1e-10)
    assert worked["mean_high"] == pytest.approx(3 / (c4 * sqrt(5)), abs=1e-6)
    assert worked["deviation_high"] == pytest.approx(1 + 3 * sqrt(1 - c4**2) / c4, abs=1e-6)


def test_guard_band_covers_95_percent_on_one_side(work_out: WorkOut) -> None:
    """A true size at the limit reads inside the drawn-in limit once in twenty."""
    worked = work_out("guard_band", low_limit="3.2495 in", high_limit="3.2505 in", uncertainty="0.0001 in")

    inside = stats.norm.cdf(worked["high_accept"], loc=3.2505, scale=0.0001)
    assert inside == pytest.approx(0.05, abs=1e-6)


def test_freedom_is_rounded_down_before_the_factor_is_looked_up() -> None:
    """JCGM 100:2008 H.1: 16.75 degrees of freedom count as 16, k is 2.92 and U 93 nm, from memory.

    The digits were computed with scipy 1.17.1. Who takes the uncertainty rounded to 32 nm gets 17.47, and so
    17 degrees and k 2.898: the trap.
    """
    assert stats.t.ppf(0.995, int(16.751855738)) == pytest.approx(2.9207816224, abs=1e-10)
    assert round(stats.t.ppf(0.995, 16) * 32, 3) == 93.465
    assert round(stats.t.ppf(0.995, int(17.47)), 3) == 2.898

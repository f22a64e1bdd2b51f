"""Uncertainty budgets held against the guides' own examples."""

from __future__ import annotations

from math import hypot, inf, sqrt

import pytest

from builder.jobs.statistics.budget import Contribution, capability, combined, guard_band, swollen

# JCGM 100:2008, H.1, end gauge calibration; inputs as two published examples give them. Lengths in nm.
NOMINAL = 50.000623e6
COMPARISON = (
    Contribution("repeat", 5.8, 24),
    Contribution("random", 3.9, 5),
    Contribution("systematic", 6.7, 8),
)


def end_gauge(expansion_difference: float, temperature_difference: float) -> list[Contribution]:
    """The budget of H.1 with these standard uncertainties of the two differences (per °C and °C)."""
    comparison = combined(COMPARISON)
    return [
        Contribution("standard", 25, 18),
        Contribution("comparison", comparison.uncertainty, comparison.freedom),
        Contribution("expansion difference", NOMINAL * 0.1 * expansion_difference, 50),
        Contribution("temperature difference", NOMINAL * 11.5e-6 * temperature_difference, 2),
    ]


def test_comparison_of_the_end_gauges() -> None:
    """u(d) = 9.68 nm with 25.4 degrees of freedom (JCGM 100 prints 9.7 and 25.6, from the rounded 9.7)."""
    found = combined(COMPARISON)

    assert round(found.uncertainty, 9) == 9.681941954
    assert round(found.freedom, 3) == 25.447


def test_combined_uncertainty_of_the_end_gauge() -> None:
    """U is 31.705 nm with the rounded inputs of Table H.1; 31.664 nm, freedom 16.75, with exact ones."""
    rounded = combined(end_gauge(0.58e-6, 0.029))
    exact = combined(end_gauge(1e-6 / sqrt(3), 0.05 / sqrt(3)))

    assert round(rounded.uncertainty, 5) == 31.70509
    assert round(exact.uncertainty, 5) == 31.66388
    assert round(exact.freedom, 5) == 16.75186


def test_expanded_uncertainty_takes_the_freedom_cut_off() -> None:
    """t(0.995, 16) = 2.92 times 32 nm is 93 nm, as JCGM 100 H.1 prints (from memory); 17 would give 92.7."""
    exact = combined(end_gauge(1e-6 / sqrt(3), 0.05 / sqrt(3)))

    assert round(exact.expanded(0.99) / exact.uncertainty, 6) == 2.920782
    assert round(exact.expanded(0.99) / exact.uncertainty * 32) == 93


def test_rounded_uncertainty_spoils_the_degrees_of_freedom() -> None:
    """The trap: 32 instead of 31.66 in Welch and Satterthwaite gives 17.47 and the wrong t."""
    exact = combined(end_gauge(1e-6 / sqrt(3), 0.05 / sqrt(3)))

    assert round(exact.freedom * (32 / exact.uncertainty) ** 4, 2) == 17.47


def test_second_order_terms_bring_the_published_34_nm() -> None:
    """With the second-order terms of 11.7 and 1.7 nm u is 34 nm (JCGM 100 H.1, from memory)."""
    exact = combined(end_gauge(1e-6 / sqrt(3), 0.05 / sqrt(3)))

    assert round(hypot(exact.uncertainty, 11.7, 1.7)) == 34


def test_budget_without_end_is_normal() -> None:
    """Contributions that are known for good give k = 1.96 at 95 %."""
    found = combined([Contribution("a", 3), Contribution("b", 4)])

    assert (found.uncertainty, found.freedom) == (5.0, inf)
    assert found.expanded(0.95) == pytest.approx(5 * 1.959964, rel=1e-6)


def test_guard_band_and_gauge_ratio() -> None:
    """One-sided 95 % guard band of u = 0.0001 in; what a finer gauge adds (scipy, plain sums)."""
    assert round(guard_band(0.0001), 13) == 0.0001644853627
    assert round(swollen(4), 10) == 1.0307764064
    assert round(swollen(10), 10) == 1.0049875621


def test_capability_of_a_process() -> None:
    """The NIST/SEMATECH e-Handbook's case (from memory), and Montgomery's piston rings."""
    assert [round(one, 4) for one in capability(8, 20, 16, 2)] == [1.0, 0.6667]
    assert [round(one, 5) for one in capability(73.95, 74.05, 74.001176, 0.0099996041)] == [1.66673, 1.62753]

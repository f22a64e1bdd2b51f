"""Statistics over several jobs, held against certified and published figures."""

from __future__ import annotations

from fractions import Fraction
from importlib.resources import files
from math import isclose, sqrt

import pytest
import scipy.stats

from builder.jobs.statistics import (
    conforming,
    control_chart,
    expanded_of_repeats,
    gauge_study,
    grubbs,
    grubbs_limit,
    one_way,
)
from builder.jobs.statistics.charts import c4, d2

# 10 parts, 3 people, 3 repeats: Houf & Berman (1988), as printed in SAS/STAT, VARCOMP example 2.
HOUF_BERMAN = """
37 38 37 41 41 40 41 42 41
42 41 43 42 42 42 43 42 43
30 31 31 31 31 31 29 30 28
42 43 42 43 43 43 42 42 42
28 30 29 29 30 29 31 29 29
42 42 43 45 45 45 44 46 45
25 26 27 28 28 30 29 27 27
40 40 40 43 42 42 43 43 41
25 25 25 27 29 28 26 26 26
35 34 34 35 35 34 35 34 35
"""

# 25 samples of 5 piston rings, inside diameter in mm: Montgomery, Intro. to Statistical Quality Control.
PISTON_RINGS = """
74.030 74.002 74.019 73.992 74.008
73.995 73.992 74.001 74.011 74.004
73.988 74.024 74.021 74.005 74.002
74.002 73.996 73.993 74.015 74.009
73.992 74.007 74.015 73.989 74.014
74.009 73.994 73.997 73.985 73.993
73.995 74.006 73.994 74.000 74.005
73.985 74.003 73.993 74.015 73.988
74.008 73.995 74.009 74.005 74.004
73.998 74.000 73.990 74.007 73.995
73.994 73.998 73.994 73.995 73.990
74.004 74.000 74.007 74.000 73.996
73.983 74.002 73.998 73.997 74.012
74.006 73.967 73.994 74.000 73.984
74.012 74.014 73.998 73.999 74.007
74.000 73.984 74.005 73.998 73.996
73.994 74.012 73.986 74.005 74.007
74.006 74.010 74.018 74.003 74.000
73.984 74.002 74.003 74.005 73.997
74.000 74.010 74.013 74.020 74.003
73.982 74.001 74.015 74.005 73.996
74.004 73.999 73.990 74.006 74.009
74.010 73.989 73.990 74.009 74.014
74.015 74.008 73.993 74.000 74.010
73.982 73.984 73.995 74.017 74.013
"""


def table(text: str) -> list[list[Fraction]]:
    """Rows of numbers."""
    return [[Fraction(word) for word in line.split()] for line in text.split("\n") if line.strip()]


def certified(name: str) -> tuple[list[list[Fraction]], dict[str, float]]:
    """The groups and the certified figures of a NIST StRD file, as scipy ships it."""
    text = (files(scipy.stats) / "tests" / "data" / "nist_anova" / name).read_text()
    lines = text.splitlines()
    groups: dict[str, list[Fraction]] = {}
    for line in lines[60:]:
        number, value = line.split()
        groups.setdefault(number, []).append(Fraction(value))
    between = next(line.split() for line in lines if line.startswith("Between"))
    within = next(line.split() for line in lines if line.startswith("Within"))
    found = {"between": float(between[-3]), "ratio": float(between[-1]), "within": float(within[-2])}
    return list(groups.values()), found


@pytest.mark.parametrize("name", ["SiRstv.dat", "AtmWtAg.dat", "SmLs01.dat", "SmLs07.dat"])
def test_one_way_agrees_with_certified_figures(name: str) -> None:
    """Sums of squares and F agree with NIST StRD to nine digits, even with 13 constant leading digits."""
    groups, figures = certified(name)

    found = one_way(groups)

    assert found.ratio is not None
    assert isclose(found.between, figures["between"], rel_tol=1e-9)
    assert isclose(found.within, figures["within"], rel_tol=1e-9)
    assert isclose(found.ratio, figures["ratio"], rel_tol=1e-9)


def test_share_explained_and_spread_within_agree_with_certified_figures() -> None:
    """R squared and the standard deviation within groups of SiRstv (NIST StRD)."""
    found = one_way(certified("SiRstv.dat")[0])

    assert isclose(found.explained, 1.90999039051129e-01, rel_tol=1e-12)
    assert isclose(found.deviation, 1.04076068334656e-01, rel_tol=1e-12)


def test_chance_of_such_an_f_agrees_with_scipy() -> None:
    """0.3494474934 for SiRstv (computed with scipy 1.17.1), from the F of NIST StRD with 4 and 20 degrees."""
    found = one_way(certified("SiRstv.dat")[0])

    assert found.ratio is not None
    assert round(float(scipy.stats.f.sf(found.ratio, 4, 20)), 10) == 0.3494474934


def test_thirteen_constant_digits_mislead_doubles_but_not_fractions() -> None:
    """The certified F of SmLs07 is 21; in doubles scipy 1.17.1 gives 21.000811888."""
    groups = certified("SmLs07.dat")[0]
    in_doubles = scipy.stats.f_oneway(*(list(map(float, group)) for group in groups)).statistic

    assert isclose(in_doubles, 21.000811888, rel_tol=1e-9)
    assert one_way(groups).ratio == 21


def test_gauge_study_gives_the_published_components() -> None:
    """Mean squares and components of Houf & Berman's power modules (SAS/STAT VARCOMP, example 2)."""
    rows = table(HOUF_BERMAN)

    found = gauge_study([[row[0:3], row[3:6], row[6:9]] for row in rows])

    assert [round(float(one), 10) for one in (found.part, found.person, found.interaction, found.error)] == [
        437.3283950617, 19.6333333333, 2.6950617284, 0.5111111111,
    ]  # fmt: skip
    assert round(float(found.between_parts), 10) == 48.2925925926
    assert round(float(found.between_people), 10) == 0.5646090535
    assert round(float(found.crossed), 10) == 0.7279835391
    assert round(sqrt(found.gauge), 10) == 1.3430203661
    assert round(100 * found.share, 8) == 18.97491281
    assert found.distinct == 7


def test_gauge_study_gives_every_published_share() -> None:
    """Mean, share of variance, share of limits 18 to 58 and F on the repeats of the same data.

    Computed with numpy 2.4.6 and, F, statsmodels 0.15.0; the spread's share is 18.9749128135 percent.
    """
    rows = table(HOUF_BERMAN)
    found = gauge_study([[row[0:3], row[3:6], row[6:9]] for row in rows])
    ratios = [float(one / found.error) for one in (found.part, found.person, found.interaction)]
    readings = [value for row in rows for value in row]

    assert sum(readings) / len(readings) == Fraction("35.8")
    assert round(float(100 * found.gauge / (found.gauge + found.between_parts)), 10) == 3.6004731628
    assert round(100 * found.share, 10) == 18.9749128135
    assert round(6 * sqrt(found.gauge) / 40, 10) == 0.2014530549
    assert round(40 / (6 * sqrt(found.between_parts)), 10) == 0.9593310040
    assert round(1.41 * sqrt(found.between_parts / found.gauge), 4) == 7.2959
    assert [round(one, 6) for one in ratios] == [855.642512, 38.413043, 5.272947]
    assert (
        found.part / found.interaction != found.part / found.error
    )  # F for parts divides by the interaction


def test_uneven_gauge_study_is_refused() -> None:
    """A study with a missing repeat says so instead of working on."""
    with pytest.raises(ValueError, match="the same number throughout"):
        gauge_study([[[Fraction(1), Fraction(2)], [Fraction(1)]], [[Fraction(1)], [Fraction(2)]]])


def test_control_chart_gives_the_published_limits() -> None:
    """Piston rings: limits of means and of spreads (Montgomery prints 73.9876, 74.0144, 0.0196)."""
    found = control_chart(table(PISTON_RINGS))

    assert round(found.centre, 6) == 74.001176
    assert round(found.spread, 12) == 0.009399483886
    assert round(found.lower, 10) == 73.9877601233
    assert round(found.upper, 10) == 74.0145918767
    assert round(found.spread_upper, 10) == 0.0196355018
    assert abs(found.upper - 74.0144) < 0.0002  # the printed figure comes from rounded mean and spread
    assert abs(found.lower - 73.9876) < 0.0002


def test_chart_factors_agree_with_the_printed_table() -> None:
    """c4 and d2 for subgroups of five (Montgomery, factor table); more digits computed with scipy 1.17.1."""
    assert round(c4(5), 4) == 0.9400
    assert round(d2(5), 3) == 2.326
    assert round(c4(5), 10) == 0.9399856030
    assert round(3 / (c4(5) * sqrt(5)), 10) == 1.4272992929
    assert round(1 + 3 * sqrt(1 - c4(5) ** 2) / c4(5), 10) == 2.0889978686
    assert round(d2(5), 10) == 2.3259289473
    assert round(3 / (d2(5) * sqrt(5)), 10) == 0.5768193341


def test_piston_rings_keep_their_limits_as_computed() -> None:
    """Sigma, mean range and capability for 74.000 ± 0.05 mm (computed with scipy 1.17.1)."""
    rows = table(PISTON_RINGS)
    found = control_chart(rows)

    assert round(float(sum(max(row) - min(row) for row in rows)) / 25, 12) == 0.02324
    assert round(found.sigma, 10) == 0.0099996041
    assert round(0.1 / (6 * found.sigma), 10) == 1.6667326533
    assert round((74.05 - found.centre) / (3 * found.sigma), 10) == 1.6275311013


def test_wrong_transcription_of_the_rings_is_found_by_its_mean() -> None:
    """One copy has 74.001 for 73.990 in sample 11: the published grand mean of 74.001176 shows it."""
    rows = table(PISTON_RINGS)
    assert rows[10][-1] == Fraction("73.990")
    rows[10][-1] = Fraction("74.001")

    assert round(control_chart(rows).centre, 6) == 74.001264


@pytest.mark.parametrize(("number", "printed"), [(5, 1.67), (6, 1.82), (8, 2.03), (10, 2.18), (12, 2.29)])
def test_outlier_limit_agrees_with_the_printed_table(number: int, printed: float) -> None:
    """Grubbs' one-sided table at 5 %."""
    assert abs(grubbs_limit(number) - printed) <= 0.0051


@pytest.mark.parametrize(
    ("number", "computed"), [(5, 1.6714), (6, 1.8221), (8, 2.0317), (10, 2.1761), (12, 2.2850)]
)
def test_outlier_limit_agrees_with_the_computed_one(number: int, computed: float) -> None:
    """To the four decimals that were computed with scipy 1.17.1; the printed table rounds them."""
    assert round(grubbs_limit(number), 4) == computed


def test_outlier_is_found() -> None:
    """The NIST e-Handbook's example (1.3.5.17): the last value is odd (data and 2.4687 from memory)."""
    values = [
        Fraction(text)
        for text in ("199.31", "199.53", "200.19", "200.82", "201.92", "201.95", "202.18", "245.57")
    ]

    place, distance = grubbs(values)

    assert place == 7
    assert round(distance, 8) == 2.46876461
    assert round(grubbs_limit(8), 8) == 2.03165200
    assert round(grubbs_limit(8, two_sided=True), 8) == 2.12664509


def test_repeat_readings_give_their_uncertainty() -> None:
    """Ten readings with s = 0.00012 in: U = t(0.975, 9) s / sqrt(10) (JCGM 100:2008, 4.2)."""
    step = Fraction(12, 100000) * Fraction(9, 10)  # ten values at +/- step have s**2 = 10/9 step**2
    values = [Fraction(1) + step, Fraction(1) - step] * 5

    s = 0.00012 * 0.9 * sqrt(10 / 9)

    assert isclose(expanded_of_repeats(values), 2.2621571628 * s / sqrt(10), rel_tol=1e-9)


@pytest.mark.parametrize(
    ("value", "uncertainty", "low", "high", "sure"),
    [
        (13.6, 1.8, 12.5, 16.3, 0.6626297865),  # SAE 40 oil, JCGM 106:2012 prints 0.66 (inputs from memory)
        (-5.47, 0.05, None, -5.40, 0.9192433408),  # JCGM 106:2012 prints 0.92 (from memory)
        (509.7, 8.6, 490.0, None, 0.9890095474),
        (3.2503, 0.0001, 3.2495, 3.2505, 0.9772498681),
    ],
)
def test_probability_of_conformance(
    value: float, uncertainty: float, low: float | None, high: float | None, sure: float
) -> None:
    """How sure a reading is inside its limits (JCGM 106:2012, clause 7)."""
    assert round(conforming(value, uncertainty, low, high), 10) == pytest.approx(sure, abs=2e-10)

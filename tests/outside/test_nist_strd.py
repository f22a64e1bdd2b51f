"""The formula language against certified values of the NIST Statistical Reference Datasets.

The certified files come with scipy (`stats/tests/data`). Their values were worked out by NIST with 500 digits
and are printed with 15. Formulas run on exact fractions, so even the data sets that are made to defeat
floating-point programs come out to the last printed digit.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from importlib.resources import files

import pytest
from scipy import stats

from builder.formula import Amount, Scope, evaluate, parse, readings
from builder.formula.irrational import square_root

ANOVA = {
    "between": "sum((mean(y, repeat) - mean(y, repeat, group))**2, group) * count(pick(y, group, 1), repeat)",
    "within": "sum((y - mean(y, repeat))**2, repeat, group)",
}


def lines_of(folder: str, name: str) -> list[str]:
    """A certified file line by line."""
    path = files("scipy.stats") / "tests" / "data" / folder / name
    return path.read_text(encoding="utf-8").splitlines()


def numbers(line: str) -> list[str]:
    """The numbers at the end of a line of text."""
    return re.findall(r"-?\d*\.?\d+(?:E[-+]\d+)?", line)


def agreed_digits(value: Fraction, certified: str) -> bool:
    """Whether a value is the certified one to its last printed digit."""
    exponent = int(Decimal(certified).as_tuple().exponent)
    return abs(value - Fraction(certified)) <= Fraction(10) ** exponent


@dataclass(frozen=True)
class Anova:
    """One data set of one factor: groups of readings as printed, and the certified lines."""

    groups: dict[str, list[str]]
    between: str
    within: str
    f_ratio: str
    deviation: str


def anova(name: str) -> Anova:
    """Read a certified file of one-way analysis of variance."""
    lines = lines_of("nist_anova", name)
    groups: dict[str, list[str]] = {}
    for line in lines[60:]:
        if line.split():
            group, reading = line.split()
            groups.setdefault(group, []).append(reading)
    between = next(line for line in lines if line.startswith("Between"))
    within = next(line for line in lines if line.startswith("Within"))
    deviation = next(line for line in lines if "Standard Deviation" in line)
    *_, sum_between, _, f_ratio = numbers(between)
    *_, sum_within, _ = numbers(within)
    return Anova(groups, sum_between, sum_within, f_ratio, numbers(deviation)[-1])


def sums_of_squares(data: Anova) -> tuple[Fraction, Fraction]:
    """Between and within the groups, by formulas on exact readings."""
    repeats = tuple(str(place) for place in range(1, len(data.groups["1"]) + 1))
    typed = [Fraction(reading) for group in data.groups.values() for reading in group]
    scope = Scope({"y": readings("y", {"group": tuple(data.groups), "repeat": repeats}, typed)})
    cells = [evaluate(parse(ANOVA[name]), scope).cells[0] for name in ("between", "within")]
    assert all(isinstance(cell, Amount) for cell in cells)
    between, within = (cell.value for cell in cells if isinstance(cell, Amount))
    return between, within


@pytest.mark.parametrize("name", ["SiRstv.dat", "SmLs01.dat", "SmLs04.dat", "SmLs07.dat"])
def test_analysis_of_variance_is_the_certified_one(name: str) -> None:
    """Sums of squares, F and residual deviation, to the last printed digit, up to the higher difficulty."""
    data = anova(name)
    between, within = sums_of_squares(data)
    of_groups = len(data.groups) - 1
    of_readings = sum(map(len, data.groups.values())) - len(data.groups)

    assert agreed_digits(between, data.between)
    assert agreed_digits(within, data.within)
    assert agreed_digits(between / of_groups / (within / of_readings), data.f_ratio)
    assert agreed_digits(square_root(within / of_readings)[0], data.deviation)


def test_analysis_of_variance_agrees_with_scipy() -> None:
    """On resistances of five instruments scipy gives the same F to thirteen digits."""
    data = anova("SiRstv.dat")
    between, within = sums_of_squares(data)
    by_scipy = stats.f_oneway(*([float(reading) for reading in group] for group in data.groups.values()))

    assert float(between / 4 / (within / 20)) == pytest.approx(by_scipy.statistic, rel=1e-12)


LINE = {
    "slope": "sum((x - mean(x, row)) * (y - mean(y, row)), row) / sum((x - mean(x, row))**2, row)",
    "residual": "sum((y - mean(y, row) - slope * (x - mean(x, row)))**2, row)",
    "intercept": "mean(y, row) - slope * mean(x, row)",
    "total": "sum((y - mean(y, row))**2, row)",
}


def test_straight_line_is_the_certified_one() -> None:
    """Slope, intercept, residual deviation and share explained of the calibration of ozone monitors."""
    lines = lines_of("nist_linregress", "Norris.dat")
    pairs = [line.split() for line in lines[60:] if line.split()]
    rows = {"row": tuple(str(place) for place in range(1, len(pairs) + 1))}
    values = {
        "y": readings("y", rows, [Fraction(y) for y, _ in pairs]),
        "x": readings("x", rows, [Fraction(x) for _, x in pairs]),
    }
    found: dict[str, Fraction] = {}
    for name, formula in LINE.items():
        values[name] = evaluate(parse(formula), Scope(values))
        (cell,) = values[name].cells
        assert isinstance(cell, Amount)
        found[name] = cell.value

    assert agreed_digits(found["slope"], "1.00211681802045")
    assert agreed_digits(found["intercept"], "-0.262323073774029")
    assert agreed_digits(square_root(found["residual"] / (len(pairs) - 2))[0], "0.884796396144373")
    assert agreed_digits(1 - found["residual"] / found["total"], "0.999993745883712")

"""Formulas over limits: exact ranges where each name stands once, never too narrow anywhere."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.formula import (
    Amount,
    Bounds,
    Grid,
    Missing,
    Range,
    Scope,
    evaluate,
    interval,
    parse,
    readings,
    single,
)
from builder.units import UNITS

INCH = UNITS["in"].factor


def _bounds(low: str | None, high: str | None) -> Bounds:
    return Bounds.of(
        None if low is None else Fraction(low) * INCH, None if high is None else Fraction(high) * INCH
    )


SCOPE = Scope(
    limits={
        "main.bore": _bounds("1.8757", "1.8762"),
        "main.journal": _bounds("1.8740", "1.8745"),
        "main.tunnel": _bounds("2.8120", "2.8125"),
        "main.wall": _bounds("0.0932", "0.0935"),
        "shell.journal": _bounds("2.6235", "2.6240"),
        "sleeve.flange": _bounds("0.4630", "0.4650"),
        "sleeve.counterbore": _bounds("0.4600", "0.4620"),
        "fit.max": _bounds(None, "0.004"),
        "fit.about": _bounds("-0.001", "0.002"),
    }
)


def _inches(text: str) -> tuple[Fraction | None, Fraction | None] | str:
    (cell,) = interval(parse(text), SCOPE).cells
    if isinstance(cell, Missing):
        return cell.reason
    return (
        None if cell.low is None else cell.low / INCH,
        None if cell.high is None else cell.high / INCH,
    )


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("main.bore - main.journal", "0.0012", "0.0022"),
        ("main.tunnel - 2 * main.wall - shell.journal", "0.0010", "0.0026"),
        # TM 5-6115-400-35 Table 1: the stack gives 0.0010 to 0.0050, the table prints 0.0020 to 0.0050
        ("sleeve.flange - sleeve.counterbore", "0.0010", "0.0050"),
        ("-fit.max", "-0.004", None),
        ("2 * fit.max", None, "0.008"),
        ("0 * fit.max", "0", "0"),
        ("fit.max - main.wall", None, "-0.0892"),
        ("-2 * fit.about", "-0.004", "0.002"),
        ("abs(fit.about)", "0", "0.002"),
        ("abs(-main.wall)", "0.0932", "0.0935"),
        ("abs(fit.max)", "0", None),
        ("max(fit.max, main.wall)", "0.0932", "0.0935"),
        ("min(fit.max, main.wall)", None, "0.004"),
        ("mean(main.wall, main.bore)", "0.98445", "0.98485"),
        ("sum(main.wall, main.wall)", "0.1864", "0.1870"),
        ("spread(main.bore, main.journal)", "0.0012", "0.0022"),
        ("spread(main.bore, main.bore)", "0", "0.0005"),
        ("fit.about ** 2 / inch", "0", "0.000004"),
        ("fit.about ** 3 / inch ** 2", "-0.000000001", "0.000000008"),
        ("inch ** 2 / (2 * main.wall)", "1000/187", "625/116.5"),
        ("inch ** 3 * main.wall ** -2", "0", "0"),
        ("sqrt(inch * (4 * inch))", "2", "2"),
        ("low(main.bore) - main.journal", "0.0012", "0.0017"),
        ("(degF(68) - degF(50)) / Fdeg * inch", "18", "18"),
        ("count(main.bore, main.journal) * inch", "2", "2"),
        ("fit.max * main.wall / inch", None, None),
    ],
)
def test_range_of_a_formula(text: str, low: str | None, high: str | None) -> None:
    """The lowest and the highest value that parts within their limits can give."""
    if text == "inch ** 3 * main.wall ** -2":
        low = str(1 / Fraction("0.0935") ** 2)
        high = str(1 / Fraction("0.0932") ** 2)
    wanted = tuple(None if end is None else _fraction(end) for end in (low, high))

    assert _inches(text) == wanted


def _fraction(text: str) -> Fraction:
    above, _, below = text.partition("/")
    return Fraction(above) / Fraction(below or 1)


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("1 / fit.about", "`1 / fit.about` divides by a range that may be zero"),
        ("1 / fit.max", "`1 / fit.max` divides by a range that may be zero"),
        ("sqrt(fit.max / inch)", "`sqrt(fit.max / inch)` needs a limit on both sides"),
        ("sqrt(fit.about / inch)", "`sqrt(fit.about / inch)` takes the root of a negative number"),
        ("sin(main.wall)", "`sin(main.wall)` has no range that can be told"),
        ("main.bore > main.journal", "`main.bore > main.journal` has no range that can be told"),
        ("not main.bore", "`not main.bore` has no range that can be told"),
        ("nearest([1 * inch], main.bore)", "`nearest([1 * inch], main.bore)` has no range that can be told"),
        ("2 ** main.bore", "`2 ** main.bore` takes a power that is not one number"),
        ("nobody - main.bore", "`nobody` is not known here"),
        ("low(fit.max)", "`fit.max` has no lower limit"),
    ],
)
def test_range_that_cannot_be_told_says_why(text: str, reason: str) -> None:
    """No exception, a sentence."""
    assert _inches(text) == reason


def test_name_that_stands_twice_gives_a_wider_range() -> None:
    """`x - x` is zero, but two independent parts of that size may differ."""
    assert _inches("main.bore - main.bore") == (Fraction("-0.0005"), Fraction("0.0005"))


def test_rising_functions_are_taken_at_both_ends() -> None:
    """A root, an exponential and a logarithm rise, and the range says that it is approximate."""
    scope = Scope(limits={"x": Bounds.of(Fraction(2), Fraction(3))})

    for text in ("sqrt(x)", "exp(x)", "log(x)", "x ** 0.5", "asin(x / 4)"):
        (cell,) = interval(parse(text), scope).cells
        ends = [evaluate(parse(text), Scope(values={"x": single(Amount(end))})).cells[0] for end in (2, 3)]
        assert cell == Range(*(end.value for end in ends if isinstance(end, Amount)), approximate=True)


def test_ranges_go_by_position_and_grade() -> None:
    """A limit by grade meets its mate of the same grade."""
    grades = {"grade": ("a", "b")}
    bore = Bounds(
        readings("", grades, [Fraction(10), Fraction(11)]), readings("", grades, [Fraction(11), Fraction(12)])
    )
    piston = Bounds(
        readings("", grades, [Fraction(8), Fraction(9)]), readings("", grades, [Fraction(9), Fraction(10)])
    )

    worked_out = interval(
        parse("bore.size - piston.skirt"), Scope(limits={"bore.size": bore, "piston.skirt": piston})
    )

    assert worked_out == Grid(grades, (Range(Fraction(1), Fraction(3)), Range(Fraction(1), Fraction(3))))
    assert interval(parse("max(bore.size, grade)"), Scope(limits={"bore.size": bore})) == single(
        Range(Fraction(11), Fraction(12))
    )


ends = st.fractions(-3, 3, max_denominator=20)
FORMULAS = (
    "a + b", "a - b", "a * b", "a / (b + 4)", "a ** 2 - b", "a ** 3 * b", "abs(a) - abs(b)", "min(a, b) * c",
    "max(a, b, c)", "spread(a, b, c)", "mean(a, b) - c * a", "(a - b) * (b - c)", "a ** -2 + b",
    "-(a - 2 * b)", "sum(a, b, c) ** 2",
)  # fmt: skip


@given(
    text=st.sampled_from(FORMULAS),
    limits=st.lists(st.tuples(ends, ends), min_size=3, max_size=3),
    shares=st.lists(st.fractions(0, 1, max_denominator=7), min_size=3, max_size=3),
)
def test_no_value_lies_outside_the_range(
    text: str, limits: list[tuple[Fraction, Fraction]], shares: list[Fraction]
) -> None:
    """Whatever parts within their limits are taken, the value lies within the range."""
    sorted_limits = dict(zip("abc", map(sorted, limits), strict=True))
    scope = Scope(limits={name: Bounds.of(low, high) for name, (low, high) in sorted_limits.items()})
    parts = {
        name: single(Amount(low + (high - low) * share))
        for (name, (low, high)), share in zip(sorted_limits.items(), shares, strict=True)
    }

    (extent,) = interval(parse(text), scope).cells
    (value,) = evaluate(parse(text), Scope(values=parts)).cells

    if isinstance(extent, Range):
        assert isinstance(value, Amount)
        assert extent.low is not None
        assert extent.high is not None
        assert extent.low <= value.value <= extent.high

"""Limit bars: a value lies on its bar where it lies between its limits."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest

from builder.judge import Judgement, Verdict
from builder.judge.bounds import Band
from builder.judge.verdict import Decision
from builder.render.job_papers.bars import WIDTH, bar, scale

BAND = Band(Fraction(10), Fraction(20), "new", ())


def judged(value: int, band: Band = BAND) -> Judgement:
    """A value against a limit."""
    verdict = Verdict.IN if band.holds(Fraction(value)) else Verdict.OUT
    return Judgement("s", "n", "", {}, "c", Fraction(value), None, Decision(verdict, (), band))


def test_value_on_a_limit_stands_on_its_line() -> None:
    """Equality is inside: the mark of 10 stands where the line of 10 stands."""
    on = scale(BAND, [])

    html = bar(BAND, [judged(10)])
    assert f'<path d="M{on.at(Fraction(10)):g} 1V14"' in html
    assert f'<circle cx="{on.at(Fraction(10)):g}"' in html


def test_middle_of_the_band_stands_in_the_middle_of_the_bar() -> None:
    """The limits lie alike on both sides."""
    assert scale(BAND, []).at(Fraction(15)) == WIDTH / 2


@pytest.mark.parametrize(("value", "mark"), [(15, "<circle"), (21, "l7 7m0 -7l-7 7"), (90, "Z"), (-90, "Z")])
def test_value_outside_is_told_by_its_form_and_not_by_colour(value: int, mark: str) -> None:
    """A dot inside, a cross outside, an arrow where it lies beyond the end of the bar."""
    html = bar(BAND, [judged(value)])

    assert mark in html
    assert set(re.findall(r"#[0-9a-f]+", html)) <= {"#000", "#e4e4e4", "#fff"}


def test_earlier_values_are_open_marks() -> None:
    """As found is an open mark under the full one."""
    html = bar(BAND, [judged(15)], [judged(12)])

    assert html.index('fill="#fff"') < html.index('r="2.6"')


@pytest.mark.parametrize(
    ("band", "values", "lines"),
    [
        (Band(None, Fraction(5), "shop", ()), [1, 2], 1),
        (Band(Fraction(5), None, "shop", ()), [6, 9], 1),
        (Band(Fraction(5), Fraction(5), "new", ()), [5], 2),
        (Band(None, Fraction(0), "new", ()), [0], 1),
    ],
)
def test_limit_with_one_side_has_one_line(band: Band, values: list[int], lines: int) -> None:
    """A `max` has its line right, a `min` left; every value stands on the bar."""
    html = bar(band, [judged(value, band) for value in values])

    assert html.count("1V14") == lines
    places = [float(place) for place in re.findall(r'cx="([\d.]+)"', html)]
    assert len(places) == len(values)
    assert all(0 <= place <= WIDTH for place in places)

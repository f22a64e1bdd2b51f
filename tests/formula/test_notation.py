"""Formulas on paper: every sign of the trade, brackets where they are needed, numbers in place of names."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.formula import Amount, Scope, evaluate, parse, single
from builder.formula.notation import written


@pytest.mark.parametrize(
    ("typed", "paper"),
    [
        ("pi / 4 * bore**2 * stroke", "π ÷ 4 × bore² × stroke"),
        ("(swept + clearance) / clearance", "(swept + clearance) ÷ clearance"),
        ("a - (b - c)", "a − (b − c)"),
        ("(a - b) - c", "a − b − c"),
        ("a / (b * c)", "a ÷ (b × c)"),
        ("a * (b / c)", "a × b ÷ c"),
        ("a - -b", "a − (−b)"),
        ("(-a)**2", "(−a)²"),
        ("-a**2", "−a²"),
        ("a**-1", "a⁻¹"),
        ("a**(1 / 3)", "a^(1/3)"),
        ("a**n", "a^(n)"),
        ("(a + b)**0.5", "√(a + b)"),
        ("sqrt(a)", "√a"),
        ("abs(a - b)", "|a − b|"),
        ("0.002 * inch + 360 * deg", "0.002 in + 360°"),
        ("(2 * inch)**2", "(2 in)²"),
        ("a / inch", "a ÷ 1 in"),
        ("1.18 * 99 * kPa / a", "1.18 × 99 kPa ÷ a"),
        ("a / (2 * 3 * inch)", "a ÷ (2 × 3 in)"),
        ("a * 3 * b * inch", "a × 3 × b × 1 in"),
        ("degF(68)", "68 °F"),
        ("exp(a) + log(b) + asin(c)", "exp(a) + ln(b) + arcsin(c)"),
        ("max(a, b) * 2", "(largest of (a, b)) × 2"),
        ("max(readings, item) - min(readings, item)", "largest of readings − smallest of readings"),
        ("spread(free_height, item)", "spread of free height"),
        ("first_at_least(sizes, worn - 2)", "first of sizes not below worn − 2"),
        ("nearest([1 * inch, 2 * inch], a)", "one of 1 in, 2 in nearest to a"),
        ("a <= b and not c != d or e == 1", "a ≤ b and not c ≠ d or e = 1"),
        ("low(main.clearance)", "low(main.clearance)"),
    ],
)
def test_formula_on_paper(typed: str, paper: str) -> None:
    """What is typed for the computer, and what stands on paper."""
    assert written(parse(typed)) == paper


def test_values_stand_in_place_of_names() -> None:
    """A value under a power, or with a sign, stands in brackets; a name without a value stays."""
    values = {"bore": "101.6 mm", "deck": "-0.50 mm", "count_of": "4"}

    assert (
        written(parse("bore**2 * deck - count_of**2 + rest"), values=values)
        == "(101.6 mm)² × (-0.50 mm) − 4² + rest"
    )


def test_name_of_the_scope_is_no_unit() -> None:
    """A name that the scope has is never printed as the unit of the same spelling."""
    assert written(parse("2 * second"), names={"second"}) == "2 × second"
    assert written(parse("2 * second")) == "2 s"


LEAVES = st.sampled_from(["a", "b", "2", "3"])


def _larger(inner: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    return st.one_of(
        st.builds("({}) {} ({})".format, inner, st.sampled_from("+-*/"), inner),
        st.builds("-({})".format, inner),
        st.builds("({})**2".format, inner),
    )


@settings(deadline=None)
@given(st.recursive(LEAVES, _larger, max_leaves=8))
def test_brackets_keep_the_meaning(typed: str) -> None:
    """Typed in again as it is read on paper, a formula gives the same value."""
    scope = Scope({"a": single(Amount(Fraction(5))), "b": single(Amount(Fraction(7)))})
    paper = written(parse(typed))
    again = paper.translate(str.maketrans({"×": "*", "÷": "/", "−": "-", "²": "**2"}))

    (ours,), (theirs,) = evaluate(parse(typed), scope).cells, evaluate(parse(again), scope).cells
    assert isinstance(ours, Amount) == isinstance(theirs, Amount)
    if isinstance(ours, Amount) and isinstance(theirs, Amount):
        assert ours.value == theirs.value

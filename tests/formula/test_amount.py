"""Effects: how much a value moves with each reading behind it, exact, in one pass with the value."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from builder.formula import Amount, Missing, Reading, Scope, Truth, evaluate, parse, readings, readings_behind

A, B, C = (Reading(name, ()) for name in "abc")


def _worked_out(text: str, values: dict[str, Fraction]) -> Amount:
    scope = Scope(values={name: readings(name, {}, [value]) for name, value in values.items()})
    (cell,) = evaluate(parse(text), scope).cells
    assert isinstance(cell, Amount), cell
    return cell


def _of(text: str, a: str = "3", b: str = "2", c: str = "5") -> dict[str, Fraction]:
    values = dict(zip("abc", map(Fraction, (a, b, c)), strict=True))
    return {reading.name: effect for reading, effect in _worked_out(text, values).effects.items()}


@pytest.mark.parametrize(
    ("text", "effects"),
    [
        ("a - 2 * b", {"a": 1, "b": -2}),
        ("a * b", {"a": 2, "b": 3}),
        ("a / b", {"a": Fraction(1, 2), "b": Fraction(-3, 4)}),
        ("a ** 2", {"a": 6}),
        ("a ** -1", {"a": Fraction(-1, 9)}),
        ("a ** 0", {"a": 0}),
        ("-a + +b", {"a": -1, "b": 1}),
        ("abs(b - a)", {"b": -1, "a": 1}),
        ("min(a, b)", {"a": 0, "b": 1}),
        ("max(a, b, c) - a", {"a": -1, "b": 0, "c": 1}),
        ("spread(a, b, c)", {"a": 0, "b": -1, "c": 1}),
        ("mean(a, b, c)", {"a": Fraction(1, 3), "b": Fraction(1, 3), "c": Fraction(1, 3)}),
        ("sum(a, a, b)", {"a": 2, "b": 1}),
        ("a - a", {"a": 0}),
        ("sqrt(a ** 2)", {"a": 1}),
        ("nearest([1, 2, 4], a)", {"a": 0}),
        ("first_at_least([1, 2, 4], a) + b", {"a": 0, "b": 1}),
        ("count(a, b)", {"a": 0, "b": 0}),
        ("pi * a / pi", {"a": 1}),
        ("degF(a) / degF(a)", {"a": 0}),
    ],
)
def test_effects_are_the_exact_slopes(text: str, effects: dict[str, Fraction]) -> None:
    """Each reading's slope; one that was looked at but has no part stands with zero."""
    assert _of(text) == effects


def test_where_two_are_equal_the_first_counts() -> None:
    """At a tie the branch of the first one is in force."""
    assert _of("max(a, b)", a="2", b="2") == {"a": 1, "b": 0}
    assert _of("min(a, b)", a="2", b="2") == {"a": 1, "b": 0}
    assert _of("abs(a)", a="0") == {"a": 1}


def test_equal_readings_are_not_certain() -> None:
    """The spread of equal readings is zero, but each of two readings is as uncertain as ever."""
    assert _of("spread(a, b)", a="2", b="2") == {"a": 1, "b": -1}
    assert _of("spread(a, b, c)", a="2", b="2", c="2") == {"a": 1, "b": -1, "c": 0}


smooth = st.sampled_from([
    "a * b - c", "a / b + c ** 2", "(a + b) * (b + c) / a", "a ** 3 / c", "sqrt(a) * b", "exp(a / b) + c",
    "log(a) * c", "sin(a * deg) + cos(b * deg)", "asin(a / (a + b))", "a ** 0.7", "a ** b / c",
    "mean(a, b * c)", "sqrt(a ** 2 + b ** 2)",
])  # fmt: skip
sizes = st.fractions(1, 5, max_denominator=50)


@given(text=smooth, a=sizes, b=sizes, c=sizes)
def test_effects_are_what_a_small_change_does(text: str, a: Fraction, b: Fraction, c: Fraction) -> None:
    """Moving one reading by a trillionth moves the value by its effect times that."""
    step = Fraction(1, 10**12)
    values = {"a": a, "b": b, "c": c}
    here = _worked_out(text, values)

    for reading, effect in here.effects.items():
        moved = _worked_out(text, {**values, reading.name: values[reading.name] + step})
        assert abs((moved.value - here.value) / step - effect) < Fraction(1, 10**6)


@given(a=sizes, b=sizes, c=sizes)
def test_linear_formula_is_its_effects(a: Fraction, b: Fraction, c: Fraction) -> None:
    """A linear formula is the sum of its readings times their effects, to the last digit, wherever it is."""
    assume(len({a, b, c}) == 3)
    cell = _worked_out("max(a, b) - 2 * min(b, c) / 3", {"a": a, "b": b, "c": c})

    assert cell.value == sum(
        effect * {"a": a, "b": b, "c": c}[reading.name] for reading, effect in cell.effects.items()
    )
    assert not cell.approximate


def test_approximate_says_so_and_passes_on() -> None:
    """Roots that come out even are exact; other roots, powers and curves are not, nor what rests on them."""
    values = {"a": Fraction(3), "b": Fraction(2), "c": Fraction(5)}
    exact = ["sqrt(a ** 2)", "a ** 3", "pi * a", "sqrt(b * 8)", "a ** 2 / b"]
    rough = [
        "sqrt(a)",
        "2 * sqrt(a)",
        "max(b, log(a))",
        "exp(a)",
        "a ** 0.5",
        "sin(a * deg)",
        "mean(a, asin(1))",
    ]

    assert [_worked_out(text, values).approximate for text in exact] == [False] * len(exact)
    assert [_worked_out(text, values).approximate for text in rough] == [True] * len(rough)


def test_readings_behind_a_cell_are_known() -> None:
    """Of an amount and of a truth alike, in force or not; of what is missing none."""
    scope = Scope(values={name: readings(name, {}, [Fraction(number)]) for number, name in enumerate("abc")})

    (amount,) = evaluate(parse("max(a, b)"), scope).cells
    (truth,) = evaluate(parse("a < b and b < c"), scope).cells
    (missing,) = evaluate(parse("a / a"), scope).cells

    assert readings_behind(amount) == {A, B}
    assert truth == Truth(holds=True, sources=frozenset({A, B, C}))
    assert readings_behind(truth) == {A, B, C}
    assert isinstance(missing, Missing)
    assert readings_behind(missing) == frozenset()


def test_effects_reach_through_values_worked_out_before() -> None:
    """A worked-out value that is used again still knows the readings behind it."""
    scope = Scope(values={"a": readings("a", {}, [Fraction(3)])})
    doubled = evaluate(parse("2 * a"), scope)

    (cell,) = evaluate(parse("doubled * a"), Scope(values={**scope.values, "doubled": doubled})).cells

    assert cell == Amount(Fraction(18), {A: Fraction(12)})

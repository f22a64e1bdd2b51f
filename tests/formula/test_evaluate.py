"""Evaluation at the bench: what names mean, and a sentence wherever there is no value."""

from __future__ import annotations

from fractions import Fraction

import pytest

from builder.formula import (
    Amount,
    Bounds,
    Grid,
    Missing,
    Pair,
    Reading,
    Scope,
    Truth,
    Value,
    evaluate,
    not_read,
    parse,
    readings,
    single,
)
from builder.units import UNITS

INCH = UNITS["in"].factor
AT = {"main": ("1", "2"), "axis": ("T", "A")}
TYPED = ("2.4998", "2.4999", "2.4997", None)
JOURNAL = readings("journal", AT, [None if typed is None else Fraction(typed) * INCH for typed in TYPED])
SCOPE = Scope(
    values={"journal": JOURNAL, "none": readings("none", {}, [None]), "five": single(Amount(Fraction(5)))},
    pairs={"fit": Pair(single(Amount(Fraction(1))), single(Amount(Fraction(2))))},
    limits={
        "main.bore": Bounds.of(Fraction(1), Fraction(3), None, Fraction(2)),
        "main.least": Bounds.of(Fraction(1), None),
        "main.exact": Bounds.of(Fraction(4), Fraction(4)),
    },
    steps={"bore.oversizes": (Fraction(3), Fraction(1), Fraction(2)), "bore.none": ()},
)


def _one(text: str) -> Fraction | bool | str:
    """The only cell: a number, a truth, or the sentence of what is missing."""
    value = evaluate(parse(text), SCOPE)
    assert not value.dims
    match value.cells[0]:
        case Amount(value=number):
            return number
        case Truth(holds=holds):
            return holds
        case Missing(reason=reason):
            return reason


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("0.0020 * 500", 1),
        ("2 ** -2 * 8 / 2 - 1", 0),
        ("-2 ** 2", -4),
        ("inch / mm", Fraction(127, 5)),
        ("N_m / lb_ft * lbf * ft", 1),
        ("1 * hp / (550 * ft * lbf / s)", 1),
        ("degF(212) - degF(32)", 100),
        ("degC(0)", Fraction("273.15")),
        ("main.exact", 4),
        ("mid(main.bore) + low(main.bore) + high(main.bore)", 6),
        ("least(main.bore) + most(main.bore)", 4),
        ("least(fit) + most(fit)", 3),
        ("nearest(bore.oversizes, 2.5)", 2),
        ("first_at_least(bore.oversizes, 2.5)", 3),
        ("first_at_least(bore.oversizes, 2)", 2),
        ("min(five, 2, main.exact)", 2),
        ("count(five > 2, five > 7)", 1),
        ("five == 5 and not five > 5 or five < 0", True),
        ("1 < five < 5", False),
        ("five != 5", False),
    ],
)
def test_value(text: str, value: Fraction | bool) -> None:
    """Arithmetic, units, limits, pairs, steps and questions."""
    assert _one(text) == value


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("five / (five - 5)", "`five / (five - 5)` divides by zero"),
        ("(five - 5) ** -1", "`(five - 5) ** -1` divides by zero"),
        ("sqrt(-five)", "`sqrt(-five)` takes the root of a negative number"),
        ("(-five) ** 0.5", "`(-five) ** 0.5` takes a broken power of a negative number"),
        ("log(five - 5)", "`log(five - 5)` takes the logarithm of a number that is not above zero"),
        ("asin(five)", "`asin(five)` asks for an angle whose sine is beyond 1"),
        ("exp(five ** 9)", "`exp(five ** 9)` grows too large to work out"),
        ("five ** 1001", "`five ** 1001` grows too large to work out"),
        ("((five ** 999) ** 999) + 1", "`(five ** 999) ** 999` grows too large to work out"),
        ("five ** 900.5", "`five ** 900.5` grows too large to work out"),
        ("nobody + 1", "`nobody` is not known here"),
        ("1 * degF", "`degF` is not known here"),
        ("none + five", "`none` is not read"),
        ("fit * 2", "`fit` has a least and a most: say which"),
        ("main.bore * 2", "`main.bore` has limits, not one value: say low, high or mid"),
        ("bore.oversizes * 2", "`bore.oversizes` is a list, not a value"),
        ("[1, 2] * 2", "`[1, 2]` is a list, not a value"),
        ("high(main.least)", "`main.least` has no upper limit"),
        ("mid(main.least)", "`main.least` has no upper limit"),
        ("mid_aim(main.bore)", "`main.bore` has no lower aim limit"),
        ("low(five)", "`five` has no limits here"),
        ("low(fit)", "`fit` has no limits here"),
        ("nearest(five, 2)", "`five` lists no sizes here"),
        ("nearest(bore.none, 2)", "`bore.none` lists no sizes here"),
        ("nearest([1, five > 2], 2)", "`[1, five > 2]` is not a list of sizes"),
        ("nearest([1, none], 2)", "`none` is not read"),
        ("first_at_least(bore.oversizes, 4)",
         "`first_at_least(bore.oversizes, 4)` finds no listed size large enough"),
        ("five + (five > 2)", "`five + (five > 2)` takes yes or no for a number"),
        ("five and five > 2", "`five and five > 2` takes a number for yes or no"),
        ("max(five)", "`max(five)` names neither dimensions nor values only"),
        ("pick(five, axis, T)", "`pick(five, axis, T)` cannot be worked out: there is no axis T to pick"),
        ("pick(none, axis, T)", "`none` is not read"),
        ("neighbour(five, main)",
         "`neighbour(five, main)` cannot be worked out: there is no main to have a neighbour"),
        ("max(journal, axis, main)", "`journal` is not read at main 2, axis A"),
        ("max(journal, axis, five)", "`max(journal, axis, five)` names neither dimensions nor values only"),
    ],
)  # fmt: skip
def test_what_has_no_value_says_why(text: str, reason: str) -> None:
    """One sentence that names the part at fault; never an exception."""
    assert _one(text) == reason


def test_missing_reading_spoils_only_what_rests_on_it() -> None:
    """Main 1 is worked out though main 2 lacks a reading."""
    value = evaluate(parse("max(journal, axis)"), SCOPE)

    first, second = value.cells
    assert value.dims == {"main": ("1", "2")}
    assert isinstance(first, Amount)
    assert first.value == Fraction("2.4999") * INCH
    assert second == Missing("`journal` is not read at main 2, axis A")


def test_place_without_a_neighbour_is_passed_over() -> None:
    """The last one has no next one by nature: a reduction does without it, and says nothing is missing."""
    heights = readings("height", {"cylinder": ("1", "2", "3")}, [Fraction(3), Fraction(5), Fraction(4)])
    scope = Scope(values={"height": heights})

    steps = evaluate(parse("abs(height - neighbour(height, cylinder))"), scope)
    (widest,) = evaluate(parse("max(abs(height - neighbour(height, cylinder)), cylinder)"), scope).cells

    assert steps.cells[2] == Missing("the last one has no neighbour after it", nothing_there=True)
    assert isinstance(widest, Amount)
    assert widest.value == 2


def test_name_in_the_scope_comes_before_a_unit() -> None:
    """A reading called `h` is that reading, not an hour."""
    height: Value = single(Amount(Fraction(7)))

    assert evaluate(parse("h"), Scope(values={"h": height})) == height
    assert evaluate(parse("h"), Scope()) == single(Amount(Fraction(3600)))


def test_limits_may_go_by_position() -> None:
    """Stepped sizes: each cam bearing has a limit of its own, and a middle too."""
    where = {"cam_bearing": ("1", "2")}
    low, high = (readings("", where, list(map(Fraction, ends))) for ends in ((1, 3), (2, 5)))
    scope = Scope(
        limits={"cam.journal": Bounds(low, high)}, values={"x": readings("x", where, [Fraction(1)] * 2)}
    )

    below = evaluate(parse("x < low(cam.journal)"), scope)
    middle = evaluate(parse("mid(cam.journal)"), scope)

    assert [cell.holds for cell in below.cells if isinstance(cell, Truth)] == [False, True]
    assert [cell.value for cell in middle.cells if isinstance(cell, Amount)] == [Fraction(3, 2), 4]


def test_reading_knows_itself() -> None:
    """Its own source with effect one; one not taken says where."""
    assert JOURNAL.cells[0] == Amount(
        Fraction("2.4998") * INCH, {Reading("journal", ("1", "T")): Fraction(1)}
    )
    assert JOURNAL.cells[3] == Missing(not_read("journal", {"main": "2", "axis": "A"}))
    assert readings("gap", {}, [None]) == Grid({}, (Missing("`gap` is not read"),))


def test_limits_are_exact_only_when_both_sides_are_the_same() -> None:
    """Then the bare name has a value."""
    assert Bounds.of(Fraction(1), Fraction(1)).exact
    assert not Bounds.of(Fraction(1), Fraction(2)).exact
    assert not Bounds.of(None, None).exact

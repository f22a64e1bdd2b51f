"""Python and the browser give the same answers, cell for cell: values, effects, words of what is missing."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from math import prod
from random import Random
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from builder.formula import (
    Bounds,
    Link,
    Pair,
    Scope,
    Value,
    evaluate,
    export,
    export_scope,
    export_value,
    parse,
    readings,
)
from builder.units import UNITS

INCH = UNITS["in"].factor
DIMS = {
    "main": ("1", "2"),
    "crankpin": ("1", "2"),
    "rod": ("L1", "R1", "L2"),
    "cylinder": ("1", "2", "3"),
    "plane": ("front", "rear"),
    "axis": ("T", "A"),
}
SHAPES = {
    "bore": ("main", "plane", "axis"),
    "journal": ("main", "plane", "axis"),
    "wall": ("main",),
    "pin": ("crankpin", "plane"),
    "rod_bore": ("rod", "plane"),
    "height": ("cylinder",),
    "angle": (),
    "gap": (),
}
LINKS = {"rod": Link("crankpin", {"L1": "1", "R1": "1", "L2": "2"})}
TENTHS = [Fraction(24980 + step, 10000) * INCH for step in range(-3, 4)] + [Fraction(0), Fraction(-1, 3)]

some = st.sampled_from(TENTHS)


@st.composite
def scopes(draw: st.DrawFn) -> Scope:
    """Readings near one another and near their limits, some exactly on a limit, seldom one not taken."""
    chance = Random(draw(st.integers(0, 10**6)))  # noqa: S311 - test data
    gaps = draw(st.sampled_from([0, 0, 0, 0.05]))
    values = {name: _grid(chance, gaps, name, dims) for name, dims in SHAPES.items()}
    low, high = sorted((draw(some), draw(some)))
    return Scope(
        values=values,
        pairs={"fit": Pair(values["wall"], values["height"])},
        limits={
            "main.bore": Bounds.of(low, high, chance.choice([None, low]), chance.choice([None, high])),
            "main.max": Bounds.of(None, high),
            "main.exact": Bounds.of(low, low),
            "main.stepped": Bounds(low=values["wall"], high=values["wall"]),
        },
        steps={"bore.oversizes": tuple(TENTHS[:3])},
        links=LINKS,
    )


def _grid(chance: Random, gaps: float, name: str, dims: tuple[str, ...]) -> Value:
    shape = {dim: DIMS[dim] for dim in dims}
    size = prod(len(labels) for labels in shape.values())
    return readings(
        name, shape, [None if chance.random() < gaps else chance.choice(TENTHS) for _ in range(size)]
    )


NUMBERS = ("0", "1", "2", "0.0005", "2.4980", ".5", "3 * inch", "2.4981 * inch", "30 * deg", "pi", "degF(68)")
ENDS = (
    "low(main.bore)", "high(main.bore)", "mid(main.bore)", "mid_aim(main.bore)", "high(main.max)",
    "low(main.max)", "least(fit)", "most(fit)", "least(main.exact)", "low(main.stepped)", "main.exact",
)  # fmt: skip
ODD_ONES = (
    "main.bore", "fit", "bore.oversizes", "nobody", "degF", "low(bore)", "max(bore)", "pick(bore, axis, X)",
    "(bore > gap)", "nearest(nobody, gap)", "max(gap, main)", "bore - height", "neighbour(gap, main)",
    "3 ** 900 ** 3",
)  # fmt: skip
ALONG = [(name, dim) for name, dims in SHAPES.items() for dim in dims]
REDUCED = [
    f"{function}({name}, {dim})"
    for function in ("min", "max", "mean", "spread", "sum", "count")
    for name, dim in ALONG
]
PICKED = [f"pick({name}, {dim}, {label})" for name, dim in ALONG for label in DIMS[dim]]
SPECIAL = (
    "max(abs(height - neighbour(height, cylinder)), cylinder)", "neighbour(bore, main)", "rod_bore - pin",
    "pick(rod_bore, rod, L1, R1) - 1", "pick(height, cylinder, 3, 1)", "min(wall, main.exact, gap)",
    "min(pick(bore, axis, A) - max(journal, axis), plane)", "spread(wall, 0 * wall)",
)  # fmt: skip
LEAVES = st.sampled_from(
    [*[*SHAPES] * 8, *NUMBERS * 3, *ENDS * 3, *REDUCED, *PICKED, *SPECIAL * 2, *ODD_ONES],
)
WRAPPED = st.sampled_from([
    "abs({})", "sqrt({})", "exp({})", "log({})", "sin({})", "cos({})", "asin({} / (3 * inch))", "asin({})",
    "-({})", "+({})", "({}) ** 2", "({}) ** -1", "({}) ** 0", "({}) ** 3", "({}) ** 0.5", "({}) ** (1 / 3)",
    "({}) ** gap", "first_at_least(bore.oversizes, {})", "nearest(bore.oversizes, {})",
    "nearest([1 * inch, 2.4981 * inch, 3 * inch], {})", "first_at_least([gap, 3 * inch], {})",
    "min({}, plane)", "max({}, axis)", "spread({}, main)",
])  # fmt: skip
JOINED = st.sampled_from([
    "({}) + ({})", "({}) - ({})", "({}) - ({})", "({}) - ({})", "({}) * ({})", "({}) / ({})",
    "min({}, {})", "max({}, {})", "mean({}, {})", "spread({}, {})", "sum({}, {})",
])  # fmt: skip
ASKED = st.sampled_from([
    "{}", "{}", "({}) - ({})", "({}) < ({})", "({}) <= ({})", "({}) > ({})", "({}) >= ({})", "({}) == ({})",
    "({}) != ({})", "({0}) <= ({1}) and not ({1}) > 2.4982 * inch", "({0}) < ({1}) or ({1}) == main.exact",
    "count(({}) >= ({}), main)", "count({}, main)", "count(({}) == ({}), plane, axis)", "({}) and ({})",
])  # fmt: skip


def _larger(inner: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    """A formula made of smaller ones."""
    return st.one_of(st.builds(str.format, WRAPPED, inner), st.builds(str.format, JOINED, inner, inner))


VALUES = st.recursive(LEAVES, _larger, max_leaves=5)
formulas = st.builds(str.format, ASKED, VALUES, VALUES)


def _sorted(value: Any) -> Any:  # noqa: ANN401 - JSON of any shape
    """The same value with the readings behind each cell in one order."""
    for cell in value["cells"]:
        for behind in ("effects", "sources"):
            if behind in cell:
                cell[behind] = sorted(cell[behind])
    return value


def _campaign(browser: Callable[[dict[str, Any]], Any], cases: int) -> int:
    """Compare so many random cases, five formulas over each scope; how many of them had a value."""
    valued = [0]

    @settings(
        deadline=None,
        database=None,
        max_examples=cases // 5,
        phases=[Phase.generate],  # the formula in the message is short; making it shorter takes minutes
        suppress_health_check=list(HealthCheck),
    )
    @given(texts=st.lists(formulas, min_size=5, max_size=5), scope=scopes())
    def agree(texts: list[str], scope: Scope) -> None:
        nodes = list(map(parse, texts))
        theirs = browser({"formulas": list(map(export, nodes)), "scope": export_scope(scope)})
        for text, node, their in zip(texts, nodes, theirs, strict=True):
            ours = export_value(evaluate(node, scope))
            assert _sorted(their) == _sorted(ours), text
            valued[0] += any("missing" not in cell for cell in ours["cells"])

    agree()
    return valued[0]


def test_two_thousand_random_formulas_agree(browser: Callable[[dict[str, Any]], Any]) -> None:
    """Any formula over any readings gives the same grid in Python and in the browser, to the last digit."""
    assert _campaign(browser, 2000) > 500


@pytest.mark.slow
def test_ten_thousand_random_formulas_agree(browser: Callable[[dict[str, Any]], Any]) -> None:
    """The same over ten thousand cases."""
    assert _campaign(browser, 10000) > 2500

"""What Python hands to the browser: JSON of a closed form, exact, and no node left out."""

from __future__ import annotations

import json
from fractions import Fraction
from typing import get_args

import pytest

from builder.formula import (
    Amount,
    Bounds,
    Link,
    Missing,
    Node,
    Pair,
    Reading,
    Scope,
    Truth,
    evaluate,
    export,
    export_scope,
    export_units,
    interval,
    parse,
    readings,
)
from builder.formula.dimensions import dimension_of
from builder.formula.export import export_cell
from builder.formula.functions import FUNCTIONS, Sort
from builder.formula.nodes import children
from builder.units import UNITS

SAMPLES = {
    "Number": "0.0020",
    "Name": "pi",
    "Unary": "-1",
    "Binary": "1 + 2",
    "Compare": "1 < 2",
    "Logic": "1 < 2 and 2 < 3",
    "Steps": "[1, 2]",
    "Call": "sqrt(2)",
}


def _kinds(node: Node) -> set[str]:
    return {type(node).__name__}.union(*map(_kinds, children(node)))


def test_every_sort_of_node_is_sampled() -> None:
    """The samples below hold every node class of the language, and no other exists."""
    classes = {member.__name__ for member in get_args(Node)}

    assert set(SAMPLES) == classes
    assert all(kind in _kinds(parse(text)) for kind, text in SAMPLES.items())


@pytest.mark.parametrize("text", SAMPLES.values())
def test_every_interpretation_handles_every_node(text: str) -> None:
    """Evaluation, ranges, dimensions and export know each of them."""
    node = parse(text)

    assert evaluate(node, Scope()).cells
    assert interval(node, Scope()).cells
    assert dimension_of(node, {})
    assert json.loads(json.dumps(export(node))) == export(node)


@pytest.mark.parametrize("name", FUNCTIONS)
def test_every_function_is_as_its_example_writes_it(name: str) -> None:
    """The form that a refusal offers can be read, worked out and exported."""
    node = parse(FUNCTIONS[name].form)

    assert evaluate(node, Scope()).cells
    assert interval(node, Scope()).cells
    assert export(node)["formula"] == 1


def test_every_sort_of_function_has_one() -> None:
    """No sort is left over."""
    assert {function.sort for function in FUNCTIONS.values()} == set(Sort)


def test_formula_is_self_contained() -> None:
    """Units and pi carry their values; words, signs and places of the tree are all there is."""
    assert export(parse("max(bore, axis) - 0.002 * inch")) == {
        "formula": 1,
        "node": {
            "is": "operation",
            "text": "max(bore, axis) - 0.002 * inch",
            "sign": "-",
            "parts": [
                {
                    "is": "reduce",
                    "text": "max(bore, axis)",
                    "function": "max",
                    "parts": [{"is": "name", "text": "bore"}, {"is": "name", "text": "axis"}],
                },
                {
                    "is": "operation",
                    "text": "0.002 * inch",
                    "sign": "*",
                    "parts": [
                        {"is": "number", "text": "0.002", "value": "1/500"},
                        {"is": "name", "text": "inch", "value": "127/5000"},
                    ],
                },
            ],
        },
    }


def test_thermometer_and_angle_carry_their_scale() -> None:
    """`degF(68)` knows factor and offset, `sin` what a radian is."""
    (thermometer,) = _calls("degF(68)")
    (sine,) = _calls("sin(30 * deg)")

    assert (thermometer["factor"], thermometer["offset"]) == ("5/9", "45967/180")
    assert float(Fraction(str(sine["radian"]))) == pytest.approx(57.29577951308232, abs=1e-13)


def _calls(text: str) -> list[dict[str, object]]:
    node = export(parse(text))["node"]
    assert isinstance(node, dict)
    return [dict(node)]


def test_scope_is_all_that_a_formula_may_look_up() -> None:
    """Values, pairs, limits with open sides, steps and links; dimensions as a list, because order counts."""
    where = {"main": ("1", "2")}
    read = readings("wall", where, [Fraction(1, 3), None])
    scope = Scope(
        values={"wall": read},
        pairs={"fit": Pair(read, read)},
        limits={"main.max": Bounds.of(None, Fraction(2))},
        steps={"bore.oversizes": (Fraction(1, 100), Fraction(2))},
        links={"rod": Link("crankpin", {"L1": "1"})},
    )
    grid = {
        "dims": [["main", ["1", "2"]]],
        "cells": [
            {"value": "1/3", "effects": [["wall", ["1"], "1"]]},
            {"missing": "`wall` is not read at main 2"},
        ],
    }

    assert export_scope(scope) == {
        "values": {"wall": grid},
        "pairs": {"fit": {"least": grid, "most": grid}},
        "limits": {"main.max": {"high": {"dims": [], "cells": [{"value": "2", "effects": []}]}}},
        "steps": {"bore.oversizes": ["1/100", "2"]},
        "links": {"rod": {"on": "crankpin", "meets": {"L1": "1"}}},
    }


def test_cells_keep_what_stands_beside_the_value() -> None:
    """Approximate, nothing there by nature, and the sources of a truth."""
    key = Reading("a", ("1",))

    assert [
        export_cell(Amount(Fraction(1, 2), {key: Fraction(-2)}, approximate=True)),
        export_cell(Truth(holds=True, sources=frozenset({key}))),
        export_cell(Missing("the last one", nothing_there=True)),
    ] == [
        {"value": "1/2", "effects": [["a", ["1"], "-2"]], "approximate": True},
        {"holds": True, "sources": [["a", ["1"]]]},
        {"missing": "the last one", "nothing_there": True},
    ]


def test_every_unit_is_exported_exactly() -> None:
    """Factor and offset as rationals, the dimension in the trade's word, the system, the other spellings."""
    units = export_units()

    assert set(units) == set(UNITS)
    assert units["in"] == ["127/5000", "0", "length", "inch", ["inch", "inches"]]
    assert units["degF"] == ["5/9", "45967/180", "temperature", "inch", ["°F", "deg F"]]

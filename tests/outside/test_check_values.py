"""Check values that no worksheet's example holds: published ones, and ones that other programs work out.

Each stands in `tests/vectors/outside/values.json` with its source, `from memory` where it is, and where it
holds: `both` in Python and in the browser, or `trap`, a misprint that must not come out. A value is worked
out by a worksheet of the demonstration shop (`sheet`) or by the formulas beside it (`is`), from exact figures
of any length, and agrees when it rounds to the printed digits or lies within what is printed after `±`. What
holds in `python` only, because it needs a library, is in the files beside this one and in `tests/jobs`.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from builder.formula import (
    Amount,
    Grid,
    Node,
    Scope,
    Value,
    evaluate,
    export,
    export_scope,
    export_value,
    parse,
    single,
)
from builder.model.worksheet import Worksheet
from builder.units import UNITS, Unit
from builder.worksheet import ITEM

VALUES = json.loads((Path(__file__).parents[1] / "vectors" / "outside" / "values.json").read_text("utf-8"))
Case = dict[str, Any]
Browser = Callable[[dict[str, Any]], Any]


def split(text: str, plain: Unit) -> tuple[str, Unit]:
    """A printed figure and its unit."""
    figure, _, symbol = text.partition(" ")
    return figure, UNITS[symbol] if symbol else plain


def read(text: str, plain: Unit) -> Value:
    """Exact figures with a unit, `5.8, 3.9 in` as a row; fractions of an inch may be given as such."""
    *earlier, last = text.split(", ")
    figure, unit = split(last, plain)
    amounts = tuple(Amount(unit.to_base(Fraction(one))) for one in (*earlier, figure))
    if not earlier:
        return single(amounts[0])
    return Grid({ITEM: tuple(str(place) for place in range(1, len(amounts) + 1))}, amounts)


def formulas_of(case: Case, sheets: Mapping[str, Worksheet]) -> Iterator[tuple[str, Node, Unit]]:
    """Each step with its name and the unit of a figure that is printed without one."""
    if "sheet" in case:
        sheet = sheets[case["sheet"]]
        for name, formula in sheet.is_.items():
            shown = sheet.shows.get(name)
            yield str(name), formula.node, shown.unit if shown else UNITS["ratio"]
    else:
        for name, text in case["is"].items():
            yield name, parse(text), UNITS["ratio"]


def given_to(case: Case, sheets: Mapping[str, Worksheet]) -> dict[str, Value]:
    """What the formulas start from; a worksheet's defaults where nothing is given."""
    sheet = sheets.get(case.get("sheet", ""))
    inputs = sheet.inputs if sheet else {}
    typed = {str(name): str(own.default) for name, own in inputs.items() if own.default} | case["given"]
    assert not sheet or typed.keys() == set(map(str, inputs)), "an input has no figure"
    plain = {str(name): own.unit for name, own in inputs.items()}
    return {name: read(text, plain.get(name, UNITS["ratio"])) for name, text in typed.items()}


def worked(
    case: Case, sheets: Mapping[str, Worksheet], browser: Browser
) -> Iterator[tuple[str, Fraction, Unit]]:
    """Each step's value, after the browser has given the very same."""
    values = given_to(case, sheets)
    for name, node, unit in formulas_of(case, sheets):
        scope = Scope(values)
        values[name] = evaluate(node, scope)
        (theirs,) = browser({"formulas": [export(node)], "scope": export_scope(scope)})
        assert theirs == export_value(values[name]), name
        (cell,) = values[name].cells
        assert isinstance(cell, Amount), cell
        yield name, cell.value, unit


def agrees(base: Fraction, printed: str, plain: Unit) -> bool:
    """Whether a value is the printed one to its last digit, or within what is printed after `±`."""
    text, sign, within = printed.partition(" ± ")
    figure, unit = split(f"{text} {within.partition(' ')[2]}".strip() if sign else text, plain)
    places = len(figure.partition(".")[2])
    slack = Fraction(within.partition(" ")[0]) if sign else Fraction(1, 2 * 10**places)
    return abs(unit.from_base(base) - Fraction(figure)) <= slack


@pytest.mark.parametrize(
    "case", [pytest.param(one, id=f"{one['about']}: {one['gives']}") for one in VALUES["values"]]
)
def test_check_value_comes_out(
    case: Case, worksheets: Mapping[str, Worksheet], formula_browser: Browser
) -> None:
    """Every printed figure of a case, in Python and in the browser; of a trap, none does."""
    steps = {name: (value, unit) for name, value, unit in worked(case, worksheets, formula_browser)}

    found = {
        name: agrees(*steps[name][:1], printed, steps[name][1]) for name, printed in case["gives"].items()
    }

    assert case["source"]
    assert found == dict.fromkeys(case["gives"], case["holds_in"] == "both"), {
        name: float(unit.from_base(value)) for name, (value, unit) in steps.items()
    }


def test_every_misprint_says_what_is_right() -> None:
    """A trap tells what should stand there, and nothing else stands in the file."""
    assert {one["holds_in"] for one in VALUES["values"]} == {"both", "trap"}
    assert [one for one in VALUES["values"] if (one["holds_in"] == "trap") != ("remark" in one)] == []

"""The vectors of tests/vectors hold in Python; node runs the same files through the browser's scripts.

`exported.json` and `units.json` beside them are what Python hands to the browser; run with `UPDATE=1` in the
environment to write them anew after a change that is meant.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from builder.formula import (
    Amount,
    Bounds,
    Cell,
    Link,
    Missing,
    Pair,
    Scope,
    Truth,
    Value,
    evaluate,
    export,
    export_units,
    parse,
    readings,
)
from builder.quantity import read_reading
from builder.units import UNITS, unit

TESTS = Path(__file__).parents[1]
VECTORS = TESTS / "vectors"
FILES = ("mains-and-bores.json", "calculations.json", "edges.json")
Case = dict[str, Any]


def _cases() -> Iterator[tuple[str, Case]]:
    for name in FILES:
        for case in json.loads((VECTORS / name).read_text("utf-8"))["cases"]:
            yield f"{name}: {case['name']}", case


def _grid(name: str, given: Case) -> Value:
    own = unit(given["unit"])
    bases = [read_reading(typed, own).base if typed else None for typed in given["typed"]]
    return readings(name, {dim: tuple(labels) for dim, labels in given["over"].items()}, bases)


def _bounds(given: Case) -> Bounds:
    own = unit(given["unit"])
    sides = [given.get(side) for side in ("low", "high", "aim_low", "aim_high")]
    return Bounds.of(*(read_reading(side, own).base if side else None for side in sides))


def _scope(case: Case) -> Scope:
    return Scope(
        values={name: _grid(name, given) for name, given in case["readings"].items()},
        pairs={
            name: Pair(_grid(name, given["least"]), _grid(name, given["most"]))
            for name, given in case.get("pairs", {}).items()
        },
        limits={name: _bounds(given) for name, given in case.get("limits", {}).items()},
        steps={
            name: tuple(read_reading(size, unit(given["unit"])).base for size in given["sizes"])
            for name, given in case.get("steps", {}).items()
        },
        links={name: Link(given["on"], given["meets"]) for name, given in case.get("links", {}).items()},
    )


def _gives(cell: Cell, wanted: Any, own: str) -> Any:  # noqa: ANN401 - JSON of any shape
    """What a cell gives, in the form in which the vector wants it."""
    match cell:
        case Missing(reason=reason):
            return {"missing": reason}
        case Truth(holds=holds):
            return holds
        case Amount(value=value):
            shown = UNITS[own].from_base(value)
            if isinstance(wanted, dict) and "about" in wanted:
                near = abs(shown - Fraction(wanted["about"])) <= Fraction(wanted["within"])
                return wanted if near else str(float(shown))
            return wanted if isinstance(wanted, str) and shown == Fraction(wanted) else str(shown)


def _effects(cell: Cell) -> dict[str, str]:
    assert isinstance(cell, Amount)
    return {f"{key.name} {','.join(key.at)}": str(effect) for key, effect in cell.effects.items()}


@pytest.mark.parametrize("case", [pytest.param(case, id=name) for name, case in _cases()])
def test_vector_holds(case: Case) -> None:
    """Every formula of the case gives what its source prints, at every position."""
    scope = _scope(case)

    for asked in case["formulas"]:
        value = evaluate(parse(asked["formula"]), scope)

        assert {dim: list(labels) for dim, labels in value.dims.items()} == asked["over"], asked["formula"]
        pairs = zip(value.cells, asked["gives"], strict=True)
        assert [_gives(cell, wanted, asked["unit"]) for cell, wanted in pairs] == asked["gives"]
        if "effects" in asked:
            assert list(map(_effects, value.cells)) == asked["effects"]


def _agrees(name: str, made: object) -> bool:
    """Whether a file beside the vectors is what Python makes today; written anew when asked."""
    path = VECTORS / name
    text = json.dumps(made, ensure_ascii=False, indent=1) + "\n"
    if os.environ.get("UPDATE"):
        path.write_text(text, encoding="utf-8")
    return path.read_text("utf-8") == text


def test_exported_formulas_are_those_that_the_browser_runs() -> None:
    """The exported form of each formula of the vectors is the one on disk, version 1."""
    texts = sorted({asked["formula"] for _, case in _cases() for asked in case["formulas"]})

    assert _agrees("exported.json", {text: export(parse(text)) for text in texts})


def test_exported_units_are_those_that_the_browser_reads_with() -> None:
    """The units on disk beside the vectors are the closed list."""
    assert _agrees("units.json", export_units())


def test_vectors_hold_in_the_browsers_scripts() -> None:
    """`node --test` runs the same vectors, and refuses to pass without them."""
    node = shutil.which("node")
    if node is None:
        pytest.skip(
            "NOT RUN: node is not installed, so the vectors were not run through the browser's scripts"
        )

    done = subprocess.run(
        [node, "--test", str(TESTS / "js" / "vectors.test.cjs")], capture_output=True, text=True, check=False
    )

    assert done.returncode == 0, done.stdout
    passed = next(line for line in done.stdout.splitlines() if line.startswith("# pass"))
    assert int(passed.split()[-1]) >= len(list(_cases()))

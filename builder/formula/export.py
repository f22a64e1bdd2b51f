"""Formulas, scopes and units as JSON for the browser's evaluator; every number an exact `"n/d"`.

Version 1. A formula is self-contained: unit factors and pi stand in the names that use them. Grids list their
cells with the last dimension running fastest, as `Grid` does.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import TypeAlias, assert_never

from builder.formula.amount import Amount, Cell, Reading, Truth
from builder.formula.curves import RADIAN
from builder.formula.functions import FUNCTIONS, Sort
from builder.formula.grid import Missing
from builder.formula.irrational import PI
from builder.formula.nodes import Binary, Call, Compare, Logic, Name, Node, Number, Steps, Unary
from builder.formula.scope import Bounds, Scope, Value
from builder.formula.walk import degrees, factor
from builder.unit_table import ROWS

VERSION = 1
Json: TypeAlias = "str | int | bool | list[Json] | dict[str, Json]"


def exact_text(value: Fraction) -> str:
    """A rational as `"n/d"`; a whole one as `"n"`."""
    return str(value)


def export(node: Node) -> dict[str, Json]:
    """A formula: `{"formula": 1, "node": …}`."""
    return {"formula": VERSION, "node": _node(node)}


def _node(node: Node) -> dict[str, Json]:
    """One node; `is` says which, `text` is what the author wrote."""
    match node:
        case Number(value=value):
            return {"is": "number", "text": node.text, "value": exact_text(value)}
        case Name(name=name):
            return {"is": "name", "text": name, **_known(name)}
        case Unary(operator=sign, operand=operand):
            return {"is": "sign", "text": node.text, "sign": sign, "parts": _nodes((operand,))}
        case Binary(operator=sign, left=left, right=right) | Compare(operator=sign, left=left, right=right):
            return {"is": "operation", "text": node.text, "sign": sign, "parts": _nodes((left, right))}
        case Logic(operator=sign, operands=operands):
            return {"is": "operation", "text": node.text, "sign": sign, "parts": _nodes(operands)}
        case Steps(items=items):
            return {"is": "steps", "text": node.text, "parts": _nodes(items)}
        case Call(function=name, arguments=arguments):
            sort, extra = FUNCTIONS[name].sort.value, _scale(name)
            return {"is": sort, "text": node.text, "function": name, "parts": _nodes(arguments), **extra}
        case _:
            assert_never(node)


def _nodes(nodes: Sequence[Node]) -> list[Json]:
    return list(map(_node, nodes))


def _known(name: str) -> dict[str, Json]:
    """The value of a name that the scope does not hold: of pi, or of a unit as a factor."""
    known = PI if name == "pi" else factor(name)
    return {} if known is None else {"value": exact_text(known)}


def _scale(function: str) -> dict[str, Json]:
    """What a thermometer or an angle is measured by."""
    if FUNCTIONS[function].sort is Sort.DEGREES:
        by, offset = degrees(function)
        return {"factor": exact_text(by), "offset": exact_text(offset)}
    return {"radian": exact_text(RADIAN)} if function in ("sin", "cos", "asin") else {}


def export_scope(scope: Scope) -> dict[str, Json]:
    """What a formula may look up, readings included."""
    return {
        "values": {name: export_value(value) for name, value in scope.values.items()},
        "pairs": {
            name: {"least": export_value(pair.least), "most": export_value(pair.most)}
            for name, pair in scope.pairs.items()
        },
        "limits": {name: _bounds(bounds) for name, bounds in scope.limits.items()},
        "steps": {name: list(map(exact_text, steps)) for name, steps in scope.steps.items()},
        "links": {name: {"on": link.on, "meets": dict(link.meets)} for name, link in scope.links.items()},
    }


def _bounds(bounds: Bounds) -> dict[str, Json]:
    sides = {"low": bounds.low, "high": bounds.high, "aim_low": bounds.aim_low, "aim_high": bounds.aim_high}
    return {name: export_value(side) for name, side in sides.items() if side is not None}


def export_value(value: Value) -> dict[str, Json]:
    """A grid: dimensions as a list, because their order counts."""
    dims: list[Json] = [[dim, list(labels)] for dim, labels in value.dims.items()]
    return {"dims": dims, "cells": list(map(export_cell, value.cells))}


def export_cell(cell: Cell) -> dict[str, Json]:
    """One cell: a value with its effects, a truth with its readings, or why there is none."""
    match cell:
        case Amount(value=value, effects=effects):
            moved: list[Json] = [[*_reading(key), exact_text(effect)] for key, effect in effects.items()]
            return {"value": exact_text(value), "effects": moved, **_approximate(cell)}
        case Truth(holds=holds, sources=sources):
            used: list[Json] = [_reading(key) for key in sorted(sources)]
            return {"holds": holds, "sources": used, **_approximate(cell)}
        case Missing(reason=reason, nothing_there=nothing_there):
            return {"missing": reason, **({"nothing_there": True} if nothing_there else {})}
        case _:
            assert_never(cell)


def _reading(key: Reading) -> list[Json]:
    return [key.name, list(key.at)]


def _approximate(cell: Amount | Truth) -> dict[str, Json]:
    return {"approximate": True} if cell.approximate else {}


def export_units() -> dict[str, Json]:
    """Every unit by its symbol: `[factor, offset, dimension, system, other spellings]`.

    A value times factor plus offset is the value in base units.
    """
    return {
        row.symbol: [
            exact_text(row.factor),
            exact_text(row.offset),
            str(row.dimension),
            row.system,
            list(row.spellings),
        ]
        for row in ROWS
    }

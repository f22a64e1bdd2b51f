"""The formula language: ordinary arithmetic on named readings and characteristics, exact from end to end."""

from __future__ import annotations

from builder.formula.amount import Amount, Cell, Reading, Truth, readings_behind
from builder.formula.dimensions import Holds, Shape, dimension_of, kind_of
from builder.formula.evaluate import evaluate
from builder.formula.export import export, export_scope, export_units, export_value
from builder.formula.grid import Grid, Link, Missing, single
from builder.formula.interval import Extent, Range, interval
from builder.formula.nodes import Name, Node, children, names_of
from builder.formula.parse import parse
from builder.formula.scope import Bounds, Pair, Scope, Value, not_read, readings

__all__ = [
    "Amount",
    "Bounds",
    "Cell",
    "Extent",
    "Grid",
    "Holds",
    "Link",
    "Missing",
    "Name",
    "Node",
    "Pair",
    "Range",
    "Reading",
    "Scope",
    "Shape",
    "Truth",
    "Value",
    "children",
    "dimension_of",
    "evaluate",
    "export",
    "export_scope",
    "export_units",
    "export_value",
    "interval",
    "kind_of",
    "names_of",
    "not_read",
    "parse",
    "readings",
    "readings_behind",
    "single",
]

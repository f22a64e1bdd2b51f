"""What the browser needs in order to judge a checklist's readings exactly as the command line does.

Plain data, versioned: exact rationals as `"n/d"` texts in SI base units, formulas as exported trees, nothing
that the page would have to fetch.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from builder.checklist import Checklist, ChecklistStep, Grid
from builder.edition import edition
from builder.formula import Node, export, export_units, names_of
from builder.judge.sheet import ends_of, links_of
from builder.judge.taken import row_unit, steps_of, unit_of
from builder.judge.verdict import RULE
from builder.limit import Limit
from builder.model.bench import Instrument
from builder.model.procedure import IfOut, WorkOut
from builder.model.spec import LIMIT_KINDS, Cited, LimitRow, StepsRow
from builder.quantity import read_quantity
from builder.units import Unit

VERSION = 1


def program(checklist: Checklist) -> dict[str, Any]:
    """Everything that judging one checklist takes."""
    rows = _rows(checklist)
    return {
        "program": VERSION,
        "engine": str(checklist.engine.engine),
        "procedure": str(checklist.procedure.procedure),
        "edition": edition(checklist),
        "rule": RULE,
        "units": export_units(),
        "instruments": {name: _instrument(one) for name, one in sorted(checklist.manual.instruments.items())},
        "links": {
            name: {"on": link.on, "meets": dict(link.meets)} for name, link in links_of(checklist).items()
        },
        "rows": {name: _row(checklist, name, row) for name, row in rows.items()},
        "lists": _lists(checklist),
        "steps": [_step(checklist, step) for step in checklist.steps],
    }


def exact(value: Fraction | None) -> str | None:
    """A rational as text, `n/d`."""
    return None if value is None else f"{value.numerator}/{value.denominator}"


def _rows(checklist: Checklist) -> Mapping[str, LimitRow]:
    """The rows that the checklist speaks of, and those that only its formulas name."""
    names = dict.fromkeys(
        [*checklist.rows, *(name for step in checklist.steps for name in _formula_names(step))]
    )
    every = {str(name): row for name, row in checklist.engine.specs.items()}
    return {name: row for name in names if isinstance(row := every.get(name), LimitRow)}


def _formula_names(step: ChecklistStep) -> list[str]:
    nodes: list[Node] = [formula.node for out in step.work_outs.values() for _, formula in ends_of(out)]
    nodes += [
        formula.node for one in step.if_out for formula in (one.when, one.amount) if formula is not None
    ]
    return [name for node in nodes for name in names_of(node)]


def _instrument(one: Instrument) -> dict[str, Any]:
    said: dict[str, Any] = {"title": str(one.title)}
    if one.uncertainty is not None:
        quantity = read_quantity(one.uncertainty.body)
        relative = quantity.unit.symbol in {"percent", "%"}
        said["U"] = exact(quantity.base if relative else quantity.value * quantity.unit.factor)
        said["relative"] = relative
    return said


def _row(checklist: Checklist, name: str, row: LimitRow) -> dict[str, Any]:
    shown = row_unit(row)
    return {
        "code": str(row.code or ""),
        "title": str(row.title),
        "unit": shown.symbol if shown else "",
        "decimals": decimals_of(row),
        "moves": {str(step): exact(Fraction(factor)) for step, factor in row.moves_with.items()},
        "grades": [str(grade) for grade in row.grades],
        "sameAsNew": row.wear is not None and {one.value.form for one in row.wear.every()} == {"same_as_new"},
        "limits": {
            kind: {str(key): _limit(group[0]) for key, group in getattr(row, kind).by.items()}
            for kind in LIMIT_KINDS
            if getattr(row, kind) is not None
        },
        "steps": [[exact(base), words] for base, words in steps_of(checklist, name)],
    }


def decimals_of(row: LimitRow) -> int:
    """The digits in which a characteristic is printed: the most of any of its limits."""
    limits = [
        cited.value for kind in LIMIT_KINDS if getattr(row, kind) for cited in getattr(row, kind).every()
    ]
    return max((limit.decimals or 0 for limit in limits), default=0)


def _limit(cited: Cited[Limit]) -> dict[str, Any]:
    limit = cited.value
    bounded = limit.low is not None or limit.high is not None
    return {
        "low": exact(limit.low_base) if bounded else None,
        "high": exact(limit.high_base) if bounded else None,
        "text": cited.body,
        "cite": ", ".join(f"{one.source} {one.locator}".strip() for one in cited.citations),
    }


def _lists(checklist: Checklist) -> dict[str, Any]:
    """The listed sizes by characteristic, and the size step of a job that each one offers."""
    found = {}
    for name, row in checklist.engine.specs.items():
        stated = (row.supplier or row.new or row.shop) if isinstance(row, StepsRow) else None
        if stated is not None and isinstance(row, StepsRow):
            sizes = stated.every()[0].value
            found[str(name)] = {
                "step": str(row.step or ""),
                "title": str(row.title),
                "sizes": [[exact(one.base), str(one.text)] for one in sizes],
            }
    return found


def _step(checklist: Checklist, step: ChecklistStep) -> dict[str, Any]:
    return {
        "id": str(step.step.id),
        "number": step.number,
        "hold": str(step.step.hold or "") if step.hold else "",
        "by": [str(role) for role in step.hold.by] if step.hold else [],
        "irreversible": step.step.irreversible,
        "grids": [_grid(checklist, grid) for grid in step.grids],
        "workOuts": [_work_out(checklist, name, out) for name, out in step.work_outs.items()],
        "ifOut": [_if_out(one) for one in step.if_out],
    }


def _grid(checklist: Checklist, grid: Grid) -> dict[str, Any]:
    row = checklist.engine.specs.get(next((blank.against for blank in grid.blanks if blank.against), ""))  # type: ignore[call-overload]
    own = unit_of(grid, row)
    return {
        "name": str(grid.name),
        "sides": [[side.name, list(side.labels)] for side in grid.sides],
        "tool": str(grid.measure.tool or ""),
        "unit": own.symbol if own else "",
        "decimals": decimals_of(row) if isinstance(row, LimitRow) else _decimals(own),
        "against": [blank.against for blank in grid.blanks],
    }


def _decimals(own: Unit | None) -> int:
    return 4 if own is not None and own.symbol == "in" else 1


def _work_out(checklist: Checklist, name: str, out: WorkOut) -> dict[str, Any]:
    row = checklist.engine.specs.get(out.against or "")  # type: ignore[call-overload]
    shown = row_unit(row) if isinstance(row, LimitRow) else None
    return {
        "name": str(name),
        "title": str(out.title or name),
        "against": str(out.against or ""),
        "unit": str(out.unit or (shown.symbol if shown else "")),
        "decimals": decimals_of(row) if isinstance(row, LimitRow) else 4,
        "ends": {end: export(formula.node) for end, formula in ends_of(out)},
    }


def _if_out(one: IfOut) -> dict[str, Any]:
    return {
        "when": export(one.when.node),
        "do": str(one.do.text),
        "amount": export(one.amount.node) if one.amount else None,
        "unit": str(one.unit or ""),
        "atMost": one.at_most.number if one.at_most else None,
        "then": str(one.then),
    }

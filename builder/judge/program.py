"""What the browser needs in order to judge a checklist's readings exactly as the command line does.

Plain data, versioned: exact rationals as `"n/d"` texts in SI base units, formulas as exported trees, nothing
that the page would have to fetch. What all checklists share (units, instruments, the decision rule) stands
apart, so that a site of many checklists does not carry it many times.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Any

from builder.checklist import Checklist, ChecklistStep, Grid, feature_sides
from builder.conversion import other_system
from builder.edition import edition
from builder.formula import Node, export, export_units, names_of
from builder.judge.sheet import ends_of, links_of
from builder.judge.taken import row_unit, steps_of, unit_of
from builder.judge.verdict import RULE
from builder.judge.words import PLACES
from builder.limit import Limit
from builder.manual import Manual
from builder.manual import row as row_of
from builder.model.bench import Instrument
from builder.model.procedure import Hold, IfOut, WorkOut
from builder.model.spec import LIMIT_KINDS, LimitRow, StepsRow
from builder.model.written import Cited
from builder.number import places_of
from builder.quantity import read_quantity
from builder.said import in_short
from builder.units import UNITS, Unit, partner, unit

VERSION = 1
FREE_DECIMALS = 4
"""Decimals in which a worked-out length without a characteristic is shown: a tenth of a thou."""


def shared(manual: Manual) -> dict[str, Any]:
    """What judging takes on every checklist: units, instruments with their uncertainty, the decision rule."""
    return {
        "program": VERSION,
        "rule": RULE,
        "units": export_units(),
        "labels": {symbol: one.label for symbol, one in UNITS.items() if one.label != symbol},
        "partners": {symbol: beside.symbol for symbol, one in UNITS.items() if (beside := partner(one))},
        "instruments": {str(name): _instrument(one) for name, one in sorted(manual.instruments.items())},
    }


def program(checklist: Checklist) -> dict[str, Any]:
    """What judging one checklist takes, beside `shared`."""
    return {
        "program": VERSION,
        "engine": str(checklist.engine.engine),
        "procedure": str(checklist.procedure.procedure),
        "edition": edition(checklist),
        "said": _said(checklist),
        "links": {
            name: {"on": link.on, "meets": dict(link.meets)} for name, link in links_of(checklist).items()
        },
        "rows": {name: _row(checklist, name, row) for name, row in limit_rows(checklist).items()},
        "lists": _lists(checklist),
        "needs": [_hold(name, hold, checklist) for name, hold in holds_needed(checklist).items()],
        "steps": [_step(checklist, step) for step in checklist.steps],
    }


def _said(checklist: Checklist) -> dict[str, dict[str, str]]:
    """What the edition says, in short, as the record keeps it."""
    short = in_short(checklist)
    parts = {"steps": short.steps, "limits": short.limits, "rest": short.rest}
    return {name: {str(key): str(one) for key, one in part.items()} for name, part in parts.items()}


def exact(value: Fraction | None) -> str | None:
    """A rational as text, `n/d`; a whole one as `n`."""
    return None if value is None else str(value)


def limit_rows(checklist: Checklist) -> Mapping[str, LimitRow]:
    """The rows with limits that the checklist speaks of, and those that only its formulas name."""
    names = dict.fromkeys([*checklist.rows, *_formula_names(checklist)])
    every = {str(name): row for name, row in checklist.engine.specs.items()}
    return {name: row for name in names if isinstance(row := every.get(name), LimitRow)}


def holds_needed(checklist: Checklist) -> Mapping[str, Hold]:
    """The holds that must stand signed before the first step."""
    names = [need.removeprefix("hold ") for need in checklist.needs if need.startswith("hold ")]
    return {name: checklist.manual.holds[name] for name in names if name in checklist.manual.holds}


def _formula_names(checklist: Checklist) -> Iterator[str]:
    for step in checklist.steps:
        for node in _formulas(step):
            yield from (one.name for one in names_of(node))


def _formulas(step: ChecklistStep) -> Iterator[Node]:
    for out in step.work_outs.values():
        yield from (formula.node for _, formula in ends_of(out))
    for one in step.if_out:
        yield one.when.node
        if one.amount is not None:
            yield one.amount.node


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
        "partnerDecimals": _partner_decimals(row),
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


def _every_limit(row: LimitRow) -> Iterator[Limit]:
    for kind in LIMIT_KINDS:
        stated = getattr(row, kind)
        yield from (cited.value for cited in stated.every()) if stated else ()


def decimals_of(row: LimitRow) -> int:
    """The digits in which a characteristic is printed: the most of any of its limits."""
    return max(map(_decimals, _every_limit(row)), default=0)


def _decimals(limit: Limit) -> int:
    """The digits of a limit; of a fraction of an inch those that show it in full, four at most."""
    if limit.decimals is not None:
        return limit.decimals
    ends = [end for end in (limit.low, limit.high, limit.nominal) if end is not None]
    return max((min(places_of(end), PLACES) for end in ends), default=0)


def _partner_decimals(row: LimitRow) -> int:
    """The digits in which the other system is printed beside it."""
    others = (limit.second or other_system(limit) for limit in _every_limit(row))
    return max((other.decimals or 0 for other in others if other is not None), default=0)


def _limit(cited: Cited[Limit]) -> dict[str, Any]:
    limit = cited.value
    bounded = limit.low is not None or limit.high is not None
    return {
        "low": exact(limit.low_base) if bounded else None,
        "high": exact(limit.high_base) if bounded else None,
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


def _hold(name: str, hold: Hold, checklist: Checklist) -> dict[str, Any]:
    return {
        "id": name,
        "code": str(hold.code),
        "title": str(hold.title or name.replace("-", " ")),
        "by": [str(role) for role in hold.by],
        "covers": checklist.procedure.procedure in hold.covers,
    }


def _step(checklist: Checklist, step: ChecklistStep) -> dict[str, Any]:
    return {
        "id": str(step.step.id),
        "number": step.number,
        "run": str(step.step.run or ""),
        "irreversible": step.step.irreversible,
        "hold": _hold(str(step.step.hold), step.hold, checklist) if step.hold else None,
        "grids": [_grid(checklist, grid) for grid in step.grids],
        "looks": [
            {"name": name, "sides": [side.name for side in feature_sides(checklist.engine, str(look.each))]}
            for name, look in step.looks.items()
        ],
        "workOuts": [_work_out(checklist, name, out) for name, out in step.work_outs.items()],
        "ifOut": [_if_out(one) for one in step.if_out],
    }


def _grid(checklist: Checklist, grid: Grid) -> dict[str, Any]:
    row = row_of(checklist.engine, against_of(grid))
    own = unit_of(grid, row)
    return {
        "name": str(grid.name),
        "sides": [[side.name, list(side.labels)] for side in grid.sides],
        "tool": str(grid.measure.tool or ""),
        "unit": own.symbol if own else "",
        "stated": unit(grid.measure.unit).symbol if grid.measure.unit else "",
        "decimals": decimals_of(row) if isinstance(row, LimitRow) else free_decimals(own),
        "against": [blank.against for blank in grid.blanks],
        "reliesOn": [str(name) for name in grid.measure.relies_on],
    }


def against_of(grid: Grid) -> str | None:
    """The first characteristic that a reading of the grid is held against."""
    return next((blank.against for blank in grid.blanks if blank.against), None)


def free_decimals(own: Unit | None) -> int:
    """The digits of a value that no characteristic speaks of."""
    return FREE_DECIMALS if own is not None and own.symbol == "in" else 1


def _work_out(checklist: Checklist, name: str, out: WorkOut) -> dict[str, Any]:
    row = row_of(checklist.engine, out.against)
    shown = row_unit(row) if isinstance(row, LimitRow) else None
    return {
        "name": str(name),
        "title": str(out.title or name),
        "against": str(out.against or ""),
        "unit": str(out.unit or (shown.symbol if shown else "")),
        "decimals": decimals_of(row) if isinstance(row, LimitRow) else FREE_DECIMALS,
        "ends": {end: export(formula.node) for end, formula in ends_of(out)},
    }


def _if_out(one: IfOut) -> dict[str, Any]:
    return {
        "when": export(one.when.node),
        "amount": export(one.amount.node) if one.amount else None,
        "unit": str(one.unit or ""),
        "atMost": one.at_most.number if one.at_most else None,
        "then": str(one.then),
    }

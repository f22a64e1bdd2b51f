"""The edition of a checklist: the digest of all that it says for a family, not of how it is laid out."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from typing import Any

from builder.checklist import Checklist, ChecklistStep
from builder.model.base import StrictModel
from builder.model.layout import Condition
from builder.model.written import Stated

LENGTH = 8
"""Hexadecimal digits of a printed digest."""


def edition(checklist: Checklist) -> str:
    """The digest of a checklist's words, limits, holds and formulas, stable over machines and time."""
    return digest(said(checklist))


def digest(what: Any) -> str:  # noqa: ANN401 - plain data
    """Eight hexadecimal digits over plain data, whatever the order of its keys."""
    text = json.dumps(what, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()[:LENGTH]


def said(checklist: Checklist) -> dict[str, Any]:
    """All that a checklist says, as plain data."""
    procedure = checklist.procedure
    return {
        "engine": str(checklist.engine.title),
        "procedure": [str(procedure.code), str(procedure.title), str(procedure.purpose)],
        "needs": list(checklist.needs),
        "tools": plain(procedure.tools),
        "supplies": plain(procedure.supplies),
        "parts": [[part.name, part.number] for part in checklist.parts],
        "hazards": [plain(checklist.manual.hazards.get(name)) for name in procedure.hazards],
        "steps": [_step(step) for step in checklist.steps],
        "limits": {name: plain(row) for name, row in checklist.rows.items()},
    }


def _step(step: ChecklistStep) -> dict[str, Any]:
    """A step as the family has it; the conditions by which it came here are not said on its sheet."""
    own: dict[str, Any] = plain(step.step)
    own |= {
        "measure": {
            str(grid.name): [plain(grid.measure), [[side.name, list(side.labels)] for side in grid.sides]]
            for grid in step.grids
        },
        "work_out": {name: plain(out) for name, out in step.work_outs.items()},
        "look": {name: plain(look) for name, look in step.looks.items()},
        "parts": [[part.name, part.number] for part in step.parts],
        "hold": plain(step.hold),
        "safety": [[plain(message), plain(hazard)] for message, hazard in step.messages],
    }
    return {key: value for key, value in own.items() if key not in {"when", "unless"}}


def plain(value: Any) -> Any:  # noqa: ANN401 - any part of the model
    """A part of the model as plain data: texts as typed, nothing of where they stand."""
    match value:
        case None | bool() | int():
            return value
        case str():
            return str(value)
        case Mapping():
            return {str(key): plain(item) for key, item in value.items()}
        case list() | tuple():
            return [plain(item) for item in value]
        case Stated(by=group) | Condition(alternatives=group):
            return plain(group)
        case StrictModel():
            fields = {name: getattr(value, name) for name in type(value).model_fields}
            return {name: plain(field) for name, field in fields.items() if field not in (None, (), {})}
        case _:
            return str(value.text)  # a sentence, a cited value, a formula, a count: as its author typed it

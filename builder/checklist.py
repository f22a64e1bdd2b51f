"""A procedure resolved for one engine family: conditions applied, features expanded, specs bound."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import product
from typing import Any

from builder.manual import Manual, feature, row
from builder.model.base import Text
from builder.model.engine import Engine
from builder.model.hazard import Hazard, Message
from builder.model.layout import Condition
from builder.model.procedure import Count, Hold, IfOut, Look, Measure, Procedure, Step, WorkOut
from builder.model.spec import LIMIT_KINDS, BasicRow, LimitRow

Labels = Mapping[str, str]


@dataclass(frozen=True)
class Side:
    """One side of a grid of readings: a feature, the planes, the axes or the points, and its labels in order."""

    name: str
    labels: tuple[str, ...]


@dataclass(frozen=True)
class Blank:
    """One place for one reading, and the characteristic it is held against."""

    at: Labels
    against: str | None


@dataclass(frozen=True)
class Grid:
    """The blanks of one measurement of a step, over its sides."""

    step: str
    name: str
    measure: Measure
    sides: tuple[Side, ...]

    @cached_property
    def blanks(self) -> tuple[Blank, ...]:
        """Every blank, in reading order."""
        names = [side.name for side in self.sides]
        places = product(*(side.labels for side in self.sides))
        return tuple(self._blank(dict(zip(names, labels, strict=True))) for labels in places)

    def _blank(self, at: Labels) -> Blank:
        against = self.measure.against or {}
        for label in (*at.values(), ""):
            if label in against:
                return Blank(at, str(against[Text(label)]))
        return Blank(at, None)


@dataclass(frozen=True)
class Part:
    """A part and how many of it this family takes."""

    name: str
    number: int
    count: Count


@dataclass(frozen=True)
class ChecklistStep:
    """A step as this family has it: only what applies, everything expanded."""

    number: int
    step: Step
    grids: tuple[Grid, ...]
    work_outs: Mapping[str, WorkOut]
    looks: Mapping[str, Look]
    parts: tuple[Part, ...]
    hold: Hold | None
    messages: tuple[tuple[Message, Hazard | None], ...]

    @property
    def if_out(self) -> tuple[IfOut, ...]:
        """What to do when a value is out, where what it tests is worked out here."""
        return self.step.if_out


@dataclass(frozen=True)
class Checklist:
    """A procedure for one family."""

    manual: Manual
    engine: Engine
    procedure: Procedure
    steps: tuple[ChecklistStep, ...]
    needs: tuple[str, ...]
    parts: tuple[Part, ...]

    @cached_property
    def rows(self) -> Mapping[str, BasicRow]:
        """The characteristics that this checklist speaks of, by id, in order of first mention."""
        names = dict.fromkeys(name for step in self.steps for name in mentioned(step))
        return {name: found for name in names if (found := row(self.engine, name)) is not None}

    @cached_property
    def edition(self) -> str:
        """The digest of all that it says for this family: eight hexadecimal digits."""
        said = json.dumps(_said(self), sort_keys=True, ensure_ascii=False, separators=(",", ":"))
        return hashlib.sha256(said.encode()).hexdigest()[:8]


def resolve(manual: Manual, engine: Engine, procedure: Procedure) -> Checklist:
    """Resolve a procedure for a family whose layout fits."""
    kept = [step for step in procedure.steps if fits(engine, step.when, step.unless)]
    return Checklist(
        manual=manual,
        engine=engine,
        procedure=procedure,
        steps=tuple(_step(manual, engine, number, step) for number, step in enumerate(kept, 1)),
        needs=needs(manual, engine, procedure),
        parts=_parts(engine, procedure.parts),
    )


def checklists(manual: Manual) -> Iterator[Checklist]:
    """Every checklist of the manual, family by family, in the order of the route."""
    for engine in manual.engines.values():
        for procedure in manual.route:
            if isinstance(procedure, Procedure) and manual.applies(procedure, engine):
                yield resolve(manual, engine, procedure)


def fits(engine: Engine, when: Condition | None, unless: Condition | None) -> bool:
    """Whether something under these conditions is there on this family."""
    if when is not None and not when.holds(engine.layout):
        return False
    return unless is None or not unless.holds(engine.layout)


def needs(manual: Manual, engine: Engine, procedure: Procedure) -> tuple[str, ...]:
    """What must be done before, less what does not apply to this family; a hold stays as `hold <id>`."""
    return tuple(str(need) for need in procedure.needs if _needed(manual, engine, need))


def _needed(manual: Manual, engine: Engine, need: str) -> bool:
    if need.startswith("hold "):
        hold = manual.holds.get(need.removeprefix("hold "))
        return hold is not None and fits(engine, hold.when, hold.unless)
    other = manual.step_named(need)
    return other is not None and manual.applies(other, engine)


def _step(manual: Manual, engine: Engine, number: int, step: Step) -> ChecklistStep:
    hold = manual.holds.get(step.hold) if step.hold else None
    return ChecklistStep(
        number=number,
        step=step,
        grids=tuple(
            Grid(step.id, name, measure, sides_of(engine, measure))
            for name, measure in step.measure.items()
            if fits(engine, measure.when, measure.unless)
        ),
        work_outs={name: out for name, out in step.work_out.items() if fits(engine, out.when, out.unless)},
        looks={name: look for name, look in step.look.items() if fits(engine, look.when, look.unless)},
        parts=_parts(engine, step.parts),
        hold=hold if hold is not None and fits(engine, hold.when, hold.unless) else None,
        messages=tuple((message, manual.hazards.get(message.hazard_id or "")) for message in step.safety),
    )


def sides_of(engine: Engine, measure: Measure) -> tuple[Side, ...]:
    """The sides of a measurement: its feature (after the one it belongs to), planes, axes, points."""
    sides = list(feature_sides(engine, measure.each)) if measure.each else []
    for name in ("plane", "axis", "point"):
        labels = getattr(measure, name)
        if labels:
            sides.append(Side(name, tuple(map(str, labels))))
    return tuple(sides)


def feature_sides(engine: Engine, name: str) -> Iterator[Side]:
    """A feature as a side, after the feature it belongs to."""
    found = feature(engine, name)
    if found is None:
        return
    if found.of:
        yield from feature_sides(engine, found.of)
    yield Side(str(name), tuple(map(str, found.names)))


def number_of(engine: Engine, name: str) -> int:
    """How many of a feature a family has."""
    number = 1
    for side in feature_sides(engine, name):
        number *= len(side.labels)
    return number


def _parts(engine: Engine, parts: Mapping[Text, Count]) -> tuple[Part, ...]:
    return tuple(
        Part(str(name), count.number * (number_of(engine, count.each) if count.each else 1), count)
        for name, count in parts.items()
        if fits(engine, count.when, None)
    )


def mentioned(step: ChecklistStep) -> Iterator[str]:
    """The names of characteristics that a step speaks of, in its sentences, measurements and results."""
    for sentence in (step.step.do, step.step.why, step.step.expect, step.step.mistake):
        yield from (mention.name for mention in (sentence.mentions if sentence else ()))
    for grid in step.grids:
        yield from map(str, (grid.measure.against or {}).values())
    yield from (str(out.against) for out in step.work_outs.values() if out.against)
    if step.step.figure and " " in step.step.figure:
        yield step.step.figure.split()[1]


def _said(checklist: Checklist) -> dict[str, Any]:
    """All that a checklist says, as plain data: words, limits, holds and formulas, not layout."""
    procedure = checklist.procedure
    return {
        "engine": checklist.engine.title,
        "procedure": [procedure.code, procedure.title, procedure.purpose],
        "needs": checklist.needs,
        "tools": procedure.tools,
        "supplies": procedure.supplies,
        "parts": [[part.name, part.number] for part in checklist.parts],
        "hazards": [_plain(checklist.manual.hazards.get(name)) for name in procedure.hazards],
        "steps": [_said_step(step) for step in checklist.steps],
        "limits": {name: _said_row(found) for name, found in checklist.rows.items()},
    }


def _said_step(step: ChecklistStep) -> dict[str, Any]:
    said: dict[str, Any] = _plain(step.step)
    said |= {
        "grids": [[grid.name, [[side.name, side.labels] for side in grid.sides]] for grid in step.grids],
        "work_out": {name: _plain(out) for name, out in step.work_outs.items()},
        "look": {name: _plain(look) for name, look in step.looks.items()},
        "parts": [[part.name, part.number] for part in step.parts],
        "hold": _plain(step.hold),
        "safety": [[_plain(message), _plain(hazard)] for message, hazard in step.messages],
        "measure": {grid.name: _plain(grid.measure) for grid in step.grids},
    }
    for key in ("when", "unless"):
        said.pop(key, None)
    return said


def _said_row(found: BasicRow) -> dict[str, Any]:
    said: dict[str, Any] = _plain(found)
    for kind in LIMIT_KINDS:
        if isinstance(found, LimitRow) and getattr(found, kind) is not None:
            said[kind] = {str(key): [str(one.text) for one in group] for key, group in getattr(found, kind).by.items()}
    return said


def _plain(value: Any) -> Any:  # noqa: ANN401 - any part of the model
    """A part of the model as plain data: texts as typed, nothing of where they stand."""
    if value is None or isinstance(value, bool | int | str):
        return str(value) if isinstance(value, str) else value
    if hasattr(value, "text"):
        return str(value.text)
    if isinstance(value, Mapping):
        return {str(key): _plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    if hasattr(value, "alternatives"):
        return _plain(value.alternatives)
    if hasattr(value, "by"):
        return {str(key): _plain(group) for key, group in value.by.items()}
    return {name: _plain(getattr(value, name)) for name in type(value).model_fields if getattr(value, name) not in (None, (), {})}

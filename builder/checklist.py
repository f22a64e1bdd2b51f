"""A procedure resolved for one engine family: conditions applied, features expanded, specs bound."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import product

from builder.layers import LEFT_OUT, Difference
from builder.manual import Manual, feature, row
from builder.model.base import Text
from builder.model.engine import Engine
from builder.model.hazard import Hazard, Message
from builder.model.layout import Condition
from builder.model.procedure import Count, Hold, IfOut, Look, Measure, Procedure, Step, WorkOut
from builder.model.spec import BasicRow
from builder.worksheet import in_step

Labels = Mapping[str, str]


@dataclass(frozen=True)
class Side:
    """One side of a grid of readings: a feature, planes, axes or points, and its labels in order."""

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
    def differences(self) -> tuple[Difference, ...]:
        """What the shop's folder says otherwise than its base, of the rows and steps of this checklist."""
        own = {str(step.step.id) for step in self.steps}
        return tuple(one for one in self.manual.differences if one.of and _is_told(self, one, own))


def _is_told(checklist: Checklist, one: Difference, steps: Collection[str]) -> bool:
    """Whether a difference is one of this checklist: of a row that it speaks of, of a step that it has."""
    if one.about in ("row", "source"):
        return one.of == checklist.engine.engine and one.name in checklist.rows
    if one.of != checklist.procedure.procedure:
        return False
    return one.about != "step" or one.key == LEFT_OUT or one.name in steps


def of_run(checklist: Checklist, run: str) -> Checklist:
    """The checklist as it is gone through in one run: without the steps that belong to the other."""
    steps = tuple(step for step in checklist.steps if step.step.run in (None, run))
    return checklist if len(steps) == len(checklist.steps) else replace(checklist, steps=steps)


def resolve(manual: Manual, engine: Engine, procedure: Procedure) -> Checklist:
    """Resolve a procedure for a family whose layout fits."""
    kept = [step for step in procedure.steps if fits(engine, step.when, step.unless)]
    read = {str(name) for step in procedure.steps for name in (*step.measure, *step.work_out)}
    return Checklist(
        manual=manual,
        engine=engine,
        procedure=procedure,
        steps=tuple(_step(manual, engine, number, step, read) for number, step in enumerate(kept, 1)),
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


def _step(manual: Manual, engine: Engine, number: int, step: Step, read: Collection[str]) -> ChecklistStep:
    hold = manual.holds.get(step.hold) if step.hold else None
    return ChecklistStep(
        number=number,
        step=step,
        grids=tuple(
            Grid(step.id, name, measure, sides_of(engine, measure))
            for name, measure in step.measure.items()
            if fits(engine, measure.when, measure.unless)
        ),
        work_outs={
            name: in_step(out, manual.worksheets, read)
            for name, out in step.work_out.items()
            if fits(engine, out.when, out.unless)
        },
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

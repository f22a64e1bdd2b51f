"""An engine under load: what was read at each stage of the run-in, and its power, observed and corrected."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

from builder.checklist import ChecklistStep
from builder.dimension import POWER, TORQUE, TURNING_SPEED
from builder.formula import names_of
from builder.formula.irrational import PI
from builder.jobs.check import CheckedJob
from builder.jobs.measured import title_of
from builder.jobs.worked import Worked
from builder.judge import JudgedSheet, Judgement
from builder.model.spec import ScheduleRow
from builder.quantity import Quantity
from builder.units import Unit, unit

SCHEDULE = "schedule "
"""How a step names the table of stages that is drawn beside it."""

POINT = "point"
HORSEPOWER = unit("hp")

TURN = 2 * PI
"""Radians in a turn."""


@dataclass(frozen=True, eq=False)
class RunStage:
    """A stage of the run-in: what it asks for by column, and what was read at its end by title."""

    number: int
    asked: Mapping[str, Quantity | None]
    read: Mapping[str, Judgement]


@dataclass(frozen=True, eq=False)
class RunIn:
    """A run-in as it was run."""

    code: str
    row: ScheduleRow
    stages: tuple[RunStage, ...]
    names: tuple[str, ...]
    """The titles of what was read, in their order."""


@dataclass(frozen=True)
class PowerPoint:
    """One speed of the power curve, in SI base units; what is missing was not read."""

    speed: Fraction
    torque: Fraction
    power: Fraction
    corrected_torque: Fraction | None
    corrected_power: Fraction | None


@dataclass(frozen=True, eq=False)
class PowerRun:
    """A power curve, and the correction by its title and factor."""

    code: str
    points: tuple[PowerPoint, ...]
    correction: str
    factor: Judgement | None
    verdicts: tuple[tuple[str, Judgement], ...]
    """What is held against a limit: the peaks, the mean pressure, the highest speed."""
    torque_unit: Unit
    power_unit: Unit


# The run-in


def run_ins(checked: CheckedJob) -> Iterator[RunIn]:
    """Each run-in of a job whose stages were read."""
    for worked in checked.sheets if checked.whole is not None else ():
        for step in worked.steps if worked.is_final else ():
            row = _schedule(worked, step)
            if row is not None and step.grids and worked.stages:
                yield _run_in(worked, step, row)


def run_steps(checked: CheckedJob) -> frozenset[tuple[str, str]]:
    """The steps by procedure's code that are shown as run-in or power curve."""
    shown = {
        (worked.plan.code, str(step.step.id))
        for worked in checked.sheets
        for step in worked.steps
        if step.grids and (_schedule(worked, step) is not None or _is_sweep(step))
    }
    return frozenset(shown)


def _schedule(worked: Worked, step: ChecklistStep) -> ScheduleRow | None:
    figure = str(step.step.figure or "")
    if not figure.startswith(SCHEDULE):
        return None
    row = worked.plan.checklist.engine.specs.get(figure.removeprefix(SCHEDULE))  # type: ignore[call-overload]
    return row if isinstance(row, ScheduleRow) else None


def _run_in(worked: Worked, step: ChecklistStep, row: ScheduleRow) -> RunIn:
    judged = worked.judged[-1]
    read: dict[str, dict[str, Judgement]] = {}
    for one in _of_step(judged, step):
        if POINT in one.at and one.value is not None:
            read.setdefault(one.at[POINT], {})[title_of(judged, one)] = one
    points = list(dict.fromkeys(label for grid in step.grids for side in grid.sides for label in side.labels))
    planned = row.stages()
    before = max(0, len(planned) - len(points))  # stages without a reading come first: the engine is motored
    stages = tuple(
        RunStage(
            number,
            dict(zip(map(str, row.columns), asked, strict=False)),
            read.get(points[number - 1 - before], {}) if 0 <= number - 1 - before < len(points) else {},
        )
        for number, asked in enumerate(planned, 1)
    )
    names = tuple(dict.fromkeys(name for values in read.values() for name in values))
    return RunIn(worked.plan.code, row, stages, names)


def _of_step(judged: JudgedSheet, step: ChecklistStep) -> Iterator[Judgement]:
    yield from (one for one in judged.judgements if one.step == str(step.step.id))


# The power curve


def power_runs(checked: CheckedJob) -> Iterator[PowerRun]:
    """Each power curve of a job."""
    for worked in checked.sheets if checked.whole is not None else ():
        for step in worked.steps if worked.is_final else ():
            if _is_sweep(step) and worked.stages:
                run = _power_run(worked, step)
                if run.points:
                    yield run


def _is_sweep(step: ChecklistStep) -> bool:
    """Whether a step works a power out of readings at several points."""
    powers = [out for out in step.work_outs.values() if out.unit and unit(out.unit).dimension == POWER]
    return bool(powers) and any(grid.measure.point for grid in step.grids)


def _power_run(worked: Worked, step: ChecklistStep) -> PowerRun:
    judged = worked.judged[-1]
    here = list(_of_step(judged, step))
    read = {grid.name for grid in step.grids}
    speeds, torques = (_by_point(here, dimension, read) for dimension in (TURNING_SPEED, TORQUE))
    worked_out = {str(name) for name in step.work_outs}
    corrected, powers = (_by_point(here, dimension, worked_out) for dimension in (TORQUE, POWER))
    points = sorted(
        (
            PowerPoint(
                speeds[at][1],
                torque,
                TURN * speeds[at][1] * torque,
                corrected[at][1] if at in corrected else None,
                powers[at][1] if at in powers else None,
            )
            for at, (_, torque) in torques.items()
            if at in speeds
        ),
        key=lambda one: one.speed,
    )
    factor = _factor(judged, step, next((name for name, _ in corrected.values()), ""))
    held = tuple(
        (title_of(judged, one), one)
        for one in here
        if one.characteristic and not one.at and one.value is not None
    )
    shown = next(
        (one.unit for one in here if one.name in read and one.unit and one.unit.dimension == TORQUE), None
    )
    title = title_of(judged, factor) if factor is not None else ""
    return PowerRun(worked.plan.code, tuple(points), title, factor, held, shown or unit("lb-ft"), HORSEPOWER)


def _by_point(here: list[Judgement], dimension: object, names: set[str]) -> dict[str, tuple[str, Fraction]]:
    """The name and value of each point that is of a dimension, among some names."""
    return {
        one.at[POINT]: (one.name, one.value)
        for one in here
        if one.name in names
        and POINT in one.at
        and one.value is not None
        and one.unit is not None
        and one.unit.dimension == dimension
    }


def _factor(judged: JudgedSheet, step: ChecklistStep, corrected: str) -> Judgement | None:
    """The value, worked out elsewhere on the sheet, by which the observed torque is multiplied."""
    out = next((out for name, out in step.work_outs.items() if str(name) == corrected), None)
    if out is None or out.is_ is None:
        return None
    named = {one.name for one in names_of(out.is_.node)} - {str(grid.name) for grid in step.grids}
    return next((one for one in judged.judgements if one.name in named and not one.at), None)

"""Several jobs of one family side by side: what the builders set alike, and what not."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from builder.jobs.check import CheckedJob
from builder.jobs.compared.loops import Loops, loops_of
from builder.jobs.compared.points import Point, Subject, points_of
from builder.jobs.compared.repeats import Repeats, repeats_of
from builder.jobs.compared.series import JobValues, Odd, Series
from builder.jobs.plan import Plans
from builder.manual import row as row_of
from builder.model.engine import Engine

__all__ = ["Comparison", "JobValues", "Loops", "Odd", "Point", "Repeats", "Series", "compare", "families"]


@dataclass(frozen=True)
class Comparison:
    """The jobs of one family compared; `series` are in the order of the route and of the spec table."""

    engine: Engine
    jobs: tuple[CheckedJob, ...]
    series: tuple[Series, ...]
    loops: tuple[Loops, ...]
    repeats: tuple[Repeats, ...]


def families(jobs: Sequence[CheckedJob]) -> dict[str, tuple[CheckedJob, ...]]:
    """The jobs of each family that could be laid out, by its id."""
    found: dict[str, list[CheckedJob]] = {}
    for checked in jobs:
        if checked.whole is not None:
            found.setdefault(str(checked.whole.engine.engine), []).append(checked)
    return {name: tuple(every) for name, every in sorted(found.items())}


def compare(plans: Plans, engine: Engine, jobs: Sequence[CheckedJob]) -> Comparison:
    """Compare jobs of one family: what two of them have both read becomes a series."""
    found: dict[Subject, dict[str, list[Point]]] = {}
    for checked in jobs:
        for subject, point in points_of(checked):
            found.setdefault(subject, {}).setdefault(point.job, []).append(point)
    series = tuple(_series(plans, engine, found))
    return Comparison(engine, tuple(jobs), series, tuple(loops_of(jobs)), tuple(repeats_of(jobs)))


def _series(plans: Plans, engine: Engine, found: dict[Subject, dict[str, list[Point]]]) -> Iterator[Series]:
    route = [plan.name for plan in plans.route(str(engine.engine))]
    rows = [str(name) for name in engine.specs]
    for characteristic, procedure in sorted(found, key=lambda key: (route.index(key[1]), rows.index(key[0]))):
        jobs = found[characteristic, procedure]
        plan = plans.plan(str(engine.engine), procedure)
        if len(jobs) > 1 and plan is not None:
            row = row_of(engine, characteristic)
            values = sorted(map(_job, jobs.values()), key=lambda one: (one.day, one.job))
            yield Series(row, characteristic, procedure, plan.code, tuple(values))


def _job(points: Sequence[Point]) -> JobValues:
    return JobValues(points[0].job, points[0].builder, max(one.day for one in points), tuple(points))

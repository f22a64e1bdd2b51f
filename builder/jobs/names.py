"""The names that `job.yaml` uses, held against the manual: each one that nobody knows has its line."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from difflib import get_close_matches

from builder.diagnostics import Diagnostic
from builder.manual import Manual
from builder.model.base import Text
from builder.model.engine import Engine
from builder.model.job import Job
from builder.model.procedure import Procedure
from builder.model.spec import LimitRow, StepsRow

CODE = "GL-021"


def name_faults(manual: Manual, engine: Engine, job: Job) -> Iterator[Diagnostic]:
    """What a job names and the manual does not have."""
    specs = {str(name) for name, row in engine.specs.items() if isinstance(row, LimitRow)}
    tickets = list(job.tickets.values())
    measured = [*job.supplier, *(name for one in tickets for name in (*one.sizes, *one.hold, *one.received))]
    measured += job.condition.options if job.condition is not None else ()
    yield from _unknown(measured, specs, f"a characteristic with limits of `{engine.engine}`")
    every = [(name, steps) for sizes in (job.sizes, job.came_with) for name, steps in sizes.items()]
    yield from _unknown([name for name, _ in every], _steps(engine), f"a size step of `{engine.engine}`")
    every += [(name, sizes) for one in tickets for name, sizes in one.received.items()]
    positions = [label for _, steps in every for label in steps if label]
    yield from _unknown(positions, _labels(engine), "a position of this engine")
    instruments = [gauge.instrument for gauge in job.gauges.values()]
    yield from _unknown(instruments, manual.instruments, "an instrument of specs/instruments.yaml")
    yield from _procedures(manual, job)
    yield from _prices(job)


def _prices(job: Job) -> Iterator[Diagnostic]:
    """The stages and options that decisions name, where there is an estimate."""
    stages = job.estimate.stages if job.estimate is not None else {}
    for one in job.decisions if stages else ():
        if one.stage is not None:
            yield from _unknown([one.stage], stages, "a stage of the estimate")
        stage = stages.get(one.stage) if one.stage is not None else None
        if one.option is not None and stage is not None:
            yield from _unknown([one.option], stage.options, f"an option of `{one.stage}`")


def _steps(engine: Engine) -> set[str]:
    rows = engine.specs.values()
    moved = {str(step) for row in rows if isinstance(row, LimitRow) for step in row.moves_with}
    return moved | {str(row.step) for row in rows if isinstance(row, StepsRow) and row.step}


def _labels(engine: Engine) -> set[str]:
    return {str(label) for feature in engine.features.values() for label in feature.names}


def _procedures(manual: Manual, job: Job) -> Iterator[Diagnostic]:
    named = [
        *job.paper,
        *(one.procedure for one in job.skipped),
        *(one.procedure for one in job.moved),
        *(one.of.procedure for one in job.concessions),
    ]
    yield from _unknown(named, {*manual.procedures, *manual.planned}, "a procedure of the manual")
    stepped = [(one.procedure, one.step) for one in job.skipped]
    stepped += [(one.of.procedure, one.of.step) for one in job.concessions]
    for name, step in stepped:
        procedure = manual.procedures.get(name)
        if step is not None and isinstance(procedure, Procedure):
            known = [str(one.id) for one in procedure.steps]
            yield from _unknown([step], known, f"a step of `{procedure.procedure}`")
    holds = [one.of.hold for one in job.concessions if one.of.hold is not None]
    yield from _unknown(holds, manual.holds, "a hold of procedures/holds.yaml")


def _unknown(names: Iterable[Text], known: Collection[str], what: str) -> Iterator[Diagnostic]:
    for name in names:
        if name not in known:
            near = get_close_matches(name, [str(one) for one in known], 1)
            hint = f"write `{near[0]}`" if near else "look at its spelling"
            yield Diagnostic(name.span, CODE, f"`{name}` is not {what}", hint=hint)

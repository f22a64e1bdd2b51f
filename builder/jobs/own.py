"""What one job holds of a characteristic: what was read of it on its sheets, stage by stage."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from builder.checklist import ChecklistStep
from builder.jobs.plan import Thing, thing_at
from builder.jobs.worked import Worked
from builder.judge import Flag, Judgement

NEWEST_FIRST = ("after_run", "final", "as_machined", "as_found")
"""The stages in the order in which somebody at the bench asks for them."""


@dataclass(frozen=True)
class Finding:
    """What was read or worked out of one characteristic in one step at one stage, thing by thing.

    `values` are the judgements of each thing (main 3, cylinder 5), each group in the order of the sheet.
    """

    worked: Worked
    step: ChecklistStep
    stage: str
    name: str
    values: tuple[tuple[Thing, tuple[Judgement, ...]], ...]


def findings_of(sheets: tuple[Worked, ...]) -> Mapping[str, tuple[Finding, ...]]:
    """What was read of each characteristic on a job's sheets, the newest stage first."""
    found: dict[str, list[Finding]] = {}
    for worked in sheets:
        for stage in worked.stages:
            for name, one in _of_stage(worked, stage):
                found.setdefault(name, []).append(one)
    return {name: tuple(sorted(every, key=_newest)) for name, every in found.items()}


def _newest(one: Finding) -> tuple[int, bool]:
    return NEWEST_FIRST.index(one.stage), not one.worked.is_final


def _of_stage(worked: Worked, stage: str) -> Iterator[tuple[str, Finding]]:
    groups: dict[tuple[str, str, str], dict[Thing, list[Judgement]]] = {}
    for one in worked.judged_at(stage).judgements:
        about = one.characteristic or size_for(worked.plan.steps[one.step], one.name)
        if about and (one.value is not None or Flag.SUSPECT in one.flags):
            group = groups.setdefault((about, one.step, one.name), {})
            group.setdefault(thing_at(one.at), []).append(one)
    for (about, step, name), group in groups.items():
        values = tuple((thing, tuple(every)) for thing, every in group.items())
        yield about, Finding(worked, worked.plan.steps[step], stage, name, values)


def size_for(step: ChecklistStep, name: str) -> str:
    """The characteristic that a worked-out value gives the size for; empty where it gives none."""
    out = step.work_outs.get(name)
    return str(out.size_for) if out is not None and out.size_for is not None else ""

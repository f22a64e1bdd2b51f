"""People: initials that the job does not know, and what an apprentice did without a builder beside him."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from builder.jobs.kinds import Finding, Kind, counted
from builder.jobs.kinds import Place as Where
from builder.jobs.worked import Worked, roles_of
from builder.model.base import Text
from builder.model.job import APPRENTICE, Job


def strangers(job: Job, sheets: Iterable[Worked], path: str) -> Iterator[Finding]:
    """Initials on the sheets that the job does not know."""
    found: dict[str, dict[str, None]] = {}
    for worked in sheets:
        for initials in sorted(worked.initials):
            if Text(initials) not in job.people:
                found.setdefault(initials, {})[worked.plan.code] = None
    for initials, codes in found.items():
        what = f"{initials} stands on {', '.join(codes)} and is nobody on this job"
        yield Finding(Kind.NOBODY, Where(path), what, "Write who it is into `people`, or correct the sheet.")


def apprentice_findings(worked: Worked) -> Iterator[Finding]:
    """An apprentice's readings without a builder's, and his marks on steps that cannot be undone."""
    alone = {by for by in worked.initials if set(roles_of(worked.job, by)) == {APPRENTICE}}
    if alone:
        yield from _readings(worked, alone)
        yield from _marks(worked, alone)


def _readings(worked: Worked, alone: set[str]) -> Iterator[Finding]:
    by_place: dict[object, set[str]] = {}
    for reading in worked.sheet.readings:
        key = (reading.step, reading.name, tuple(reading.at.values()), reading.stage)
        by_place.setdefault(key, set()).add(str(reading.by))
    lonely = [next(iter(names)) for names in by_place.values() if names <= alone]
    if lonely:
        who = " and ".join(dict.fromkeys(lonely))
        number = counted(len(lonely), "reading")
        what = f"{number} of {who}, an apprentice, with no builder's reading beside them"
        yield Finding(Kind.APPRENTICE, worked.where(), what, "A builder takes them too, as the next try.")


def _marks(worked: Worked, alone: set[str]) -> Iterator[Finding]:
    for name, ticks in worked.ticks.items():
        step = worked.plan.steps.get(name)
        gate = step is not None and (step.step.irreversible or step.hold is not None)
        if gate and {str(tick.by) for tick in ticks} <= alone:
            why = "it cannot be undone" if step is not None and step.step.irreversible else "it is a hold"
            what = f"it is marked done by {ticks[-1].by}, an apprentice, alone, and {why}"
            yield Finding(Kind.APPRENTICE, worked.where(name), what, "A builder looks at it and marks it.")

"""Open jobs whose sheets were filled in on an older edition: what must be done again, and what need not."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TypeAlias

from builder.checklist import Checklist, resolve
from builder.edition import edition
from builder.jobs.folder import FiledSheet, JobFolder, job_folders, read_job
from builder.jobs.pins import pin_of
from builder.manual import Manual
from builder.model.procedure import Procedure
from builder.model.record import Sheet
from builder.revision.change import Change, line
from builder.revision.compare import differing
from builder.revision.renames import Renames

Earlier: TypeAlias = Callable[[str, str, str], "tuple[Checklist, Renames] | None"]
"""The checklist of a family and a procedure in an edition, with what was renamed since."""


@dataclass(frozen=True)
class Again:
    """What to do and why: `repeat` a step, `do` one that is new, `sign again` a hold."""

    order: str
    step: str
    do: str
    why: tuple[str, ...]
    name: str = ""
    """The id of the step or the hold."""


@dataclass(frozen=True)
class PinnedSheet:
    """A sheet of an open job on an older edition; `unknown` says why it cannot be told what changed."""

    path: str
    title: str
    edition: str
    now: str
    again: tuple[Again, ...] = ()
    unknown: str = ""
    old: Checklist | None = None
    """The checklist as it was."""


@dataclass(frozen=True)
class PinnedJob:
    """An open job with the sheets that are on older editions, and those that name none."""

    number: str
    folder: str
    sheets: tuple[PinnedSheet, ...]
    unpinned: tuple[str, ...]


def pinned_jobs(shop: Path, manual: Manual, known: Renames, earlier: Earlier) -> tuple[PinnedJob, ...]:
    """The open jobs of a shop that are on older editions of any checklist."""
    folders = ((folder, read_job(folder)) for folder in job_folders(shop))
    found = (
        _pinned(folder.relative_to(shop).as_posix(), job, manual, known, earlier)
        for folder, job in folders
        if job.job is not None and not is_released(manual, job)
    )
    return tuple(job for job in found if job.sheets or job.unpinned)


def is_released(manual: Manual, folder: JobFolder) -> bool:
    """Whether a job's engine is released: a hold that does so bears all of its signatures."""
    signed = {(str(one.hold), str(one.role)) for filed in folder.sheets for one in filed.sheet.holds}
    return any(
        all((str(name), str(role)) in signed for role in hold.by)
        for name, hold in manual.holds.items()
        if hold.releases
    )


def _pinned(shown: str, job: JobFolder, manual: Manual, known: Renames, earlier: Earlier) -> PinnedJob:
    number = str(job.job.number) if job.job is not None else job.name
    own = set(map(str, job.job.supplier)) if job.job is not None else set()
    sheets = [
        found
        for filed in job.sheets
        if (was := _pin(job, filed))
        and (found := _sheet(filed, was, manual, known, earlier, own)) is not None
    ]
    unpinned = tuple(
        _code(manual, str(filed.sheet.procedure)) for filed in job.sheets if not filed.sheet.edition
    )
    return PinnedJob(number, shown, tuple(sheets), unpinned)


def _code(manual: Manual, name: str) -> str:
    procedure = manual.procedures.get(name)
    return str(procedure.code) if procedure is not None else name


def _pin(job: JobFolder, filed: FiledSheet) -> str:
    """The edition that a sheet is on."""
    return pin_of(job.job, filed.sheet) if job.job is not None else str(filed.sheet.edition)


def _sheet(
    filed: FiledSheet, was: str, manual: Manual, known: Renames, earlier: Earlier, own: set[str]
) -> PinnedSheet | None:
    """A sheet on an older edition; None where it is on the present one."""
    sheet = filed.sheet
    family, name = str(sheet.engine), str(sheet.procedure)
    engine = manual.engines.get(known.engines.get(family, family))
    procedure = manual.procedures.get(known.procedures.get(name, name))
    if engine is None or procedure is None or not manual.applies(procedure, engine):
        return PinnedSheet(filed.path, name, was, "", unknown=f"`{name}` is no checklist of `{family}` now")
    new = resolve(manual, engine, procedure)
    now, title = edition(new), f"{procedure.code} {procedure.title}"
    if now == was:
        return None
    found = earlier(family, name, was)
    if found is None:
        why = "its edition is none of those since then: give an earlier revision"
        return PinnedSheet(filed.path, title, was, now, unknown=why)
    old, names = found
    return PinnedSheet(filed.path, title, was, now, tuple(again(old, new, sheet, names, own)), old=old)


def again(old: Checklist, new: Checklist, sheet: Sheet, names: Renames, own: set[str]) -> Iterator[Again]:
    """What was done on a sheet by an old edition and must be done again on a new one.

    `own` are the characteristics for which the job has a limit of its own.
    """
    changes = [one for one in differing(old, new, names) if not _outranked(one, own)]
    yield from _again(new, sheet, names, changes)


def _outranked(change: Change, own: set[str]) -> bool:
    """Whether the job has a limit of its own for the row, which outranks what changed."""
    return change.keys[0] == "limits" and change.keys[1] in own and change.keys[2:3] != ("wear",)


def _again(new: Checklist, sheet: Sheet, names: Renames, changes: list[Change]) -> Iterator[Again]:
    """The steps that were done and are not done by the new words, and new steps that were passed."""
    own = names.within(str(new.procedure.procedure)).steps
    done = {own.get(step, step) for step in done_steps(sheet)}
    steps = {str(step.step.id): step for step in new.steps}
    last = max((step.number for name, step in steps.items() if name in done), default=0)
    for name, step in steps.items():
        told = [one for one in changes if one.binds and name in one.steps and one.keys[0] != "holds"]
        fresh = any(one.keys[-1:] == ("do",) and not one.old for one in told)
        if told and (name in done or (fresh and step.number < last)):
            order, label = "do" if fresh else "repeat", f"{step.number} ({name})"
            yield Again(order, label, str(step.step.do.text), tuple(map(line, told)), name)
    yield from _signed_again(sheet, names, changes)


def _signed_again(sheet: Sheet, names: Renames, changes: list[Change]) -> Iterator[Again]:
    """The holds that were signed on this sheet for something else, or by others."""
    signed = {names.holds.get(str(one.hold), str(one.hold)) for one in sheet.holds}
    for name in sorted(signed):
        told = [one for one in changes if one.binds and one.keys[:2] == ("holds", name)]
        if told:
            yield Again("sign again", "", name, tuple(map(line, told)), name)


def done_steps(sheet: Sheet) -> Mapping[str, None]:
    """The steps of a sheet that were ticked, read in or looked at, by the ids that they had."""
    ticked = (str(one.step) for one in sheet.ticks)
    read = (str(one.step) for one in sheet.readings)
    return dict.fromkeys((*ticked, *read, *(str(one.step) for one in sheet.looks)))


def resolved(manual: Manual, family: str, name: str) -> Checklist | None:
    """The checklist of a family and a procedure, if the manual has it."""
    engine, procedure = manual.engines.get(family), manual.procedures.get(name)
    if engine is None or not isinstance(procedure, Procedure) or not manual.applies(procedure, engine):
        return None
    return resolve(manual, engine, procedure)

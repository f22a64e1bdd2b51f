"""A job's sheets judged, its holds looked at, and every open point named."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from builder.checklist import Checklist, ChecklistStep, resolve
from builder.jobs.folder import FiledSheet, JobFolder
from builder.judge import Flag, JudgedSheet, Verdict, judge
from builder.manual import Manual
from builder.model.job import Job
from builder.model.procedure import STAGES, Procedure
from builder.model.record import Sheet

APART = ("second", "foreman")
"""Roles that are signed by someone who is not the builder of that sheet."""


@dataclass(frozen=True)
class Finding:
    """An open point of a job: the sheet, the step, the position, what is wrong, what to do."""

    sheet: str
    step: str
    at: str
    what: str
    cure: str = ""


@dataclass(frozen=True)
class CheckedSheet:
    """A sheet with its judgements by stage and its open points."""

    path: str
    checklist: Checklist
    sheet: Sheet
    judged: tuple[JudgedSheet, ...]
    findings: tuple[Finding, ...]


def check_job(manual: Manual, folder: JobFolder) -> tuple[tuple[CheckedSheet, ...], tuple[Finding, ...]]:
    """Judge every sheet of a job; the findings beside them are of sheets that fit nothing in the manual."""
    checked: list[CheckedSheet] = []
    strays: list[Finding] = []
    for filed in folder.sheets:
        engine = manual.engines.get(filed.sheet.engine)
        procedure = manual.procedures.get(filed.sheet.procedure)
        if engine is None or not isinstance(procedure, Procedure) or not manual.applies(procedure, engine):
            strays.append(
                Finding(
                    filed.path, "", "", f"`{filed.sheet.procedure}` is no checklist of `{filed.sheet.engine}`"
                )
            )
        elif folder.job is not None and filed.sheet.job != folder.job.number:
            strays.append(
                Finding(filed.path, "", "", f"the sheet is of job {filed.sheet.job}, not {folder.job.number}")
            )
        else:
            checked.append(_checked(resolve(manual, engine, procedure), filed, folder.job))
    return tuple(checked), tuple(strays)


def _checked(checklist: Checklist, filed: FiledSheet, job: Job | None) -> CheckedSheet:
    sheet = filed.sheet
    stages = [stage for stage in STAGES if any(reading.stage == stage for reading in sheet.readings)]
    judged = tuple(judge(checklist, sheet, job, stage) for stage in stages)
    findings = [*_unplaced(checklist, filed), *_holds(checklist, filed)]
    return CheckedSheet(filed.path, checklist, sheet, judged, tuple(findings))


def _unplaced(checklist: Checklist, filed: FiledSheet) -> Iterator[Finding]:
    """Readings that stand in no blank of the checklist: nothing is dropped without a word."""
    places = {
        (str(grid.step), str(grid.name), tuple(blank.at.items()))
        for step in checklist.steps
        for grid in step.grids
        for blank in grid.blanks
    }
    for reading in filed.sheet.readings:
        at = tuple((str(side), str(label)) for side, label in reading.at.items())
        if (str(reading.step), str(reading.name), at) not in places:
            where = ", ".join(f"{side} {label}" for side, label in at)
            yield Finding(
                filed.path, str(reading.step), where, f"`{reading.name}` has no blank there in this checklist"
            )


def _holds(checklist: Checklist, filed: FiledSheet) -> Iterator[Finding]:
    """Holds that were passed without the signatures they ask for."""
    sheet = filed.sheet
    done = {str(tick.step) for tick in sheet.ticks} | {str(reading.step) for reading in sheet.readings}
    for place, step in enumerate(checklist.steps):
        passed = any(str(later.step.id) in done for later in checklist.steps[place + 1 :])
        if step.hold is not None and (passed or str(step.step.id) in done):
            yield from _hold(step, filed, passed=passed)


def _hold(step: ChecklistStep, filed: FiledSheet, *, passed: bool) -> Iterator[Finding]:
    hold, name = step.hold, str(step.step.hold)
    builders = {str(reading.by) for reading in filed.sheet.readings} | {
        str(tick.by) for tick in filed.sheet.ticks
    }
    for role in hold.by if hold else ():
        signed = [one for one in filed.sheet.holds if one.hold == name and one.role == role]
        words = f"{hold.code if hold else ''} {name.replace('-', ' ')}"
        if not signed:
            ahead = "; later steps are ticked all the same" if passed else ""
            yield Finding(filed.path, str(step.step.id), "", f"{words} is not signed by a {role}{ahead}")
        elif role in APART and all(str(one.by) in builders for one in signed):
            what = f"{words} is signed by {signed[0].by}, who did the work: a {role} must be someone else"
            yield Finding(filed.path, str(step.step.id), "", what)


def is_open(checked: CheckedSheet) -> bool:
    """Whether anything on a sheet stands in the way of release: at its last stage, or a hold."""
    if checked.findings or not checked.judged:
        return True
    last = checked.judged[-1]
    return any(
        judged.verdict in (Verdict.OUT, Verdict.NOT_READ) or Flag.SUSPECT in judged.flags
        for judged in last.judgements
    )

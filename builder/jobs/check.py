"""A whole job checked: every sheet judged, every open point named, in the order to deal with them."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from builder.diagnostics import Diagnostic
from builder.jobs.checks.conceding import about, concession_findings, is_conceded
from builder.jobs.checks.gaps import gap_findings
from builder.jobs.checks.holds import HoldCheck, hold_checks
from builder.jobs.checks.moved import edition_remarks, moved_findings
from builder.jobs.checks.papers import paper_findings, release_findings
from builder.jobs.checks.people import apprentice_findings, strangers
from builder.jobs.checks.route import order_findings, redo_findings
from builder.jobs.checks.skips import photo_remarks, skip_remarks, skipped_findings
from builder.jobs.checks.values import gauge_findings, unknown_gauges, value_findings
from builder.jobs.checks.waiting import waiting
from builder.jobs.folder import JOB_FILE, FiledSheet, JobFolder, read_job
from builder.jobs.kinds import Finding, Kind
from builder.jobs.kinds import Place as Where
from builder.jobs.merge import merge
from builder.jobs.names import name_faults
from builder.jobs.plan import Plans
from builder.jobs.whole import Whole
from builder.jobs.worked import Worked
from builder.manual import Manual


@dataclass(frozen=True, eq=False)
class CheckedJob:
    """What a job comes to.

    `findings` are faults, in the order to deal with them; `waiting` is what is not done yet; `remarks` are
    things that a reader must know and that keep nothing back.
    """

    folder: JobFolder
    whole: Whole | None
    findings: tuple[Finding, ...] = ()
    waiting: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()
    unknown: tuple[Diagnostic, ...] = ()

    @property
    def faults(self) -> tuple[Diagnostic, ...]:
        """What is wrong in the files, each with its line: what does not read, what nobody knows."""
        return (*self.folder.faults, *self.unknown)

    @property
    def sheets(self) -> tuple[Worked, ...]:
        """The sheets, each with its judgements."""
        return self.whole.sheets if self.whole is not None else ()

    @cached_property
    def may_be_released(self) -> bool:
        """Whether nothing keeps the engine back: all files read, no finding, nothing to be done any more."""
        read = self.whole is not None and not self.faults
        return read and bool(self.sheets) and not self.findings and not self.waiting


def check_job(manual: Manual, folder: JobFolder, plans: Plans | None = None) -> CheckedJob:
    """Check a job as it was read from its folder.

    Pass the same `plans` for several jobs of one manual: each checklist is then laid out once.
    """
    job = folder.job
    engine = manual.engines.get(str(job.engine)) if job is not None else None
    if job is None or engine is None:
        return CheckedJob(folder, None, tuple(_no_family(folder)))
    plans = plans or Plans(manual)
    sheets, strays, told = _laid_out(plans, folder)
    whole = Whole(plans, engine, job, sheets)
    holds = tuple(hold_checks(whole))
    path = f"{folder.name}/{JOB_FILE}"
    found = [*strays, *_findings(whole, holds, path)]
    left = [one for one in found if not is_conceded(job, one)]
    left += concession_findings(job, path)
    undone = tuple(waiting(whole, holds))
    left += release_findings(whole, len(left) + len(undone))
    remarks = (*told, *_remarks(whole, holds, folder.pictures))
    unknown = tuple(name_faults(manual, engine, job))
    return CheckedJob(folder, whole, tuple(sorted(left, key=_order)), undone, remarks, unknown)


def check_jobs(manual: Manual, folder: Path) -> tuple[Plans, tuple[CheckedJob, ...]]:
    """Check every job of a folder, by the names of their folders; none where there is no such folder."""
    plans = Plans(manual)
    folders = sorted(path.parent for path in folder.glob(f"*/{JOB_FILE}"))
    return plans, tuple(check_job(manual, read_job(one), plans) for one in folders)


def _order(finding: Finding) -> tuple[int, str, int, str]:
    return finding.order


def _no_family(folder: JobFolder) -> Iterator[Finding]:
    if folder.job is not None:
        what = f"`{folder.job.engine}` is no family of this manual"
        path = f"{folder.name}/{JOB_FILE}"
        yield Finding(Kind.STRAY, Where(path), what, "Write the id of a file in specs/engines/.")


def _laid_out(plans: Plans, folder: JobFolder) -> tuple[tuple[Worked, ...], list[Finding], list[str]]:
    """The sheets that belong to the job, one for each procedure and run; strays; in what two disagreed."""
    runs: dict[tuple[str, str], FiledSheet] = {}
    strays: list[Finding] = []
    told: list[str] = []
    for filed in folder.sheets:
        why = _stray(plans, folder, filed)
        key = (str(filed.sheet.procedure), str(filed.sheet.run))
        if why:
            strays.append(Finding(Kind.STRAY, Where(filed.path), why, "File it where it belongs."))
        elif key in runs:
            merged = merge(runs[key].sheet, filed.sheet)
            told += [f"{filed.path}: {conflict}" for conflict in merged.conflicts]
            runs[key] = FiledSheet(runs[key].path, merged.sheet)
        else:
            runs[key] = filed
    return tuple(_worked(plans, folder, filed) for filed in runs.values()), strays, told


def _stray(plans: Plans, folder: JobFolder, filed: FiledSheet) -> str:
    sheet, job = filed.sheet, folder.job
    if job is not None and sheet.job != job.number:
        return f"the sheet is of job {sheet.job}, not {job.number}"
    if job is not None and sheet.engine != job.engine:
        return f"the sheet is of a `{sheet.engine}`, and the job of a `{job.engine}`"
    if plans.plan(str(sheet.engine), str(sheet.procedure)) is None:
        return f"`{sheet.procedure}` is no checklist of `{sheet.engine}`"
    return ""


def _worked(plans: Plans, folder: JobFolder, filed: FiledSheet) -> Worked:
    plan = plans.of_sheet(folder.job, filed.sheet) if folder.job is not None else None
    if plan is None or folder.job is None:
        raise ValueError(f"{filed.path} is a stray")
    return Worked(filed.path, filed.sheet, plan, folder.job)


def _findings(whole: Whole, holds: tuple[HoldCheck, ...], path: str) -> Iterator[Finding]:
    for worked in whole.sheets:
        yield from value_findings(worked)
        yield from unknown_gauges(worked)
        yield from gap_findings(worked)
        yield from skipped_findings(worked)
        yield from apprentice_findings(worked)
    yield from gauge_findings(whole.sheets)
    for hold in holds:
        yield from hold.findings
    yield from order_findings(whole)
    yield from redo_findings(whole, path)
    yield from moved_findings(whole)
    yield from strangers(whole.job, whole.sheets, path)
    yield from paper_findings(whole, path)


def _remarks(whole: Whole, holds: tuple[HoldCheck, ...], pictures: Collection[str]) -> Iterator[str]:
    """What keeps nothing back and must be known all the same."""
    for hold in holds:
        yield from hold.remarks
    on_paper = [plan.code for plan in whole.route if whole.paper(plan.name) is not None]
    if on_paper:
        yield f"on paper alone, not judged here: {', '.join(on_paper)}"
    for concession in whole.job.concessions:
        yield f"conceded: {about(concession)}: {concession.reason or 'no reason given'}"
    for worked in whole.sheets:
        yield from edition_remarks(whole, worked)
        yield from skip_remarks(worked)
        yield from photo_remarks(worked, pictures)

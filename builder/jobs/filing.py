"""Putting a sheet into a job folder: checked against the job, merged with what is there, written whole."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from builder.diagnostics import Diagnostic, Fault
from builder.jobs.folder import SHEETS, read_job_file, read_sheet, sheet_files
from builder.jobs.merge import Merged, merge
from builder.jobs.safe import locked, write_whole
from builder.jobs.written import file_name, sheet_text
from builder.manual import Manual
from builder.model.job import Job
from builder.model.procedure import Procedure
from builder.model.record import Sheet


class Unreadable(Fault):
    """Files of a job do not read, so that nothing may be written beside them; each has its diagnostics."""

    def __init__(self, faults: tuple[Diagnostic, ...]) -> None:
        super().__init__("the job folder has files that do not read", "put them right first")
        self.faults = faults


@dataclass(frozen=True)
class Filed:
    """What became of a sheet: the file it is in now, and in what it disagreed with what was there."""

    path: Path
    sheet: Sheet
    conflicts: tuple[str, ...]


def add_file(manual: Manual, folder: Path, path: Path) -> Filed:
    """Put a sheet that a page saved into a job folder.

    Raises:
        Unreadable: when the file, or a sheet of the same run in the folder, does not read.
        Fault: when the sheet is not of this job, or the folder cannot be written.
    """
    sheet, faults = read_sheet(path, path.name)
    if sheet is None or faults:
        raise Unreadable(faults)
    return file_sheet(manual, folder, sheet)


def file_sheet(manual: Manual, folder: Path, sheet: Sheet) -> Filed:
    """Put a sheet into a job folder; one of the same procedure and run that is there is merged with it.

    When this returns the sheet is on the disk. Faults as `add_file`.
    """
    with locked(folder):
        job, faults = read_job_file(folder)
        if job is None or faults:
            raise Unreadable(faults)
        procedure = procedure_of(manual, job, sheet)
        there, path = _there(folder, sheet)
        merged = merge(there, sheet) if there is not None else Merged(sheet)
        path = path or folder / SHEETS / file_name(str(procedure.code), sheet)
        path.parent.mkdir(exist_ok=True)
        if merged.sheet != there:
            write_whole(path, sheet_text(merged.sheet))
    return Filed(path, merged.sheet, merged.conflicts)


def procedure_of(manual: Manual, job: Job, sheet: Sheet) -> Procedure:
    """The procedure that a sheet was filled in for, once it is sure that it belongs to this job.

    Raises:
        Fault: when the sheet is of another job or engine, or of no checklist of the manual.
    """
    if sheet.job != job.number:
        raise Fault(
            f"the sheet is of job {sheet.job}, not {job.number}", "add it to the folder of its own job"
        )
    if sheet.engine != job.engine:
        raise Fault(f"the sheet is of a `{sheet.engine}`, the job of a `{job.engine}`", "look at both files")
    procedure, engine = manual.procedures.get(sheet.procedure), manual.engines.get(sheet.engine)
    if procedure is None or engine is None or not manual.applies(procedure, engine):
        message = f"`{sheet.procedure}` is no checklist of `{sheet.engine}`"
        raise Fault(message, "look at the names of the procedures in procedures/")
    return procedure


def _there(folder: Path, sheet: Sheet) -> tuple[Sheet | None, Path | None]:
    """The sheet of this procedure and run that is in the folder, and its file."""
    for path in sheet_files(folder):
        known, faults = read_sheet(path, f"{folder.name}/{SHEETS}/{path.name}")
        same = known is not None and (known.procedure, known.run) == (sheet.procedure, sheet.run)
        if same and not faults:
            return known, path
        if same or (known is None and str(sheet.procedure) in path.name):
            raise Unreadable(faults)
    return None, None

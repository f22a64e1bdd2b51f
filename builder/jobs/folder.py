"""A job folder: `job.yaml` and `sheets/*.json`, read with the place of every value."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from builder.diagnostics import Diagnostic, Span
from builder.model.job import Job
from builder.model.decode import adapter_of, decode
from builder.model.record import Sheet
from builder.yaml_text import read_file

_JOB = adapter_of(Job)
_SHEET = adapter_of(Sheet)


@dataclass(frozen=True)
class FiledSheet:
    """A sheet and the file that it came from."""

    path: str
    sheet: Sheet


@dataclass(frozen=True)
class JobFolder:
    """What could be read of a job folder."""

    job: Job | None
    sheets: tuple[FiledSheet, ...]
    faults: tuple[Diagnostic, ...]


def read_job(folder: Path) -> JobFolder:
    """Read a job folder; every file that does not read is a diagnostic and hides no other."""
    document = read_file(folder / "job.yaml", f"{folder.name}/job.yaml")
    decoded = decode(document, _JOB)
    faults = [*document.faults, *decoded.faults]
    sheets: list[FiledSheet] = []
    for path in sorted((folder / "sheets").glob("*.json")):
        sheet, more = read_sheet(path, f"{folder.name}/sheets/{path.name}")
        faults += more
        if sheet is not None:
            sheets.append(FiledSheet(f"{folder.name}/sheets/{path.name}", sheet))
    job: Job | None = decoded.value
    return JobFolder(job, tuple(sheets), tuple(faults))


def read_sheet(path: Path, shown: str) -> tuple[Sheet | None, tuple[Diagnostic, ...]]:
    """Read one filled sheet; JSON is read by the YAML reader, so that a fault has its line and column."""
    document = read_file(path, shown)
    decoded = decode(document, _SHEET)
    sheet: Sheet | None = decoded.value
    faults = (*document.faults, *decoded.faults)
    if sheet is not None and sheet.sheet != 1:
        place = Span(shown, 1, 1, 1, 2)
        hint = "open it with the release that wrote it"
        return None, (
            *faults,
            Diagnostic(
                place, "GL-901", f"the sheet is of format {sheet.sheet}, this reads format 1", hint=hint
            ),
        )
    return sheet, faults

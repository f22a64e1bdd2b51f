"""A job folder: `job.yaml` and `sheets/*.json`, read with the place of every value that is wrong."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from builder.diagnostics import Diagnostic, Span
from builder.model.decode import adapter_of, decode
from builder.model.job import Job
from builder.model.record import Sheet
from builder.model.trusted import sheet_from
from builder.yaml_text import MAX_BYTES, read_file

JOB_FILE = "job.yaml"
SHEETS = "sheets"
PHOTOS = "photos"
FORMAT = 1

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
    name: str = ""
    pictures: frozenset[str] = frozenset()
    """The names of the files in its folder of photos."""


PLACES = (f"jobs/*/{JOB_FILE}", f"*/jobs/*/{JOB_FILE}")
"""Where a shop keeps its jobs."""


def job_folders(shop: Path) -> tuple[Path, ...]:
    """The job folders of a shop."""
    return tuple(sorted({path.parent for place in PLACES for path in shop.glob(place)}))


def read_job(folder: Path) -> JobFolder:
    """Read a job folder; every file that does not read is a diagnostic and hides no other."""
    job, faults = read_job_file(folder)
    sheets: list[FiledSheet] = []
    for path in sheet_files(folder):
        shown = f"{folder.name}/{SHEETS}/{path.name}"
        sheet, more = read_sheet(path, shown)
        faults += more
        if sheet is not None:
            sheets.append(FiledSheet(shown, sheet))
    pictures = frozenset(path.name for path in (folder / PHOTOS).glob("*"))
    return JobFolder(job, tuple(sheets), faults, folder.name, pictures)


def read_job_file(folder: Path) -> tuple[Job | None, tuple[Diagnostic, ...]]:
    """Read `job.yaml` alone."""
    document = read_file(folder / JOB_FILE, f"{folder.name}/{JOB_FILE}")
    decoded = decode(document, _JOB)
    job: Job | None = decoded.value
    return job, (*document.faults, *decoded.faults)


def sheet_files(folder: Path) -> list[Path]:
    """The files of a job's sheets by name; what a writer has not finished is not among them."""
    return sorted(path for path in (folder / SHEETS).glob("*.json") if not path.name.startswith("."))


def read_sheet(path: Path, shown: str) -> tuple[Sheet | None, tuple[Diagnostic, ...]]:
    """Read one filled sheet.

    A sound file is read as JSON at once. Anything else goes through the YAML reader, which knows the line and
    column of every value, and so can say where the fault is.
    """
    sheet = _sound(path)
    faults: tuple[Diagnostic, ...] = ()
    if sheet is None:
        document = read_file(path, shown)
        decoded = decode(document, _SHEET)
        sheet = decoded.value
        faults = (*document.faults, *decoded.faults)
    if sheet is not None and sheet.sheet != FORMAT:
        return None, (*faults, _strange_format(shown, sheet.sheet))
    return sheet, faults


def _strange_format(shown: str, number: int) -> Diagnostic:
    message = f"the sheet is of format {number}, this reads format {FORMAT}"
    hint = "open it with the release that wrote it"
    return Diagnostic(Span(shown, 1, 1, 1, 2), "GL-020", message, hint=hint)


def _sound(path: Path) -> Sheet | None:
    """The sheet of a file in which nothing is wrong, else None."""
    try:
        data = path.read_bytes()
        if len(data) > MAX_BYTES:
            return None
        return sheet_of(json.loads(data.decode("utf-8-sig"), **_AS_TYPED))
    except (OSError, ValueError, RecursionError):
        return None


def sheet_of(plain: object) -> Sheet:
    """A sheet from plain data whose scalars are texts; ValueError where it is none."""
    return sheet_from(plain)


def _once(pairs: Iterable[tuple[str, Any]]) -> dict[str, Any]:
    """An object in which every key stands once; ValueError else."""
    listed = list(pairs)
    read = dict(listed)
    if len(read) != len(listed):
        raise ValueError("a key stands twice")
    return read


_AS_TYPED: dict[str, Any] = {
    "object_pairs_hook": _once,
    "parse_int": str,
    "parse_float": str,
    "parse_constant": str,
}
"""Numbers keep their digits as typed: `2.4790` is not `2.479`."""

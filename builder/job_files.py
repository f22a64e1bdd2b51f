"""The papers of a job as files: which one is asked for, the file that it becomes, and its name."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from builder.diagnostics import Fault
from builder.jobs import CheckedJob, Plans, check_job, read_job
from builder.jobs.come_back import Worn, worn
from builder.jobs.filing import Unreadable
from builder.jobs.whole import Whole
from builder.manual import Manual
from builder.render import pdf
from builder.render.job_papers.build_record import build_record
from builder.render.job_papers.card import card
from builder.render.job_papers.condition import condition_report
from builder.render.job_papers.estimate import estimate_paper
from builder.render.job_papers.tickets import tickets_paper

PDF_SIZE: Final = "a4"
RECORD: Final = "build-record"
PAPERS: Final = ("condition", "estimate", "tickets", "card")
"""The papers of a job beside its record, as they are asked for."""

WANTING: Final = {
    "condition": "file the sheet of the survey, or write `condition` into job.yaml",
    "estimate": "write `estimate` into job.yaml",
    "tickets": "write `tickets` into job.yaml",
}
"""What a job wants where a paper has nothing to tell."""


@dataclass(frozen=True, slots=True)
class Wish:
    """What is to be made of a paper: HTML or a PDF, on which paper, where, over what is there or not."""

    as_pdf: bool = False
    size: str = ""
    out: Path | None = None
    force: bool = False

    @property
    def paper(self) -> str:
        """The size of paper; HTML takes the printer's where none is asked for."""
        return self.size or (PDF_SIZE if self.as_pdf else "")


@dataclass(frozen=True, slots=True)
class Made:
    """A file that was written, and whether the engine may go."""

    path: Path
    may_be_released: bool


def report(
    manual: Manual,
    folder: Path,
    earlier: Path | None = None,
    size: str = "",
    plans: Plans | None = None,
) -> tuple[CheckedJob, str]:
    """A job folder checked, and its build record as HTML.

    Raises:
        Unreadable: when `job.yaml` does not read, so that there is nothing to tell.
        Fault: when its family is not known.
    """
    checked, _ = sound(manual, folder, plans)
    return checked, build_record(checked, worn_since(manual, checked, folder, earlier), size)


def sound(manual: Manual, folder: Path, plans: Plans | None = None) -> tuple[CheckedJob, Whole]:
    """A job folder checked, laid out against the manual, or against the editions that `plans` know.

    Raises:
        Unreadable: when `job.yaml` does not read.
        Fault: when its family is not known.
    """
    checked = check_job(manual, read_job(folder), plans)
    job = checked.folder.job
    if job is None:
        raise Unreadable(checked.folder.faults)
    if checked.whole is None:
        raise Fault(f"`{job.engine}` is no family of this manual", "correct `engine` in job.yaml")
    return checked, checked.whole


def worn_since(manual: Manual, checked: CheckedJob, folder: Path, earlier: Path | None) -> tuple[Worn, ...]:
    """What has worn since the job that an engine comes back from; nothing where that folder is not there."""
    job = checked.folder.job
    named = job.earlier.job if job is not None and job.earlier is not None else None
    before = earlier or (folder.parent / str(named) if named else None)
    if before is None or not before.is_dir():
        return ()
    return worn(check_job(manual, read_job(before)), checked)


def write_report(
    manual: Manual, folder: Path, wish: Wish, earlier: Path | None = None, plans: Plans | None = None
) -> Made:
    """Write a job's build record, where it was asked for or beside the command under its own name.

    Raises:
        Fault: when a file is there already, cannot be written, or a PDF cannot be made.
    """
    checked, html = report(manual, folder, earlier, wish.paper, plans)
    return Made(write(html, f"{folder.name}-{RECORD}", wish), checked.may_be_released)


def write_papers(
    manual: Manual, folder: Path, names: Sequence[str], wish: Wish, plans: Plans | None = None
) -> Iterator[Path]:
    """Write papers of a job by name; without names every one that its `job.yaml` has something for.

    Raises:
        Unreadable: when a file of the job does not read, or names what nobody knows.
        Fault: when a paper is asked for that the job has nothing for, or a file cannot be written.
    """
    checked, whole = sound(manual, folder, plans)
    if checked.faults:
        raise Unreadable(checked.faults)
    made = {name: html for name in names or PAPERS if (html := paper(checked, whole, name, wish.paper))}
    for name in names:
        if name not in made:
            raise Fault(f"job {folder.name} has nothing for the paper `{name}`", WANTING[name])
    if wish.out is not None and len(made) > 1 and not wish.out.is_dir():
        raise Fault(f"{len(made)} papers do not go into one file", "write --out with a folder that is there")
    for name, html in made.items():
        yield write(html, f"{folder.name}-{name}", wish)


def paper(checked: CheckedJob, whole: Whole, name: str, size: str = "") -> str:
    """A paper of a job as HTML; empty where the job has nothing for it."""
    job = whole.job
    if name == "condition":
        has_survey = any("as_found" in sheet.stages for sheet in whole.sheets)
        return condition_report(checked, whole, size) if has_survey or job.condition is not None else ""
    if name == "estimate":
        return estimate_paper(whole, job.estimate, size) if job.estimate is not None else ""
    if name == "tickets":
        return tickets_paper(whole, size) if job.tickets else ""
    return card(checked, whole, size)


def write(html: str, name: str, wish: Wish) -> Path:
    """Write a paper under its own name into a folder, or where it was asked for; say where."""
    file = f"{name}.{'pdf' if wish.as_pdf else 'html'}"
    place = wish.out or Path(file)
    if place.is_dir():
        place = place / file
    if place.exists() and not wish.force:
        raise Fault(
            f"`{place}` is there already", "write --force to write over it, or --out for another name"
        )
    if not place.parent.is_dir():
        raise Fault(f"there is no folder `{place.parent}`", "make it first, or write --out for another place")
    content = pdf.paper_pdf(html) if wish.as_pdf else html.encode()
    try:
        place.write_bytes(content)
    except OSError as refused:
        raise Fault(f"`{place}` cannot be written: {refused.strerror}") from None
    return place

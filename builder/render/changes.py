"""The page of what changed in the shop since a revision: place by place, who and why, and the open jobs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from builder.checklist import Checklist
from builder.edition import edition
from builder.render import addresses, paper
from builder.render.page_parts import Head, Link, Shelf, head, page
from builder.render.shell import Asset, Heading, Page
from builder.revision.pinned import PinnedJob
from builder.revision.report import Report, Told, ToldSection
from builder.revision.words import because, family_lines, sheet_lines


@dataclass(frozen=True, slots=True)
class ChangeView:
    """One change: what it is about, what stood there, what stands there, and why."""

    about: str
    note: str
    old: str
    new: str
    because: str


@dataclass(frozen=True, slots=True)
class ChangesSection:
    """The changes of a family, of a procedure, or of a table that all share."""

    id: str
    title: Link
    changes: tuple[ChangeView, ...]


@dataclass(frozen=True, slots=True)
class ChangesItem:
    """Lines under a name: the new editions of a family, what a job must do again; sheets as they were."""

    title: str
    lines: tuple[str, ...]
    links: tuple[Link, ...] = ()


@dataclass(frozen=True, slots=True)
class ChangesList:
    """New editions, or open jobs."""

    id: str
    title: str
    items: tuple[ChangesItem, ...]


@dataclass(frozen=True, slots=True)
class ChangesView:
    """What changed."""

    head: Head
    sections: tuple[ChangesSection, ...]
    lists: tuple[ChangesList, ...]


def changes_page(report: Report) -> Page:
    """The page of a report."""
    here, since = addresses.CHANGES, report.since
    sections = tuple(_section(report, one, here) for one in report.sections)
    lists = tuple(one for one in (_editions(report), _jobs(report.jobs)) if one.items)
    lead = f"Since {since.on}: {since.subject}." if report.sections else f"Nothing since {since.on}."
    view = ChangesView(
        head(
            here,
            "Changes",
            lead,
            "Written from the shop's history: the same words as gaugeleaf changes prints.",
        ),
        sections,
        lists,
    )
    headings = [Heading(2, one.id, one.title.text) for one in sections]
    headings += [Heading(2, one.id, one.title) for one in lists]
    return page(Shelf(here, "Changes", ("Reference",)), "changes.html", view, tuple(headings))


def _section(report: Report, told: ToldSection, here: str) -> ChangesSection:
    section = told.section
    there = ""
    if section.family in report.manual.engines:
        there = addresses.engine_page(section.family)
    elif section.procedure in report.manual.procedures:
        there = addresses.procedure_page(section.procedure)
    title = Link(section.title, addresses.link(here, there) if there else "")
    return ChangesSection(addresses.slug(section.title), title, tuple(map(_change, told.told)))


def _change(told: Told) -> ChangeView:
    change = told.change
    note = "" if change.old and change.new else "added" if change.new else "taken out" if change.old else ""
    why = because(told.because) if told.because else ""
    return ChangeView(change.about, note, change.old, change.new, why)


def _editions(report: Report) -> ChangesList:
    """The new editions by family."""
    families = dict.fromkeys(one.family for one in report.editions)
    found = tuple(ChangesItem(name, tuple(family_lines(report.editions, name))) for name in families)
    return ChangesList("new-editions", "New editions", found)


def _jobs(jobs: tuple[PinnedJob, ...]) -> ChangesList:
    """The open jobs on older editions."""
    items = tuple(ChangesItem(job.number, tuple(_job_lines(job)), tuple(_as_it_was(job))) for job in jobs)
    return ChangesList("open-jobs", "Open jobs on older editions", items)


def _job_lines(job: PinnedJob) -> Iterator[str]:
    for sheet in job.sheets:
        yield from (line.strip() for line in sheet_lines(sheet))
    if job.unpinned:
        yield f"sheets that name no edition: {', '.join(job.unpinned)}"


def _as_it_was(job: PinnedJob) -> Iterator[Link]:
    """The sheets of a job as they were in the editions that it is on."""
    for sheet in job.sheets:
        if sheet.old is not None:
            there = addresses.link(addresses.CHANGES, older_path(sheet.old))
            yield Link(f"{sheet.title} as it was in edition {sheet.edition}", there)


def older_path(checklist: Checklist) -> str:
    """Where the sheet of an older edition is."""
    family, name = str(checklist.engine.engine), str(checklist.procedure.procedure)
    return addresses.older_sheet(family, name, edition(checklist))


def older_sheets(report: Report) -> Iterator[Asset]:
    """The sheets of open jobs that are on older editions, each as it was."""
    old = (sheet.old for job in report.jobs for sheet in job.sheets if sheet.old is not None)
    for path, checklist in {older_path(one): one for one in old}.items():
        yield Asset(path, paper.sheet(checklist))

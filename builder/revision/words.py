"""What changed, as lines for people and as plain data for other programs."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from builder.revision.change import line
from builder.revision.history import Commit
from builder.revision.pinned import Again, PinnedJob, PinnedSheet
from builder.revision.report import NewEdition, Report, Told

VERSION = 1
"""Of the plain data."""

DIGITS = 8
"""Digits of a commit's number that are shown."""


def lines(report: Report) -> Iterator[str]:
    """The report for people: families, procedures, tables, new editions, open jobs."""
    since = report.since
    yield f"Since {since.number[:DIGITS]} of {since.on}, {since.subject}:"
    for one in report.sections:
        yield from ("", one.section.title)
        yield from (f"  {told_line(told)}" for told in one.told)
    if not report.sections:
        yield from ("", "nothing has changed")
    yield from edition_lines(report.editions)
    yield from _jobs(report.jobs)
    if report.unread:
        yield from ("", "Not compared, as it could not be read then")
        yield from (f"  {one}" for one in report.unread)


def told_line(told: Told) -> str:
    """A change with why it was made and by whom: what its commit says in its first line."""
    return line(told.change) + (f", because: {because(told.because)}" if told.because else "")


def because(commit: Commit) -> str:
    """A commit's own words, its author and its day."""
    return f"{commit.subject} ({commit.by}, {commit.on})" if commit.number else commit.subject


def edition_lines(editions: tuple[NewEdition, ...]) -> Iterator[str]:
    """The checklists of each family whose edition changed, then those that came and those that went."""
    if editions:
        yield from ("", "New editions")
    for family in dict.fromkeys(one.family for one in editions):
        yield f"  {family}"
        yield from (f"    {text}" for text in family_lines(editions, family))


def family_lines(editions: tuple[NewEdition, ...], family: str) -> Iterator[str]:
    """The checklists of one family whose edition changed, then those that came and those that went."""
    own = [one for one in editions if one.family == family]
    yield from (f"{one.title}: {one.old} → {one.new}" for one in own if one.old and one.new)
    came, went = [one for one in own if not one.old], [one for one in own if not one.new]
    for word, some in (("new", came), ("no longer", went)):
        if some:
            yield f"{word}: {', '.join(one.title.split()[0] for one in some)}"


def _jobs(jobs: tuple[PinnedJob, ...]) -> Iterator[str]:
    if jobs:
        yield from ("", "Open jobs on older editions")
    for job in jobs:
        yield f"  {job.number}, {job.folder}"
        for sheet in job.sheets:
            yield from (f"    {text}" for text in sheet_lines(sheet))
        if job.unpinned:
            yield f"    sheets that name no edition: {', '.join(job.unpinned)}"


def sheet_lines(sheet: PinnedSheet) -> Iterator[str]:
    """A sheet on an older edition: what to do again and why, or that nothing is."""
    now = f", now {sheet.now}" if sheet.now else ""
    yield f"{sheet.title}: edition {sheet.edition}{now}"
    if sheet.unknown:
        yield f"  cannot be compared: {sheet.unknown}"
    elif not sheet.again:
        yield "  nothing that was done must be done again"
    for one in sheet.again:
        yield f"  {again_line(one)}"
        yield from (f"    {why}" for why in one.why)


def again_line(one: Again) -> str:
    """What to do: repeat a step, do one that is new, sign a hold again."""
    return f"{one.order}: {one.do}" if not one.step else f"{one.order} step {one.step}: {one.do}"


def as_json(report: Report) -> str:
    """The report as plain data, versioned."""
    data: dict[str, Any] = {
        "changes": VERSION,
        "since": _commit(report.since),
        "told": [
            {
                "family": one.section.family,
                "procedure": one.section.procedure,
                "title": one.section.title,
                "file": one.section.path,
                "about": told.change.about,
                "old": told.change.old,
                "new": told.change.new,
                "steps": list(told.change.steps),
                "because": _commit(told.because) if told.because else None,
            }
            for one in report.sections
            for told in one.told
        ],
        "editions": [vars(one) for one in report.editions],
        "jobs": [_job(job) for job in report.jobs],
        "unread": list(report.unread),
    }
    return json.dumps(data, ensure_ascii=False, indent=1)


def _commit(commit: Commit) -> dict[str, str]:
    return {"commit": commit.number, "subject": commit.subject, "by": commit.by, "on": commit.on}


def _job(job: PinnedJob) -> dict[str, Any]:
    sheets = [
        {
            "file": sheet.path,
            "title": sheet.title,
            "edition": sheet.edition,
            "now": sheet.now,
            "unknown": sheet.unknown,
            "again": [
                {"order": one.order, "step": one.step, "do": one.do, "why": list(one.why)}
                for one in sheet.again
            ],
        }
        for sheet in job.sheets
    ]
    return {"job": job.number, "folder": job.folder, "sheets": sheets, "unpinned": list(job.unpinned)}

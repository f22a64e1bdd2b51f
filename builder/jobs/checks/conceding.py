"""Concessions: findings that are accepted as they are, in writing, for this one engine."""

from __future__ import annotations

from collections.abc import Iterator

from builder.jobs.kinds import Finding, Kind, Subject
from builder.jobs.kinds import Place as Where
from builder.jobs.worked import roles_of
from builder.judge.taken import position
from builder.model.job import Concession, Job

FOREMAN = "foreman"


def concession_findings(job: Job, path: str) -> Iterator[Finding]:
    """Concessions that lack their reason, their foreman, their day or the customer."""
    for number, one in enumerate(job.concessions, 1):
        lacks = list(_lacking(job, one))
        if lacks:
            what = f"concession {number}, of {about(one)}, lacks {' and '.join(lacks)}"
            cure = "A concession has a reason, a foreman, a day, and the day the customer was told."
            yield Finding(Kind.CONCESSION, Where(path), what, cure)


def _lacking(job: Job, one: Concession) -> Iterator[str]:
    if one.reason is None:
        yield "a reason"
    if one.by is None or FOREMAN not in roles_of(job, str(one.by)):
        yield "a foreman"
    if one.on is None:
        yield "its day"
    if one.customer_told is None:
        yield "the day the customer was told"


def about(one: Concession) -> str:
    """What a concession is about, in words."""
    of = one.of
    where = position({str(side): str(label) for side, label in of.at.items()})
    step = f"step {of.step}" if of.step else ""
    hold = f"hold {of.hold}" if of.hold else ""
    return ", ".join(filter(None, (str(of.procedure), step, str(of.name or ""), where, hold)))


def is_conceded(job: Job, finding: Finding) -> bool:
    """Whether all that a finding is about is conceded; an incomplete concession is a finding itself."""
    return bool(finding.subjects) and all(accepts(job, subject) for subject in finding.subjects)


def accepts(job: Job, subject: Subject) -> bool:
    """Whether a concession is about this."""
    return any(_is_about(one, subject) for one in job.concessions)


def _is_about(one: Concession, subject: Subject) -> bool:
    of = one.of
    if of.procedure != subject.procedure or of.run != subject.run or str(of.hold or "") != subject.hold:
        return False
    named = all(
        said is None or said == meant for said, meant in ((of.step, subject.step), (of.name, subject.name))
    )
    return named and all(subject.at.get(side) == label for side, label in of.at.items())

"""What is not done: steps, readings and looks that were left out, each with its reason and who decided it."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from builder.jobs.kinds import Finding, Kind
from builder.jobs.worked import Worked, roles_of
from builder.judge.taken import position
from builder.model.job import APPRENTICE
from builder.model.record import Skip


def skipped_findings(worked: Worked) -> Iterator[Finding]:
    """Skipped steps whose reason or name is wanting, and what an apprentice left out alone."""
    for one in worked.job.skipped:
        if one.procedure == worked.plan.name and one.step and not (one.reason and one.by):
            lacks = " and ".join(word for word in ("reason", "by") if getattr(one, word) is None)
            what = f"it is skipped and job.yaml does not give `{lacks}`"
            yield Finding(
                Kind.SKIPPED, worked.where(str(one.step)), what, "Write both: a blank is no answer."
            )
    for skip in worked.sheet.skipped:
        yield from _skip(worked, skip)


def _skip(worked: Worked, skip: Skip) -> Iterator[Finding]:
    where = worked.where(str(skip.step), position(_at(skip)))
    if not worked.meets_anything(skip):
        what = f"{_what(skip)} is skipped, and this checklist has nothing of that name there"
        yield Finding(
            Kind.NO_BLANK, where, what, "Look at the edition it was filled in on, and write it again."
        )
    elif set(roles_of(worked.job, str(skip.by))) == {APPRENTICE}:
        what = f"{_what(skip)} is left out by {skip.by}, an apprentice, alone"
        yield Finding(Kind.APPRENTICE, where, what, "A builder decides what is not done, and writes it down.")


def skip_remarks(worked: Worked) -> Iterator[str]:
    """What a sheet says that is not done, with its reason: it keeps nothing back and must be known."""
    for skip in worked.sheet.skipped:
        where = position(_at(skip))
        number = worked.where(str(skip.step)).number
        named = f", `{skip.name}`" if skip.name else ""
        there = f" at {where}" if where else ""
        yield f"{worked.plan.code} step {number}{named}{there}: not done, because: {skip.reason} ({skip.by})"


def photo_remarks(worked: Worked, pictures: Collection[str]) -> Iterator[str]:
    """Photos that a sheet names and the job's folder has not."""
    for photo in worked.sheet.photos:
        if str(photo.file) not in pictures:
            number = worked.where(str(photo.step)).number
            where = f"{worked.plan.code} step {number}"
            yield f"{where}: the picture {photo.file} is not in `photos` of the job's folder"


def _at(skip: Skip) -> dict[str, str]:
    return {str(side): str(label) for side, label in skip.at.items()}


def _what(skip: Skip) -> str:
    return f"`{skip.name}`" if skip.name else "it"

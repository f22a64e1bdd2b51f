"""The owner's build record: one document that needs nothing beside itself."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from builder.jobs.check import CheckedJob
from builder.jobs.come_back import Worn
from builder.jobs.measured import Column, Measured, Reading, measured
from builder.jobs.runs import run_steps
from builder.jobs.whole import Whole
from builder.judge import Judgement
from builder.render.job_papers.came_back import came_back
from builder.render.job_papers.card import card_section
from builder.render.job_papers.documents import Block, Document, Section, html_of, invented, style
from builder.render.job_papers.identity import decisions, identity, in_short, stamp
from builder.render.job_papers.measurements import GroupView, MeasuredView, groups
from builder.render.job_papers.parts import concessions, outside_work, parts
from builder.render.job_papers.running import run_section
from builder.render.job_papers.signing import reading_it, signatures
from builder.render.job_papers.work import done, not_done

TITLE = "Build record"
NOT_RELEASED = "NOT RELEASED"
SHORT = 16
"""Rows up to which a table is kept on one page."""


def build_record(checked: CheckedJob, worn: Sequence[Worn] = (), size: str = "") -> str:
    """The build record of a checked job as HTML; a job that nobody can lay out has none.

    Raises:
        ValueError: when the job does not read or its family is unknown, so that there is nothing to tell.
    """
    whole = checked.whole
    if whole is None:
        raise ValueError(f"{checked.folder.name} does not read")
    return html_of(record(checked, whole, worn, size))


def record(checked: CheckedJob, whole: Whole, worn: Sequence[Worn] = (), size: str = "") -> Document:
    """The build record in finished words."""
    every = measured(checked)
    return Document(
        title=TITLE,
        job=str(whole.job.number),
        lines=(str(whole.engine.title),),
        facts=identity(whole),
        sections=tuple(_sections(checked, whole, every, worn)),
        stamp=stamp(checked),
        has_contents=True,
        invented=invented(whole),
        style=style(whole, TITLE if checked.may_be_released else f"{TITLE}, {NOT_RELEASED}", size),
    )


def _sections(
    checked: CheckedJob, whole: Whole, every: tuple[Measured, ...], worn: Sequence[Worn]
) -> Iterator[Section]:
    yield in_short(checked, every)
    yield from came_back(whole, worn)
    yield from decisions(whole)
    yield done(whole)
    yield not_done(checked, whole)
    for group in groups(_apart(checked, every)):
        yield _measured(group)
    yield run_section(checked)
    yield from parts(whole)
    yield from outside_work(whole)
    yield concessions(whole)
    yield signatures(whole)
    yield reading_it(checked, whole, every)
    yield card_section(checked, whole)


def _apart(checked: CheckedJob, every: tuple[Measured, ...]) -> tuple[Measured, ...]:
    """What is not told under run-in and power."""
    shown = run_steps(checked)
    kept = (
        replace(
            part, values={key: line for key, line in part.values.items() if not _is_run(key[1], line, shown)}
        )
        for part in every
    )
    return tuple(
        replace(part, readings=tuple(one for one in part.readings if any(of == one for _, of in part.values)))
        for part in kept
        if part.values
    )


def _is_run(reading: Reading, line: Mapping[Column, Judgement], shown: frozenset[tuple[str, str]]) -> bool:
    return all((reading.code, one.step) in shown for one in line.values())


def _measured(group: GroupView) -> Section:
    blocks = tuple(
        Block(
            one.title,
            one.code,
            facts=one.limits,
            table=one.table,
            remarks=one.remarks,
            look=_look(one),
        )
        for one in group.parts
    )
    return Section(group.id, f"Measured: {group.title.lower()}", blocks)


def _look(one: MeasuredView) -> str:
    """The words for the style sheet: a short table is not split, a narrow one stands beside another."""
    rows = sum(map(len, one.table.groups))
    sizes = {"narrow": one.is_narrow, "short": rows <= SHORT}
    return " ".join(("measured", *(word for word, is_so in sizes.items() if is_so)))

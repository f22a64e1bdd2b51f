"""Several jobs of one family side by side, as a page: plain words first, then every value as a dot."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from markupsafe import Markup

from builder.jobs.check import CheckedJob
from builder.jobs.compared import Comparison, Series
from builder.jobs.compared.words import (
    OTHERWISE,
    difference_words,
    head_line,
    limit_words,
    notes,
    other_sections,
    rest_lines,
    shown,
    spread_words,
    told_series,
)
from builder.jobs.kinds import counted
from builder.render import addresses
from builder.render.dot_plots import dot_plot
from builder.render.environment import render
from builder.render.lines import Drawing
from builder.render.one_file import ON_EVERY_PAGE, STYLES, body, policy, scripts_in_one, slim
from builder.render.page_parts import Head, Link, Shelf, head, is_invented, page, raised
from builder.render.shell import ASSETS, Heading, Page

ORIGIN = "Written from the job folders: the same words as gaugeleaf job compare prints."


@dataclass(frozen=True, slots=True)
class BuilderRow:
    """A builder's jobs in one characteristic."""

    builder: str
    mean: str
    jobs: tuple[str, ...]
    values: str


@dataclass(frozen=True, slots=True)
class SeriesView:
    """One characteristic."""

    id: str
    title: str
    limit: str
    words: str
    drawing: Drawing
    rows: tuple[BuilderRow, ...]
    spread: str


@dataclass(frozen=True, slots=True)
class ProcedureSeries:
    """The characteristics that one procedure's sheets have."""

    id: str
    title: str
    series: tuple[SeriesView, ...]


@dataclass(frozen=True, slots=True)
class Said:
    """Plain words under a title."""

    id: str
    title: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Told:
    """A line that leads to its characteristic."""

    title: Link
    words: str


@dataclass(frozen=True, slots=True)
class ComparisonView:
    """A family's jobs compared."""

    head: Head
    jobs: tuple[Link, ...]
    told: tuple[Told, ...]
    rest: tuple[str, ...]
    said: tuple[Said, ...]
    procedures: tuple[ProcedureSeries, ...]
    notes: tuple[str, ...]


def comparison_page(found: Comparison) -> Page:
    """The page of a comparison."""
    here = addresses.jobs_compared(str(found.engine.engine))
    said = tuple(
        Said(addresses.slug(title), title, tuple(map(raised, lines)))
        for title, lines in other_sections(found)
    )
    procedures = tuple(_procedures(found))
    title = f"Jobs compared: {found.engine.title}"
    view = ComparisonView(
        head=head(here, title, f"{head_line(found)}.", ORIGIN, invented=is_invented(found.engine)),
        jobs=tuple(_job(here, checked) for checked in found.jobs),
        told=tuple(
            Told(Link(one.title, f"#{_id(one)}"), difference_words(one)) for one in told_series(found)
        ),
        rest=tuple(map(raised, rest_lines(found))),
        said=said,
        procedures=procedures,
        notes=tuple(notes(found)),
    )
    headings = [Heading(2, "otherwise", OTHERWISE)]
    headings += [Heading(2, one.id, one.title) for one in said]
    headings += [Heading(2, one.id, one.title) for one in procedures]
    return page(Shelf(here, title, ("Jobs",)), "comparison.html", view, tuple(headings))


def _job(here: str, checked: CheckedJob) -> Link:
    return Link(checked.folder.name, addresses.link(here, addresses.job(checked.folder.name)))


def _id(series: Series) -> str:
    return f"{series.code}-{series.characteristic}"


def _procedures(found: Comparison) -> Iterator[ProcedureSeries]:
    titles = {loops.code: loops.title for loops in found.loops}
    for code, every in groupby(found.series, key=lambda one: one.code):
        yield ProcedureSeries(code, f"{code} {titles.get(code, '')}".strip(), tuple(map(_series, every)))


def _series(series: Series) -> SeriesView:
    return SeriesView(
        id=_id(series),
        title=series.title,
        limit=limit_words(series),
        words=difference_words(series)
        if series.is_told
        else "The builders are alike, as far as gauges tell.",
        drawing=dot_plot(series),
        rows=tuple(_rows(series)),
        spread=spread_words(series),
    )


def _rows(series: Series) -> Iterator[BuilderRow]:
    for name, jobs in series.builders.items():
        each = tuple(f"{job.job} of {job.day} {shown(series, job.mean)}" for job in jobs)
        values = counted(sum(len(job.points) for job in jobs), "value")
        yield BuilderRow(name, shown(series, series.means[name]), each, values)


# As one file


@dataclass(frozen=True, slots=True)
class PageFile:
    """A finished page with all that it needs."""

    title: str
    policy: str
    styles: tuple[tuple[Markup, str], ...]
    scripts: tuple[Markup, ...]
    body: Markup


def comparison_file(found: Comparison) -> str:
    """A comparison as one file that opens anywhere and asks for nothing."""
    finished = comparison_page(found)
    style = slim("".join((ASSETS / name).read_text("utf-8") for name in STYLES))
    shade = scripts_in_one(*ON_EVERY_PAGE)
    view = PageFile(
        title=finished.title,
        policy=policy([shade], [style]),
        styles=((Markup(style), ""),),  # noqa: S704 - our own file
        scripts=(Markup(shade),),  # noqa: S704 - our own file
        body=Markup(body(finished.html)),  # noqa: S704 - a finished page
    )
    return render("one_file.html", view)

"""Answers as lines for a terminal: the value first, then what it is, whose, where printed, how read."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from typing import Final

from builder.lookup import Answer, Entry, Lookup
from builder.lookup.answers import MOST
from builder.manual import Manual
from builder.model.job import Job
from builder.render import words
from builder.render.find_job import OnJob
from builder.render.find_rows import (
    Answers,
    ReadingLine,
    ReadingsView,
    RemedyView,
    RowView,
    Size,
    StepLink,
)
from builder.render.page_parts import lowered
from builder.render.values import Measure, Value, spelled

INDENT: Final = "    "


def found_lines(
    manual: Manual,
    query: str,
    engine: str | None = None,
    *,
    metric: bool = False,
    limit: int = MOST,
    job: Job | OnJob | None = None,
) -> tuple[str, ...]:
    """The answers to a query, an empty line between two; none where nothing is found.

    `engine` is a family's id, or beginnings of words of its name; a `Fault` if they fit none or several. With
    a `job`, what was decided for it stands beside what the book, the supplier and the shop say; with its
    sheets too (`OnJob`), what was read on them.
    Where no row matches every word, the first line says so.
    """
    lookup = Lookup(manual)
    ranking = lookup.rank(query, engine)
    answers = lookup.answers(ranking, engine, limit)
    if not answers:
        return ()
    lines = [f"nothing matches all of `{query}`; the nearest:", ""] if ranking.unmatched else []
    for answer in answers:
        lines += [*answer_lines(manual, answer, metric=metric, job=job), ""]
    rest = len(ranking.hits) - len(answers)
    return (*lines, f"and {rest} more") if rest else tuple(lines[:-1])


def answer_lines(
    manual: Manual, answer: Answer, *, metric: bool = False, job: Job | OnJob | None = None
) -> tuple[str, ...]:
    """One answer as a block of lines; with `metric`, metric values before inch ones."""
    views = [(entry, _view(manual, entry, job)) for entry in answer.entries]
    several = len(views) > 1
    lines = [
        line
        for entry, view in views
        for line in _value_lines(view, str(entry.engine.title) if several else "", metric)
    ]
    if several:
        lines.append(INDENT + _name(views[0][1]))
    for entry, view in views:
        named = str(entry.engine.title) if several else f"{_name(view)}, {entry.engine.title}"
        lines += [INDENT + named, *(INDENT * (1 + several) + line for line in _details(view, metric))]
    return tuple(lines)


def _view(manual: Manual, entry: Entry, job: Job | OnJob | None) -> RowView:
    """A row in words, as it stands on a job of its family if one is given."""
    if isinstance(job, OnJob):
        if job.family == entry.engine.engine:
            return job.view(entry)
        job = None
    return Answers(manual, entry.engine, job).view(entry)


def _name(view: RowView) -> str:
    return f"{view.title} {view.code}".strip()


def _value_lines(view: RowView, family: str, metric: bool) -> Iterator[str]:
    """The values in force, or the first, or that there is none."""
    decide = [value for value in view.values if value.decides or not value.kind] or list(view.values[:1])
    for value in decide:
        yield "  ".join(filter(None, (_both(value, metric), value.label, value.place, family)))
    if not decide:
        yield "  ".join(filter(None, ("nothing published", family)))


def _both(value: Value | Size | ReadingLine, metric: bool) -> str:
    """A value in both systems, the asked one first."""
    measures = [shown for shown in (value.shown, value.partner) if shown is not None]
    first, *rest = sorted(measures, key=lambda shown: _is_metric(shown) != metric)
    return f"{first} ({rest[0]})" if rest else str(first)


def _is_metric(shown: Measure) -> bool:
    unit = spelled(shown.unit) if shown.unit else None
    return unit is not None and unit.system == "metric"


def _details(view: RowView, metric: bool) -> Iterator[str]:
    """Everything else of a row, a line each; what was read on the job asked for comes first."""
    yield from _readings(view.readings, metric)
    if view.unknown:
        yield view.unknown
    yield from (*view.state, *view.facts)
    yield from (_side(value, metric) for value in view.values if value.kind and not value.decides)
    yield from (f"from {source}" for source in dict.fromkeys(_sources(view)))
    if view.instrument:
        yield f"read with {view.instrument.text}"
    for said, steps in (("read in", view.read_in), ("used in", () if view.read_in else view.named_in)):
        yield from (f"{said} {_step(step)}" for step in steps)
    yield from _if_out(view.remedies)
    yield from (f"with a {size.of} of {size.size}: {_both(size, metric)}" for size in view.sizes)
    if view.follows:
        yield f"follows from {view.follows}"
    if view.why:
        yield f"why: {view.why}"


def _readings(readings: tuple[ReadingsView, ...], metric: bool) -> Iterator[str]:
    """What a job's sheets hold, a line for each thing under the step that it was read in."""
    for found in readings:
        yield f"{found.stage}, {lowered(found.name)}, {_step(found.step)}:"
        for line in found.lines:
            shown = _both(line, metric) if line.shown else "no value"
            yield INDENT + "  ".join(filter(None, (line.where, shown, line.verdict)))


def _side(value: Value, metric: bool) -> str:
    """A value that does not decide, with what it is for."""
    meaning = value.remark or words.LIMITS[value.kind].meaning
    return " ".join(filter(None, (f"{value.label}:", value.place, _both(value, metric)))) + f", {meaning}"


def _sources(view: RowView) -> Iterator[str]:
    yield from (cite.full for value in view.values for cite in value.cites)


def _step(step: StepLink) -> str:
    return f"{step.code} {step.title}, step {step.number}"


def _if_out(remedies: tuple[RemedyView, ...]) -> Iterator[str]:
    """What to do when it is out, under the step that says so."""
    for step, found in groupby(remedies, key=lambda remedy: remedy.step):
        yield f"if out, by {_step(step)}:"
        for remedy in found:
            then = f"then step {remedy.then.number}" if remedy.then else "then stop"
            yield f"{INDENT}{remedy.side.lower()}: {remedy.text} ({then})"

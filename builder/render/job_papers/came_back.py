"""An engine that came back: the job it comes from, what was wrong, and what has worn since."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from builder.jobs.come_back import Worn, change_words, most_worn
from builder.jobs.whole import Whole
from builder.judge.taken import position
from builder.judge.words import value_words, verdict_words
from builder.manual import row as row_of
from builder.render.job_papers.documents import Block, Section, facts
from builder.render.job_papers.tables import Cell, Table
from builder.render.values import printed


def came_back(whole: Whole, points: Sequence[Worn]) -> Iterator[Section]:
    """Where the engine comes back from an earlier job: the complaint, the cause, the wear since."""
    earlier = whole.job.earlier
    if earlier is None:
        return
    told = facts(
        (
            ("Earlier job", str(earlier.job)),
            ("What the owner says", str(earlier.complaint or "")),
            ("Run since", str(earlier.run_since or "")),
            ("Cause", str(earlier.cause or "not found yet")),
            ("What changes because of it", str(earlier.learned or "")),
        )
    )
    blocks = [Block(facts=told)]
    if points:
        words = (
            "Points that were read when the engine left and again when it came back, the most worn first. "
            "Where the gauges can tell no wear, the number of points alone is told."
        )
        blocks.append(Block("Wear since it left", words=(words,), table=_table(whole, points)))
    yield Section("came-back", "Why it came back", tuple(blocks))


HEAD: Final = ("Where", "As it left", "As found", "Worn", "Verdict as found")


def _table(whole: Whole, points: Sequence[Worn]) -> Table:
    by_name: dict[str, list[Worn]] = {}
    for one in points:
        by_name.setdefault(one.characteristic, []).append(one)
    head = tuple(Cell(name, is_head=True) for name in HEAD)
    groups = [rows for name, every in by_name.items() for rows in _groups(whole, name, every)]
    return Table((head,), tuple(groups), "words")


def _groups(whole: Whole, name: str, every: list[Worn]) -> Iterator[tuple[tuple[Cell, ...], ...]]:
    """The lines of a characteristic: its head stands with its first point, the others stand alone."""
    first, *rest = _lines(whole, name, every)
    yield (first, *rest[:1])
    yield from ((line,) for line in rest[1:])


def _lines(whole: Whole, name: str, every: list[Worn]) -> Iterator[tuple[Cell, ...]]:
    """A characteristic with its most worn point in words, then each point that shows wear."""
    row = row_of(whole.engine, name)
    ordered = sorted(every, key=lambda one: one.by, reverse=True)
    title = f"{row.title if row is not None else name}: {most_worn(ordered)}"
    yield (Cell(printed(title), columns=len(HEAD), is_head=True),)
    for one in ordered:
        if one.by > 0 and one.is_told:
            yield tuple(map(Cell, _line(one)))


def _line(one: Worn) -> tuple[str, ...]:
    where = " ".join(filter(None, (position(one.at), one.found.end))) or "engine"
    values = (value_words(one.left), value_words(one.found), change_words(one))
    return (where, *map(printed, values), verdict_words(one.found))

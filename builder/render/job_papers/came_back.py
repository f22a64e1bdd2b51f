"""An engine that came back: the job it comes from, what was wrong, and what has worn since."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from builder.jobs.come_back import Worn
from builder.jobs.whole import Whole
from builder.judge.taken import position
from builder.judge.words import value_words, verdict_words
from builder.manual import row as row_of
from builder.quantity import show
from builder.render.job_papers.documents import Block, Section, facts
from builder.render.job_papers.tables import Table, plain_table


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
            "Each point that was read when the engine left and again when it came back, the most worn first."
        )
        blocks.append(Block("Wear since it left", words=(words,), table=_table(whole, points)))
    yield Section("came-back", "Why it came back", tuple(blocks))


def _table(whole: Whole, points: Sequence[Worn]) -> Table:
    by_name: dict[str, list[Worn]] = {}
    for one in points:
        by_name.setdefault(one.characteristic, []).append(one)
    rows = [
        _line(whole, one)
        for every in by_name.values()
        for one in sorted(every, key=lambda one: one.by, reverse=True)
    ]
    return plain_table(("Characteristic", "Where", "Left", "Found", "Worn", "As found"), rows)


def _line(whole: Whole, one: Worn) -> tuple[str, ...]:
    row = row_of(whole.engine, one.characteristic)
    unit = one.found.unit or one.left.unit
    change = show(one.by / unit.factor, unit, 4) if unit is not None else ""
    where = " ".join(filter(None, (position(one.at), one.found.end)))
    title = str(row.title) if row is not None else one.characteristic
    told = change if one.is_told else f"{change}, less than the gauges can tell"
    return (title, where, value_words(one.left), value_words(one.found), told, verdict_words(one.found))

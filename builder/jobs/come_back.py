"""An engine that comes back: what has worn since it left, at the same points."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from builder.checklist import Labels
from builder.diagnostics import Fault
from builder.jobs.check import CheckedJob, check_job
from builder.jobs.filing import Unreadable
from builder.jobs.folder import read_job
from builder.jobs.kinds import counted
from builder.jobs.plan import Plans
from builder.jobs.worked import LAST_STAGES
from builder.judge import Judgement, Verdict
from builder.judge.taken import position
from builder.judge.words import PLACES, value_words, verdict_words
from builder.manual import Manual
from builder.manual import row as row_of
from builder.model.engine import Engine
from builder.model.kinds import KINDS, Wear
from builder.model.spec import LimitRow
from builder.quantity import show

Point = tuple[str, str, tuple[tuple[str, str], ...]]
"""A characteristic, the end of a fit, and the position."""


@dataclass(frozen=True)
class Worn:
    """One point as it left and as it came back; `by` is in SI base units, positive is wear.

    Where a characteristic wears either way, `by` is how much it has grown.
    """

    characteristic: str
    at: Labels
    left: Judgement
    found: Judgement
    by: Fraction
    stage: str
    """The stage at which it was last read before it left."""

    @property
    def is_told(self) -> bool:
        """Whether the gauges can tell it: it is not smaller than the U of both readings together."""
        return self.by**2 >= self.left.spread + self.found.spread and bool(self.by)


def worn(earlier: CheckedJob, now: CheckedJob) -> tuple[Worn, ...]:
    """What was read as found on a come-back, beside the last reading of the same point on the earlier job."""
    if earlier.whole is None or now.whole is None:
        return ()
    engine, left = now.whole.engine, _last(earlier)
    pairs = ((left.get(point), one) for point, one in _found(now).items())
    return tuple(_worn(engine, *before, after) for before, after in pairs if before is not None)


def _last(earlier: CheckedJob) -> dict[Point, tuple[str, Judgement]]:
    """The last stage and value of every point of the earlier job: after the run if read then, else final."""
    found: dict[Point, tuple[str, Judgement]] = {}
    for stage in LAST_STAGES:
        for worked in earlier.sheets:
            if worked.is_final and stage in worked.stages:
                points = _points(worked.judged_at(stage).judgements)
                found.update((point, (stage, one)) for point, one in points)
    return found


def _found(now: CheckedJob) -> dict[Point, Judgement]:
    found: dict[Point, Judgement] = {}
    for worked in now.sheets:
        if "as_found" in worked.stages:
            found.update(_points(worked.judged_at("as_found").judgements))
    return found


def _points(judgements: tuple[Judgement, ...]) -> Iterator[tuple[Point, Judgement]]:
    for one in judgements:
        if one.characteristic and one.value is not None:
            yield (one.characteristic, one.end, tuple(one.at.items())), one


def _worn(engine: Engine, stage: str, left: Judgement, found: Judgement) -> Worn:
    row = row_of(engine, found.characteristic)
    grown = (found.value or Fraction(0)) - (left.value or Fraction(0))
    kind = KINDS.get(str(row.kind)) if isinstance(row, LimitRow) else None
    by = -grown if kind is not None and kind.wear is Wear.SHRINKS else grown
    return Worn(found.characteristic, found.at, left, found, by, stage)


def compared_lines(
    manual: Manual, folder: Path, earlier: Path | None, plans: Plans | None = None
) -> tuple[str, ...]:
    """The wear of a job's engine in lines; the earlier job is the folder beside it that `job.yaml` names.

    Raises:
        Fault: when no earlier job is named or found, or a file does not read.
    """
    now = check_job(manual, read_job(folder), plans)
    job = now.folder.job
    named = job.earlier.job if job is not None and job.earlier is not None else None
    before = earlier or (folder.parent / named if named else None)
    if before is None or not before.is_dir():
        raise Fault("no earlier job is named", "write `earlier: {job: …}` into job.yaml, or name its folder")
    left = check_job(manual, read_job(before), plans)
    unread = (*now.folder.faults, *left.folder.faults)
    if unread or now.whole is None:
        raise Unreadable(unread)
    lines = tuple(worn_lines(now.whole.engine, worn(left, now)))
    return lines or ("no point was read both when it left and when it came back",)


def worn_lines(engine: Engine, points: tuple[Worn, ...]) -> Iterator[str]:
    """Wear in lines: the most of each characteristic first, then its points, the most worn first."""
    by_name: dict[str, list[Worn]] = {}
    for one in points:
        by_name.setdefault(one.characteristic, []).append(one)
    for name, every in by_name.items():
        row = row_of(engine, name)
        ordered = sorted(every, key=lambda one: one.by, reverse=True)
        yield f"{row.title if row is not None else name}: {most_worn(ordered)}"
        yield from (f"  {_line(one)}" for one in ordered)


def most_worn(ordered: list[Worn]) -> str:
    """How many points were read both times, and the most worn of them in words."""
    first, points = ordered[0], counted(len(ordered), "point")
    if first.by <= 0 or not first.is_told:
        return f"no wear that the gauges can tell at {points}"
    where = f" at {position(first.at)}" if first.at else ""
    return f"worn most{where}, {change_words(first)}, of {points}"


def change_words(one: Worn) -> str:
    """How much it has worn, in the digits that were typed."""
    unit = one.found.unit or one.left.unit
    typed = [value.typed_places for value in (one.found, one.left) if value.typed_places is not None]
    return show(one.by / unit.factor, unit, max(typed, default=PLACES)) if unit is not None else ""


def _line(one: Worn) -> str:
    where = position(one.at) or "one"
    out = f"  {verdict_words(one.found)}" if one.found.verdict is Verdict.OUT else ""
    end = f" ({one.found.end})" if one.found.end else ""
    when = " after the run" if one.stage == "after_run" else ""
    left, found = value_words(one.left), value_words(one.found)
    less = ", less than the gauges can tell" if one.by and not one.is_told else ""
    return f"{where}{end}: left {left}{when}, found {found}, worn {change_words(one)}{less}{out}"

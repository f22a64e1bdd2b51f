"""The values of finished sheets that can be compared: whose, on which job, when, at which place."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from builder.checklist import Labels
from builder.jobs.check import CheckedJob
from builder.jobs.moments import day, moment
from builder.jobs.worked import LAST_STAGES, Worked
from builder.judge import Flag, JudgedSheet, Judgement
from builder.judge.bounds import Band
from builder.judge.taken import position
from builder.units import Unit

Subject = tuple[str, str]
"""A characteristic, and the procedure by whose sheet it was read."""


@dataclass(frozen=True)
class Point:
    """One value at one place, brought back to standard size, in SI base units.

    Of a fit, which has two ends, it is the middle of both. `spread` is the square of its U (k = 2).
    """

    job: str
    builder: str
    day: str
    at: Labels
    value: Fraction
    unit: Unit
    places: int
    spread: Fraction
    band: Band | None

    @property
    def where(self) -> str:
        """The place in words."""
        return position(self.at)


def points_of(checked: CheckedJob) -> Iterator[tuple[Subject, Point]]:
    """The values of a job's final sheets that are held against a characteristic and are not suspect."""
    for worked in checked.sheets:
        if worked.is_final:
            yield from _points(worked)


def builder_of(worked: Worked) -> str:
    """Who did a sheet's work: whoever took most of its first readings, else whoever marked most steps."""
    first = [str(one.by) for one in worked.sheet.readings if one.try_ == 1]
    marks = [str(one.by) for one in worked.sheet.ticks]
    counted = Counter(first or marks).most_common(1)
    return counted[0][0] if counted else ""


def _points(worked: Worked) -> Iterator[tuple[Subject, Point]]:
    stage = next((stage for stage in LAST_STAGES if stage in worked.stages), None)
    if stage is None:
        return
    judged, builder = worked.judged_at(stage), builder_of(worked)
    for ends in _by_place(judged):
        yield (ends[0].characteristic, worked.plan.name), _point(worked, judged, builder, ends)


def _by_place(judged: JudgedSheet) -> Iterator[Sequence[Judgement]]:
    """The values of each place: one, or the two ends of a fit.

    One without a unit, held against a row that nobody knows yet, cannot be told and is left out.
    """
    found: dict[object, list[Judgement]] = {}
    for one in judged.judgements:
        told = one.value is not None and one.unit is not None
        if one.characteristic and told and Flag.SUSPECT not in one.flags:
            found.setdefault((one.step, one.name, tuple(one.at.items())), []).append(one)
    yield from found.values()


def _point(worked: Worked, judged: JudgedSheet, builder: str, ends: Sequence[Judgement]) -> Point:
    values = [one.value for one in ends if one.value is not None]
    band = ends[0].decision.by
    unit = ends[0].unit
    if unit is None:
        raise ValueError(f"{ends[0].name} has a value and no unit")
    moved = band.moved if band is not None else Fraction(0)
    return Point(
        job=str(worked.job.number),
        builder=builder,
        day=_day(worked, judged, ends[0].step),
        at=ends[0].at,
        value=sum(values, Fraction(0)) / len(values) - moved,
        unit=unit,
        places=_places(ends, band),
        spread=max(one.spread for one in ends),
        band=band,
    )


def _day(worked: Worked, judged: JudgedSheet, step: str) -> str:
    """The day on which the readings of a step were last taken."""
    taken = [str(one.when) for one in worked.sheet.readings if one.step == step and one.stage == judged.stage]
    return day(max(taken, key=moment)) if taken else day(worked.ended)


def _places(ends: Sequence[Judgement], band: Band | None) -> int:
    """The decimals in which a value is told: those typed, else those of its limit."""
    typed = [one.typed_places for one in ends if one.typed_places is not None]
    printed = [cited.value.decimals or 0 for cited in band.printed] if band is not None else []
    return max([*typed, *printed], default=4)

"""A study of a gauge from repeat readings: several people read the same places several times."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import sqrt

from builder.diagnostics import Fault
from builder.jobs.check import CheckedJob
from builder.jobs.plan import Place
from builder.jobs.statistics import GaugeStudy, gauge_study
from builder.jobs.statistics.variance import FEWEST
from builder.jobs.worked import Worked
from builder.judge.taken import Terms, read_typed, row_unit
from builder.manual import row as row_of
from builder.model.record import Reading
from builder.model.spec import LimitRow
from builder.units import Unit

Cells = Mapping[Place, Mapping[str, Sequence[Fraction]]]
"""The values of each place by person, in SI base units."""


@dataclass(frozen=True)
class Repeats:
    """One gauge on one measurement of one job: who read what how often, and what comes of it.

    `width` is the width of the limit, in SI base units; None where a side is open.
    """

    job: str
    code: str
    title: str
    gauge: str
    unit: Unit
    people: tuple[str, ...]
    study: GaugeStudy
    means: Mapping[str, Fraction]
    width: Fraction | None

    @property
    def repeat(self) -> float:
        """The standard deviation of one person reading one place again."""
        return sqrt(self.study.repeatability)

    @property
    def gauge_deviation(self) -> float:
        """The standard deviation that gauge and people bring in together."""
        return sqrt(self.study.gauge)

    @property
    def of_band(self) -> float | None:
        """Six of these deviations as a share of the limit's width; None where a side is open."""
        return 6 * self.gauge_deviation / float(self.width) if self.width else None

    @property
    def apart(self) -> Fraction:
        """How far the means of two people lie apart."""
        return max(self.means.values()) - min(self.means.values())


def repeats_of(jobs: Sequence[CheckedJob]) -> Iterator[Repeats]:
    """Every study that the readings of some jobs hold."""
    for checked in jobs:
        for worked in checked.sheets:
            for (step, name, gauge), readings in _by_gauge(worked).items():
                found = _study(worked, step, name, gauge, readings)
                if found is not None:
                    yield found


def _by_gauge(worked: Worked) -> Mapping[tuple[str, str, str], list[Reading]]:
    """The readings of each measurement by gauge, where any was taken again."""
    found: dict[tuple[str, str, str], list[Reading]] = {}
    for one in worked.sheet.readings:
        found.setdefault((str(one.step), str(one.name), str(one.gauge)), []).append(one)
    return {key: readings for key, readings in found.items() if any(one.try_ > 1 for one in readings)}


def _study(worked: Worked, step: str, name: str, gauge: str, readings: Sequence[Reading]) -> Repeats | None:
    places = [place for place in worked.plan.blanks if place[:2] == (step, name)]
    rows = {worked.plan.blanks[place][1].against for place in places} - {None}
    row = row_of(worked.plan.checklist.engine, next(iter(rows))) if len(rows) == 1 else None
    unit = row_unit(row) if isinstance(row, LimitRow) else None
    if row is None or unit is None:
        return None
    cells = _cells(readings, unit)
    people = _people(cells)
    whole = {place: cell for place, cell in cells.items() if people and set(people) <= set(cell)}
    if len(people) < FEWEST or len(whole) < FEWEST:
        return None
    times = min(len(cell[who]) for cell in whole.values() for who in people)
    table = [[list(cell[who][:times]) for who in people] for cell in whole.values()]
    means = {
        who: _mean([value for place in table for value in place[number]]) for number, who in enumerate(people)
    }
    band = Terms.of(worked.job, "final").limits(row, str(next(iter(rows))), {}).in_force
    return Repeats(
        job=str(worked.job.number),
        code=worked.plan.code,
        title=str(row.title),
        gauge=gauge,
        unit=unit,
        people=people,
        study=gauge_study(table),
        means=means,
        width=band.width if band is not None else None,
    )


def _mean(values: Sequence[Fraction]) -> Fraction:
    return sum(values, Fraction(0)) / len(values)


def _cells(readings: Sequence[Reading], unit: Unit) -> Cells:
    """What each person read at each place of one stage, two times or more."""
    found: dict[Place, dict[str, list[Fraction]]] = {}
    for one in sorted(readings, key=lambda one: one.try_):
        try:
            value = read_typed(one.typed, one.unit, one.setting, unit).base
        except Fault:
            continue
        place = (str(one.step), str(one.name), (*map(str, one.at.values()), str(one.stage)))
        found.setdefault(place, {}).setdefault(str(one.by), []).append(value)
    kept = {
        place: {who: values for who, values in cell.items() if len(values) >= FEWEST}
        for place, cell in found.items()
    }
    return {place: cell for place, cell in kept.items() if cell}


def _people(cells: Cells) -> tuple[str, ...]:
    """The people who read again where most others did: those of the place that most have read."""
    if not cells:
        return ()
    most = max(len(cell) for cell in cells.values())
    return tuple(sorted(next(cell for cell in cells.values() if len(cell) == most)))

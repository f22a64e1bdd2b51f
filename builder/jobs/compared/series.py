"""One characteristic over several jobs of one family: by builder, by job, by place, and over time."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from functools import cached_property
from math import sqrt

from builder.jobs.compared.points import Point
from builder.jobs.plan import thing_at
from builder.jobs.statistics import Line, OneWay, chance_of, grubbs, grubbs_limit, line_through, one_way
from builder.jobs.statistics.variance import mean
from builder.model.spec import BasicRow
from builder.units import Unit

FEW = 5
"""Values, or jobs, from which on one may be called odd, or a drift be told."""
JOBS = 3
"""Jobs from which on a place can be said to come out otherwise time after time."""
FREE = 2
"""Degrees of freedom between jobs of one builder from which on a habit can be told from an engine."""
RISK = 0.05
"""How often chance alone may be taken for more."""


@dataclass(frozen=True)
class JobValues:
    """The values of one job."""

    job: str
    builder: str
    day: str
    points: tuple[Point, ...]

    @cached_property
    def values(self) -> tuple[Fraction, ...]:
        """The values in the order of their places."""
        return tuple(one.value for one in self.points)

    @cached_property
    def mean(self) -> Fraction:
        """Their mean."""
        return mean(self.values)


@dataclass(frozen=True)
class Odd:
    """A value that stands out from its mates, or a job that stands out from the others."""

    job: str
    builder: str
    where: str
    value: Fraction
    beside: Fraction
    """The mean of the others."""


@dataclass(frozen=True)
class Series:
    """A characteristic as one procedure's sheets have it, the jobs in the order of their days."""

    row: BasicRow | None
    characteristic: str
    procedure: str
    code: str
    jobs: tuple[JobValues, ...]

    @property
    def title(self) -> str:
        """Its title and the code that stands beside its boxes."""
        if self.row is None:
            return self.characteristic
        return f"{self.row.title} ({self.row.code})" if self.row.code else str(self.row.title)

    @cached_property
    def points(self) -> tuple[Point, ...]:
        """Every value."""
        return tuple(point for job in self.jobs for point in job.points)

    @property
    def unit(self) -> Unit:
        """The unit in which it is told."""
        return self.points[0].unit

    @cached_property
    def places(self) -> int:
        """The decimals in which it is told."""
        return max(one.places for one in self.points)

    @cached_property
    def uncertainty(self) -> float:
        """The largest U (k = 2) of one value: less than this no difference is told."""
        return sqrt(max(one.spread for one in self.points))

    @cached_property
    def builders(self) -> Mapping[str, tuple[JobValues, ...]]:
        """The jobs of each builder, who has most jobs first."""
        found: dict[str, list[JobValues]] = {}
        for job in self.jobs:
            found.setdefault(job.builder, []).append(job)
        ordered = sorted(found, key=lambda name: (-len(found[name]), name))
        return {name: tuple(found[name]) for name in ordered}

    @cached_property
    def means(self) -> Mapping[str, Fraction]:
        """The mean of each builder's jobs: every engine counts once, however many places it has."""
        return {name: mean([job.mean for job in jobs]) for name, jobs in self.builders.items()}

    # Spread

    @cached_property
    def by_place(self) -> OneWay:
        """Between and within builders, every place a value: the places of one engine are not independent."""
        return one_way([[one.value for job in jobs for one in job.points] for jobs in self.builders.values()])

    @cached_property
    def by_job(self) -> OneWay:
        """Between and within builders, every engine one value."""
        return one_way([[job.mean for job in jobs] for jobs in self.builders.values()])

    @cached_property
    def in_engine(self) -> float:
        """The standard deviation within one engine."""
        return one_way([job.values for job in self.jobs]).deviation

    @property
    def chance(self) -> float | None:
        """How likely builders as different as these are by chance; None where there are too few jobs."""
        return chance_of(self.by_job) if self.by_job.within_free >= FREE else None

    @cached_property
    def difference(self) -> Fraction:
        """The largest difference between the means of two builders."""
        return max(self.means.values()) - min(self.means.values())

    @property
    def is_told(self) -> bool:
        """Whether builders differ by more than the gauges leave open."""
        return len(self.means) > 1 and float(self.difference) >= self.uncertainty and bool(self.difference)

    # Places

    @cached_property
    def by_position(self) -> Mapping[str, Fraction]:
        """How far each place lies from the mean of its own engine, on average; of places on all jobs."""
        found: dict[str, list[Fraction]] = {}
        for job in self.jobs:
            for point in job.points if thing_at(job.points[0].at) else ():
                found.setdefault(point.where, []).append(point.value - job.mean)
        return {where: mean(values) for where, values in found.items() if len(values) == len(self.jobs)}

    @cached_property
    def odd_place(self) -> str:
        """The place that comes out otherwise than its mates on one job after another; empty without one."""
        if len(self.jobs) < JOBS or len(self.by_position) < JOBS:
            return ""
        groups: dict[str, list[Fraction]] = {where: [] for where in self.by_position}
        for job in self.jobs:
            for point in job.points:
                if point.where in groups:
                    groups[point.where].append(point.value - job.mean)
        chance = chance_of(one_way(list(groups.values())))
        where = max(self.by_position, key=lambda where: abs(self.by_position[where]))
        told = float(abs(self.by_position[where])) >= self.uncertainty
        return where if told and (chance is None or chance < RISK) else ""

    # What stands out

    @cached_property
    def odd(self) -> tuple[Odd, ...]:
        """Values that stand out from the others of their own engine."""
        return tuple(found for job in self.jobs for found in self._odd_in(job))

    def _odd_in(self, job: JobValues) -> Iterator[Odd]:
        place = odd_one(job.values, self.uncertainty)
        if place is not None:
            point, others = job.points[place], [*job.values[:place], *job.values[place + 1 :]]
            yield Odd(job.job, job.builder, point.where, point.value, mean(others))

    @cached_property
    def odd_job(self) -> Odd | None:
        """The engine that stands out from the others."""
        values = [job.mean for job in self.jobs]
        place = odd_one(values, self.uncertainty)
        if place is None:
            return None
        job = self.jobs[place]
        return Odd(job.job, job.builder, "", job.mean, mean([*values[:place], *values[place + 1 :]]))

    @cached_property
    def trend(self) -> Line | None:
        """The line through the jobs over the days; None where there are too few, or all on one day."""
        days = [Fraction(date.fromisoformat(job.day).toordinal()) for job in self.jobs]
        if len(self.jobs) < FEW or len(set(days)) == 1:
            return None
        return line_through(days, [job.mean for job in self.jobs])

    @property
    def drifts(self) -> bool:
        """Whether the line rises or falls more than chance would let it, and by more than U over its days."""
        line = self.trend
        if line is None or line.chance >= RISK:
            return False
        days = date.fromisoformat(self.jobs[-1].day) - date.fromisoformat(self.jobs[0].day)
        return abs(float(line.slope)) * days.days >= self.uncertainty


def odd_one(values: Sequence[Fraction], uncertainty: float) -> int | None:
    """The place of the one value that stands out (Grubbs, two-sided), if the gauge can tell it at all.

    Readings in whole divisions lie on few values, so that one division may look odd; what counts lies more
    than 2 U from the mean of the others.
    """
    if len(values) < FEW:
        return None
    place, distance = grubbs(values)
    far = abs(values[place] - mean([*values[:place], *values[place + 1 :]]))
    stands_out = distance > grubbs_limit(len(values), RISK, two_sided=True)
    return place if stands_out and float(far) > 2 * uncertainty else None

"""Analysis of variance on exact rationals: between and within builders, and the crossed gauge study.

Sums of squares are exact, so data with many constant leading digits loses nothing (NIST StRD, SmLs07).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import sqrt

FEWEST = 2
"""Parts, people and repeats that a study takes at least."""


@dataclass(frozen=True)
class OneWay:
    """A one-way analysis: sums of squares between and within groups, with their degrees of freedom."""

    between: Fraction
    within: Fraction
    between_free: int
    within_free: int

    @property
    def ratio(self) -> float | None:
        """F, the mean square between over the mean square within; None where nothing varies within."""
        if not self.within or not self.within_free or not self.between_free:
            return None
        return float((self.between / self.between_free) / (self.within / self.within_free))

    @property
    def explained(self) -> float:
        """The share of all variation that lies between the groups (R squared)."""
        total = self.between + self.within
        return float(self.between / total) if total else 0.0

    @property
    def deviation(self) -> float:
        """The standard deviation within groups."""
        return sqrt(self.within / self.within_free) if self.within_free else 0.0


def one_way(groups: Sequence[Sequence[Fraction]]) -> OneWay:
    """Compare groups of values; groups without a value are left out.

    Raises:
        ValueError: when there is no value at all.
    """
    filled = [group for group in groups if group]
    every = [value for group in filled for value in group]
    if not every:
        raise ValueError("there is no value to compare")
    grand = mean(every)
    between = sum((len(group) * (mean(group) - grand) ** 2 for group in filled), Fraction(0))
    within = sum((squares(group) for group in filled), Fraction(0))
    return OneWay(between, within, len(filled) - 1, len(every) - len(filled))


def mean(values: Sequence[Fraction]) -> Fraction:
    """The exact mean."""
    return sum(values, Fraction(0)) / len(values)


def squares(values: Sequence[Fraction]) -> Fraction:
    """The exact sum of squared differences from the mean."""
    centre = mean(values)
    return sum(((value - centre) ** 2 for value in values), Fraction(0))


def deviation(values: Sequence[Fraction]) -> float:
    """The sample standard deviation; zero for one value."""
    return sqrt(squares(values) / (len(values) - 1)) if len(values) > 1 else 0.0


@dataclass(frozen=True)
class GaugeStudy:
    """A crossed study of one gauge: the mean squares of part, person, interaction and repeats.

    Components are variances; a negative one counts as zero (common practice).
    """

    part: Fraction
    person: Fraction
    interaction: Fraction
    error: Fraction
    parts: int
    people: int
    repeats: int

    @property
    def repeatability(self) -> Fraction:
        """The variance of one person reading one part again."""
        return self.error

    @property
    def crossed(self) -> Fraction:
        """The variance of a person reading some parts differently."""
        return max(Fraction(0), (self.interaction - self.error) / self.repeats)

    @property
    def between_people(self) -> Fraction:
        """The variance between people."""
        return max(Fraction(0), (self.person - self.interaction) / (self.parts * self.repeats))

    @property
    def between_parts(self) -> Fraction:
        """The variance between parts: what the gauge is there to see."""
        return max(Fraction(0), (self.part - self.interaction) / (self.people * self.repeats))

    @property
    def gauge(self) -> Fraction:
        """The variance that gauge and people bring in together."""
        return self.repeatability + self.crossed + self.between_people

    @property
    def share(self) -> float:
        """The gauge's share of the whole spread, as a ratio of standard deviations."""
        total = self.gauge + self.between_parts
        return sqrt(self.gauge / total) if total else 0.0

    @property
    def distinct(self) -> int:
        """How many groups of parts the gauge can tell apart: 1.41 times the ratio of spreads, cut off."""
        return int(1.41 * sqrt(self.between_parts / self.gauge)) if self.gauge else 0


def gauge_study(readings: Sequence[Sequence[Sequence[Fraction]]]) -> GaugeStudy:
    """Study readings[part][person][repeat]; every cell has the same number of repeats, two or more.

    Raises:
        ValueError: when parts, people or repeats are fewer than two or not the same throughout.
    """
    shape = {(len(part), len(cell)) for part in readings for cell in part}
    if len(readings) < FEWEST or len(shape) != 1 or min(*shape.copy().pop()) < FEWEST:
        raise ValueError("a study takes two or more parts, people and repeats, the same number throughout")
    people, repeats = shape.pop()
    parts = len(readings)
    grand = mean([value for part in readings for cell in part for value in cell])
    by_part = [mean([value for cell in part for value in cell]) for part in readings]
    by_person = [mean([value for part in readings for value in part[number]]) for number in range(people)]
    cells = [mean(cell) for part in readings for cell in part]
    part_sum = people * repeats * sum(((one - grand) ** 2 for one in by_part), Fraction(0))
    person_sum = parts * repeats * sum(((one - grand) ** 2 for one in by_person), Fraction(0))
    cell_sum = repeats * sum(((one - grand) ** 2 for one in cells), Fraction(0))
    error_sum = sum((squares(cell) for part in readings for cell in part), Fraction(0))
    free = (parts - 1) * (people - 1)
    return GaugeStudy(
        part=part_sum / (parts - 1),
        person=person_sum / (people - 1),
        interaction=(cell_sum - part_sum - person_sum) / free,
        error=error_sum / (parts * people * (repeats - 1)),
        parts=parts,
        people=people,
        repeats=repeats,
    )

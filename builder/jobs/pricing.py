"""An estimate added up: what each stage comes to by option, what was chosen, the range of the whole."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from builder.model.base import Text
from builder.model.estimate import Amount, Estimate, Line, Option, PriceStage, hours_of, sum_of
from builder.model.job import Decision, Job


@dataclass(frozen=True, eq=False)
class Way:
    """One way to do a stage: its letter (empty where there is one), hours, price with the common lines."""

    letter: str
    option: Option | None
    hours: Amount
    price: Amount


@dataclass(frozen=True, eq=False)
class Staged:
    """A stage added up."""

    name: str
    stage: PriceStage
    ways: tuple[Way, ...]
    chosen: Way | None
    decision: Decision | None

    @property
    def least(self) -> Amount:
        """The lowest price."""
        return min(way.price for way in self.ways)

    @property
    def most(self) -> Amount:
        """The highest price, what may come on top counted in."""
        extras = sum((extra.price.value for extra in self.stage.extras), Fraction(0))
        return Amount(max(way.price for way in self.ways).value + extras)


@dataclass(frozen=True, eq=False)
class Priced:
    """An estimate added up."""

    estimate: Estimate
    stages: tuple[Staged, ...]

    @property
    def least(self) -> Amount:
        """The lowest price of all stages."""
        return Amount(sum((one.least.value for one in self.stages), Fraction(0)))

    @property
    def most(self) -> Amount:
        """The highest price of all stages, with everything that may come on top."""
        return Amount(sum((one.most.value for one in self.stages), Fraction(0)))

    @property
    def decided(self) -> Amount | None:
        """The price of what was chosen; None while a stage with options waits for its decision."""
        if any(one.chosen is None for one in self.stages):
            return None
        return Amount(sum((one.chosen.price.value for one in self.stages if one.chosen), Fraction(0)))


def priced(job: Job, estimate: Estimate) -> Priced:
    """Add an estimate up, with the decisions of its job."""
    return Priced(estimate, tuple(_staged(job, estimate, str(name)) for name in estimate.stages))


def _staged(job: Job, estimate: Estimate, name: str) -> Staged:
    stage = estimate.stages[Text(name)]
    ways = tuple(_way(estimate, stage, letter, option) for letter, option in _ways(stage))
    decided = (one for one in job.decisions if one.stage == name and (one.option or not stage.options))
    decision = next(decided, None)
    letter = "" if decision is None or not stage.options else str(decision.option)
    chosen = next((way for way in ways if way.letter == letter), None)
    return Staged(name, stage, ways, chosen, decision)


def _ways(stage: PriceStage) -> list[tuple[str, Option | None]]:
    return [(str(letter), option) for letter, option in stage.options.items()] or [("", None)]


def _way(estimate: Estimate, stage: PriceStage, letter: str, option: Option | None) -> Way:
    lines: tuple[Line, ...] = (*stage.lines, *(option.lines if option is not None else ()))
    return Way(letter, option, hours_of(lines), sum_of(lines, estimate.hour))

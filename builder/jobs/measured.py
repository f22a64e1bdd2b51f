"""What was measured on a job, one characteristic after another: as found beside as it leaves."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from builder.field_code import PLACES
from builder.jobs.check import CheckedJob
from builder.jobs.plan import Thing, thing_at
from builder.jobs.whole import Whole
from builder.jobs.worked import Worked
from builder.judge import JudgedSheet, Judgement, Verdict
from builder.judge.bounds import Band
from builder.manual import row as row_of
from builder.model.procedure import STAGES
from builder.model.spec import BasicRow
from builder.units import Unit

MOCK_UP = "mock_up"

Column = tuple[tuple[str, ...], str]
"""A place on a thing by its labels (front, T), and the end of a fit (least, most); both may be empty."""


@dataclass(frozen=True)
class Reading:
    """From which sheet, run and stage values are: what stands at the head of a column of them."""

    code: str
    run: str
    stage: str

    @property
    def leaves(self) -> bool:
        """Whether the part leaves the shop as it was read then."""
        return self.run != MOCK_UP and self.stage in ("final", "after_run")


@dataclass(frozen=True, eq=False)
class Measured:
    """A characteristic, or a value without one, with all that was read of it on a job.

    `values` holds the judgements by the thing (main 3), the reading and the place on the thing.
    """

    characteristic: str
    title: str
    row: BasicRow | None
    code: str
    """The procedure on which it was read last."""
    values: Mapping[tuple[Thing, Reading], Mapping[Column, Judgement]]
    readings: tuple[Reading, ...]
    """In the order of the work."""

    @cached_property
    def every(self) -> tuple[Judgement, ...]:
        """All its judgements."""
        return tuple(one for line in self.values.values() for one in line.values())

    @cached_property
    def things(self) -> tuple[Thing, ...]:
        """What it was read of, in the order of the checklist that has most of them."""
        return tuple(dict.fromkeys(thing for thing, _ in self.values))

    @cached_property
    def columns(self) -> tuple[Column, ...]:
        """The places at which it was read, as far as possible in the order of the checklists."""
        return tuple(dict.fromkeys(column for line in self.values.values() for column in line))

    @property
    def unit(self) -> Unit | None:
        """The unit of its values."""
        return next((one.unit for one in self.every if one.unit is not None), None)

    def bands(self, reading: Reading) -> tuple[Band, ...]:
        """The limits that decided at one reading, each once."""
        lines = (line for (_, of), line in self.values.items() if of == reading)
        found = (one.decision.by for line in lines for one in line.values())
        return tuple(dict.fromkeys(band for band in found if band is not None))

    def last(self, thing: Thing) -> tuple[Reading, Mapping[Column, Judgement]] | None:
        """The last reading of a thing."""
        for reading in reversed(self.readings):
            if (thing, reading) in self.values:
                return reading, self.values[thing, reading]
        return None


@dataclass(frozen=True)
class Count:
    """How many values were judged, and to what they came."""

    values: int
    inside: int
    out: int
    no_limit: int
    not_read: int
    suspect: int
    edge: int


def measured(checked: CheckedJob) -> tuple[Measured, ...]:
    """Everything that was read and worked out on a job, in the order of the work."""
    whole = checked.whole
    if whole is None:
        return ()
    said: dict[str, list[tuple[Reading, JudgedSheet, Judgement]]] = {}
    for worked in _in_order(whole):
        for judged in worked.judged:
            reading = Reading(worked.plan.code, str(worked.sheet.run), judged.stage)
            for one in told(judged):
                key = one.characteristic or f"{worked.plan.name} {one.step} {one.name}"
                said.setdefault(key, []).append((reading, judged, one))
    return tuple(map(_measured, said.values()))


def _in_order(whole: Whole) -> list[Worked]:
    """The sheets of a job in the order of the route, a mock-up before the final run."""
    route = [plan.name for plan in whole.plans.route(str(whole.engine.engine))]
    return sorted(whole.sheets, key=lambda one: (route.index(one.plan.name), one.is_final))


def told(judged: JudgedSheet) -> Iterator[Judgement]:
    """The judgements of a sheet that say anything: a value, or why there is none."""
    for one in judged.judgements:
        if one.value is not None or one.verdict is not Verdict.NOT_READ or one.flags:
            yield one


def _measured(every: list[tuple[Reading, JudgedSheet, Judgement]]) -> Measured:
    values: dict[tuple[Thing, Reading], dict[Column, Judgement]] = {}
    for reading, _, one in every:
        line = values.setdefault((thing_at(one.at), reading), {})
        labels, end = _column(one)
        taken = (labels, end) in line
        line[((*labels, one.name.replace("_", " ")) if taken else labels), end] = one
    last_reading, judged, last = every[-1]
    row = row_of(judged.checklist.engine, last.characteristic) if last.characteristic else None
    title = str(row.title) if row is not None else title_of(judged, last)
    order = list(dict.fromkeys(reading for reading, _, _ in every))
    order.sort(key=lambda one: (one.leaves, STAGES.index(one.stage)))
    return Measured(last.characteristic, title, row, last_reading.code, values, tuple(order))


def _column(one: Judgement) -> Column:
    return tuple(str(label) for side, label in one.at.items() if side in PLACES), one.end


def title_of(judged: JudgedSheet, one: Judgement) -> str:
    """What a value without a characteristic is called: the title that its step gives, or its name."""
    for step in judged.checklist.steps:
        if str(step.step.id) != one.step:
            continue
        named = [step.work_outs[name] for name in step.work_outs if str(name) == one.name]
        titles = [out.title for out in named] + [
            grid.measure.title for grid in step.grids if str(grid.name) == one.name
        ]
        if titles and titles[0] is not None:
            return str(titles[0])
    return one.name.replace("_", " ").capitalize()


def left(parts: tuple[Measured, ...]) -> tuple[Judgement, ...]:
    """The values of every part as it leaves: the last reading of each thing, if it is a final one."""
    last = (part.last(thing) for part in parts for thing in part.things)
    return tuple(one for found in last if found and found[0].leaves for one in found[1].values())


def found(parts: tuple[Measured, ...]) -> tuple[Judgement, ...]:
    """The values of every part as it came in."""
    lines = (line for part in parts for (_, of), line in part.values.items() if of.stage == "as_found")
    return tuple(one for line in lines for one in line.values())


def count(every: tuple[Judgement, ...]) -> Count:
    """What values come to; a fit is one value at each of its ends."""
    verdicts = [one.verdict for one in every]
    flags = [str(flag) for one in every for flag in one.flags]
    return Count(
        values=len(every),
        inside=verdicts.count(Verdict.IN),
        out=verdicts.count(Verdict.OUT),
        no_limit=verdicts.count(Verdict.NO_LIMIT),
        not_read=verdicts.count(Verdict.NOT_READ),
        suspect=flags.count("suspect"),
        edge=flags.count("edge"),
    )

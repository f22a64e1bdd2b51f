"""A filled sheet laid out for checking: what stands in each blank, what was done when, and by whom."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import chain

from builder.checklist import ChecklistStep, Labels
from builder.jobs.kinds import Place as Where
from builder.jobs.moments import later, moment
from builder.jobs.plan import FINAL, Place, SheetPlan
from builder.judge import JudgedSheet, Verdict, judge
from builder.judge.quick import Dates
from builder.model.base import Text
from builder.model.job import Job
from builder.model.procedure import STAGES
from builder.model.record import Looked, Reading, Sheet, Signature, Skip, Tick

LAST_STAGES = ("final", "after_run")
"""The stages at which a part is as the owner gets it."""


@dataclass(frozen=True, eq=False)
class Worked:
    """A filled sheet and what it comes to."""

    path: str
    sheet: Sheet
    plan: SheetPlan
    job: Job

    @property
    def is_final(self) -> bool:
        """Whether it is the sheet of the final run."""
        return self.sheet.run == FINAL

    @cached_property
    def steps(self) -> tuple[ChecklistStep, ...]:
        """The steps of its run."""
        return self.plan.runs[str(self.sheet.run)]

    def where(self, step: str = "", at: str = "") -> Where:
        """A place on this sheet."""
        number = self.plan.steps[step].number if step in self.plan.steps else 0
        return Where(self.path, self.plan.code, step, number, at)

    # What stands in the blanks

    @cached_property
    def by_stage(self) -> Mapping[str, Mapping[Place, Reading]]:
        """The reading that stands at each place of each stage: its latest try."""
        found: dict[str, dict[Place, Reading]] = {}
        for reading in self.sheet.readings:
            here = found.setdefault(reading.stage, {})
            place = (reading.step, reading.name, tuple(reading.at.values()))
            if place not in here or here[place].try_ <= reading.try_:
                here[place] = reading
        return {stage: found[stage] for stage in STAGES if stage in found}

    @cached_property
    def read(self) -> frozenset[Place]:
        """The places at which anything was read, whatever the stage."""
        return frozenset(chain.from_iterable(self.by_stage.values()))

    @cached_property
    def stages(self) -> tuple[str, ...]:
        """The stages at which anything was read, in their order."""
        return tuple(self.by_stage)

    @cached_property
    def judged(self) -> tuple[JudgedSheet, ...]:
        """The sheet judged at each of its stages."""
        return tuple(map(self.judged_at, self.stages))

    def judged_at(self, stage: str) -> JudgedSheet:
        """The sheet judged at one stage."""
        if stage not in self._judged:
            self._judged[stage] = judge(self.plan.checklist, self.sheet, self.job, stage)
        return self._judged[stage]

    @cached_property
    def _judged(self) -> dict[str, JudgedSheet]:
        return {}

    def is_clean(self, stage: str) -> bool:
        """Whether nothing read at a stage is out or suspect; a quick look tells it of most sheets."""
        if stage not in self._clean:
            look = self.plan.look(self.job, stage)
            quick = look.is_clean(self.by_stage.get(stage, {}), self._dates)
            self._clean[stage] = quick or is_clean(self.judged_at(stage))
        return self._clean[stage]

    @cached_property
    def _dates(self) -> Dates:
        return Dates(self.job.gauges)

    @cached_property
    def _clean(self) -> dict[str, bool]:
        return {}

    @cached_property
    def looks(self) -> Mapping[Place, Looked]:
        """The last answer to each thing looked at."""
        ordered = sorted(self.sheet.looks, key=lambda one: moment(one.when))
        return {place_of(one): one for one in ordered}

    # What was done

    @cached_property
    def ticks(self) -> Mapping[str, tuple[Tick, ...]]:
        """The marks of each step in the order of their times: a step that was done again has several."""
        found: dict[str, list[Tick]] = {}
        for tick in sorted(self.sheet.ticks, key=lambda one: moment(one.when)):
            found.setdefault(str(tick.step), []).append(tick)
        return {step: tuple(ticks) for step, ticks in found.items()}

    def ticked(self, step: ChecklistStep) -> str:
        """When a step was last marked done; empty when it was not."""
        ticks = self.ticks.get(str(step.step.id))
        return str(ticks[-1].when) if ticks else ""

    @cached_property
    def begun(self) -> str:
        """When the work as it stands was begun: the earliest of the last marks, else of the readings."""
        last = [str(ticks[-1].when) for ticks in self.ticks.values()]
        return min(last or [str(reading.when) for reading in self.sheet.readings], key=moment, default="")

    @cached_property
    def ended(self) -> str:
        """When the last thing was done on it."""
        last = [str(ticks[-1].when) for ticks in self.ticks.values()]
        return max([*last, *(str(one.when) for one in self.sheet.readings)], key=moment, default="")

    @cached_property
    def last_mark(self) -> int:
        """The number of the last step that is marked done; 0 when none is."""
        return max((step.number for step in self.steps if str(step.step.id) in self.ticks), default=0)

    @cached_property
    def unmarked(self) -> tuple[ChecklistStep, ...]:
        """The steps that are not marked done; a hold speaks for its own step, a reason for a skipped one."""
        return tuple(
            step
            for step in self.steps
            if step.hold is None and str(step.step.id) not in self.ticks.keys() | self.skipped
        )

    @cached_property
    def skipped(self) -> frozenset[str]:
        """The steps that are not done as a whole, with a reason on the job or on the sheet."""
        own = {str(one.step) for one in self.sheet.skipped if not one.name and not one.at}
        job = {str(one.step) for one in self.job.skipped if one.procedure == self.plan.name and one.step}
        return frozenset(own | job)

    def skip_at(self, place: Place) -> Skip | None:
        """What the sheet says that is not done at a place; None where it says nothing of it."""
        at = self.plan.at(place) if self.sheet.skipped else {}
        return next((one for one in self.sheet.skipped if _is_of(one, place, at)), None)

    def meets_anything(self, skip: Skip) -> bool:
        """Whether the checklist has anything where something is said not to be done."""
        if not skip.name and not skip.at:
            return str(skip.step) in self.plan.steps
        places = (*self.plan.blanks, *self.plan.look_places)
        return any(_is_of(skip, place, self.plan.at(place)) for place in places)

    @cached_property
    def past(self) -> tuple[str, ...]:
        """The steps of its run that are done: marked, or before a marked one; skipped ones are not."""
        names = ((str(step.step.id), step.number) for step in self.steps)
        done = (name for name, number in names if name in self.ticks or number < self.last_mark)
        return tuple(name for name in done if name not in self.skipped)

    @property
    def is_complete(self) -> bool:
        """Whether every step is marked done."""
        return not self.unmarked

    def readings_up_to(self, number: int) -> list[Reading]:
        """The readings that stand in the steps up to this one, every stage and try."""
        steps = {name for name, step in self.plan.steps.items() if step.number <= number}
        return [reading for reading in self.sheet.readings if reading.step in steps]

    @cached_property
    def _last_changes(self) -> Mapping[str, str]:
        """When the readings of each step were last made or changed."""
        found: dict[str, str] = {}
        for reading in self.sheet.readings:
            if found.get(reading.step, "") < moment(reading.when):
                found[reading.step] = moment(reading.when)
        for one in self.sheet.corrections:
            if found.get(one.of.step, "") < moment(one.when):
                found[one.of.step] = moment(one.when)
        return found

    def last_change_up_to(self, number: int) -> str:
        """When a reading of the steps up to this one was last made or changed; empty when none was."""
        steps = {name for name, step in self.plan.steps.items() if step.number <= number}
        return max((when for step, when in self._last_changes.items() if step in steps), default="")

    def changes_up_to(self, number: int) -> list[str]:
        """When the readings of the steps up to this one were made or changed."""
        steps = {name for name, step in self.plan.steps.items() if step.number <= number}
        corrected = [str(one.when) for one in self.sheet.corrections if one.of.step in steps]
        return [*(str(reading.when) for reading in self.readings_up_to(number)), *corrected]

    # Who did it

    @cached_property
    def initials(self) -> frozenset[str]:
        """Whoever read, marked or looked."""
        entries = (self.sheet.readings, self.sheet.ticks, self.sheet.looks, self.sheet.skipped)
        return frozenset(entry.by for group in entries for entry in group)

    @cached_property
    def doers(self) -> frozenset[str]:
        """Who did the work: whoever marked a step or took a first reading. A second reading is a check."""
        first = {reading.by for reading in self.sheet.readings if reading.try_ == 1}
        return frozenset(first | {tick.by for tick in self.sheet.ticks})

    def signatures(self, hold: str, role: str) -> list[Signature]:
        """The signatures on a hold in a role on this sheet, in the order of their times."""
        return self._signatures.get((hold, role), [])

    @cached_property
    def _signatures(self) -> Mapping[tuple[str, str], list[Signature]]:
        found: dict[tuple[str, str], list[Signature]] = {}
        for one in sorted(self.sheet.holds, key=lambda one: moment(one.when)):
            found.setdefault((one.hold, one.role), []).append(one)
        return found


def place_of(one: Looked) -> Place:
    """Where an answer stands."""
    return one.step, one.name, tuple(one.at.values())


def _is_of(skip: Skip, place: Place, at: Labels) -> bool:
    """Whether a place is among those at which something is not done."""
    step, name, _ = place
    named = skip.step == step and skip.name in ("", name)
    return named and all(at.get(str(side)) == label for side, label in skip.at.items())


def roles_of(job: Job, initials: str) -> tuple[str, ...]:
    """The roles of someone on a job; none for a stranger."""
    person = job.people.get(Text(initials))
    return tuple(map(str, person.role)) if person is not None else ()


def latest(moments: Iterable[str]) -> str:
    """The latest of some moments; empty when there are none."""
    return max(moments, key=moment, default="")


def after(moments: Iterable[str], than: str) -> list[str]:
    """The moments that are later than one."""
    return [one for one in moments if later(one, than)]


def is_clean(judged: JudgedSheet) -> bool:
    """Whether nothing on a judged sheet is out or suspect."""
    doubted = any(one.slip or one.stale or one.doubt or one.unreadable for one in judged.taken)
    return not doubted and not any(one.verdict is Verdict.OUT for one in judged.judgements)

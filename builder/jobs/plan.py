"""What a checklist asks of its sheet, laid out once for all jobs: blanks, things to look at, holds, parts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from itertools import product

from builder.checklist import (
    Blank,
    Checklist,
    ChecklistStep,
    Grid,
    Labels,
    Part,
    Side,
    feature_sides,
    resolve,
)
from builder.edition import edition
from builder.field_code import PLACES
from builder.jobs.pins import Earlier, pin_of
from builder.judge import QuickLook
from builder.judge.sheet import is_untouched, named_in_formulas
from builder.manual import Manual, row
from builder.model.job import Job
from builder.model.procedure import Procedure
from builder.model.record import Sheet
from builder.model.spec import LimitRow

Place = tuple[str, str, tuple[str, ...]]
"""Step, measurement or thing looked at, and labels in the order of its sides."""

Thing = tuple[tuple[str, str], ...]
"""What a value is of: main 3, cylinder 5; empty for a value of the whole engine."""

FINAL = "final"


@dataclass(frozen=True, eq=False)
class SheetPlan:
    """A checklist with what its filled sheets are held against."""

    checklist: Checklist

    @cached_property
    def code(self) -> str:
        """The procedure's code."""
        return str(self.checklist.procedure.code)

    @cached_property
    def edition(self) -> str:
        """The edition of the checklist."""
        return edition(self.checklist)

    @cached_property
    def name(self) -> str:
        """The procedure's id."""
        return str(self.checklist.procedure.procedure)

    @cached_property
    def steps(self) -> Mapping[str, ChecklistStep]:
        """The steps by id."""
        return {str(step.step.id): step for step in self.checklist.steps}

    @cached_property
    def blanks(self) -> Mapping[Place, tuple[Grid, Blank]]:
        """Every blank by its place."""
        return {
            (str(grid.step), str(grid.name), tuple(blank.at.values())): (grid, blank)
            for step in self.checklist.steps
            for grid in step.grids
            for blank in grid.blanks
        }

    @cached_property
    def blanks_of(self) -> Mapping[str, tuple[Place, ...]]:
        """The places of the blanks of each step."""
        found: dict[str, list[Place]] = {}
        for place in self.blanks:
            found.setdefault(place[0], []).append(place)
        return {step: tuple(places) for step, places in found.items()}

    @cached_property
    def things(self) -> Mapping[Place, tuple[str, Thing]]:
        """The characteristic of each blank that has one, and the thing that is read there."""
        return {
            place: (blank.against, thing_at(blank.at))
            for place, (_, blank) in self.blanks.items()
            if blank.against
        }

    @cached_property
    def looks_of(self) -> Mapping[str, tuple[Place, ...]]:
        """The places of what is looked at in each step."""
        return {str(step.step.id): tuple(self._looks(step)) for step in self.checklist.steps if step.looks}

    def at(self, place: Place) -> Labels:
        """The labels of a place by their sides: of a blank, or of something looked at."""
        if place in self.blanks:
            return self.blanks[place][1].at
        step, name, labels = place
        return dict(zip(self.look_sides(step, name), labels, strict=True))

    @cached_property
    def look_places(self) -> frozenset[Place]:
        """The places of everything that is looked at."""
        return frozenset(place for places in self.looks_of.values() for place in places)

    def _looks(self, step: ChecklistStep) -> list[Place]:
        return [
            (str(step.step.id), str(name), labels)
            for name in step.looks
            for labels in product(*(side.labels for side in self._sides(step, str(name))))
        ]

    def _sides(self, step: ChecklistStep, name: str) -> tuple[Side, ...]:
        each = step.looks[name].each
        return tuple(feature_sides(self.checklist.engine, each)) if each else ()

    def look_sides(self, step: str, name: str) -> tuple[str, ...]:
        """The features of which each one is looked at."""
        return tuple(side.name for side in self._sides(self.steps[step], name))

    @cached_property
    def runs(self) -> Mapping[str, tuple[ChecklistStep, ...]]:
        """The steps that each run has."""
        return {
            run: tuple(step for step in self.checklist.steps if step.step.run in (None, run))
            for run in ("mock_up", FINAL)
        }

    @cached_property
    def holds(self) -> Mapping[str, int]:
        """The number of the step at which each of its own holds stands."""
        return {str(step.step.hold): step.number for step in self.checklist.steps if step.hold is not None}

    @cached_property
    def parts(self) -> Mapping[str, Part]:
        """The parts that it takes, by name, each with its largest number."""
        every = [*self.checklist.parts, *(part for step in self.checklist.steps for part in step.parts)]
        return {part.name: part for part in sorted(every, key=lambda part: part.number)}

    @cached_property
    def needs(self) -> tuple[str, ...]:
        """The procedures that come before."""
        return tuple(need for need in self.checklist.needs if not need.startswith("hold "))

    @cached_property
    def needs_holds(self) -> tuple[str, ...]:
        """The holds that stand signed before the first step."""
        return tuple(need.removeprefix("hold ") for need in self.checklist.needs if need.startswith("hold "))

    # The quick look

    @cached_property
    def characteristics(self) -> frozenset[str]:
        """The rows with limits that its readings, worked-out values and formulas speak of."""
        held = {blank.against for _, blank in self.blanks.values() if blank.against}
        outs = {str(out.against) for step in self.checklist.steps for out in step.work_outs.values()}
        return frozenset(held | outs | named_in_formulas(self.checklist))

    @cached_property
    def size_steps(self) -> frozenset[str]:
        """The size steps of a job that move any of them."""
        rows = (row(self.checklist.engine, name) for name in self.characteristics)
        return frozenset(str(step) for one in rows if isinstance(one, LimitRow) for step in one.moves_with)

    def look(self, job: Job, stage: str) -> QuickLook:
        """The quick look for jobs that have the same limits here as this one, made once."""
        key = (stage == "as_found", is_untouched(job, stage), *self._terms(job, stage))
        if key not in self._looks_made:
            self._looks_made[key] = QuickLook.of(self.checklist, job, stage)
        return self._looks_made[key]

    def _terms(self, job: Job, stage: str) -> Iterator[tuple[str, ...]]:
        """What a job says that moves the limits of this checklist at a stage, as plain words."""
        steps = job.came_with if stage == "as_found" else job.sizes
        for name, sizes in steps.items():
            if name in self.size_steps:
                yield (name, *(f"{label}={size.text}" for label, size in sorted(sizes.items())))
        for name, stated in job.supplier.items():
            if name in self.characteristics:
                yield (name, *(f"{at}={cited[0].text}" for at, cited in sorted(stated.by.items())))

    @cached_property
    def _looks_made(self) -> dict[tuple[object, ...], QuickLook]:
        return {}


def thing_at(at: Labels) -> Thing:
    """What a position is a place on."""
    return tuple((str(side), str(label)) for side, label in at.items() if side not in PLACES)


@dataclass(frozen=True, eq=False)
class Plans:
    """The plans of a manual's checklists, each made when it is first asked for and kept."""

    manual: Manual
    earlier: Earlier | None = None
    """What knows the editions before the present one."""
    older: dict[tuple[str, str, str], SheetPlan | None] = field(default_factory=dict)
    made: dict[tuple[str, str], SheetPlan | None] = field(default_factory=dict)
    routes: dict[str, tuple[SheetPlan, ...]] = field(default_factory=dict)

    def plan(self, engine: str, procedure: str) -> SheetPlan | None:
        """The plan of a checklist; None where the family has no such checklist."""
        key = (str(engine), str(procedure))
        if key not in self.made:
            self.made[key] = self._made(*key)
        return self.made[key]

    def _made(self, engine: str, procedure: str) -> SheetPlan | None:
        family, found = self.manual.engines.get(engine), self.manual.procedures.get(procedure)
        if family is None or found is None or not self.manual.applies(found, family):
            return None
        return SheetPlan(resolve(self.manual, family, found))

    def of_sheet(self, job: Job, sheet: Sheet) -> SheetPlan | None:
        """The plan that a sheet is held against: of the edition that it is on, where that can be found."""
        own, pin = self.plan(str(sheet.engine), str(sheet.procedure)), pin_of(job, sheet)
        if own is None or not pin or self.earlier is None or pin == own.edition:
            return own
        key = (str(sheet.engine), str(sheet.procedure), pin)
        if key not in self.older:
            found = self.earlier.checklist(sheet, pin)
            self.older[key] = SheetPlan(found) if found is not None else None
        return self.older[key] or own

    def route(self, engine: str) -> tuple[SheetPlan, ...]:
        """The plans of all checklists of a family in the order of the work."""
        if engine not in self.routes:
            written = (one for one in self.manual.route if isinstance(one, Procedure))
            plans = (self.plan(engine, str(one.procedure)) for one in written)
            self.routes[engine] = tuple(plan for plan in plans if plan is not None)
        return self.routes[engine]

"""A whole job laid out for checking: its sheets, its route, what is done of it and what holds guard it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from builder.checklist import fits
from builder.jobs.plan import Plans, SheetPlan
from builder.jobs.worked import Worked
from builder.manual import Manual
from builder.model.base import Text
from builder.model.engine import Engine
from builder.model.job import Job, PaperSheet
from builder.model.procedure import Hold
from builder.model.record import Signature


@dataclass(frozen=True, eq=False)
class Whole:
    """A job, the sheets of its runs and the manual they are held against."""

    plans: Plans
    engine: Engine
    job: Job
    sheets: tuple[Worked, ...]

    @property
    def manual(self) -> Manual:
        """The manual."""
        return self.plans.manual

    @cached_property
    def final(self) -> Mapping[str, Worked]:
        """The sheets of the final run by procedure."""
        return {one.plan.name: one for one in self.sheets if one.is_final}

    def paper(self, procedure: str) -> PaperSheet | None:
        """The paper on which a procedure is kept, where it is not filed here."""
        return self.job.paper.get(Text(procedure)) if procedure not in self.final else None

    @cached_property
    def left_out(self) -> frozenset[str]:
        """The procedures that are not done on this job, by agreement."""
        return frozenset(str(one.procedure) for one in self.job.skipped if one.step is None)

    @cached_property
    def route(self) -> tuple[SheetPlan, ...]:
        """The checklists of this job in the order of the work, those after its release left out."""
        afterwards = self._afterwards
        return tuple(
            plan
            for plan in self.plans.route(str(self.engine.engine))
            if plan.name not in self.left_out and plan.name not in afterwards
        )

    @cached_property
    def release(self) -> str:
        """The hold that releases the engine; empty where the shop has none."""
        return next((name for name, hold in self.holds.items() if hold.releases), "")

    @cached_property
    def _afterwards(self) -> frozenset[str]:
        """The procedures that wait for the release, and those that wait for one of them."""
        found: set[str] = set(map(str, self.holds[self.release].before)) if self.release else set()
        for plan in self.plans.route(str(self.engine.engine)):
            if self.release and (self.release in plan.needs_holds or found & set(plan.needs)):
                found.add(plan.name)
        return frozenset(found)

    @cached_property
    def holds(self) -> Mapping[str, Hold]:
        """The holds that this family has, in the order of their codes."""
        kept = {
            str(name): hold
            for name, hold in self.manual.holds.items()
            if fits(self.engine, hold.when, hold.unless)
        }
        return dict(sorted(kept.items(), key=lambda item: str(item[1].code)))

    def signatures(self, hold: str, role: str) -> list[tuple[Worked, Signature]]:
        """The signatures on a hold in a role on any sheet."""
        return [(one, signed) for one in self.sheets for signed in one.signatures(hold, role)]

    def guarded(self, hold: str) -> Iterator[Worked]:
        """The final sheets of the procedures that may not begin without a hold, once they are begun."""
        before = set(map(str, self.holds[hold].before))
        for name, worked in self.final.items():
            if (name in before or hold in worked.plan.needs_holds) and worked.begun:
                yield worked


def hold_words(name: str, hold: Hold) -> str:
    """A hold by its code and title: `H11 bearings witnessed`."""
    return f"{hold.code} {str(hold.title or name.replace('-', ' ')).lower()}"

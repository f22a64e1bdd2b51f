"""A family's route: its procedures in order, phase by phase, with what each one waits for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from builder.checklist import fits
from builder.manual import Manual
from builder.model.engine import Engine
from builder.model.procedure import PHASES, Hold, Planned, Procedure
from builder.render import addresses, words
from builder.render.page_parts import Head, Link, Shelf, head, is_invented, page
from builder.render.shell import Heading, Page

MOST_FAMILIES = 4
"""How many families the list of all procedures names beside each."""


@dataclass(frozen=True, slots=True)
class StopView:
    """One procedure on the route; a planned one has no links of its own."""

    id: str
    code: str
    title: Link
    about: str
    planned: str
    links_are: str
    links: tuple[Link, ...]
    needs: tuple[Link, ...]
    guards: tuple[Link, ...]
    holds: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class PhaseView:
    """The procedures of one phase."""

    id: str
    title: str
    stops: tuple[StopView, ...]


@dataclass(frozen=True, slots=True)
class RouteView:
    """A family's route."""

    head: Head
    kit: Link
    phases: tuple[PhaseView, ...]


@dataclass(frozen=True)
class Router:
    """What it takes to lay out the route of a family on the page `here`; without a family, of all."""

    manual: Manual
    here: str
    engine: Engine | None = None

    def phases(self) -> Iterator[PhaseView]:
        """The phases that hold anything, in the order of the work."""
        for phase in PHASES:
            stops = tuple(self.stop(one) for one in self.manual.route if self._here(one, phase))
            if stops:
                yield PhaseView(f"phase-{phase}", words.PHASES[phase], stops)

    def _here(self, procedure: Procedure | Planned, phase: str) -> bool:
        served = self.engine is None or self.manual.applies(procedure, self.engine)
        return served and self.manual.phase_of(procedure) == phase

    def stop(self, procedure: Procedure | Planned) -> StopView:
        """A procedure with what it needs and which holds guard it or stand in it."""
        name = str(procedure.procedure)
        written = isinstance(procedure, Procedure)
        there = addresses.link(self.here, addresses.procedure_page(name)) if written else ""
        guards = tuple(self._hold(key, hold) for key, hold in self._holds() if name in hold.before)
        return StopView(
            id=name,
            code=str(procedure.code),
            title=Link(str(procedure.title), there),
            about=str(procedure.purpose) if isinstance(procedure, Procedure) else "",
            planned="" if written else "planned, not written yet",
            links_are="Open" if self.engine else "Checklist for",
            links=tuple(self.checklists(procedure)) if written else (),
            needs=tuple(need for need in self.needs(procedure) if need not in guards),
            guards=guards,
            holds=tuple(self.holds_in(procedure)),
        )

    def checklists(self, procedure: Procedure | Planned) -> Iterator[Link]:
        """The family's checklist and its printed sheet; without a family, one checklist for each, or all."""
        name = str(procedure.procedure)
        if self.engine:
            family = str(self.engine.engine)
            yield Link("Checklist", addresses.link(self.here, addresses.checklist_page(family, name)))
            yield Link("Printed sheet", addresses.link(self.here, addresses.sheet_page(family, name)))
            return
        families = self.manual.families_of(procedure)
        if len(families) > MOST_FAMILIES:
            there = f"{addresses.procedure_page(name)}#part-serves"
            yield Link(f"{len(families)} families", addresses.link(self.here, there))
            return
        for engine in families:
            there = addresses.checklist_page(str(engine.engine), name)
            yield Link(str(engine.title), addresses.link(self.here, there))

    def needs(self, procedure: Procedure | Planned) -> Iterator[Link]:
        """What must be done before, less what does not apply to the family."""
        for need in procedure.needs:
            found = self._need(str(need))
            if found:
                yield found

    def _need(self, need: str) -> Link | None:
        if need.startswith("hold "):
            name = need.removeprefix("hold ")
            hold = self.manual.holds.get(name)
            return self._hold(name, hold) if hold and self._stands(hold) else None
        other = self.manual.step_named(need)
        if other is None or (self.engine and not self.manual.applies(other, self.engine)):
            return None
        return Link(f"{other.code} {other.title}", addresses.link(self.here, where(other)))

    def holds_in(self, procedure: Procedure | Planned) -> Iterator[Link]:
        """The hold points at which this procedure stops."""
        for step in procedure.steps if isinstance(procedure, Procedure) else ():
            hold = self.manual.holds.get(step.hold) if step.hold else None
            if step.hold and hold and self._stands(hold):
                yield self._hold(str(step.hold), hold)

    def _holds(self) -> Iterator[tuple[str, Hold]]:
        return ((str(name), hold) for name, hold in self.manual.holds.items() if self._stands(hold))

    def _stands(self, hold: Hold) -> bool:
        return self.engine is None or fits(self.engine, hold.when, hold.unless)

    def _hold(self, name: str, hold: Hold) -> Link:
        title = hold.title or words.plain(name).capitalize()
        return Link(f"{hold.code} {title}", addresses.link(self.here, addresses.hold(name)))


def where(procedure: Procedure | Planned) -> str:
    """The page of a procedure, or its line in the list while it is only planned."""
    name = str(procedure.procedure)
    return addresses.procedure_page(name) if isinstance(procedure, Procedure) else addresses.planned(name)


def route_page(manual: Manual, engine: Engine) -> Page:
    """A family's route."""
    family = str(engine.engine)
    here = addresses.engine_page(family, "route")
    phases = tuple(Router(manual, here, engine).phases())
    view = RouteView(
        head(
            here,
            f"Route, {engine.title}",
            "The procedures in the order of the work; a planned one has its place and is not written yet.",
            f"Written from procedures/ for the layout in specs/engines/{family}.yaml.",
            invented=is_invented(engine),
        ),
        Link("Kit and tools for every procedure", addresses.link(here, addresses.engine_page(family, "kit"))),
        phases,
    )
    headings = tuple(Heading(2, phase.id, phase.title) for phase in phases)
    return page(Shelf(here, "Route", ("Engines", str(engine.title))), "route.html", view, headings)

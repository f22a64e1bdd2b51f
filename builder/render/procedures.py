"""The procedures as written, for all families: the list by phases, and a page for each one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from builder.manual import Manual
from builder.manual import row as row_of
from builder.model.engine import Engine
from builder.model.procedure import Procedure
from builder.render import addresses, decided, words
from builder.render.hazards import SafetyBox, hazard_box
from builder.render.holds import need_link
from builder.render.page_parts import Head, Link, Shelf, any_invented, head, page
from builder.render.routes import PhaseView, Router
from builder.render.shell import Heading, Page
from builder.render.spec_tables import instrument
from builder.render.steps import PartView, StepView, Writer, parts
from builder.render.values import Shower, Value


@dataclass(frozen=True, slots=True)
class RedoView:
    """Touch this, redo that."""

    touched: str
    redo: tuple[Link, ...]
    why: str


@dataclass(frozen=True, slots=True)
class ProceduresView:
    """The list of procedures."""

    head: Head
    phases: tuple[PhaseView, ...]
    redo: tuple[RedoView, ...]


@dataclass(frozen=True, slots=True)
class FamilyView:
    """A family that a procedure serves, with its checklist and its sheet."""

    family: Link
    checklist: Link
    sheet: Link


@dataclass(frozen=True, slots=True)
class FamilyValue:
    """What one family states for a characteristic; no values where it has none."""

    family: str
    link: Link | None
    values: tuple[Value, ...]


@dataclass(frozen=True, slots=True)
class CharacteristicView:
    """A characteristic that a procedure speaks of, with each family's values."""

    id: str
    title: str
    families: tuple[FamilyValue, ...]


@dataclass(frozen=True, slots=True)
class ProcedureView:
    """A procedure as written."""

    head: Head
    code: str
    facts: tuple[tuple[str, str], ...]
    needs: tuple[Link, ...]
    guards: tuple[Link, ...]
    tools: tuple[Link, ...]
    parts: tuple[PartView, ...]
    supplies: str
    hazards: tuple[SafetyBox, ...]
    families: tuple[FamilyView, ...]
    columns: tuple[str, ...]
    steps: tuple[StepView, ...]
    characteristics: tuple[CharacteristicView, ...]


def procedures_page(manual: Manual) -> Page:
    """The list of procedures by phases, and what must be done again when something is touched."""
    here = addresses.PROCEDURES
    view = ProceduresView(
        head(
            here,
            "Procedures",
            "One procedure serves every family whose layout fits; its checklist holds the family's values.",
            "Written from procedures/; planned ones stand in procedures/planned.yaml.",
        ),
        tuple(Router(manual, here).phases()),
        tuple(_redo(manual, here)),
    )
    headings = [Heading(2, phase.id, phase.title) for phase in view.phases]
    if view.redo:
        headings.append(Heading(2, "redo", "Touch this, redo that"))
    return page(Shelf(here, "Procedures", ("Procedures",)), "procedures.html", view, tuple(headings))


def _redo(manual: Manual, here: str) -> Iterator[RedoView]:
    for redo in manual.redo:
        again = tuple(need_link(manual, str(name), here) for name in redo.redo)
        yield RedoView(str(redo.title), again, str(redo.why or ""))


HEADINGS = (
    Heading(2, "part-serves", "Checklists"),
    Heading(2, "part-before", "Before you begin"),
    Heading(2, "part-steps", "Steps"),
    Heading(2, "part-values", "Values by family"),
)


def procedure_page(manual: Manual, procedure: Procedure) -> Page:
    """A procedure as written."""
    name = str(procedure.procedure)
    here = addresses.procedure_page(name)
    writer = Writer(manual, procedure, here)
    steps = writer.steps()
    view = ProcedureView(
        head=head(
            here,
            f"{procedure.code} {procedure.title}",
            str(procedure.purpose),
            f"Written from {decided.files(manual, procedure.procedure)}; values from specs/engines/.",
            invented=any_invented(manual),
        ),
        code=str(procedure.code),
        facts=(*_facts(procedure), *_decided(manual, procedure)),
        needs=tuple(need_link(manual, str(need), here) for need in procedure.needs),
        guards=tuple(_guards(manual, name, here)),
        tools=tuple(instrument(manual, str(tool), here) for tool in procedure.tools),
        parts=tuple(parts(procedure.parts)),
        supplies=words.listed(procedure.supplies) if procedure.supplies else "",
        hazards=tuple(hazard_box(manual.hazards[key]) for key in procedure.hazards if key in manual.hazards),
        families=tuple(_family(engine, name, here) for engine in writer.families),
        columns=tuple(str(engine.title) for engine in writer.families),
        steps=steps,
        characteristics=tuple(_characteristics(writer)),
    )
    headings = HEADINGS if view.characteristics else HEADINGS[:-1]
    section = ("Procedures", words.PHASES[manual.phase_of(procedure)])
    return page(Shelf(here, f"{procedure.code} {procedure.title}", section), "procedure.html", view, headings)


def _decided(manual: Manual, procedure: Procedure) -> Iterator[tuple[str, str]]:
    """What the shop decided about the procedure as a whole."""
    for line in decided.of_procedure(procedure, manual.differences):
        yield "Against the base", line


def _facts(procedure: Procedure) -> Iterator[tuple[str, str]]:
    yield "Revision", str(procedure.revision)
    if procedure.approved:
        yield "Approved", f"by {procedure.approved.by} on {procedure.approved.on}"
    else:
        yield "Approved", "not yet"
    yield "Tried", words.VERIFICATIONS.get(procedure.verification, str(procedure.verification))
    serves = words.condition(procedure.applies)
    yield "Serves", f"Engines with {serves}" if serves else "All engines"


def _guards(manual: Manual, name: str, here: str) -> Iterator[Link]:
    """The holds that must be signed before a procedure begins."""
    for key, hold in manual.holds.items():
        if name in hold.before:
            yield need_link(manual, f"hold {key}", here)


def _family(engine: Engine, procedure: str, here: str) -> FamilyView:
    family = str(engine.engine)
    return FamilyView(
        Link(str(engine.title), addresses.link(here, addresses.engine_page(family))),
        Link("Checklist", addresses.link(here, addresses.checklist_page(family, procedure))),
        Link("Printed sheet", addresses.link(here, addresses.sheet_page(family, procedure))),
    )


def _characteristics(writer: Writer) -> Iterator[CharacteristicView]:
    """Every characteristic spoken of, once, in the order in which the steps come to it."""
    for name in writer.spoken() if writer.tabled else ():
        found = [(engine, row_of(engine, name)) for engine in writer.families]
        title = next((str(row.title) for _, row in found if row), name)
        values = tuple(_family_value(writer, engine, name) for engine, _ in found)
        yield CharacteristicView(f"{writer.values}-{name}", title, values)


def _family_value(writer: Writer, engine: Engine, name: str) -> FamilyValue:
    row = row_of(engine, name)
    if row is None:
        return FamilyValue(str(engine.title), None, ())
    there = addresses.link(writer.here, addresses.row(str(engine.engine), name))
    values = Shower(writer.manual, engine, writer.here).values(row)
    in_force = tuple(value for value in values if value.decides or value.kind == "aim")
    return FamilyValue(str(engine.title), Link(str(row.code or row.title), there), in_force or values)


def written(manual: Manual) -> Iterable[Procedure]:
    """Every written procedure in the order of the route."""
    return (procedure for procedure in manual.route if isinstance(procedure, Procedure))

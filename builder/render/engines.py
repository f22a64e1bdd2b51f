"""The families: the list of all, and for each one what it is, its numbering, and what nobody knows yet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from builder.checklist import number_of
from builder.manual import Manual
from builder.model.engine import Engine, Feature
from builder.model.procedure import Planned, Procedure
from builder.model.spec import BasicRow, ScheduleRow
from builder.render import addresses, charts, diagrams, words
from builder.render.lines import Drawing
from builder.render.page_parts import (
    Head,
    Link,
    Shelf,
    any_invented,
    head,
    is_invented,
    page,
)
from builder.render.shell import Heading, Page
from builder.render.values import Cite, Shower

TOLD = ("engine.number_one", "engine.rotation", "engine.firing_order", "crank.thrust_position")
"""Rows in words that belong beside the drawing."""


@dataclass(frozen=True, slots=True)
class Fact:
    """A labelled line."""

    label: str
    text: str
    cites: tuple[Cite, ...] = ()


@dataclass(frozen=True, slots=True)
class Card:
    """A way into a page: its name and what is there."""

    link: Link
    about: str


@dataclass(frozen=True, slots=True)
class Question:
    """Something that nobody knows or nobody wrote yet."""

    code: str
    link: Link
    reason: str


@dataclass(frozen=True, slots=True)
class ChartView:
    """A chart under its heading, and where its values stand."""

    id: str
    title: str
    drawing: Drawing
    values: Link


@dataclass(frozen=True, slots=True)
class EngineView:
    """A family's front page."""

    head: Head
    facts: tuple[Fact, ...]
    cards: tuple[Card, ...]
    drawing: Drawing | None
    charts: tuple[ChartView, ...]
    told: tuple[Fact, ...]
    traits: tuple[Fact, ...]
    counts: tuple[Fact, ...]
    checklists: tuple[Card, ...]
    unknown: tuple[Question, ...]
    planned: tuple[Question, ...]


@dataclass(frozen=True, slots=True)
class EnginesView:
    """The list of families."""

    head: Head
    cards: tuple[Card, ...]


def engines_page(manual: Manual) -> Page:
    """The list of families."""
    here = addresses.ENGINES
    cards = tuple(
        Card(
            Link(str(engine.title), addresses.link(here, addresses.engine_page(str(engine.engine)))),
            f"{_made(engine)}{summary(engine)}",
        )
        for engine in manual.engines.values()
    )
    view = EnginesView(
        head(
            here,
            "Engine families",
            "Engines that share one spec table stand together as a family.",
            "Written from the files in specs/engines/.",
            invented=any_invented(manual),
        ),
        cards,
    )
    return page(Shelf(here, "Engine families", ("Engines",)), "engines.html", view, ())


def engine_page(manual: Manual, engine: Engine) -> Page:
    """A family's front page."""
    family = str(engine.engine)
    here = addresses.engine_page(family)
    shower = Shower(manual, engine, here)
    view = EngineView(
        head=head(
            here,
            str(engine.title),
            str(engine.about or summary(engine)),
            f"Written from specs/engines/{family}.yaml; sources and pages stand beside the values.",
            invented=is_invented(engine),
        ),
        facts=tuple(_facts(engine)),
        cards=tuple(_cards(engine, here)),
        drawing=diagrams.numbering(engine),
        charts=tuple(_charts(engine, here)),
        told=tuple(_told(shower)),
        traits=tuple(
            Fact(words.TRAITS.get(name, words.plain(name)), words.trait(name, value))
            for name, value in engine.layout.items()
        ),
        counts=tuple(_counts(engine)),
        checklists=tuple(_checklists(manual, engine, here)),
        unknown=tuple(_unknown(engine, here)),
        planned=tuple(_planned(manual, engine, here)),
    )
    drawn = tuple(Heading(2, chart.id, chart.title) for chart in view.charts)
    headings = (NUMBERING, *drawn, *HEADINGS)
    return page(Shelf(here, str(engine.title), ("Engines", str(engine.title))), "engine.html", view, headings)


NUMBERING = Heading(2, "numbering", "Cylinders and mains")
HEADINGS = (
    Heading(2, "traits", "What it is"),
    Heading(2, "counts", "What is counted on it"),
    Heading(2, "checklists", "Checklists"),
    Heading(2, "open-questions", "Open questions"),
)


def summary(engine: Engine) -> str:
    """A family in a line: how many cylinders, how they stand, where the valves are, what the mains run in."""
    cylinders, layout = number_of(engine, "cylinder"), engine.layout
    parts = [f"{cylinders} cylinders" if cylinders > 1 else "1 cylinder"]
    parts += [words.trait(name, layout[name]) for name in ("arrangement", "valves") if name in layout]
    if "main_bearings" in layout:
        parts.append(f"mains in {words.trait('main_bearings', layout['main_bearings'])}")
    return ", ".join(parts)


def _made(engine: Engine) -> str:
    return f"Made {engine.made}. " if engine.made else ""


def _facts(engine: Engine) -> Iterator[Fact]:
    if engine.made:
        yield Fact("Made", str(engine.made))
    stated = sum(1 for row in engine.specs.values() if not row.unknown)
    yield Fact("Characteristics", f"{len(engine.specs)}, of which {stated} have a value")
    yield Fact("Sources", str(len(engine.sources)))


def _cards(engine: Engine, here: str) -> Iterator[Card]:
    pages = (
        ("specs", "Spec tables", "Sizes, fits, torques and settings, each with its source and page"),
        ("route", "Route", "The procedures in order, with what each one needs"),
        ("torque", "Torque card", "Values, threads, order and rounds on one page"),
        ("kit", "Kit and tools", "Parts to count before and after, tools for each procedure"),
        ("sources", "Sources", "Which book says what"),
    )
    for name, title, about in pages:
        yield Card(Link(title, addresses.link(here, addresses.engine_page(str(engine.engine), name))), about)
    wall = addresses.link(here, addresses.wall_card(str(engine.engine)))
    yield Card(Link("Wall card", wall), "One page to print: torques, orders, settings, when to stop")


def _told(shower: Shower) -> Iterator[Fact]:
    for name in TOLD:
        row = _row(shower.engine, name)
        for value in shower.values(row) if row else ():
            if row and value.decides:
                yield Fact(str(row.title), str(value.shown), value.cites)


def _charts(engine: Engine, here: str) -> Iterator[ChartView]:
    """The valve timing, and every schedule of the family."""
    timing = charts.valve_timing(engine)
    if timing:
        values = addresses.link(here, addresses.row(str(engine.engine), "cam.intake_opens"))
        yield ChartView("valve-timing", "Valve timing", timing, Link("Values and sources", values))
    for name, row in engine.specs.items():
        drawn = charts.schedule(row) if isinstance(row, ScheduleRow) else None
        if drawn:
            values = addresses.link(here, addresses.row(str(engine.engine), str(name)))
            yield ChartView(f"chart-{name}", str(row.title), drawn, Link("Values and source", values))


def _row(engine: Engine, name: str) -> BasicRow | None:
    return engine.specs.get(name)  # type: ignore[call-overload, no-any-return]


def _counts(engine: Engine) -> Iterator[Fact]:
    for name, found in engine.features.items():
        of = f" for each {words.plain(found.of)}" if found.of else ""
        number = number_of(engine, str(name))
        yield Fact(words.plain(name).capitalize(), f"{number}, named {_names(found)}{of}")


def _names(found: Feature) -> str:
    """The names of a feature; plain numbers in order as a range."""
    counted = [str(number) for number in range(1, len(found.names) + 1)]
    if len(counted) > 3 and list(map(str, found.names)) == counted:  # noqa: PLR2004 - three are soon read
        return f"1 to {counted[-1]}"
    return ", ".join(found.names)


def _checklists(manual: Manual, engine: Engine, here: str) -> Iterator[Card]:
    for procedure in manual.route:
        if isinstance(procedure, Procedure) and manual.applies(procedure, engine):
            there = addresses.checklist_page(str(engine.engine), str(procedure.procedure))
            yield Card(
                Link(f"{procedure.code} {procedure.title}", addresses.link(here, there)),
                str(procedure.purpose),
            )


def _unknown(engine: Engine, here: str) -> Iterator[Question]:
    for name, row in engine.specs.items():
        if row.unknown:
            there = addresses.link(here, addresses.row(str(engine.engine), str(name)))
            yield Question(str(row.code or ""), Link(str(row.title), there), str(row.unknown))


def _planned(manual: Manual, engine: Engine, here: str) -> Iterator[Question]:
    for procedure in manual.route:
        if isinstance(procedure, Planned) and manual.applies(procedure, engine):
            there = addresses.link(here, addresses.planned(str(procedure.procedure)))
            yield Question(str(procedure.code), Link(str(procedure.title), there), "not written yet")

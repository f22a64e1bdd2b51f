"""A family's spec tables: every characteristic with its limits, in groups by code."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from builder.manual import Manual
from builder.manual import row as row_of
from builder.model.engine import Engine
from builder.model.procedure import Procedure
from builder.model.spec import LIMIT_KINDS, BasicRow, LimitRow, StepsRow
from builder.render import addresses, decided, words
from builder.render.formula_words import Reader
from builder.render.page_parts import Head, Link, Shelf, head, is_invented, lowered, page
from builder.render.shell import Heading, Page
from builder.render.values import Cite, Shower, Value, measure, printed, quantity, rows_by_group


@dataclass(frozen=True, slots=True)
class RowView:
    """A characteristic: its name, what it states, and everything that one must know of it."""

    id: str
    code: str
    title: str
    values: tuple[Value, ...]
    lines: int
    unknown: str
    condition: str
    instrument: Link | None
    facts: tuple[str, ...]
    read_in: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class GroupView:
    """The characteristics whose codes begin alike, under their trade heading."""

    id: str
    title: str
    rows: tuple[RowView, ...]


@dataclass(frozen=True, slots=True)
class KindView:
    """A limit kind explained beside its mark."""

    kind: str
    label: str
    meaning: str


@dataclass(frozen=True, slots=True)
class SpecsView:
    """The spec tables of a family."""

    head: Head
    groups: tuple[GroupView, ...]
    kinds: tuple[KindView, ...]
    sources: tuple[Cite, ...]


def specs_page(manual: Manual, engine: Engine) -> Page:
    """The spec tables of a family."""
    family = str(engine.engine)
    here = addresses.engine_page(family, "specs")
    shower = Shower(manual, engine, here)
    groups = tuple(_groups(shower, _readers(manual, engine)))
    view = SpecsView(
        head=head(
            here,
            f"Spec tables, {engine.title}",
            "Every value stands with whose limit it is, and with its source and page. "
            "Converted values are rounded inward, so that they never widen a limit.",
            f"Every number on this page comes from {decided.files(manual, engine.engine)}.",
            invented=is_invented(engine),
        ),
        groups=groups,
        kinds=tuple(_kinds(engine)),
        sources=tuple(_sources(engine, here)),
    )
    headings = tuple(Heading(2, group.id, group.title) for group in groups)
    shelf = Shelf(here, "Spec tables", ("Engines", str(engine.title)), "wide")
    return page(shelf, "specs.html", view, headings)


def _sources(engine: Engine, here: str) -> Iterator[Cite]:
    for name, source in engine.sources.items():
        full = ", ".join(part for part in (source.title, source.edition) if part)
        yield Cite(str(name), full, addresses.link(here, addresses.source(str(name), str(engine.engine))))


def _kinds(engine: Engine) -> Iterator[KindView]:
    """The limit kinds that the family states, explained once."""
    stated = {kind for row in engine.specs.values() for kind in LIMIT_KINDS if getattr(row, kind, None)}
    for kind, said in words.LIMITS.items():
        if kind in stated:
            yield KindView(kind, said.label, said.meaning)


def _groups(shower: Shower, readers: Mapping[str, tuple[Link, ...]]) -> Iterator[GroupView]:
    for prefix, rows in rows_by_group(shower.engine):
        views = tuple(row_view(shower, str(name), row, readers.get(str(name), ())) for name, row in rows)
        yield GroupView(f"group-{prefix or 'other'}", words.GROUPS.get(prefix, words.OTHER_GROUP), views)


def row_view(shower: Shower, name: str, row: BasicRow, read_in: tuple[Link, ...] = ()) -> RowView:
    """A characteristic as its table shows it."""
    values = shower.values(row)
    return RowView(
        id=name,
        code=str(row.code or ""),
        title=str(row.title),
        values=values,
        lines=max(len(values), 1),
        unknown=str(row.unknown or "") if not values else "",
        condition=printed(row.condition or ""),
        instrument=instrument(shower.manual, str(row.instrument), shower.here) if row.instrument else None,
        facts=(
            *facts(row, _follows(shower.engine, row)),
            *decided.of_row(shower.manual, str(shower.engine.engine), name),
        ),
        read_in=read_in,
    )


def instrument(manual: Manual, name: str, here: str) -> Link:
    """A tool or instrument: by its title with a link where the shop declares it, else in plain words."""
    found = manual.instruments.get(name)
    if found is None:
        return Link(words.plain(name))
    return Link(str(found.title), addresses.link(here, addresses.instrument(name)))


def _follows(engine: Engine, row: BasicRow) -> str:
    """The formula of a row's mates in words, each mate by its title; empty where there is none."""
    if not isinstance(row, LimitRow) or row.follows is None:
        return ""
    return Reader(lambda name: _title_inside(engine, name), ()).words(row.follows.node)


def _title_inside(engine: Engine, name: str) -> str:
    found = row_of(engine, name)
    return lowered(str(found.title)) if found else name


def facts(row: BasicRow, follows: str = "") -> Iterator[str]:
    """Everything else that a row says, each as a line of words; `follows` is its formula in words."""
    if row.each:
        yield f"One for each {words.plain(row.each)}."
    if isinstance(row, LimitRow):
        yield from _limit_facts(row, follows)
    if isinstance(row, StepsRow) and row.step:
        yield f"The job's {words.plain(row.step)} is one of these."
    yield from (printed(said) for said in (row.why, row.note) if said)
    if row.words:
        yield f"Also called: {', '.join(row.words)}."


def _limit_facts(row: LimitRow, follows: str) -> Iterator[str]:
    if row.at:
        yield f"Read at {quantity(row.at.quantity)}."
    if row.per:
        yield f"For each {quantity(row.per.quantity)} of {row.per.of}."
    if row.of:
        yield f"Of {row.of}."
    if row.same:
        yield f"Holds between mates of the same {row.same}."
    yield from _moves(row)
    yield from _torque_facts(row)
    if row.follows:
        yield f"Follows from its mates: {follows or row.follows.text}."
    if row.differs:
        yield f"Differs from its mates on purpose: {row.differs}"
    if row.waiver:
        yield f"A coarse instrument may judge it: {row.waiver}"


def _torque_facts(row: LimitRow) -> Iterator[str]:
    if row.threads:
        yield f"Threads {row.threads}."
    if row.order:
        yield f"Order: {order(row)}."
    if row.rounds:
        yield f"Rounds: {rounds(row)}."


def order(row: LimitRow) -> str:
    """The tightening order with room to break the line; empty where none is stated."""
    return row.order.body.replace("-", " - ") if row.order else ""


def rounds(row: LimitRow) -> str:
    """The rounds of a torque with their units as a page prints them; empty where none are stated."""
    return ", ".join(_round(part.strip()) for part in row.rounds.body.split(",")) if row.rounds else ""


def _round(text: str) -> str:
    return str(measure(text)) if text[:1].isdigit() else text


def _moves(row: LimitRow) -> Iterator[str]:
    for step, factor in row.moves_with.items():
        way = "down" if factor.startswith("-") else "up"
        times = factor.lstrip("+-")
        amount = "" if times == "1" else f" by {times} of it"
        yield f"Moves {way} with the job's {words.plain(step)}{amount}."


def _readers(manual: Manual, engine: Engine) -> Mapping[str, tuple[Link, ...]]:
    """The procedures that read or work out each characteristic of a family, with links to the steps."""
    here = addresses.engine_page(str(engine.engine), "specs")
    found: dict[str, dict[str, Link]] = {}
    for procedure in manual.route:
        if isinstance(procedure, Procedure) and manual.applies(procedure, engine):
            for name, step in judged(procedure):
                there = addresses.link(here, addresses.step(str(procedure.procedure), step))
                found.setdefault(name, {}).setdefault(str(procedure.code), Link(str(procedure.code), there))
    return {name: tuple(links.values()) for name, links in found.items()}


def judged(procedure: Procedure) -> Iterator[tuple[str, str]]:
    """The characteristics that a procedure holds readings against, each with the step that does it."""
    for step in procedure.steps:
        for reading in step.measure.values():
            yield from ((str(name), str(step.id)) for name in (reading.against or {}).values())
        yield from ((str(out.against), str(step.id)) for out in step.work_out.values() if out.against)

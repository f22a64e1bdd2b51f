"""A family's torque card: every nut and bolt with value, threads, order and rounds, fit for the wall."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from builder.manual import Manual
from builder.model.engine import Engine
from builder.model.spec import BasicRow, LimitRow
from builder.render import addresses
from builder.render.lines import Drawing
from builder.render.page_parts import Head, Link, Shelf, head, is_invented, page
from builder.render.shell import Heading, Page
from builder.render.spec_tables import order, rounds
from builder.render.tightening import tightening
from builder.render.values import Shower, Value, printed


@dataclass(frozen=True, slots=True)
class TorqueView:
    """One kind of fastener: how tight, in what state, in which order."""

    id: str
    code: str
    title: Link
    count: str
    values: tuple[Value, ...]
    threads: str
    order: str
    rounds: str
    condition: str
    why: str
    drawing: Drawing | None


@dataclass(frozen=True, slots=True)
class WallView:
    """Another value that hangs on the wall."""

    code: str
    title: Link
    values: tuple[Value, ...]
    condition: str


@dataclass(frozen=True, slots=True)
class CardView:
    """A family's torque card."""

    head: Head
    torques: tuple[TorqueView, ...]
    wall: tuple[WallView, ...]


HEADINGS = (Heading(2, "torques", "Torques"), Heading(2, "wall", "Also on the wall"))


def torque_page(manual: Manual, engine: Engine) -> Page:
    """A family's torque card."""
    family = str(engine.engine)
    here = addresses.engine_page(family, "torque")
    shower = Shower(manual, engine, here)
    view = CardView(
        head(
            here,
            f"Torque card, {engine.title}",
            "The value in force for each fastener. Oiled threads and dry ones do not take the same torque.",
            f"Every number on this page comes from specs/engines/{family}.yaml.",
            invented=is_invented(engine),
        ),
        tuple(torques(shower)),
        tuple(wall(shower)),
    )
    headings = HEADINGS if view.wall else HEADINGS[:1]
    shelf = Shelf(here, "Torque card", ("Engines", str(engine.title)), "wide")
    return page(shelf, "torque.html", view, headings)


def _fasteners(engine: Engine) -> Iterator[tuple[str, LimitRow]]:
    """The torques of fasteners; what the engine gives at the flywheel is left out."""
    for name, row in engine.specs.items():
        if (
            isinstance(row, LimitRow)
            and row.kind == "torque"
            and (row.threads or str(row.code).startswith("FAS-"))
        ):
            yield str(name), row


def torques(shower: Shower) -> Iterator[TorqueView]:
    """Every fastener's torque."""
    for name, row in _fasteners(shower.engine):
        yield TorqueView(
            id=name,
            code=str(row.code or ""),
            title=_title(shower, name, row),
            count=_count(shower, row),
            values=in_force(shower, row),
            threads=str(row.threads or "not stated"),
            order=order(row),
            rounds=rounds(row),
            condition=printed(row.condition or ""),
            why=printed(row.why or ""),
            drawing=tightening(shower.engine, row),
        )


def wall(shower: Shower) -> Iterator[WallView]:
    """The other values that are marked for the wall."""
    torques = {name for name, _ in _fasteners(shower.engine)}
    for name, row in shower.engine.specs.items():
        if row.wall_card and name not in torques:
            title = _title(shower, str(name), row)
            yield WallView(str(row.code or ""), title, in_force(shower, row), printed(row.condition or ""))


def _title(shower: Shower, name: str, row: BasicRow) -> Link:
    there = addresses.row(str(shower.engine.engine), name)
    return Link(str(row.title), addresses.link(shower.here, there))


def in_force(shower: Shower, row: BasicRow) -> tuple[Value, ...]:
    """What decides; a row without limit kinds (a schedule, a thing seen) shows all it says."""
    values = shower.values(row)
    return tuple(value for value in values if value.decides) or values


def _count(shower: Shower, row: LimitRow) -> str:
    """How many there are, from the count whose code differs only in its last letter."""
    stem = _stem(row)
    for other in shower.engine.specs.values():
        if other.kind == "count" and stem and _stem(other) == stem:
            return ", ".join(str(value.shown) for value in in_force(shower, other))
    return ""


def _stem(row: BasicRow) -> str:
    return str(row.code or "").rstrip("abcdefghijklmnopqrstuvwxyz")

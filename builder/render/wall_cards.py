"""A family's wall card: torques, orders as drawings, values for the wall, when to stop; on one page."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from hashlib import sha256
from typing import Final

from markupsafe import Markup

from builder.checklist import Checklist, fits
from builder.formula.nodes import names_of
from builder.manual import Manual
from builder.manual import row as row_of
from builder.model.base import Text
from builder.model.engine import Engine
from builder.model.procedure import IfOut
from builder.render import addresses
from builder.render.checklist_steps import Writer
from builder.render.environment import render
from builder.render.holds import hold_title
from builder.render.page_parts import is_invented
from builder.render.paper import of_family, stylesheet
from builder.render.shell import Asset
from builder.render.torque_cards import TorqueView, WallView, in_force, torques, wall
from builder.render.values import Shower

SCALE: Final = 0.18
"""Millimetres of the card for each unit of a drawing."""

WIDTH: Final = re.compile(r' width="([\d.]+)"')

LAST_PHASE: Final = "test"
"""The phase in which the engine runs, and may have to be stopped."""


@dataclass(frozen=True, slots=True)
class StopView:
    """When the engine is stopped: the limits that are broken then, each with its value, and what follows."""

    code: str
    limits: tuple[tuple[str, str], ...]
    do: str


@dataclass(frozen=True, slots=True)
class HoldLine:
    """A hold in a line: what must be signed, and the letters of the roles that sign."""

    code: str
    title: str
    by: str


@dataclass(frozen=True, slots=True)
class WallCardView:
    """A wall card; `card` tells one state of the manual from another."""

    title: str
    invented: str
    style: Markup
    torques: tuple[TorqueView, ...]
    drawings: tuple[tuple[str, Markup], ...]
    wall: tuple[WallView, ...]
    stops: tuple[StopView, ...]
    holds: tuple[HoldLine, ...]
    card: str


def wall_cards(manual: Manual) -> Iterator[Asset]:
    """The wall card of every family."""
    for engine in manual.engines.values():
        yield Asset(addresses.wall_card(str(engine.engine)), wall_card(manual, engine))


def wall_card(manual: Manual, engine: Engine) -> str:
    """A family's wall card as a whole document that needs nothing beside itself."""
    view = card_view(manual, engine)
    told = sha256(repr(replace(view, style=Markup())).encode()).hexdigest()[:8]
    return render("wall_card.html", replace(view, card=told))


def card_view(manual: Manual, engine: Engine) -> WallCardView:
    """A wall card in finished words."""
    shower = Shower(manual, engine, addresses.wall_card(str(engine.engine)))
    marked = tuple(one for one in torques(shower) if engine.specs[Text(one.id)].wall_card)
    return WallCardView(
        title=str(engine.title),
        invented="Invented for demonstration." if is_invented(engine) else "",
        style=Markup(stylesheet("wall-card") + stylesheet("sheet-drawings")),  # noqa: S704 - our own files
        torques=marked,
        drawings=tuple(
            (one.title.text, _scaled(one.drawing.svg))
            for one in marked
            if one.drawing and not one.order.startswith("any")
        ),
        wall=tuple(wall(shower)),
        stops=tuple(_stops(shower)),
        holds=tuple(_holds(manual, engine)),
        card="",
    )


def _scaled(svg: Markup) -> Markup:
    """A drawing in the scale of the card, so that all boxes on it are alike."""
    return Markup(WIDTH.sub(lambda found: f' width="{float(found[1]) * SCALE:g}mm"', svg, count=1))  # noqa: S704


def _stops(shower: Shower) -> Iterator[StopView]:
    """The rules of the running engine that begin with the word stop."""
    for checklist in of_family(shower.manual, shower.engine):
        if shower.manual.phase_of(checklist.procedure) == LAST_PHASE:
            writer = Writer(checklist, shower.here)
            for step in checklist.steps:
                for rule in step.if_out:
                    if rule.do.text.lower().startswith("stop"):
                        yield _stop(shower, checklist, writer, rule)


def _stop(shower: Shower, checklist: Checklist, writer: Writer, rule: IfOut) -> StopView:
    """A rule by the limits that it holds a reading against."""
    named = dict.fromkeys(name.name for name in names_of(rule.when.node))
    rows = [row for name in named if (row := row_of(shower.engine, name)) is not None]
    limits = [
        (str(row.title), "; ".join(str(value.shown) for value in in_force(shower, row))) for row in rows
    ]
    do = "".join(stretch.text for stretch in writer.sentence(rule.do))
    return StopView(str(checklist.procedure.code), tuple(limits), do)


def _holds(manual: Manual, engine: Engine) -> Iterator[HoldLine]:
    """The holds that stand on this family, in the order of their codes."""
    for name, hold in sorted(manual.holds.items(), key=lambda item: str(item[1].code)):
        if fits(engine, hold.when, hold.unless):
            by = " ".join(str(role)[:1].upper() for role in hold.by)
            yield HoldLine(str(hold.code), hold_title(str(name), hold), by)

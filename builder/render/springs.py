"""A valve spring drawn at each of its heights, with the load at each, its close coils to the seat."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from markupsafe import Markup

from builder.limit import Limit
from builder.manual import row as row_of
from builder.model.engine import Engine
from builder.model.spec import LimitRow
from builder.model.written import Cited
from builder.render.lines import Drawing, drawing, line, path, text
from builder.render.values import printed

HEIGHTS: Final = (
    ("free", "spring.free_length", ""),
    ("valve shut", "spring.installed_height", "spring.load_closed"),
    ("valve open", "", "spring.load_open"),
    ("solid", "spring.solid_height", ""),
)
"""A height's name, the row that gives it, and the load at it; an open valve's height is that of its load."""

PITCH: Final = 150
TALLEST: Final = 190
HALF: Final = 32
SEAT: Final = 216
COILS: Final = 6
CLOSE: Final = 2
"""Coils that lie close together at the end toward the seat."""


@dataclass(frozen=True, slots=True)
class Height:
    """A height with its words: how high, in the row's unit, and the limits as printed."""

    name: str
    value: float
    printed: str
    load: str


def spring(engine: Engine) -> Drawing | None:
    """Draw the valve spring of a family at its heights; None where fewer than two are known."""
    known = [height for names in HEIGHTS if (height := _height(engine, *names))]
    if len(known) < 2:  # noqa: PLR2004 - one height alone compares with nothing
        return None
    tallest = max(height.value for height in known)
    parts = [part for place, height in enumerate(known) for part in _spring(place, height, TALLEST / tallest)]
    width = PITCH * len(known)
    seat = line(8, SEAT, width - 8, SEAT, "gl-line")
    said = _said(known)
    return Drawing(drawing(width, SEAT + 66, said, [seat, *parts]), said)


def _height(engine: Engine, name: str, height: str, load: str) -> Height | None:
    pull, stated = row_of(engine, load), _stated(engine, height)
    force = _stated(engine, load)
    words = printed(force.body) if force else ""
    if stated is not None:
        bounds = [end for end in (stated.value.low, stated.value.high) if end is not None]
        return Height(name, float(sum(bounds)) / len(bounds), printed(stated.body), words) if bounds else None
    if isinstance(pull, LimitRow) and pull.at is not None:
        own = pull.at.quantity
        return Height(name, float(own.value), f"{own.number.text} {own.unit.label}", words)
    return None


def _stated(engine: Engine, name: str) -> Cited[Limit] | None:
    """What the book says of a row, else the shop, else the sheet in the box."""
    row = row_of(engine, name)
    stated = row.new or row.shop or row.supplier if isinstance(row, LimitRow) else None
    return stated.at() if stated else None


def _spring(place: int, height: Height, scale: float) -> Iterator[Markup]:
    """One spring on its seat: the coils, how high it stands, and its words under the seat."""
    middle, top = PITCH * (place + 0.5) - 14, SEAT - height.value * scale
    yield path(_coils(middle, top), "gl-line")
    yield line(middle - HALF - 8, top, middle + HALF + 34, top, "gl-line-thin")
    yield line(middle + HALF + 24, top, middle + HALF + 24, SEAT, "gl-line-thin")
    yield text(middle + 14, SEAT + 20, height.name, "gl-text gl-text-strong", 14)
    yield text(middle + 14, SEAT + 40, height.printed, "gl-text", 13)
    yield text(middle + 14, SEAT + 58, height.load, "gl-text", 13)


def _coils(middle: float, top: float) -> str:
    """A zigzag from seat to top: two close coils at the seat, the rest evenly over what is left."""
    close = min(9.0, (SEAT - top) / (COILS + CLOSE))
    feet = [SEAT - number * close for number in range(CLOSE + 1)]
    pitch = (feet[-1] - top) / COILS
    feet += [feet[-1] - number * pitch for number in range(1, COILS + 1)]
    course = [f"M{middle - HALF:g} {SEAT:g}H{middle + HALF:g}"]
    for foot, head in pairwise(feet):
        course.append(f"L{middle - HALF:.1f} {(foot + head) / 2:.1f}L{middle + HALF:.1f} {head:.1f}")
    return "".join([*course, f"H{middle - HALF:g}"])


def _said(known: list[Height]) -> str:
    heights = "; ".join(", ".join(filter(None, (f"{one.name} {one.printed}", one.load))) for one in known)
    return f"Valve spring on its seat, close coils to the seat: {heights}. Heights to one scale."

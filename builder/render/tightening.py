"""The order in which nuts are tightened, drawn where they stand: each box with its turn and its name."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from itertools import pairwise
from typing import Final

from markupsafe import Markup

from builder.manual import feature
from builder.model.engine import Engine, Feature
from builder.model.spec import LimitRow
from builder.render import words
from builder.render.lines import Drawing, drawing, rectangle, text
from builder.render.standing import banks, from_above, letter

PITCH: Final = 46
"""From one nut to the next in a row."""

LANE: Final = 64
"""From one row to the next; half of it again between two heads."""

BOX: Final = 38
EDGE: Final = 40
"""What stays free at either end, for the words front and rear."""

IN_LINE: Final = frozenset({"main", "cylinder", "crankpin", "rod", "cam_bearing", "rocker_stand"})
"""Features that stand one behind the other where their table says nothing else."""

Rows = tuple[tuple[str, ...], ...]


def tightening(engine: Engine, row: LimitRow) -> Drawing | None:
    """Draw a tightening order over nuts whose places are known; None where they are not, and of one nut."""
    found = feature(engine, str(row.each))
    rows = from_above(engine, rows_of(str(row.each), found)) if found else ()
    turns = turns_of(row.order.body, rows) if row.order and rows else None
    if found is None or turns is None or sum(map(len, rows)) == 1:
        return None
    said = _said(row, found, turns)
    tops = tuple(_tops(rows, 26 if found.first_row else 10))
    parts = [
        part
        for top, nuts in zip(tops, rows, strict=True)
        for place, name in enumerate(nuts)
        for part in _nut(place, top, name, turns.get(name))
    ]
    width, height = 2 * EDGE + PITCH * max(map(len, rows)), tops[-1] + LANE
    return Drawing(drawing(width, height, said, [*parts, *_sides(found, width, height)]), said)


def rows_of(name: str, found: Feature) -> Rows:
    """The rows in which a feature stands from front to rear; none where nobody says."""
    if found.rows:
        return found.rows
    return tuple(banks(map(str, found.names))) if name in IN_LINE else ()


def turns_of(order: str, rows: Rows) -> Mapping[str, int] | None:
    """The turn of each name: listed one by one, or from the middle of each row outward; empty for any order.

    Two that lie equally far from the middle have the same turn. None where the words say no order of these.
    """
    listed = order.split("-")
    if sorted(listed) == sorted(name for row in rows for name in row):
        return {name: turn for turn, name in enumerate(listed, 1)}
    if order.split()[:1] == ["any"]:
        return {}
    if "middle outward" in order:
        return {name: turn for row in rows for name, turn in _outward(row)}
    return None


def _outward(row: tuple[str, ...]) -> Iterator[tuple[str, int]]:
    away = [abs(2 * place - (len(row) - 1)) for place in range(len(row))]
    turns = {distance: turn for turn, distance in enumerate(sorted(set(away)), 1)}
    yield from zip(row, (turns[distance] for distance in away), strict=True)


def _tops(rows: Rows, first: int) -> Iterator[int]:
    """The upper edge of each row; two heads stand farther apart than two rows of one."""
    top = first
    yield top
    for above, below in pairwise(rows):
        top += LANE if letter(above[0]) == letter(below[0]) else LANE * 3 // 2
        yield top


def _said(row: LimitRow, found: Feature, turns: Mapping[str, int]) -> str:
    title = words.plain(row.each or "").capitalize()
    side = f", {found.first_row} above" if found.first_row else ""
    order = row.order.body.replace("-", " - ") if turns and row.order else "any"
    names = " In each box its turn, below it its number." if turns else ""
    return f"{title} order, front at the left{side}: {order}.{names} Not to scale."


def _nut(place: int, top: int, name: str, turn: int | None) -> Iterable[Markup]:
    across = EDGE + PITCH * (place + 0.5)
    yield rectangle(across - BOX / 2, top, BOX, BOX, "gl-fill")
    if turn is None:
        yield text(across, top + 26, name, "gl-text", 18)
        return
    yield text(across, top + 27, str(turn), "gl-text gl-text-strong", 22)
    yield text(across, top + 54, name, "gl-text gl-text-small", 13)


def _sides(found: Feature, width: int, height: int) -> Iterable[Markup]:
    yield text(14, height / 2, "front", "gl-text", 14, turned=True)
    if found.first_row:
        yield text(width / 2, 16, found.first_row, "gl-text", 14)

"""Charts of a family's values: the run-in stages over time, the valve timing round the crank."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import cos, radians, sin
from typing import Final

from markupsafe import Markup

from builder.diagnostics import Fault
from builder.dimension import TIME
from builder.manual import row as row_of
from builder.model.engine import Engine
from builder.model.spec import LimitRow, ScheduleRow
from builder.quantity import Quantity
from builder.render.lines import Drawing, circle, drawing, label, line, path, text
from builder.render.values import printed
from builder.sequence import read_row
from builder.units import unit

# The stages of a schedule over time

LANE: Final = 92
LONG: Final = 380
LEFT: Final = 12


def schedule(row: ScheduleRow) -> Drawing | None:
    """Draw a schedule, each column a lane of steps over the time; None where no column is a time."""
    columns = _columns(row)
    times = next((column for column in columns.values() if column[0].unit.dimension == TIME), None)
    if times is None:
        return None
    ends = _ends(times)
    lanes = {name: column for name, column in columns.items() if column is not times}
    parts = [
        part
        for place, (name, column) in enumerate(lanes.items())
        for part in _lane(place, name, column, ends)
    ]
    foot = LANE * len(lanes)
    parts += [_time(ends, place, foot, times) for place in range(len(times))]
    said = _stages_said(columns)
    return Drawing(drawing(LONG + 2 * LEFT, foot + 24, said, parts), said)


def _columns(row: ScheduleRow) -> dict[str, tuple[Quantity, ...]]:
    """The columns by name; empty where a stage leaves one out or does not read."""
    try:
        units = {str(name): unit(str(symbol)) for name, symbol in row.columns.items()}
        stages = [read_row(line, units) for line in row.rows]
    except Fault:
        return {}
    whole = [tuple(cell for cell in stage if cell) for stage in stages]
    if any(len(stage) < len(units) for stage in whole):
        return {}
    return dict(zip(units, zip(*whole, strict=True), strict=False))


def _ends(times: tuple[Quantity, ...]) -> tuple[float, ...]:
    """Where each stage begins and the last one ends, across the drawing."""
    total, passed, ends = float(sum(each.base for each in times)) or 1.0, 0.0, [float(LEFT)]
    for each in times:
        passed += float(each.base)
        ends.append(LEFT + LONG * passed / total)
    return tuple(ends)


def _lane(place: int, name: str, column: tuple[Quantity, ...], ends: tuple[float, ...]) -> Iterator[Markup]:
    foot = LANE * (place + 1) - 6
    most = max(float(each.value) for each in column) or 1.0
    heights = [foot - 46 * float(each.value) / most for each in column]
    yield label(LEFT, LANE * place + 16, f"{name}, {column[0].unit.label}")
    yield line(LEFT, foot, LEFT + LONG, foot, "gl-line-thin")
    course = " ".join(
        f"H{end:g} V{after:g}" for end, after in zip(ends[1:], [*heights[1:], foot], strict=True)
    )
    yield path(f"M{ends[0]:g} {foot:g} V{heights[0]:g} {course}", "gl-line")
    for (start, end), height, each in zip(pairwise(ends), heights, column, strict=True):
        yield text((start + end) / 2, height - 5, each.number.text, "gl-text gl-text-strong", 13)


def _time(ends: tuple[float, ...], place: int, foot: float, times: tuple[Quantity, ...]) -> Markup:
    middle = (ends[place] + ends[place + 1]) / 2
    shown = times[place].number.text
    return text(
        middle, foot + 12, f"{shown} {times[place].unit.label}" if place == 0 else shown, "gl-text", 12
    )


def _stages_said(columns: dict[str, tuple[Quantity, ...]]) -> str:
    stages = zip(*columns.values(), strict=True)
    said = [", ".join(f"{each.number.text} {each.unit.label}" for each in stage) for stage in stages]
    return f"Stages: {'; '.join(said)}."


# Valve timing round the crank

EVENTS: Final = {
    "cam.intake_opens": ("inlet opens", "IO"),
    "cam.intake_closes": ("inlet closes", "IC"),
    "cam.exhaust_opens": ("exhaust opens", "EO"),
    "cam.exhaust_closes": ("exhaust closes", "EC"),
}
INLET: Final = 78
EXHAUST: Final = 62
MIDDLE: Final = (170, 150)


@dataclass(frozen=True, slots=True)
class Event:
    """An opening or closing: what it is, its letters, degrees clockwise from top dead centre, as printed."""

    name: str
    letters: str
    degrees: float
    printed: str


def valve_timing(engine: Engine) -> Drawing | None:
    """Draw when the valves open and close, clockwise from top dead centre; None without all four events."""
    events = [event for key, names in EVENTS.items() if (event := _event(engine, key, names))]
    if len(events) < len(EVENTS):
        return None
    opens, closes, lets_out, shuts = events
    parts = [*_circle(), _arc(opens, closes, INLET), _arc(lets_out, shuts, EXHAUST)]
    parts += [part for event in events for part in _mark(event)]
    named = "; ".join(f"{event.name} {event.printed}" for event in events)
    said = f"Valve timing, clockwise from top dead centre: {named}. Outer arc inlet, inner arc exhaust."
    return Drawing(drawing(2 * MIDDLE[0], 2 * MIDDLE[1], said, parts), said)


def _event(engine: Engine, key: str, names: tuple[str, str]) -> Event | None:
    row = row_of(engine, key)
    stated = (row.new or row.shop or row.supplier) if isinstance(row, LimitRow) else None
    cited = stated.at() if stated else None
    if cited is None or not cited.value.datum:
        return None
    limit = cited.value
    bounds = [bound for bound in (limit.low, limit.high) if bound is not None]
    if not bounds:
        return None
    middle = float(sum(bounds)) / len(bounds)
    centre = 180.0 if limit.datum.endswith("BDC") else 0.0
    return Event(*names, centre + middle, printed(cited.body).removesuffix(" exact"))


def _at(degrees: float, radius: float) -> tuple[float, float]:
    angle = radians(degrees)
    return MIDDLE[0] + radius * sin(angle), MIDDLE[1] - radius * cos(angle)


def _circle() -> Iterable[Markup]:
    yield circle(*MIDDLE, 96, "gl-line-thin")
    yield line(MIDDLE[0], 46, MIDDLE[0], 254, "gl-line-thin")
    yield text(MIDDLE[0], 16, "TDC", "gl-text gl-text-strong", 14)
    yield text(MIDDLE[0], 292, "BDC", "gl-text gl-text-strong", 14)


def _arc(start: Event, end: Event, radius: float) -> Markup:
    (x, y), (to_x, to_y) = _at(start.degrees, radius), _at(end.degrees, radius)
    large = int((end.degrees - start.degrees) % 360 > 180)  # noqa: PLR2004 - more than half a turn
    return path(f"M{x:.1f} {y:.1f} A{radius} {radius} 0 {large} 1 {to_x:.1f} {to_y:.1f}", "gl-line")


def _mark(event: Event) -> Iterable[Markup]:
    inside = INLET if event.letters.startswith("I") else EXHAUST
    (x, y), (to_x, to_y) = _at(event.degrees, inside), _at(event.degrees, 104)
    yield line(x, y, to_x, to_y, "gl-line")
    across, down = _at(event.degrees, 120)
    yield text(across, down + 5, event.letters, "gl-text gl-text-strong", 13)

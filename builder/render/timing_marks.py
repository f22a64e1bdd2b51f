"""Timing marks of the camshaft drive: where they stand when the camshaft is in time, and one tooth out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import acos, cos, degrees, radians, sin
from typing import Final

from markupsafe import Markup

from builder.manual import row as row_of
from builder.model.engine import Engine
from builder.model.spec import LimitRow, SeenRow
from builder.render.lines import Drawing, circle, drawing, line, path, text
from builder.render.values import printed

LARGE: Final = 74
"""The radius of the camshaft wheel; the crankshaft's follows from the teeth."""

TOOTH: Final = 5
CROSS: Final = (110, 330)
"""Where the two drawings stand across the page: in time, and one tooth out."""

CAM_Y: Final = 120
HEIGHT: Final = 366
UP: Final = 90.0
DOWN: Final = -90.0


@dataclass(frozen=True, slots=True)
class Wheel:
    """A gear or sprocket: its middle, its radius, its teeth, and its mark in degrees from the right."""

    x: float
    y: float
    radius: float
    teeth: int
    mark: float

    def at(self, angle: float, radius: float) -> tuple[float, float]:
        """The point at this angle, counted against the clock from the right."""
        return self.x + radius * cos(radians(angle)), self.y - radius * sin(radians(angle))


def timing_marks(engine: Engine) -> Drawing | None:
    """Draw the marks of meshing gears, or of sprockets with a chain; None for another drive or no teeth."""
    drive = engine.layout.get("cam_drive")
    crank, cam = (_teeth(engine, f"cam.{name}_teeth") for name in ("crank", "cam"))
    if drive not in ("gear", "chain") or not crank or not cam:
        return None
    said = _said(engine, str(drive))
    parts = [
        part
        for x, error, words in zip(CROSS, (0, 1), ("in time", "one tooth out"), strict=True)
        for part in _pair(x, crank, cam, error, is_chain=drive == "chain", words=words)
    ]
    return Drawing(drawing(CROSS[0] + CROSS[1], HEIGHT, said, parts), said)


def _teeth(engine: Engine, name: str) -> int:
    row = row_of(engine, name)
    stated = row.new if isinstance(row, LimitRow) else None
    cited = stated.at() if stated else None
    high = cited.value.high if cited else None
    return int(high) if high is not None else 0


def _said(engine: Engine, drive: str) -> str:
    marks = row_of(engine, "cam.timing_marks")
    rule = str(marks.expect) if isinstance(marks, SeenRow) else "Marks on the line of the shaft centres"
    tooth = row_of(engine, "cam.one_tooth")
    stated = tooth.new if isinstance(tooth, LimitRow) else None
    cited = stated.at() if stated else None
    amount = f" One tooth is {printed(cited.body).removesuffix(' exact')} of the crankshaft." if cited else ""
    wheels = "sprockets" if drive == "chain" else "gears"
    return f"Timing {wheels}, camshaft above: {rule[:1].lower()}{rule[1:]}.{amount} Not to scale."


def _pair(x: float, crank: int, cam: int, error: int, *, is_chain: bool, words: str) -> Iterator[Markup]:
    """The two wheels; with an error the camshaft's stands so many teeth further round."""
    small = LARGE * crank / cam
    apart = LARGE + small + (34 if is_chain else 0)
    upper = Wheel(x, CAM_Y, LARGE, cam, DOWN + error * 360 / cam)
    lower = Wheel(x, CAM_Y + apart, small, crank, UP)
    yield line(x, CAM_Y - LARGE - 14, x, CAM_Y + apart + small + 14, "gl-line-hidden")
    for wheel in (upper, lower):
        yield from _wheel(wheel, meshes=not is_chain)
    if is_chain:
        yield from _chain(upper, lower)
    yield text(x, 20, words, "gl-text gl-text-strong", 16)


def _wheel(wheel: Wheel, *, meshes: bool) -> Iterable[Markup]:
    """A ring, a tick for each tooth, the shaft, and the mark as a dot inside the ring."""
    yield circle(wheel.x, wheel.y, wheel.radius - (TOOTH / 2 if meshes else 0), "gl-line")
    ticks = []
    for tooth in range(wheel.teeth):
        angle = wheel.mark + (tooth + 0.5) * 360 / wheel.teeth
        (x, y), (to_x, to_y) = (wheel.at(angle, wheel.radius + end) for end in (-TOOTH / 2, TOOTH / 2))
        ticks.append(f"M{x:.1f} {y:.1f}L{to_x:.1f} {to_y:.1f}")
    yield path("".join(ticks), "gl-line")
    yield circle(wheel.x, wheel.y, 7, "gl-line")
    x, y = wheel.at(wheel.mark, wheel.radius - 13)
    yield circle(x, y, 6, "gl-fill-ink")


def _chain(upper: Wheel, lower: Wheel) -> Iterable[Markup]:
    """The two straight runs of a chain, which touch both wheels."""
    lean = degrees(acos((upper.radius - lower.radius) / (lower.y - upper.y)))
    for angle in (DOWN + lean, DOWN - lean):
        (x, y), (to_x, to_y) = (wheel.at(angle, wheel.radius + TOOTH) for wheel in (upper, lower))
        yield line(x, y, to_x, to_y, "gl-line")

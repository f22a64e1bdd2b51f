"""The lines of which drawings are made, as SVG: black on white or the other way round, as the page is."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from markupsafe import Markup


@dataclass(frozen=True)
class Drawing:
    """A finished drawing: the SVG, and the line that stands under it."""

    svg: Markup
    caption: str


def drawing(width: float, height: float, said: str, parts: Iterable[Markup]) -> Markup:
    """An SVG of that size that says in words what it shows."""
    start = Markup('<svg class="gl-drawing" role="img" aria-label="{}" viewBox="0 0 {} {}" width="{}">')
    return start.format(said, width, height, width) + Markup("").join(parts) + Markup("</svg>")


def line(x: float, y: float, to_x: float, to_y: float, look: str) -> Markup:
    """A straight line."""
    return Markup('<line class="{}" x1="{:g}" y1="{:g}" x2="{:g}" y2="{:g}"/>').format(look, x, y, to_x, to_y)


def circle(x: float, y: float, radius: float, look: str) -> Markup:
    """A circle."""
    return Markup('<circle class="{}" cx="{:g}" cy="{:g}" r="{:g}"/>').format(look, x, y, radius)


def rectangle(x: float, y: float, width: float, height: float, look: str) -> Markup:
    """A rectangle by its upper left corner."""
    return Markup('<rect class="{}" x="{:g}" y="{:g}" width="{:g}" height="{:g}"/>').format(
        look, x, y, width, height
    )


def text(x: float, y: float, shown: str, look: str, size: int, *, turned: bool = False) -> Markup:
    """Words with their middle at x and their foot at y; turned, they run upwards."""
    way = Markup(' transform="rotate(-90 {:g} {:g})"').format(x, y) if turned else Markup("")
    start = Markup('<text class="{}" x="{:g}" y="{:g}" font-size="{}" text-anchor="middle"{}>{}</text>')
    return start.format(look, x, y, size, way, shown)


def label(x: float, y: float, shown: str) -> Markup:
    """Words that begin at x."""
    return Markup('<text class="gl-text" x="{:g}" y="{:g}" font-size="14">{}</text>').format(x, y, shown)


def path(course: str, look: str) -> Markup:
    """A line of any course, in SVG's own letters."""
    return Markup('<path class="{}" d="{}"/>').format(look, course)

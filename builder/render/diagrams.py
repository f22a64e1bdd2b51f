"""Drawings made from the manual: cylinders and mains by number, the order of nuts, planes and axes.

Every drawing is black line and text and says in words (its title) all that its lines say. Lengths are in the
drawing's own units; nothing is to scale.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from markupsafe import Markup

from builder.manual import feature
from builder.manual import row as row_of
from builder.model.engine import Engine
from builder.model.spec import LimitRow, OrderRow, ScheduleRow
from builder.render import charts, springs, timing_marks
from builder.render.lines import Drawing, circle, drawing, label, line, rectangle, text
from builder.render.standing import banks, from_above, front, told
from builder.render.tightening import tightening

PITCH: Final = 46
"""From one cylinder to the next."""

RADIUS: Final = 19
EDGE: Final = 40
"""What stays free at either end, for the words front and rear."""

ORDINALS: Final = {1: "st", 2: "nd", 3: "rd"}


@dataclass(frozen=True)
class Cylinders:
    """How a family's cylinders stand: the banks, the end of No. 1 where it is known, the mains."""

    banks: tuple[tuple[str, ...], ...]
    fires: Mapping[str, int]
    mains: tuple[str, ...]
    thrust: str
    front: str
    """`left` or `right`: where the front is when No. 1 stands on the left; empty when no one says."""

    @property
    def length(self) -> int:
        """How many cylinders stand one behind the other."""
        return max(len(bank) for bank in self.banks)


def ordinal(number: int) -> str:
    """`1st`, `2nd`, `11th`."""
    teen = number % 100 in (11, 12, 13)
    return f"{number}{'th' if teen else ORDINALS.get(number % 10, 'th')}"


# Cylinders and mains


def numbering(engine: Engine) -> Drawing | None:
    """Draw cylinders and mains by number, with the firing order and the end of No. 1 where known."""
    standing = cylinders(engine)
    if standing is None:
        return None
    height = 78 * len(standing.banks) + (52 if standing.mains else 0)
    parts = [*_banks(standing), *_mains(standing), *_ends(standing, height)]
    width = 2 * EDGE + PITCH * standing.length
    said = _said(standing)
    return Drawing(drawing(width, height, said, parts), said)


def cylinders(engine: Engine) -> Cylinders | None:
    """How the cylinders of a family stand, as far as its table says."""
    found = feature(engine, "cylinder")
    if found is None:
        return None
    mains = feature(engine, "main")
    names = tuple(map(str, found.names))
    return Cylinders(
        banks=_in_banks(engine, names),
        fires=_fires(engine) if len(names) > 1 else {},
        mains=tuple(map(str, mains.names)) if mains else (),
        thrust=_thrust(engine, tuple(map(str, mains.names)) if mains else ()),
        front=front(engine),
    )


def _fires(engine: Engine) -> Mapping[str, int]:
    """The place of each cylinder in the firing order."""
    return {name: number for number, name in enumerate(firing_order(engine), 1)}


def firing_order(engine: Engine) -> tuple[str, ...]:
    """The cylinders in the order in which they fire; empty where the table does not say."""
    for row in engine.specs.values():
        if isinstance(row, OrderRow) and row.of == "cylinder":
            stated = row.new or row.shop
            cited = stated.at() if stated else None
            return tuple(map(str, cited.value)) if cited else ()
    return ()


def _in_banks(engine: Engine, names: tuple[str, ...]) -> tuple[tuple[str, ...], ...]:
    """The cylinders of each bank of a vee or flat engine, as they lie seen from above."""
    if engine.layout.get("arrangement") not in ("vee", "flat"):
        return (names,)
    return from_above(engine, banks(names))


def _thrust(engine: Engine, mains: tuple[str, ...]) -> str:
    found = re.search(r"\bmain (\w+)", told(engine, "crank.thrust_position"), re.IGNORECASE)
    return found[1] if found and found[1] in mains else ""


def _x(place: float) -> float:
    """Across the page: the middle of a cylinder's place, counted from 0; half places are gaps between."""
    return EDGE + PITCH * (place + 0.5)


def _banks(standing: Cylinders) -> Iterable[Markup]:
    for row, bank in enumerate(standing.banks):
        middle = 28 + row * (78 + (52 if standing.mains else 0))
        for place, name in enumerate(bank):
            yield circle(_x(place), middle, RADIUS, "gl-fill")
            yield text(_x(place), middle + 7, name, "gl-text gl-text-strong", 20)
            if name in standing.fires:
                yield text(_x(place), middle + 38, ordinal(standing.fires[name]), "gl-text", 13)


def _mains(standing: Cylinders) -> Iterable[Markup]:
    count = len(standing.mains)
    if not count:
        return
    middle, gaps = 96, max(count - 1, 1)
    yield line(_x(-0.5), middle, _x(standing.length - 0.5), middle, "gl-line")
    for place, name in enumerate(standing.mains):
        across = _x(place * standing.length / gaps - 0.5)
        yield rectangle(across - 5, middle - 12, 10, 24, "gl-fill-ink")
        words_here = f"{name} T" if name == standing.thrust else name
        yield text(across, middle + 29, words_here, "gl-text gl-text-strong", 15)


def _ends(standing: Cylinders, height: int) -> Iterable[Markup]:
    if not standing.front:
        return
    right = 2 * EDGE + PITCH * standing.length
    left_word, right_word = ("front", "rear") if standing.front == "left" else ("rear", "front")
    middle = (height - 52) / 2 if len(standing.banks) == 1 else height / 2
    yield text(14, middle, left_word, "gl-text", 14, turned=True)
    yield text(right - 10, middle, right_word, "gl-text", 14, turned=True)


def _said(standing: Cylinders) -> str:
    """All that the drawing shows, in a line of words."""
    count = sum(map(len, standing.banks))
    said = [f"{count} cylinders" if count > 1 else "1 cylinder"]
    if standing.front and count > 1:
        said.append(f"No. 1 at the {'front' if standing.front == 'left' else 'rear'}")
    if standing.fires:
        said.append(f"they fire {'-'.join(standing.fires)}")
    if standing.mains:
        said.append(f"{len(standing.mains)} mains on the crank line")
    if standing.thrust:
        said.append(f"T marks the thrust at main {standing.thrust}")
    return f"{'; '.join(said)}. Seen from above, not to scale."


# Planes and axes


def planes(subject: str) -> Drawing | None:
    """Draw where to measure a `bore`, a `journal`, a `bearing` or a `piston`; None for anything else."""
    drawn = {"bore": _bore, "journal": _journal, "bearing": _bearing, "piston": _piston}.get(subject)
    return drawn() if drawn else None


def _bore() -> Drawing:
    said = (
        "Bore: planes top, middle and bottom, top half an inch below the deck in ring travel. "
        "Axes: T across the crank on the thrust side, A along it."
    )
    side = [rectangle(40, 14, 90, 150, "gl-fill"), line(20, 14, 150, 14, "gl-line")]
    for height, name in ((34, "top"), (89, "mid"), (146, "bottom")):
        side += [line(40, height, 130, height, "gl-line-hidden"), label(140, height + 5, name)]
    return Drawing(drawing(380, 180, said, [*side, *_cross(290, 90, ("T", 0), ("A", 90))]), said)


def _journal() -> Drawing:
    said = (
        "Journal: planes front and rear, clear of the fillets and the oil hole. "
        "Axes: T and A, a quarter turn apart."
    )
    side = [
        rectangle(20, 20, 20, 140, "gl-fill"),
        rectangle(40, 50, 110, 80, "gl-fill"),
        rectangle(150, 20, 20, 140, "gl-fill"),
        circle(95, 90, 6, "gl-fill-ink"),
    ]
    for across, name in ((66, "front"), (126, "rear")):
        side += [line(across, 40, across, 140, "gl-line-hidden"), text(across, 156, name, "gl-text", 13)]
    return Drawing(drawing(380, 180, said, [*side, *_cross(290, 90, ("T", 90), ("A", 0))]), said)


def _bearing() -> Drawing:
    said = "Bearing: V square to the split, L45 and R45 to either side of it, S close to the split."
    axes = _cross(150, 95, ("V", 90), ("L45", 135), ("R45", 45), ("S", 8))
    split = [line(20, 95, 95, 95, "gl-line"), line(205, 95, 280, 95, "gl-line"), label(20, 88, "split")]
    return Drawing(drawing(300, 190, said, [*split, *axes]), said)


def _piston() -> Drawing:
    said = "Piston: measured across the skirt, square to the pin, at the gauge point that the table gives."
    parts = [
        rectangle(60, 10, 120, 130, "gl-fill"),
        line(60, 26, 180, 26, "gl-line-thin"),
        line(60, 38, 180, 38, "gl-line-thin"),
        line(60, 50, 180, 50, "gl-line-thin"),
        circle(120, 82, 14, "gl-line"),
        line(40, 122, 200, 122, "gl-line-hidden"),
        label(206, 127, "gauge point"),
    ]
    return Drawing(drawing(320, 150, said, parts), said)


_ENDS: Final = {0: (60, 0), 8: (59, -8), 45: (43, -43), 90: (0, -60), 135: (-43, -43)}
"""Where an axis at these degrees leaves a circle of radius 60, across and down."""


def _cross(x: int, y: int, *axes: tuple[str, int]) -> Iterable[Markup]:
    """A circle with axes through its middle, each with its letter at one end."""
    yield circle(x, y, 55, "gl-fill")
    for name, degrees in axes:
        across, down = _ENDS[degrees]
        yield line(x - across, y - down, x + across, y + down, "gl-line-hidden")
        yield text(x + across * 1.25, y + down * 1.25 + 5, name, "gl-text gl-text-strong", 15)


def figure(engine: Engine | None, name: str) -> Drawing | None:
    """The drawing that a step's `figure` names, for a family where it needs one; None where there is none."""
    what, _, of = name.partition(" ")
    if what == "planes":
        return planes(of)
    return _of_family(engine, what, of) if engine else None


def _of_family(engine: Engine, what: str, of: str) -> Drawing | None:
    """A drawing that needs a family's values."""
    row = row_of(engine, of)
    if what == "tightening" and isinstance(row, LimitRow):
        return tightening(engine, row)
    if what == "schedule" and isinstance(row, ScheduleRow):
        return charts.schedule(row)
    whole = WHOLE.get(what)
    return whole(engine) if whole else None


WHOLE: Final[Mapping[str, Callable[[Engine], Drawing | None]]] = {
    "numbering": numbering,
    "valve_timing": charts.valve_timing,
    "timing_marks": timing_marks.timing_marks,
    "spring": springs.spring,
}
"""Drawings of a family as a whole."""

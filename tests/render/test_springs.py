"""A valve spring at its heights."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from builder.manual import Manual, load
from builder.model.base import Text
from builder.render.springs import SEAT, spring

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def shop() -> Manual:
    """The demonstration shop's manual."""
    manual, faults = load(ROOT)
    assert faults == ()
    return manual


def test_heights_stand_to_one_scale_with_their_loads(shop: Manual) -> None:
    """Printed values (invented), the tallest first; an open valve stands at the height of its load."""
    drawing = spring(shop.engines["tarnwick-222h-six"])

    assert drawing is not None
    assert drawing.caption == (
        "Valve spring on its seat, close coils to the seat: free 2.080 ± 0.030 in; "
        "valve shut 1.660 ± 0.015 in, 63 to 71 lbf; valve open 1.290 in, 120 to 133 lbf; solid 1.190 in max. "
        "Heights to one scale."
    )
    root = ET.fromstring(drawing.svg)  # noqa: S314 - our own drawing
    level = [line for line in root.iter("line") if line.get("class") == "gl-line-thin"]
    tops = [SEAT - float(line.get("y1", "")) for line in level if line.get("y1") == line.get("y2")]
    assert [top / tops[0] for top in tops] == pytest.approx(
        [1, 1.660 / 2.080, 1.290 / 2.080, 1.190 / 2.080], abs=1e-3
    )


def test_close_coils_lie_at_the_seat(shop: Manual) -> None:
    """The two coils at the seat are closer than the others while the spring is not solid."""
    drawing = spring(shop.engines["pellbrook-35-eight"])
    assert drawing is not None
    course = next(ET.fromstring(drawing.svg).iter("path"), None)  # noqa: S314 - our own drawing
    assert course is not None
    heights = [float(point.split(" ")[1].split("H")[0]) for point in course.get("d", "").split("L")[1:]]
    coils = [heights[place] - heights[place + 2] for place in range(0, len(heights) - 2, 2)]

    assert coils[0] < coils[-1]
    assert heights == sorted(heights, reverse=True)


def test_family_without_heights_has_no_drawing(shop: Manual, small: Manual) -> None:
    """One height alone compares with nothing."""
    engine = shop.engines["pellbrook-35-eight"]
    one = {Text("spring.free_length"): engine.specs[Text("spring.free_length")]}

    assert spring(engine.model_copy(update={"specs": one})) is None
    assert spring(small.engines["tallow-four"]) is None

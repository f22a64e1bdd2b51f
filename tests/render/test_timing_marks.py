"""Timing marks, in time and one tooth out."""

from __future__ import annotations

from collections.abc import Sequence
from math import atan2, degrees
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from builder.manual import Manual, load
from builder.model.base import Text
from builder.render.timing_marks import CAM_Y, CROSS, timing_marks

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def shop() -> Manual:
    """The demonstration shop's manual."""
    manual, faults = load(ROOT)
    assert faults == ()
    return manual


def dots(manual: Manual, family: str) -> list[tuple[float, float]]:
    """Where the marks stand: camshaft and crankshaft in time, camshaft and crankshaft one tooth out."""
    drawing = timing_marks(manual.engines[family])
    assert drawing is not None
    root = ET.fromstring(drawing.svg)  # noqa: S314 - our own drawing
    return [
        (float(part.get("cx", "")), float(part.get("cy", "")))
        for part in root.iter("circle")
        if part.get("class") == "gl-fill-ink"
    ]


@pytest.mark.parametrize(
    ("family", "teeth"), [("pellbrook-35-eight", 56), ("tarnwick-222h-six", 42), ("umberlow-flat-four", 52)]
)
def test_marks_meet_on_the_line_of_centres_and_part_by_one_tooth(
    shop: Manual, family: str, teeth: int
) -> None:
    """In time both lie on the line of the shaft centres; out, the camshaft's is 360/teeth degrees from it."""
    cam, crank, cam_out, crank_out = dots(shop, family)

    assert cam[0] == crank[0] == CROSS[0]
    assert CAM_Y < cam[1] < crank[1]
    assert crank_out[0] == CROSS[1]
    assert turned(cam_out) == pytest.approx(360 / teeth, abs=0.01)


def turned(dot: Sequence[float]) -> float:
    """How far the camshaft's mark in the second drawing is from the line of centres, in degrees."""
    return degrees(atan2(dot[0] - CROSS[1], dot[1] - CAM_Y))


def test_words_say_the_rule_and_what_a_tooth_is_worth(shop: Manual) -> None:
    """One tooth of 56 on a camshaft that turns at half speed is 720/56 degrees of the crankshaft."""
    drawing = timing_marks(shop.engines["pellbrook-35-eight"])

    assert drawing is not None
    assert drawing.caption == (
        "Timing gears, camshaft above: dot to dot where the gears mesh. "
        "One tooth is 12.86° of the crankshaft. Not to scale."
    )
    assert round(720 / 56, 2) == 12.86


def test_drive_that_has_no_such_marks_is_not_drawn(shop: Manual) -> None:
    """Bevel gears are timed otherwise; without its teeth no wheel is drawn."""
    assert timing_marks(shop.engines["veltmoor-twelve-four"]) is None
    engine = shop.engines["pellbrook-35-eight"]
    toothless = {name: row for name, row in engine.specs.items() if name != Text("cam.cam_teeth")}
    assert timing_marks(engine.model_copy(update={"specs": toothless})) is None

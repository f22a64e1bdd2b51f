"""The slider-crank of the worksheets against the linkage itself, solved by scipy without their formula."""

from __future__ import annotations

from collections.abc import Callable
from math import cos, hypot, radians, sin

import pytest
from scipy.optimize import brentq

WorkOut = Callable[..., dict[str, float]]


def drop_of(stroke: float, rod: float, angle: float) -> float:
    """How far the piston has come down: the height at which the rod just reaches from pin to crank."""
    throw = stroke / 2
    across, up = throw * sin(radians(angle)), throw * cos(radians(angle))
    height = brentq(lambda at: hypot(across, at - up) - rod, up, up + 2 * rod, xtol=1e-14)
    return throw + rod - float(height)


@pytest.mark.parametrize(("stroke", "rod"), [(6.0, 12.0), (3.48, 5.7), (4.5, 8.25), (3.0, 6.0)])
@pytest.mark.parametrize("angle", [1, 10, 19, 45, 90, 135, 179, 180])
def test_piston_stands_where_the_linkage_puts_it(
    work_out: WorkOut, stroke: float, rod: float, angle: int
) -> None:
    """At any angle, to eleven digits of an inch."""
    worked = work_out("piston_travel", stroke=f"{stroke} in", rod=f"{rod} in", angle=f"{angle} deg")

    assert worked["drop"] == pytest.approx(drop_of(stroke, rod, angle), abs=1e-11)


@pytest.mark.parametrize("angle", [5, 19, 60, 90, 120, 170])
def test_angle_comes_back_from_the_drop(work_out: WorkOut, angle: int) -> None:
    """The angle that the linkage had comes back, as closely as nine decimals of the drop allow."""
    drop = drop_of(4.5, 8.25, angle)

    worked = work_out("angle_from_piston_travel", stroke="4.5 in", rod="8.25 in", drop=f"{drop:.9f} in")

    assert worked["angle"] == pytest.approx(angle, abs=1e-6)


def test_effective_ratio_uses_the_same_linkage(work_out: WorkOut) -> None:
    """71 degrees after bottom centre is 109 before top centre."""
    worked = work_out(
        "effective_ratio",
        bore="101.6 mm",
        stroke="76.2 mm",
        rod="152.4 mm",
        clearance="81.548526 cc",
        closes="71 deg ABDC",
    )

    assert worked["travel"] * 25.4 == pytest.approx(drop_of(76.2, 152.4, 109), abs=1e-9)

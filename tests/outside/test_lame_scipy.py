"""Lamé's pressure of a press fit against a boundary-value solution of the two rings by scipy.

Each ring obeys u'' + u'/r - u/r² = 0, with the radial stress E/(1-ν²) (u' + ν u/r) in plane stress. No
closed formula goes in: the rings are free at hole and outside, push on each other at the joint alike, and
their walls there stand apart by half the interference.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import solve_bvp

WorkOut = Callable[..., dict[str, float]]
Floats = NDArray[np.float64]

PSI = 0.006894757293168361  # MPa


@dataclass(frozen=True)
class Fit:
    """Sizes in mm, moduli in MPa, interference on the diameter."""

    interference: float
    hole: float
    joint: float
    outside: float
    hub: tuple[float, float]
    insert: tuple[float, float]

    def typed(self) -> dict[str, str]:
        """The fit as it is typed into the worksheet."""
        return {
            "interference": f"{self.interference} mm",
            "hole": f"{self.hole} mm",
            "joint": f"{self.joint} mm",
            "outside": f"{self.outside} mm",
            "hub_elastic": f"{self.hub[0]} MPa",
            "hub_poisson": f"{self.hub[1]}",
            "insert_elastic": f"{self.insert[0]} MPa",
            "insert_poisson": f"{self.insert[1]}",
        }


def radial(metal: tuple[float, float], radius: float, wall: float, slope: float) -> float:
    """The radial stress where the wall has moved by `wall` and its movement changes by `slope`."""
    elastic, poisson = metal
    return elastic / (1 - poisson**2) * (slope + poisson * wall / radius)


def solved(fit: Fit) -> tuple[float, float]:
    """Pressure at the joint in MPa, and by how much the hole of the insert closes in mm."""
    middle, outer = fit.joint / 2, fit.outside / 2
    inner = fit.hole / 2 or middle / 1000  # a solid insert is a disc whose centre stays where it is
    spans = (middle - inner, outer - middle)

    def slopes(place: Floats, moved: Floats) -> Floats:
        rows = []
        for start, span, wall, slope in ((inner, spans[0], *moved[:2]), (middle, spans[1], *moved[2:])):
            radius = start + span * place
            rows += [slope * span, (wall / radius**2 - slope / radius) * span]
        return np.vstack(rows)

    def ends(at: Floats, to: Floats) -> Floats:
        free = radial(fit.insert, inner, at[0], at[1]) if fit.hole else (at[0] - inner * at[1]) * 1e5
        push = radial(fit.insert, middle, to[0], to[1]) - radial(fit.hub, middle, at[2], at[3])
        gap = (at[2] - to[0] - fit.interference / 2) * 1e5
        return np.array([free, push, gap, radial(fit.hub, outer, to[2], to[3])])

    grid = np.linspace(0, 1, 200)
    found = solve_bvp(slopes, ends, grid, np.zeros((4, grid.size)), tol=1e-10, max_nodes=200_000)
    assert found.success
    hole, joint = found.sol(0), found.sol(1)
    return -radial(fit.insert, middle, joint[0], joint[1]), -2 * hole[0]


FITS = {
    "iron hub on a steel shaft": Fit(0.045, 0, 50, 100, (100_000, 0.211), (207_000, 0.292)),
    "two steel tubes": Fit(0.03171064, 20, 40, 60, (207_000, 0.3), (207_000, 0.3)),
    "bronze bush in an iron boss": Fit(0.05, 22, 26, 60, (103_000, 0.26), (110_000, 0.34)),
    "iron liner in an aluminium block": Fit(0.08, 90, 96, 120, (72_000, 0.33), (103_000, 0.26)),
}


@pytest.mark.parametrize("name", FITS)
def test_pressure_is_that_of_the_boundary_value_solution(work_out: WorkOut, name: str) -> None:
    """The pressure agrees to seven digits, whatever metals and walls."""
    pressure, _ = solved(FITS[name])

    assert work_out("press_fit", **FITS[name].typed())["pressure"] * PSI == pytest.approx(pressure, rel=1e-7)


@pytest.mark.parametrize("name", [name for name, fit in FITS.items() if fit.hole])
def test_hole_closes_as_in_the_boundary_value_solution(work_out: WorkOut, name: str) -> None:
    """What is left to ream out of a guide or bush agrees to seven digits."""
    _, closing = solved(FITS[name])

    assert work_out("press_fit", **FITS[name].typed())["closing"] * 25.4 == pytest.approx(closing, rel=1e-7)

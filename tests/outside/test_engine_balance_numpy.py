"""Balance sums of the worksheets against a turn of the crank, step by step, in numpy."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

WorkOut = Callable[..., dict[str, float]]

TURN = np.linspace(0, 2 * np.pi, 7200, endpoint=False)


@pytest.mark.parametrize("bank", [45, 60, 72, 90, 120, 180])
def test_pull_of_two_pistons_round_a_turn(work_out: WorkOut, bank: int) -> None:
    """Each piston pulls along its own bank with the cosine of its angle; the sum of both is walked round."""
    half = np.radians(bank) / 2
    left, right = np.cos(TURN - half), np.cos(TURN + half)
    pull = np.hypot((left + right) * np.cos(half), (left - right) * np.sin(half))

    worked = work_out("vee_share", bank=f"{bank} deg")

    assert worked["least"] == pytest.approx(pull.min(), abs=1e-6)
    assert worked["most"] == pytest.approx(pull.max(), abs=1e-6)


@pytest.mark.parametrize("order", [1, 2, 4, 6])
@pytest.mark.parametrize(
    "throws", [(0, 240, 120, 120, 240, 0), (0, 180, 180, 0), (0, 120, 240), (0, 90, 270, 180)]
)
def test_force_and_couple_round_a_turn(work_out: WorkOut, throws: tuple[int, ...], order: int) -> None:
    """The largest sum of all pistons in a turn is the free force; with their places, the free couple."""
    places = np.arange(len(throws)) - (len(throws) - 1) / 2
    waves = np.cos(order * (TURN[:, None] + np.radians(throws)))

    worked = work_out(
        "crank_balance",
        throws=", ".join(map(str, throws)) + " deg",
        places=", ".join(map(str, places)),
        order=str(order),
    )

    assert worked["force"] == pytest.approx(np.abs(waves.sum(axis=1)).max(), abs=1e-5)
    assert worked["couple"] == pytest.approx(np.abs((waves * places).sum(axis=1)).max(), abs=1e-5)

"""Selective fitting: the pairing that keeps every fit nearest the aim."""

from __future__ import annotations

from fractions import Fraction
from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.jobs.pairing import in_order, pair, pairing_lines

TENTHS = st.integers(min_value=0, max_value=30).map(lambda tenths: Fraction(35500 + tenths, 10000))


def sizes(*texts: str) -> list[Fraction]:
    """Sizes in inches."""
    return [Fraction(text) for text in texts]


def test_pairing_narrows_the_fits() -> None:
    """Large pistons go to large bores, and the lines say what is gained."""
    bores = sizes("3.5506", "3.5502", "3.5504")
    pistons = sizes("3.5488", "3.5490", "3.5492")

    assert pairing_lines(bores, pistons, Fraction("0.0014"), 4) == (
        "hole 1 3.5506: shaft 3 3.5492, fit 0.0014 (as they lie 0.0018)",
        "hole 2 3.5502: shaft 1 3.5488, fit 0.0014 (as they lie 0.0012)",
        "hole 3 3.5504: shaft 2 3.5490, fit 0.0014 (as they lie 0.0012)",
        "farthest from the aim 0.0000, as they lie 0.0004",
        "loosest less tightest 0.0000, as they lie 0.0006",
    )


def test_best_of_spare_parts_are_chosen() -> None:
    """With more shafts than holes the odd ones are left over."""
    best = pair(sizes("2.0010", "2.0012"), sizes("1.9990", "2.0000", "2.0002"), Fraction("0.0010"))

    assert best.order == (1, 2)
    assert best.worst == 0


@given(st.lists(TENTHS, min_size=1, max_size=5), st.lists(TENTHS, min_size=5, max_size=5), TENTHS)
def test_no_other_pairing_lies_nearer(holes: list[Fraction], shafts: list[Fraction], aim: Fraction) -> None:
    """The sum of squared distances from the aim is the least of all pairings."""
    aim -= Fraction("3.55")

    def cost(order: tuple[int, ...]) -> Fraction:
        return sum(
            ((hole - shafts[at] - aim) ** 2 for hole, at in zip(holes, order, strict=True)), Fraction(0)
        )

    least = min(cost(order) for order in permutations(range(5), len(holes)))
    assert abs(cost(pair(holes, shafts, aim).order) - least) < Fraction(1, 10**12)


def test_order_as_they_lie_is_told_for_comparison() -> None:
    """First to first."""
    assert in_order(sizes("1.002"), sizes("1.000"), Fraction("0.001")).fits == (Fraction("0.002"),)


@pytest.mark.parametrize(("holes", "shafts"), [(0, 3), (3, 2), (1, 201)])
def test_impossible_pairing_is_refused(holes: int, shafts: int) -> None:
    """No hole, too few shafts or far too many: a clear refusal."""
    with pytest.raises(ValueError, match="a pairing takes from 1 to 200 holes"):
        pair([Fraction(1)] * holes, [Fraction(1)] * shafts, Fraction(0))

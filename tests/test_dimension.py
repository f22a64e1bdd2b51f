"""Dimensions: products of named bases, told by the trade's words."""

from __future__ import annotations

import pytest

from builder import dimension as dim
from builder.dimension import BASES, NAMES, Dimension


@pytest.mark.parametrize(
    ("dimension", "words"),
    [
        (dim.LENGTH, "length"),
        (dim.FORCE * dim.LENGTH, "torque"),
        (dim.FORCE / dim.LENGTH**2, "pressure"),
        (dim.MASS * dim.LENGTH, "unbalance"),
        (dim.LENGTH / dim.LENGTH, "ratio"),
        (dim.RATIO / dim.TIME, "turning speed"),
        (dim.LENGTH**2 / dim.TIME, "length^2/time"),
        (dim.LENGTH**4, "length^4"),
        (dim.RATIO / dim.MASS, "1/mass"),
        (dim.LENGTH * dim.MASS**2 / (dim.ANGLE * dim.COUNT), "length·mass^2/(angle·count)"),
    ],
)
def test_dimension_is_named_in_trade_words(dimension: Dimension, words: str) -> None:
    """A product with a name of its own goes by it; any other is spelled out."""
    assert str(dimension) == words


def test_names_are_given_once() -> None:
    """No two dimensions share a name, so a message never says that a torque is not a torque."""
    assert len(set(NAMES.values())) == len(NAMES)


def test_angle_count_and_ratio_are_three_things() -> None:
    """Degrees, pieces and ratios do not mix."""
    assert len({dim.ANGLE, dim.COUNT, dim.RATIO}) == 3


def test_root_undoes_a_power() -> None:
    """The square root of an area is a length; a length has none."""
    assert dim.AREA.root(2) == dim.LENGTH
    assert dim.LENGTH.root(2) is None


def test_every_base_has_a_place() -> None:
    """A dimension holds one power for each base."""
    assert all(len(dimension.powers) == len(BASES) for dimension in NAMES)

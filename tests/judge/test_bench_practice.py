"""Ordinary cases from the bench; all of them common practice, no source."""

from __future__ import annotations

from fractions import Fraction
from math import ceil

import pytest

from builder.formula import Amount, Scope, evaluate, parse, readings
from builder.judge.bounds import Band, Limits
from builder.judge.verdict import Decision, decide
from builder.limit import read_limit
from builder.quantity import read_quantity


def band(text: str, kind: str = "new") -> Band:
    """A limit as it is written."""
    limit = read_limit(text)
    return Band(limit.low_base, limit.high_base, kind, ())


def judged(reading: str, limits: Limits, *, gauge: str = "0 in") -> str:
    """A reading judged, in words, with the expanded uncertainty of its gauge."""
    spread = read_quantity(gauge).base ** 2
    found: Decision = decide(read_quantity(reading).base, spread, limits, untouched=False)
    return ", ".join([str(found.verdict), *map(str, found.flags)])


def worked(formula: str, **sizes: str) -> Fraction:
    """A formula over single sizes, in inches."""
    scope = Scope(
        values={name: readings(name, {}, [read_quantity(size).base]) for name, size in sizes.items()}
    )
    (cell,) = evaluate(parse(formula), scope).cells
    assert isinstance(cell, Amount)
    return read_quantity("1 in").unit.from_base(cell.value)


@pytest.mark.parametrize(
    ("reading", "words"), [("0.0020 in", "in"), ("0.0015 in", "in, off aim"), ("0.0014 in", "out")]
)
def test_book_clearance_and_the_clearance_that_the_shop_prefers(reading: str, words: str) -> None:
    """The book says 0.0015 in, the shop prefers 0.0020: 0.0015 passes, beside the aim."""
    limits = Limits(in_force=band("0.0015 to 0.0025 in"), aim=band("0.0018 to 0.0022 in", "aim"))

    assert judged(reading, limits) == words


def test_end_float_exactly_on_its_limit_is_in_and_at_the_edge() -> None:
    """Between 0.004 and 0.005 in wanted; 0.005 is inside, and no gauge can tell it from outside."""
    limits = Limits(in_force=band("0.004 to 0.005 in", "shop"))

    assert judged("0.005 in", limits, gauge="0.0005 in") == "in, edge"


def test_bore_is_roughed_to_within_four_thou_and_honed() -> None:
    """The hone takes what is left to piston plus clearance: 0.004 in of a bore roughed to 3.1723."""
    left = worked("piston + aim - bore", piston="3.1738 in", aim="0.0025 in", bore="3.1723 in")

    assert left == Fraction("0.0040")


def test_spring_is_brought_to_load_with_a_shim_of_sixty_thou() -> None:
    """Found 0.060 in too tall, it takes a shim of 0.060 in, the most that is allowed; 0.061 is out."""
    shim = worked("found - wanted", found="2.185 in", wanted="2.125 in")
    limits = Limits(in_force=band("0.060 in max", "shop"))

    assert shim == Fraction("0.060")
    assert judged("0.060 in", limits) == "in"
    assert judged("0.061 in", limits) == "out"


def test_side_clearance_of_four_thou_is_in() -> None:
    """A rod with 0.004 in beside it stands on the lower limit: in."""
    assert judged("0.004 in", Limits(in_force=band("0.004 to 0.009 in"))) == "in"


@pytest.mark.parametrize(
    ("gap", "words"),
    [("0.036 in", "in"), ("0.050 in", "in, off aim"), ("0.031 in", "out"), ("0.056 in", "out")],
)
def test_hydraulic_gap_is_preferred_low(gap: str, words: str) -> None:
    """0.035 to 0.055 in passes, the low end is preferred."""
    limits = Limits(in_force=band("0.035 to 0.055 in"), aim=band("0.035 to 0.045 in", "aim"))

    assert judged(gap, limits) == words


def test_valve_tip_is_ground_two_thou_at_a_pass() -> None:
    """A gap of 0.031 in wants 0.004 in off the tip to come to 0.035: two passes of 0.002 in."""
    off = worked("wanted - gap", wanted="0.035 in", gap="0.031 in")

    assert off == Fraction("0.004")
    assert ceil(off / Fraction("0.002")) == 2

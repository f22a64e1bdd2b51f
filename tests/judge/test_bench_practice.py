"""Ordinary cases from the bench, in Python and by the page's scripts alike; common practice, no source."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest

from builder.formula import Amount, Scope, evaluate, export, export_scope, export_value, parse, readings
from builder.judge.bounds import Band, Limits
from builder.judge.verdict import decide
from builder.limit import read_limit
from builder.quantity import read_quantity

Judged = Callable[..., str]
Worked = Callable[..., Fraction]


def band(text: str | None, kind: str) -> Band | None:
    """A limit as it is written."""
    if text is None:
        return None
    limit = read_limit(text)
    return Band(limit.low_base, limit.high_base, kind, ())


@pytest.fixture
def judged(formula_browser: Callable[[dict[str, Any]], Any]) -> Judged:
    """A reading judged, in words; both evaluators say the same, or the test fails."""

    def judge(
        reading: str, limits: dict[str, str], *, uncertainty: str = "0 in", untouched: bool = False
    ) -> str:
        bands = Limits(*(band(limits.get(kind), kind) for kind in ("inForce", "aim", "wear")))
        spread = read_quantity(uncertainty).base ** 2
        ours = decide(read_quantity(reading).base, spread, bands, untouched=untouched)
        asked = {"judge": reading, "uncertainty": uncertainty, "limits": limits, "untouched": untouched}
        theirs = formula_browser(asked)
        assert theirs == {"verdict": str(ours.verdict), "flags": list(map(str, ours.flags))}
        return ", ".join([theirs["verdict"], *theirs["flags"]])

    return judge


@pytest.fixture
def worked(formula_browser: Callable[[dict[str, Any]], Any]) -> Worked:
    """A formula over single sizes, in inches; both evaluators give the same, or the test fails."""

    def work(formula: str, **sizes: str) -> Fraction:
        grids = {name: readings(name, {}, [read_quantity(size).base]) for name, size in sizes.items()}
        scope, node = Scope(values=grids), parse(formula)
        ours = evaluate(node, scope)
        (theirs,) = formula_browser({"formulas": [export(node)], "scope": export_scope(scope)})
        for value in (theirs, plain := export_value(ours)):
            for cell in value["cells"]:
                cell["effects"].sort()
        assert theirs == plain
        (cell,) = ours.cells
        assert isinstance(cell, Amount)
        return read_quantity("1 in").unit.from_base(cell.value)

    return work


@pytest.mark.parametrize(
    ("reading", "words"), [("0.0020 in", "in"), ("0.0015 in", "in, off aim"), ("0.0014 in", "out")]
)
def test_book_clearance_and_the_clearance_that_the_shop_prefers(
    judged: Judged, reading: str, words: str
) -> None:
    """The book says 0.0015 in, the shop prefers 0.0020: 0.0015 passes, beside the aim."""
    limits = {"inForce": "0.0015 to 0.0025 in", "aim": "0.0018 to 0.0022 in"}

    assert judged(reading, limits) == words


@pytest.mark.parametrize(
    ("reading", "words"),
    [("0.0045 in", "in"), ("0.005 in", "in, edge"), ("0.0051 in", "out, edge"), ("0.0055 in", "out")],
)
def test_end_float_exactly_on_its_limit_is_in_and_at_the_edge(
    judged: Judged, reading: str, words: str
) -> None:
    """Between 0.004 and 0.005 in wanted; 0.005 is inside, and no gauge can tell it from outside."""
    limits = {"inForce": "0.004 to 0.005 in"}

    assert judged(reading, limits, uncertainty="0.0005 in") == words


def test_end_float_beside_its_aim_is_in(judged: Judged) -> None:
    """Where 0.004 to 0.005 in is the aim inside a wider limit, 0.005 is on it and 0.006 off it."""
    limits = {"inForce": "0.002 to 0.008 in", "aim": "0.004 to 0.005 in"}

    assert judged("0.005 in", limits) == "in"
    assert judged("0.006 in", limits) == "in, off aim"


def test_bore_is_roughed_to_within_four_thou_and_honed(judged: Judged, worked: Worked) -> None:
    """The hone takes what is left to piston plus clearance: 0.004 in of a bore roughed to 3.1723."""
    left = worked("piston + aim - bore", piston="3.1738 in", aim="0.0025 in", bore="3.1723 in")
    too_rough = worked("piston + aim - bore", piston="3.1738 in", aim="0.0025 in", bore="3.1718 in")

    assert left == Fraction("0.0040")
    assert judged(f"{float(left)} in", {"inForce": "0.004 in max"}) == "in"
    assert judged(f"{float(too_rough)} in", {"inForce": "0.004 in max"}) == "out"


def test_spring_is_brought_to_load_with_a_shim_of_sixty_thou(judged: Judged, worked: Worked) -> None:
    """A spring of 138.67 lbf an inch that carries 8.32 lbf too little takes 0.060 in, the most allowed."""
    shim = worked("short / rate", short="8.32 lbf", rate="138.6666667 lbf/in")

    assert round(float(shim), 6) == 0.06
    assert worked("found - wanted", found="2.185 in", wanted="2.125 in") == Fraction("0.060")
    assert judged("0.060 in", {"inForce": "0.060 in max"}) == "in"
    assert judged("0.061 in", {"inForce": "0.060 in max"}) == "out"


def test_side_clearance_of_four_thou_is_in(judged: Judged) -> None:
    """A rod with 0.004 in beside it stands on the lower limit: in."""
    assert judged("0.004 in", {"inForce": "0.004 to 0.009 in"}) == "in"
    assert judged("0.0039 in", {"inForce": "0.004 to 0.009 in"}) == "out"


@pytest.mark.parametrize(
    ("gap", "words"),
    [
        ("0.035 in", "in"),
        ("0.036 in", "in"),
        ("0.050 in", "in, off aim"),
        ("0.055 in", "in, off aim"),
        ("0.031 in", "out"),
        ("0.056 in", "out"),
    ],
)
def test_hydraulic_gap_is_preferred_low(judged: Judged, gap: str, words: str) -> None:
    """0.035 to 0.055 in passes, the low end is preferred."""
    limits = {"inForce": "0.035 to 0.055 in", "aim": "0.035 to 0.045 in"}

    assert judged(gap, limits) == words


def test_valve_tip_is_ground_two_thou_at_a_pass(judged: Judged, worked: Worked) -> None:
    """A gap of 0.031 in wants 0.004 in off the tip to come to 0.035: two passes of 0.002 in, not one."""
    limits = {"inForce": "0.035 to 0.055 in"}
    gaps = [
        worked("gap + passes * 0.002 * inch", gap="0.031 in", passes=f"{passes} ratio") for passes in (1, 2)
    ]

    assert worked("wanted - gap", wanted="0.035 in", gap="0.031 in") == Fraction("0.004")
    assert [judged(f"{float(gap)} in", limits) for gap in gaps] == ["out", "in"]


@pytest.mark.parametrize(
    ("reading", "untouched", "words"),
    [
        ("0.0050 in", True, "in"),
        ("0.0055 in", True, "in, inside wear only"),
        ("0.0060 in", True, "in, inside wear only"),
        ("0.0061 in", True, "out"),
        ("0.0055 in", False, "out"),
    ],
)
def test_shells_are_discarded_beyond_their_wear_limit(
    judged: Judged, reading: str, untouched: bool, words: str
) -> None:
    """TM 9-2815-202-34 para 4-35: 0.0016 to 0.0050 in new, discard above 0.0060, which passes no new one."""
    limits = {"inForce": "0.0016 to 0.0050 in", "wear": "0.0060 in max"}

    assert judged(reading, limits, untouched=untouched) == words

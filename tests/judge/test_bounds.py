"""Which limit decides at a position, and how the job's size steps move it."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.judge.bounds import Limits, limits_at
from builder.manual import Manual
from builder.manual import row as row_of
from builder.model.decode import adapter_of
from builder.model.spec import LimitRow
from builder.number import show_number

INCH = Fraction(254, 10_000)
ROW = adapter_of(LimitRow)


def row(**stated: object) -> LimitRow:
    """A row with these limits."""
    made: LimitRow = ROW.validate_python({"kind": "shaft", "title": "A journal", **stated})
    return made


def said(limits: Limits) -> dict[str, str]:
    """The limits in inches by what they are for, with the kind in force."""
    bands = {"in force": limits.in_force, "aim": limits.aim, "wear": limits.wear}
    return {
        name: f"{band.kind} "
        + " to ".join("open" if end is None else show_number(end / INCH, 4) for end in (band.low, band.high))
        for name, band in bands.items()
        if band is not None
    }


@pytest.mark.parametrize(
    ("stated", "kind"),
    [
        (("new", "shop", "rule"), "new"),
        (("supplier", "new", "shop"), "supplier"),
        (("shop", "rule"), "shop"),
        (("rule", "wear"), "rule"),
        (("wear", "aim"), ""),
    ],
)
def test_first_limit_that_exists_is_in_force(stated: tuple[str, ...], kind: str) -> None:
    """Supplier, then new, shop, rule; a wear limit and an aim are never in force."""
    found = limits_at(row(**dict.fromkeys(stated, "1.0000 to 1.0010 in [m 1]")), {}, {}).in_force

    assert (found.kind if found else "") == kind


def test_size_step_moves_every_limit_of_a_size() -> None:
    """A job's undersize moves limit, aim and wear limit alike, by the row's factor."""
    found = limits_at(
        row(
            new="2.6235 to 2.6240 in [m 1]",
            aim="2.6236 to 2.6238 in [m 1]",
            wear="2.6220 in min [m 1]",
            moves_with={"main_undersize": "-1"},
        ),
        {},
        {"main_undersize": Fraction("0.010") * INCH, "pin_undersize": INCH},
    )

    assert said(found) == {
        "in force": "new 2.6135 to 2.6140",
        "aim": "aim 2.6136 to 2.6138",
        "wear": "wear 2.6120 to open",
    }


def test_wall_moves_by_half_a_step() -> None:
    """A shell's wall grows by half of what the journal loses."""
    wall = row(new="0.0932 to 0.0935 in [m 1]", moves_with={"main_undersize": "1/2"})

    found = limits_at(wall, {}, {"main_undersize": Fraction("0.010") * INCH})

    assert said(found) == {"in force": "new 0.0982 to 0.0985"}


def test_position_has_its_own_limit() -> None:
    """Stepped sizes: the label of the position chooses; where none fits there is no limit."""
    stepped = row(new={"1": "2.1235 to 2.1245 in [m 9]", "2": "2.0925 to 2.0935 in [m 9]"})

    assert said(limits_at(stepped, {"cam_bearing": "2"}, {})) == {"in force": "new 2.0925 to 2.0935"}
    assert said(limits_at(stepped, {"cam_bearing": "3"}, {})) == {}


def test_grades_are_judged_over_all_of_them() -> None:
    """Selective grades count together: from the least of the smallest to the most of the largest."""
    graded = row(new={"a": "3.1560 to 3.1565 in [m 8]", "b": "3.1565 to 3.1570 in [m 8]"}, grades=["a", "b"])

    assert said(limits_at(graded, {"cylinder": "4"}, {})) == {"in force": "new 3.1560 to 3.1570"}


def test_first_of_several_sources_is_in_force() -> None:
    """Where two sources disagree, the first one printed decides."""
    disagreeing = row(new=["1.0000 to 1.0010 in [m 1]", "1.0000 to 1.0020 in [m 2]"])

    assert said(limits_at(disagreeing, {}, {})) == {"in force": "new 1.0000 to 1.0010"}


def test_same_as_new_allows_no_wear() -> None:
    """`same as new` holds an untouched part to the limit in force."""
    strict = row(new="1.0000 to 1.0010 in [m 1]", wear="same as new [m 1]")

    assert said(limits_at(strict, {}, {})) == {
        "in force": "new 1.0000 to 1.0010",
        "wear": "wear 1.0000 to 1.0010",
    }


@given(tenths=st.integers(0, 1000))
def test_moved_band_is_as_wide_as_before(tenths: int) -> None:
    """A size step moves a band and never widens it."""
    journal = row(new="2.6235 to 2.6240 in [m 1]", moves_with={"main_undersize": "-1"})

    found = limits_at(journal, {}, {"main_undersize": Fraction(tenths, 10_000) * INCH}).in_force

    assert found is not None
    assert found.width == Fraction("0.0005") * INCH


def test_every_clearance_of_the_families_stands_still(manual: Manual) -> None:
    """No clearance, nip or float moves with a size step: only sizes do."""
    still = {"clearance", "gap", "end_float", "backlash", "interference"}
    moving = [
        (str(engine.engine), str(name))
        for engine, name, found in manual.limit_rows()
        if found.kind in still and found.moves_with
    ]

    assert moving == []
    assert row_of(manual.engines["pellbrook-35-eight"], "main.clearance") is not None

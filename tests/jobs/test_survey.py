"""The survey: what is out, the sizes to choose by the worst reading, the sizes that go with them."""

from __future__ import annotations

import json
from typing import Any

import pytest

from builder.jobs.survey import parts_found, sizes_to_choose
from builder.quantity import show

Copy = Any  # of conftest.py, which is no module to import from

CHOSEN = {
    "clean": {"bore_oversize": "0.030 in", "main_undersize": "0.010 in", "pin_undersize": "0.010 in"},
    "faulty": {"bore_oversize": "0.020 in", "main_undersize": "0.020 in", "pin_undersize": "0.020 in"},
}
"""Worked by hand. T-0217: 3.5333 + 0.008 - 3.5200 = 0.0213, so 0.030; 2.6240 - 2.6224 + 0.003 = 0.0046, so
0.010. P-0331: 3.1658 + 0.008 - 3.1560 = 0.0178, so 0.020; 2.5000 - 2.4923 + 0.003 = 0.0107, so 0.020."""


@pytest.mark.parametrize("job", CHOSEN)
def test_sizes_to_choose_are_the_first_listed_that_clean_the_worst(
    job: str, request: pytest.FixtureRequest
) -> None:
    """Both demonstration jobs chose what their survey asks for."""
    copy: Copy = request.getfixturevalue(job)
    found = sizes_to_choose(copy.check())

    said = {one.step: show(one.unit.from_base(one.chosen), one.unit, 3) for one in found if one.unit}
    assert said == CHOSEN[job]
    assert all(one.agreed == said[one.step] for one in found)


def test_sizes_that_go_with_a_step_are_told_with_their_number(clean: Copy) -> None:
    """A main undersize moves journal, bore and shell wall, the wall by half of it."""
    found = next(one for one in sizes_to_choose(clean.check()) if one.step == "main_undersize")

    limits = {
        one.name: (one.number, one.limits.in_force and round(float(one.limits.in_force.low or 0) / 0.0254, 4))
        for one in found.moved
    }
    assert limits["main.journal"] == (4, 2.6135)
    assert limits["main.shell_wall"] == (4, 0.0982)


def test_no_size_is_chosen_while_a_reading_is_missing(clean: Copy) -> None:
    """An oversize that cleans every bore needs every bore read; the place that was not is named."""

    def change(sheet: dict[str, Any]) -> None:
        top = {"cylinder": "5", "plane": "top", "axis": "T"}
        sheet["readings"] = [one for one in sheet["readings"] if (one["name"], one["at"]) != ("bore", top)]

    clean.edit("P06", change)
    found = next(one for one in sizes_to_choose(clean.check()) if one.step == "bore_oversize")

    assert found.chosen is None
    assert "cylinder 5, plane top, axis T" in found.why


def test_size_is_told_from_standard_where_the_engine_came_undersize(clean: Copy) -> None:
    """An engine that came at 0.010 in under and wants 0.010 more is ground to 0.020 in under."""
    clean.job("\nsizes:\n", "\ncame_with:\n  main_undersize: 0.010 in\nsizes:\n")

    def change(sheet: dict[str, Any]) -> None:
        for reading in sheet["readings"]:
            if reading["name"] == "journal":
                reading["typed"] = f"{float(reading['typed']) - 0.01:.4f}"

    clean.edit("P06", change)
    found = next(one for one in sizes_to_choose(clean.check()) if one.step == "main_undersize")

    assert found.unit is not None
    assert found.chosen is not None
    assert show(found.unit.from_base(found.chosen), found.unit, 3) == "0.020 in"


def test_every_out_of_the_survey_has_its_line(faulty: Copy) -> None:
    """What the check of the survey's sheet calls out is out here, each characteristic once."""
    checked = faulty.check()
    survey = next(one for one in checked.sheets if one.plan.code == "P06").judged_at("as_found")

    out = {one.characteristic for one in survey.judgements if str(one.verdict) == "out"}
    assert {one.part.characteristic for one in parts_found(checked) if one.out} == out
    assert "rod.bend" in out


def test_survey_readings_are_those_of_the_sheet(clean: Copy) -> None:
    """No reading with a limit is lost on the way: each stands at a place of its own."""
    checked = clean.check()
    sheet = json.loads(clean.path("P06").read_text("utf-8"))
    bores = [one for one in sheet["readings"] if one["name"] == "bore"]

    found = next(one for one in parts_found(checked) if one.part.characteristic == "bore.size")
    assert len(found.read) == len(bores) == 36

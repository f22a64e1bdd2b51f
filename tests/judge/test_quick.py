"""The quick look says clean only of sheets on which the judge finds nothing out and nothing suspect."""

from __future__ import annotations

import json
from collections.abc import Mapping
from fractions import Fraction
from pathlib import Path
from random import Random
from typing import Any

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from builder.checklist import Blank, Checklist, Grid
from builder.judge import QuickLook, Verdict, judge
from builder.judge.quick import Dates
from builder.judge.taken import Terms, row_unit, unit_of
from builder.manual import row as row_of
from builder.model.decode import adapter_of
from builder.model.job import Job
from builder.model.record import Reading, Sheet
from builder.model.spec import LimitRow
from builder.number import show_number

Json = dict[str, Any]

JOB, SHEET = adapter_of(Job), adapter_of(Sheet)
VECTORS = Path(__file__).parents[1] / "vectors" / "judge"
SMALL = (
    "pellbrook-35-eight/lay-in-crankshaft",
    "tarnwick-222h-six/time-the-camshaft",
    "pellbrook-35-eight/set-end-float",
    "pellbrook-35-eight/fit-poured-mains",
    "pellbrook-35-eight/bore-and-hone",
    "tarnwick-222h-six/first-fire",
    "tarnwick-222h-six/power-check",
)
STAGES = ("as_found", "final", "after_run")
ODD = ("2,4272", "x", "15 tenths", "+2½", "2.5 lb-ft", "-0")


def looks_clean(checklist: Checklist, sheet: Sheet, job: Job, stage: str) -> bool:
    """What the quick look says."""
    latest: dict[tuple[str, str, tuple[str, ...]], Reading] = {}
    for reading in sheet.readings:
        place = (str(reading.step), str(reading.name), tuple(map(str, reading.at.values())))
        if reading.stage == stage and (place not in latest or latest[place].try_ <= reading.try_):
            latest[place] = reading
    return QuickLook.of(checklist, job, stage).is_clean(latest, Dates(job.gauges))


def is_clean(checklist: Checklist, sheet: Sheet, job: Job, stage: str) -> bool:
    """What the judge says."""
    judged = judge(checklist, sheet, job, stage)
    doubted = any(one.slip or one.stale or one.doubt or one.unreadable for one in judged.taken)
    return not doubted and not any(one.verdict is Verdict.OUT for one in judged.judgements)


@pytest.mark.parametrize("name", ["mains-clean", "mains-faulty"])
def test_printed_jobs_are_told_apart(name: str, every: Mapping[str, Checklist]) -> None:
    """The clean mains look clean, the faulty ones do not."""
    case = json.loads((VECTORS / f"{name}.json").read_text("utf-8"))
    checklist = every[f"{case['sheet']['engine']}/{case['sheet']['procedure']}"]
    sheet, job = SHEET.validate_python(case["sheet"]), JOB.validate_python(case["job"])

    assert looks_clean(checklist, sheet, job, case["stage"]) == (name == "mains-clean")


@settings(max_examples=400, deadline=None, phases=[Phase.explicit, Phase.reuse, Phase.generate])
@given(data=st.data())
def test_quick_look_agrees_with_the_judge(data: st.DataObject, every: Mapping[str, Checklist]) -> None:
    """Near the limits and on them, with slips, gaps and gauges past their date: never clean by mistake."""
    name = data.draw(st.sampled_from(SMALL))
    stage = data.draw(st.sampled_from(STAGES))
    job = JOB.validate_python(data.draw(jobs(name.split("/")[0])))
    chance = Random(data.draw(st.integers(0, 2**32)))  # noqa: S311 - test data
    sheet = SHEET.validate_python(filled(every[name], job, stage, chance, data.draw(st.sampled_from(HANDS))))
    of = (every[name], sheet, job, stage)

    if looks_clean(*of):
        assert is_clean(*of)
    elif is_clean(*of):
        assert any(reading.try_ > 1 for reading in sheet.readings)  # all it cannot tell for itself


HANDS = (0.0, 0.0, 0.01, 0.1)
"""How often a hand goes astray; one that never does fills in clean sheets."""


@st.composite
def jobs(draw: st.DrawFn, engine: str) -> Json:
    """A job with sizes, by position now and then, a supplier's sheet, a gauge that may be late."""
    sizes: dict[str, Any] = {"main_undersize": "0.010 in"} if draw(st.booleans()) else {}
    if draw(st.integers(0, 3)) == 0:
        sizes = {"main_undersize": {"all": "0.010 in", "2": "0.020 in"}}
    supplier = {"main.clearance": "0.0010 to 0.0030 in [box 1]"} if draw(st.integers(0, 3)) == 0 else {}
    due = draw(st.sampled_from(["2026-12-31", "2026-12-31", "2026-03-18"]))
    return {
        "number": "J",
        "engine": engine,
        "basis": draw(st.sampled_from(["rebuilt", "overhauled"])),
        "people": {"L.M.": {"role": "builder"}},
        "sizes": sizes,
        "supplier": supplier,
        "gauges": {"OM-1": {"instrument": "outside_micrometer", "due": due}},
    }


def filled(checklist: Checklist, job: Job, stage: str, chance: Random, astray: float) -> Json:
    """A sheet filled in by a hand that goes astray so often."""
    readings = [
        {
            "step": str(grid.step),
            "name": str(grid.name),
            "at": {str(side): str(label) for side, label in blank.at.items()},
            "stage": stage,
            "try": str(2 if chance.random() < 0.01 else 1),
            "typed": typed(checklist, grid, blank, Terms.of(job, stage), (chance, astray)),
            "unit": unit_symbol(checklist, grid, blank),
            "gauge": chance.choice(["", "", "OM-1"]) if astray else "",
            "by": "L.M.",
            "when": "2026-03-19T10:00:00Z",
        }
        for step in checklist.steps
        for grid in step.grids
        for blank in grid.blanks
        if chance.random() > astray / 10
    ]
    head = {"sheet": "1", "job": "J", "engine": "-", "procedure": "-", "run": "final"}
    return {**head, "readings": readings}


def unit_symbol(checklist: Checklist, grid: Grid, blank: Blank) -> str:
    """The unit of a blank."""
    common = next((one.against for one in grid.blanks if one.against), None)
    own = unit_of(grid, row_of(checklist.engine, blank.against or common))
    return own.symbol if own else "in"


def typed(checklist: Checklist, grid: Grid, blank: Blank, terms: Terms, hand: tuple[Random, float]) -> str:
    """A value inside its limit, on its edge, or astray."""
    chance, astray = hand
    if chance.random() < astray / 5:
        return chance.choice(ODD)
    common = next((one.against for one in grid.blanks if one.against), None)
    name = torque(checklist, grid) if grid.name == "wrench" else blank.against or common
    row = row_of(checklist.engine, name)
    band = terms.limits(row, name, blank.at).in_force
    unit = row_unit(row) if isinstance(row, LimitRow) else None
    if band is None or unit is None:
        return {"arm": "18", "adapter": "0"}.get(str(grid.name), "1")
    ends = [unit.from_base(end) for end in (band.low, band.high) if end is not None]
    middle = sum(ends, Fraction(0)) / len(ends)
    if chance.random() < astray:
        return show_number(chance.choice(ends) + Fraction(chance.choice([-1, 0, 0, 1]), 10_000), 4)
    return show_number(middle, 5)


def torque(checklist: Checklist, grid: Grid) -> str | None:
    """The characteristic that the torque worked out in a grid's step is held against."""
    outs = (step.work_outs for step in checklist.steps if step.step.id == grid.step)
    return next((str(out.against) for of in outs for out in of.values() if out.against), None)

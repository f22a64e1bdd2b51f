"""Four more demonstration jobs, and the one of them that comes back: what it shows as worn."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.jobs import Plans, check_job, read_job
from builder.jobs.come_back import compared_lines
from builder.judge import Verdict
from builder.manual import Manual

JOBS = Path(__file__).parents[2] / "tests" / "data" / "jobs"

TO_COME = "not begun: P19, P20, P23, P29, P30, P31, P32, P33, P34, P35, P36, P37, P38, P39, P40, P41, P42"
TO_SIGN = "not signed yet: H10, H12, H13, H14, H15, H16, H20, H21"


@pytest.mark.parametrize("number", ["T-0224", "T-0231", "T-0238"])
def test_finished_demonstration_job_may_be_released(plans: Plans, number: str) -> None:
    """Three more jobs have nothing open, nothing to come and no fault in any file."""
    checked = check_job(plans.manual, read_job(JOBS / number), plans)

    assert (checked.findings, checked.waiting, checked.faults) == ((), (), ())
    assert checked.may_be_released


def test_concession_of_a_released_job_is_told(plans: Plans) -> None:
    """T-0238 goes out with one value out, and whoever reads its check is told why."""
    checked = check_job(plans.manual, read_job(JOBS / "T-0238"), plans)

    conceded = [one for one in checked.remarks if one.startswith("conceded")]
    assert conceded == [
        (
            "conceded: run-in, step stages, crankcase, point fired_1: new rings were still bedding, "
            "it fell to 1.2 inH2O at the next stage and went on falling"
        )
    ]


def test_come_back_under_way_has_no_fault_and_waits_for_the_rest(plans: Plans) -> None:
    """T-0252 has no finding; it may not go, since what comes after its bearings is not begun."""
    checked = check_job(plans.manual, read_job(JOBS / "T-0252"), plans)

    assert (checked.findings, checked.faults) == ((), ())
    assert checked.waiting == (TO_COME, TO_SIGN)
    assert not checked.may_be_released


def test_readings_as_found_are_held_against_the_sizes_the_engine_came_with(plans: Plans) -> None:
    """Bores that left 0.030 in over are not out because they are not of standard size."""
    checked = check_job(plans.manual, read_job(JOBS / "T-0252"), plans)
    survey = next(one for one in checked.sheets if one.plan.code == "P06")

    bores = [one for one in survey.judged_at("as_found").judgements if one.name == "bore"]
    assert {one.verdict for one in bores} == {Verdict.IN}
    assert {float(round(one.decision.by.moved / bores[0].unit.factor, 4)) for one in bores} == {0.03}  # type: ignore[union-attr]


def test_wear_is_told_at_the_same_points_the_most_worn_first(manual: Manual) -> None:
    """Each characteristic has one line with the most of it: bores at the top, journal of main 3."""
    lines = compared_lines(manual, JOBS / "T-0252", None)

    assert [line for line in lines if not line.startswith("  ")] == [
        "Cylinder leakage: worn most at cylinder 4, 3 percent, of 6 points",
        "Crankshaft end float: worn most at point first, 0.001 in, of 2 points",
        (
            "Cylinder bore, standard, grades a and b: "
            "worn most at cylinder 1, plane top, axis T, 0.0003 in, of 36 points"
        ),
        "Bore taper after machining: worn most at cylinder 1, 0.0003 in, of 6 points",
        "Bore out-of-round after machining: no wear that the gauges can tell at 6 points",
        "Main journal diameter: worn most at main 3, plane front, axis T, 0.0004 in, of 16 points",
        "Main journal taper: no wear that the gauges can tell at 4 points",
        "Main journal out-of-round: no wear that the gauges can tell at 4 points",
        "Crankpin diameter: worn most at crankpin 1, plane front, axis T, 0.0001 in, of 24 points",
        "Crankpin taper: no wear that the gauges can tell at 6 points",
        "Crankpin out-of-round: worn most at crankpin 1, 0.0001 in, of 6 points",
    ]


def test_wear_since_the_run_is_held_against_the_reading_after_the_run(manual: Manual) -> None:
    """What was read after the run is the reading it left with; the others are those of the assembly."""
    lines = [line.strip() for line in compared_lines(manual, JOBS / "T-0252", None)]

    assert "cylinder 4: left 6 percent after the run, found 9 percent, worn 3 percent" in lines
    assert "main 3, plane front, axis T: left 2.6139 in, found 2.6135 in, worn 0.0004 in" in lines


def test_wear_nearer_than_the_gauges_can_tell_is_said_to_be_so(manual: Manual) -> None:
    """A ten-thousandth worked out of six bore readings is no wear that anyone may rely on."""
    lines = [line.strip() for line in compared_lines(manual, JOBS / "T-0252", None)]

    assert (
        "cylinder 1: left 0.0001 in, found 0.0002 in, worn 0.0001 in, less than the gauges can tell" in lines
    )

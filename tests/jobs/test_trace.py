"""From a batch, a gauge, an outside shop or a ticket to every job and reading that used it; and backwards."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from builder.cli import main
from builder.jobs import CheckedJob, Plans, check_job, read_job
from builder.jobs.trace import Trace, nearest, trace
from builder.jobs.trace_words import trace_lines, trace_plain

ROOT = Path(__file__).parents[2]
JOBS = ROOT / "tests" / "data" / "jobs"
SET_BY_OM_14 = {"OM-14", "BG-06", "SH-02"}


@pytest.fixture(scope="module")
def jobs(plans: Plans) -> list[CheckedJob]:
    """All jobs of the demonstration shop."""
    return [check_job(plans.manual, read_job(one), plans) for one in sorted(JOBS.iterdir())]


def typed(number: str) -> list[dict[str, Any]]:
    """Every reading of a job as its files have it."""
    sheets = sorted((JOBS / number / "sheets").glob("*.json"))
    return [one for path in sheets for one in json.loads(path.read_text("utf-8"))["readings"]]


def readings(found: Trace) -> dict[str, int]:
    """How many readings each job has of something."""
    return {use.job: len(use.readings) for use in found.uses}


def test_gauge_leads_to_every_reading_taken_with_it_or_with_what_it_set(jobs: list[CheckedJob]) -> None:
    """OM-14 and the gauges that were set to it: as many readings as the sheets of its five jobs hold."""
    (found,) = trace(jobs, "om-14")

    numbers = ["T-0217", "T-0224", "T-0231", "T-0238", "T-0252"]
    expected = {number: sum(one["gauge"] in SET_BY_OM_14 for one in typed(number)) for number in numbers}
    assert readings(found) == expected
    ways = {one.by_way for use in found.uses for one in use.readings}
    assert ways == {"", "BG-06", "SH-02"}


def test_gauge_of_the_one_it_was_set_by_is_not_traced_back(jobs: list[CheckedJob]) -> None:
    """BG-06 leads to its own readings alone: it set nothing."""
    (found,) = trace(jobs, "BG-06")

    assert {str(one.reading.gauge) for use in found.uses for one in use.readings} == {"BG-06"}


def test_batch_leads_to_the_jobs_and_readings_of_its_parts(jobs: list[CheckedJob]) -> None:
    """Main shells MS-9: three jobs, the readings at the mains of the sheet that fits them."""
    (found,) = trace(jobs, "MS-9")

    expected = {}
    for number in ("T-0231", "T-0238", "T-0252"):
        text = (JOBS / number / "sheets" / "P18-fit-shell-bearings.json").read_text("utf-8")
        expected[number] = sum("main" in one["at"] for one in json.loads(text)["readings"])
    assert readings(found) == expected
    assert found.uses[0].said == (
        "main shell half, new, 0.010 in under, batch MS-9 (invented), at every position",
        "fitted on P18 by N.A., 2026-09-08",
    )


def test_lot_at_some_positions_leads_to_the_readings_there(jobs: list[CheckedJob]) -> None:
    """The thick shims of P-0331 stand under the exhaust springs 1 and 5: only what was read there counts."""
    found = trace(jobs, "spring shim")

    (use,) = [use for use in found[0].uses if use.job == "P-0331"]
    assert "spring shim, new, 0.030 in, at E1, E5" in use.said
    text = (JOBS / "P-0331" / "sheets" / "P27-valve-springs.json").read_text("utf-8")
    assert len(use.readings) == sum("valve" in one["at"] for one in json.loads(text)["readings"])


def test_outside_shop_leads_to_its_tickets_and_what_was_read_after(jobs: list[CheckedJob]) -> None:
    """The grinder by a word of his name: four jobs, journals and crankpins as read once they were home."""
    (found,) = trace(jobs, "harl")

    assert [use.job for use in found.uses] == ["P-0331", "T-0217", "T-0224", "T-0238"]
    assert readings(found) == {"P-0331": 20 + 32, "T-0217": 40, "T-0224": 40, "T-0238": 40}


def test_ticket_and_its_certificate_lead_to_the_same(jobs: list[CheckedJob]) -> None:
    """OT-118 and the certificate HCG 5521 are one piece of work."""
    (ticket,), (certificate,) = trace(jobs, "OT-118"), trace(jobs, "hcg 5521")

    assert ticket.uses == certificate.uses
    assert ticket.uses[0].said[0].startswith("OT-118: crankshaft: mains and crankpins ground")


def test_job_leads_back_to_what_it_used_and_who_else_did(jobs: list[CheckedJob]) -> None:
    """T-0224: its batches, outside work and gauges, and the job as which it came back."""
    (found,) = trace(jobs, "t-0224")

    said = found.uses[0].said
    assert "batch MS-7 (invented): main shell half; also on T-0217" in said
    harl = "outside work OT-127: crankshaft, Harl Crank Grinding (invented); also on P-0331, T-0217, T-0238"
    assert harl in said
    assert "gauge CS-01: 4 readings, last on 2026-08-21" in said
    assert said[-1] == "came back as job T-0252"


def test_name_that_nothing_bears_gets_the_nearest_ones(jobs: list[CheckedJob]) -> None:
    """A slip of the pen is answered with what may be meant; half a number is not enough."""
    assert trace(jobs, "OM-1") == ()
    assert trace(jobs, "  ") == ()
    assert "OM-14" in nearest(jobs, "OM-1")


def test_lines_count_the_readings_by_measurement(jobs: list[CheckedJob]) -> None:
    """One line for each measurement, with the gauge by way of which it hangs on the one asked for."""
    told = list(trace_lines(trace(jobs, "OM-14")))

    numbers = [path.name for path in JOBS.glob("T-*")]
    total = sum(one["gauge"] in SET_BY_OM_14 for number in numbers for one in typed(number))
    assert told[0] == f"gauge OM-14: 5 jobs, {total} readings"
    assert told[1].startswith("  T-0217: Tarnwick 222-H Six (invented), H. Vance (invented)")
    assert "    P18 step mains: bore, 24 readings, 2026-07-28, R.T., read with BG-06, which it set" in told


def test_json_holds_every_reading_as_typed(jobs: list[CheckedJob]) -> None:
    """What stands in the files, digit by digit."""
    (found,) = json.loads(json.dumps(trace_plain(trace(jobs, "CS-01"))))

    told = [(one["typed"], one["unit"], one["by"]) for one in found["jobs"][0]["readings"]]
    assert told == [
        (one["typed"], one["unit"], one["by"]) for one in typed("T-0224") if one["gauge"] == "CS-01"
    ]


def test_trace_at_the_prompt_looks_through_the_shop(monkeypatch: pytest.MonkeyPatch) -> None:
    """Words need no quotes; what is not found exits 1 and says what may be meant."""
    monkeypatch.chdir(ROOT)

    found = CliRunner().invoke(main, ["job", "trace", "melt", "311"])
    missed = CliRunner().invoke(main, ["job", "trace", "OM-41"])

    assert found.exit_code == 0
    assert found.output.splitlines()[0] == "outside work melt 311 (invented): 1 job"
    assert missed.exit_code == 1
    assert "nothing on 6 jobs bears the name `OM-41`; did you mean" in missed.output

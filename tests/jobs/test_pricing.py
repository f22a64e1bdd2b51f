"""Estimates: exact sums by stage and option, what was decided, and a diagnostic for nonsense."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from builder.jobs.folder import read_job
from builder.jobs.pricing import priced
from builder.jobs.start import job_text

Copy = Any  # of conftest.py, which is no module to import from


def test_estimate_is_added_up_by_stage_and_option(clean: Copy) -> None:
    """T-0217, added up by hand: hours at 46.00, what is bought, common lines in each option."""
    job = clean.check().folder.job
    found = priced(job, job.estimate)

    sums = {
        one.name: [(way.letter, way.hours.text, way.price.text) for way in one.ways] for one in found.stages
    }
    assert sums == {
        "survey": [("", "45.00", "2155.00")],
        "block": [("A", "25.00", "1864.00"), ("B", "42.00", "2840.00")],
        "crank": [("A", "18.00", "1349.00"), ("B", "26.00", "2172.00")],
        "build": [("", "78.00", "4176.00")],
    }
    assert (found.least.text, found.most.text) == ("9544.00", "11748.00")


def test_decided_price_waits_for_every_decision(clean: Copy) -> None:
    """While one stage with options is open there is a range and no price."""
    job = clean.check().folder.job
    assert priced(job, job.estimate).decided.text == "9544.00"

    clean.job("stage: block, option: A, by", "stage: block, by")
    job = clean.check().folder.job
    assert priced(job, job.estimate).decided is None


NONSENSE = [
    ("  hour: 46.00", "  hour: 46,00", "`46,00` is no amount"),
    ("  hour: 46.00", "  hour: -46", "`-46` is no amount"),
    ("price: 258.00, size: m", "price: 258.005, size: m", "`258.005` is no amount"),
    ("Assembly, hours: 38}", "Assembly}", "this line has neither hours nor a price"),
    ("order: true, lead: not known}", "order: true}", "this is ordered, and no delivery time is given"),
    ("until: 2026-06-15", "until: 2026-04-15", "it holds until 2026-04-15, before it was written"),
    ("      fixed: true", "      colour: red", "`colour` is not known here"),
]


@pytest.mark.parametrize(("old", "new", "said"), NONSENSE, ids=[said for _, _, said in NONSENSE])
def test_nonsense_in_an_estimate_is_a_diagnostic_with_its_line(
    clean: Copy, old: str, new: str, said: str
) -> None:
    """Amounts, delivery times and days that cannot be are told where they stand."""
    clean.job(old, new)
    text = (clean.folder / "job.yaml").read_text("utf-8")
    line = text[: text.index(new)].count("\n") + 1

    assert (said, line) in [(one.message, one.span.line) for one in read_job(clean.folder).faults]


CHARACTERISTIC = "a characteristic with limits of `tarnwick-222h-six`"
UNKNOWN = [
    ("stage: block, option: A", "stage: blok, option: A", "`blok` is not a stage of the estimate"),
    ("stage: block, option: A", "stage: block, option: C", "`C` is not an option of `block`"),
    ("    bore.taper: Goes", "    bore.tapper: Goes", f"`bore.tapper` is not {CHARACTERISTIC}"),
    ("hold: [main.fillet,", "hold: [main.filet,", f"`main.filet` is not {CHARACTERISTIC}"),
]


@pytest.mark.parametrize(("old", "new", "said"), UNKNOWN, ids=[said for _, _, said in UNKNOWN])
def test_names_that_nobody_knows_are_told(clean: Copy, old: str, new: str, said: str) -> None:
    """Stages, options and characteristics are held against the estimate and the manual."""
    clean.job(old, new)

    assert [one.message for one in clean.check().unknown] == [said]


def test_remarks_of_a_new_job_read_once_their_marks_are_taken_off(tmp_path: Path) -> None:
    """Whoever takes the `#` away has a condition and an estimate that add up."""
    lines = job_text("X-1", "tarnwick-222h-six", "rebuilt", {"R.S.": ["foreman"]}).splitlines()
    (tmp_path / "job.yaml").write_text("\n".join(line.removeprefix("# ") for line in lines), "utf-8")

    found = read_job(tmp_path)
    assert found.faults == ()
    assert found.job is not None
    assert found.job.estimate is not None
    assert priced(found.job, found.job.estimate).least.text == "1256.00"

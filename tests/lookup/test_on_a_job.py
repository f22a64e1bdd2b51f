"""The look-up with a job chosen: its sizes, its sheets and its readings, at a prompt and in the browser."""

from __future__ import annotations

import json
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from builder.jobs.own import Finding
from builder.judge.bounds import Band
from builder.limit import read_limit
from builder.lookup import Lookup
from builder.manual import Manual
from builder.model.base import Text
from builder.render.find_data import packed
from builder.render.find_job import OnJob, jobs_in
from builder.render.find_job_data import job_data
from builder.render.find_lines import answer_lines, found_lines
from builder.render.find_rows import RowView
from builder.render.job_values import JobShower
from builder.render.values import Measure

SHOP = Path(__file__).parents[2]
JOBS = SHOP / "tests" / "data" / "jobs"
UNPACK = Path(__file__).with_name("job_row.cjs")
QUESTIONS: dict[str, dict[str, list[str]]] = json.loads(
    (Path(__file__).parents[1] / "vectors" / "lookup" / "bench_questions.json").read_text("utf-8")
)
"""Thirty questions: each typed form with the rows that answer it."""

ABSENT = {
    "P-0331": {"nip", "crush", "stand proud", "hydraulic", "lifter preload", "collapsed gap", "pump up"},
    "T-0217": set(),
}
"""What a family has not: poured bearings have no nip, solid tappets no preload. `crush` and
`stand proud` find what else is crushed or stands proud: the gasket, a liner."""

ON_JOB = {
    "P-0331": {
        "main clearance": "main 3  0.0033 to 0.0036 in (0.084 to 0.091 mm)  out, suspect",
        "oil clearence": "main 1  2.4797 to 2.4798 in (62.984 to 62.987 mm)  in, suspect",
        "rod bearing": "rod 1  0.0016 to 0.0017 in (0.041 to 0.043 mm)  in, suspect",
        "undersize": "2.4795 to 2.4800 in (62.980 to 62.992 mm)  this job, main undersize 0.020 in",
        "minus twenty": "2.4795 to 2.4800 in (62.980 to 62.992 mm)  this job, main undersize 0.020 in",
        "regrind siez": "2.4795 to 2.4800 in (62.980 to 62.992 mm)  this job, main undersize 0.020 in",
        "what do I finish to": "cylinder 5  3.1764 in (80.681 mm)  to aim at",
        "cylinder diamter": "cylinder 5  3.1762 to 3.1769 in (80.675 to 80.693 mm)  in",
        "piston slack": "cylinder 5  0.0023 to 0.0030 in (0.058 to 0.076 mm)  in, edge, off aim",
        "taper": "cylinder 5  0.0007 in (0.018 mm)  out",
        "spring preasure": "valve E6  39 lbf (173 N)  out",
        "end flaot": "0.006 in (0.15 mm)  in",
    },
    "T-0217": {
        "main clearance": "main 4  0.0018 in (0.046 mm)  in",
        "undersize": "2.6135 to 2.6140 in (66.383 to 66.395 mm)  this job, main undersize 0.010 in",
        "bore size": "3.5500 to 3.5510 in (90.170 to 90.195 mm)  this job, bore oversize 0.030 in",
        "what do i finish to": "cylinder 6  3.5506 in (90.185 mm)  to aim at",
        "nip": "main 1  0.003 in (0.08 mm)  in",
        "end play": "0.005 in (0.13 mm)  in",
        "poundage": "valve I1  66 lbf (294 N)  in",
        "valve timing": "14.5° BTDC  in",
    },
}
"""What stands in the first answer for the job, from its sheets; words misspelt as they are at the bench."""


@pytest.fixture(scope="session")
def jobs(manual: Manual) -> dict[str, OnJob]:
    """The jobs of the demonstration."""
    return {str(job.job.number): job for job in jobs_in(manual, JOBS)}


@pytest.mark.parametrize("number", sorted(ON_JOB))
def test_every_bench_question_is_answered_for_the_job(
    lookup: Lookup, jobs: dict[str, OnJob], number: str
) -> None:
    """All typed forms of the thirty questions lead first to a right row of the job's own family."""
    family = str(jobs[number].answers.engine.engine)
    asked = {typed: right for forms in QUESTIONS.values() for typed, right in forms.items()}
    firsts = {typed: first_hit(lookup, typed, family) for typed in asked if typed not in ABSENT[number]}

    assert {typed: first for typed, first in firsts.items() if first not in asked[typed]} == {}


@pytest.mark.parametrize(("number", "typed"), [(job, typed) for job in ON_JOB for typed in ON_JOB[job]])
def test_the_first_answer_is_the_jobs_own(
    lookup: Lookup, jobs: dict[str, OnJob], number: str, typed: str
) -> None:
    """The limit moved by the job's size step, or what was read on its sheets, stands in the first answer."""
    engine = str(jobs[number].answers.engine.engine)
    (answer,) = lookup.answers(lookup.rank(typed, engine), engine, 1)
    lines = answer_lines(lookup.manual, answer, job=jobs[number])

    assert any(ON_JOB[number][typed] in line for line in lines), "\n".join(lines)


def test_limits_shown_are_those_that_judge(jobs: dict[str, OnJob]) -> None:
    """Read back from what is shown, every reading on a sheet was held against the limit that is shown."""
    looked = 0
    for job in jobs.values():
        for name, found in job.findings.items():
            row = job.answers.engine.specs[Text(name)]
            shown = JobShower(job.answers.manual, job.answers.engine, "find.html", job.job).values(row)
            limits = [read_limit(str(one.shown)) for one in shown if one.decides and one.kind == "job"]
            held = {(limit.low_base, limit.high_base) for limit in limits}
            bands = [band for one in found if one.stage == "final" for band in bands_of(one)]
            assert not held or {(band.low, band.high) for band in bands} <= held, name
            looked += len(bands) if held else 0

    assert looked > 200


def bands_of(found: Finding) -> Iterator[Band]:
    """The limits by which the readings were decided; no wear limits, which only an overhaul knows."""
    decided = (value.decision.by for _, values in found.values for value in values)
    yield from (band for band in decided if band is not None and band.kind != "wear")


def test_an_earlier_value_of_the_book_stands_small_beside_it(jobs: dict[str, OnJob], manual: Manual) -> None:
    """What the size step moved is still told, with how far."""
    lines = found_lines(manual, "main journal", "pellbrook", limit=1, job=jobs["P-0331"])

    assert "    new: 2.4995 to 2.5000 in (63.488 to 63.500 mm), what this job has goes before it" in lines


@pytest.mark.parametrize("number", ["P-0331", "T-0217", "T-0252"])
def test_browser_shows_what_the_prompt_says(lookup: Lookup, jobs: dict[str, OnJob], number: str) -> None:
    """Every row of the job's family, unpacked by the page's own code, holds the same words as Python's."""
    node = shutil.which("node")
    if node is None:
        pytest.skip("NOT COMPARED: node is not installed, so the page's own code was not run at all")
    job = jobs[number]
    script = packed(lookup).partition("=")[2].rstrip(";\n")
    given = json.dumps({"manual": json.loads(script), "job": json.dumps(job_data(lookup, job))})
    ran = subprocess.run([node, str(UNPACK)], input=given, capture_output=True, text=True, check=True)
    unpacked = json.loads(ran.stdout)

    for name in map(str, job.answers.engine.specs):
        entry = lookup.entry(job.answers.engine, name)
        assert entry is not None
        assert as_shown(unpacked[name]) == as_said(job.view(entry)), name


def as_said(view: RowView) -> dict[str, Any]:
    """A row of Python's in the shape of the page's."""
    return {
        "values": [
            [one.kind, one.place, said(one.shown), said(one.partner), one.remark, one.decides]
            for one in view.values
        ],
        "readings": [
            [
                found.stage,
                found.name,
                found.step.number,
                [[line.where, said(line.shown), said(line.partner), line.verdict] for line in found.lines],
            ]
            for found in view.readings
        ],
        "sizes": len(view.sizes),
    }


def said(shown: Measure | None) -> list[str] | None:
    """A measure as three texts, blanks drawn together."""
    return (
        None
        if shown is None
        else [" ".join(text.split()) for text in (shown.number, shown.unit, shown.after)]
    )


def as_shown(row: dict[str, Any]) -> dict[str, Any]:
    """A row of the page's in the same shape."""
    return {
        "values": [
            [
                one["kind"],
                one["place"],
                three(one["shown"]),
                three(one["partner"]),
                one["remark"],
                one["decides"],
            ]
            for one in row["values"]
        ],
        "readings": [
            [
                found["stage"],
                found["name"],
                found["step"]["number"],
                [
                    [line["where"], three(line["shown"]), three(line["partner"]), line["verdict"]]
                    for line in found["lines"]
                ],
            ]
            for found in row["readings"]
        ],
        "sizes": len(row["sizes"]),
    }


def three(shown: dict[str, Any] | None) -> list[str] | None:
    """A measure of the page's as three texts."""
    return None if shown is None else [shown["number"], shown["unit"], shown["after"]]


def first_hit(lookup: Lookup, typed: str, family: str | None = None) -> str:
    """The id of the first hit, over all families or in one."""
    hits = lookup.rank(typed, family).hits
    return lookup.index.subjects[hits[0].subject] if hits else ""

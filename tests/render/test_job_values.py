"""Book, supplier, shop and this job side by side: in an answer and on a sheet, each with whose and why."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from builder.checklist import Checklist, checklists
from builder.cli import main
from builder.diagnostics import Fault
from builder.manual import Manual, load
from builder.model.decode import adapter_of, decode
from builder.model.job import Job
from builder.render import paper
from builder.render.find_lines import found_lines
from builder.render.job_values import JobShower, job_line, skipped_lines
from builder.sheet_files import Form, for_job, order
from builder.yaml_text import read_text

BASE = Path(__file__).parents[1] / "rules" / "base"
FIRST = "it outranks all others on this engine"
JOB = """\
number: T-7
engine: tallow-four
engine_number: "4711"
basis: rebuilt
people: {R.S.: {role: foreman}}
sizes:
  main_undersize: {"1": 0.010 in, all: 0.020 in}
supplier:
  main.clearance: 0.0013 to 0.0020 in [box 2]
concessions:
  - of: {procedure: fit-mains, step: measure, name: taper, at: {main: "2"}}
    reason: The owner keeps the shaft
    by: R.S.
    on: 2026-03-20
  - of: {procedure: fit-mains, step: measure, name: clearance}
skipped:
  - {procedure: fit-mains, step: bore, reason: the metal was bored outside, by: R.S., on: 2026-03-19}
"""


@pytest.fixture(scope="module")
def manual() -> Manual:
    """The small clean shop."""
    return load(BASE)[0]


@pytest.fixture(scope="module")
def checklist(manual: Manual) -> Checklist:
    """Its one checklist."""
    return next(checklists(manual))


@pytest.fixture(scope="module")
def job() -> Job:
    """A job that decides something of every sort."""
    read = decode(read_text(JOB, "T-7/job.yaml"), adapter_of(Job))
    assert read.faults == ()
    assert read.value is not None
    return read.value


def told(manual: Manual, job: Job, name: str) -> list[str]:
    """The values of a row as the job has them, a line each; an arrow marks what decides."""
    engine = manual.engines["tallow-four"]
    row = next(row for own, row in engine.specs.items() if own == name)
    return [
        f"{'→ ' if one.decides else ''}{one.label}: {one.place and one.place + ': '}{one.shown}"
        f"{f' ({one.partner})' if one.partner else ''}{one.remark and f', {one.remark}'}"
        f"{''.join(f' [{cite.text}]' for cite in one.cites)}".replace("\u00a0", " ")
        for one in JobShower(manual, engine, "find.html", job).values(row)
    ]


def test_sheet_in_the_box_of_the_job_goes_before_all(manual: Manual, job: Job) -> None:
    """It decides; the book's own stands beside it and says so, and so does what was conceded."""
    assert told(manual, job, "main.clearance") == [
        f"→ this job, sheet in the box: 0.0013 to 0.0020 in (0.034 to 0.050 mm), {FIRST} [box 2]",
        "this job, conceded: no reason given, nobody signed for it",
        "new: 0.0012 to 0.0022 in (0.031 to 0.055 mm), what this job has goes before it [manual p. 22]",
        "aim: 0.0015 to 0.0018 in (0.039 to 0.045 mm) [notes 3]",
        "wear limit: 0.0040 in max (0.101 mm max), only for a part left untouched [manual p. 22]",
    ]


def test_limits_are_moved_by_the_sizes_of_the_job(manual: Manual, job: Job) -> None:
    """Position by position where the sizes differ, in both units; the book's own stands beside."""
    assert told(manual, job, "main.journal")[:5] == [
        "→ this job, main undersize 0.010 in: main 1: 1.8640 to 1.8645 in (47.346 to 47.358 mm)",
        "→ this job, main undersize 0.020 in: others: 1.8540 to 1.8545 in (47.092 to 47.104 mm)",
        "wear limit: main 1: 1.8620 in min (47.295 mm min), only for a part left untouched",
        "wear limit: others: 1.8520 in min (47.041 mm min), only for a part left untouched",
        "new: 1.8740 to 1.8745 in (47.600 to 47.612 mm), what this job has goes before it [manual p. 22]",
    ]


def test_concession_stands_at_what_it_is_about(manual: Manual, job: Job) -> None:
    """Position, reason, who and when; it decides nothing."""
    assert told(manual, job, "main.journal_taper") == [
        "this job, conceded: main 2: The owner keeps the shaft, R.S. 2026-03-20",
        "→ shop: 0.0005 in max (0.012 mm max) [notes 3]",
    ]


def test_answer_shows_the_job_beside_the_rest(manual: Manual, job: Job) -> None:
    """What decides comes first; another family's job changes nothing."""
    lines = found_lines(manual, "clearance", job=job)
    other = job.model_copy(update={"engine": "another"})

    assert lines[0] == "0.0013 to 0.0020 in (0.034 to 0.050 mm)  this job, sheet in the box"
    assert "    new: 0.0012 to 0.0022 in (0.031 to 0.055 mm), what this job has goes before it" in lines
    assert found_lines(manual, "clearance", job=other) == found_lines(manual, "clearance")


def test_sheet_for_a_job_bears_its_number_and_what_was_decided(checklist: Checklist, job: Job) -> None:
    """Head, sizes, skipped steps with who and why, limits as it has them; a blank sheet has none of it."""
    html = paper.sheet(checklist, job=job)

    assert "<span>job T-7</span><span>engine no. 4711</span>" in html
    assert job_line(job) == "Job T-7; engine 4711; rebuilt; main undersize 1 0.010 in, others 0.020 in"
    (skipped,) = skipped_lines(job, checklist.procedure)
    assert skipped == ("Step 2 is not done on this job: the metal was bored outside (R.S. 2026-03-19)")
    assert f'<p class="of-job">{skipped}.</p>' in html
    assert "this job, main undersize 0.010 in" in html
    assert "T-7" not in paper.sheet(checklist)


def test_sheet_is_written_for_a_job_of_the_family_alone(manual: Manual, job: Job) -> None:
    """Its name begins with the job's; another family, a pack and a file for a screen are refused."""
    blank = order(manual, "tallow", "P16", Form.PAPER)

    assert for_job(blank, job).file_name == "T-7-P16-sheet.html"
    with pytest.raises(Fault, match="T-7 is a `another`, not a `tallow-four`"):
        for_job(blank, job.model_copy(update={"engine": "another"}))
    with pytest.raises(Fault, match="only a single sheet of paper is written for a job"):
        for_job(order(manual, "tallow", "P16", Form.ONE_FILE), job)


def test_job_that_does_not_read_is_told_with_its_line(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No traceback, and no answer without the job."""
    (tmp_path / "mkdocs.yml").write_text("site_name: Small shop (invented)\n", encoding="utf-8")
    (tmp_path / "T-7").mkdir()
    (tmp_path / "T-7" / "job.yaml").write_text(JOB.replace("0.0020 in [", "0,0020 in ["), encoding="utf-8")
    monkeypatch.chdir(tmp_path)

    done = CliRunner().invoke(main, ["find", "clearance", "--job", "T-7"])

    assert done.exit_code == 1
    assert "error[GL-104]" in done.output
    assert "T-7/job.yaml:9:29" in done.output

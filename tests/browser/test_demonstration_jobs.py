"""The sheets of the two demonstration jobs opened on their pages: the page says what the prompt says."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from itertools import groupby
from pathlib import Path

import pytest
import yaml
from playwright.sync_api import Browser, Page

from builder.checklist import Checklist, resolve
from builder.jobs import read_job
from builder.jobs.written import sheet_text
from builder.judge import JudgedSheet, Judgement, judge
from builder.judge.program import shared
from builder.manual import Manual, load
from builder.model.base import Text
from builder.number import show_number
from builder.render.bench import SHARED, checklist_page, program_asset, script
from builder.render.shell import Asset, Site

ROOT = Path(__file__).parents[2]
JOBS = ROOT / "tests" / "data" / "jobs"
SHEETS = (
    ("P-0331", "bore-and-hone"),
    ("P-0331", "fit-poured-mains"),
    ("P-0331", "fit-poured-big-ends"),
    ("P-0331", "valve-springs"),
    ("T-0217", "bore-and-hone"),
    ("T-0217", "fit-shell-bearings"),
    ("T-0217", "valve-springs"),
)

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def manual() -> Manual:
    """The demonstration shop."""
    found, faults = load(ROOT)
    assert faults == ()
    return found


def checklist_of(manual: Manual, job: str, procedure: str) -> Checklist:
    """The checklist of a job's sheet, in the edition of today."""
    of = read_job(JOBS / job).job
    assert of is not None
    return resolve(manual, manual.engines[of.engine], manual.procedures[Text(procedure)])


@pytest.fixture(scope="module")
def site(
    manual: Manual, build_through_mkdocs: Callable[..., Path], tmp_path_factory: pytest.TempPathFactory
) -> Path:
    """The pages of these checklists on disk."""
    every = [checklist_of(manual, *of) for of in SHEETS]
    assets = (Asset(SHARED, script("shared", shared(manual))), *map(program_asset, every))
    whole = Site(tuple(map(checklist_page, every)), assets, (), ())
    return build_through_mkdocs(whole, tmp_path_factory.mktemp("jobs"))


@pytest.fixture
def page(chromium: Browser) -> Iterator[Page]:
    """A tablet with an empty memory, offline."""
    context = chromium.new_context(viewport={"width": 900, "height": 1100}, timezone_id="UTC", offline=True)
    yield context.new_page()
    context.close()


def opened(page: Page, site: Path, manual: Manual, job: str, procedure: str) -> JudgedSheet:
    """Open a sheet of a job on its page; what the command line makes of it."""
    folder = read_job(JOBS / job)
    filed = next(one.sheet for one in folder.sheets if one.sheet.procedure == procedure)
    assert folder.job is not None
    page.goto((site / "checklists" / str(folder.job.engine) / f"{procedure}.html").as_uri())
    job_file = yaml.load((JOBS / job / "job.yaml").read_text("utf-8"), yaml.BaseLoader)  # noqa: S506 - plain texts
    files = {"job": json.dumps(job_file), "sheet": sheet_text(filed)}
    for name, text in files.items():
        file = {"name": f"{name}.json", "mimeType": "application/json", "buffer": text.encode()}
        page.locator("#gl-open").set_input_files([file])
    page.get_by_text(f"The record of job {job} is open").wait_for()
    return judge(checklist_of(manual, job, procedure), filed, folder.job, "final")


def place_of(one: Judgement) -> tuple[str, str, str]:
    """Where a value stands on the page."""
    return one.step, one.name, "|".join(one.at.values())


def worked_out(judged: JudgedSheet) -> dict[tuple[str, str, str], list[Judgement]]:
    """The ends of every worked-out value of the command line by its place on the page."""
    names = {(str(step.step.id), str(name)) for step in judged.checklist.steps for name in step.work_outs}
    mine = sorted((one for one in judged.judgements if (one.step, one.name) in names), key=place_of)
    return {place: sorted(ends, key=lambda one: END[one.end]) for place, ends in groupby(mine, key=place_of)}


END = {"least": 0, "most": 1, "": 2}


def marks(ends: list[Judgement]) -> str:
    """What should stand beside a value: its verdict, or that of each end; then the flags."""
    flags = [str(flag) for flag in dict.fromkeys(flag for one in ends for flag in one.flags)]
    verdicts = [str(one.verdict) for one in ends]
    each = [f"{one.end} {one.verdict}" for one in ends]
    return " ".join([*(verdicts[:1] if len(set(verdicts)) == 1 else each), *flags])


def digits(ends: list[Judgement], shown: str) -> str:
    """A value in as many digits as the page shows, without its unit; a dash where it is not there."""
    if any(one.value is None for one in ends):
        return "–"
    places = len(shown.partition(" ")[0].partition(".")[2])
    values = (one.unit.from_base(one.value) for one in ends if one.unit and one.value is not None)
    return " to ".join(show_number(value, places) for value in values)


SHOWN = """() => [...document.querySelectorAll("[data-result] [data-place]")].map((row) => [
  [row.closest("[data-step]").dataset.step, row.closest("[data-result]").dataset.result, row.dataset.place],
  [row.querySelector("[data-value]"), row.querySelector("[data-verdict-cell]")].map(
    (cell) => cell.textContent.replace(/\\s+/gu, " ").trim()),
])"""

READ = """() => [...document.querySelectorAll("[data-grid] .gl-reading")].map(
  (box) => [box.dataset.verdict, box.dataset.flag])"""


@pytest.mark.parametrize(("job", "procedure"), SHEETS)
def test_page_and_prompt_say_the_same_of_every_value(
    job: str, procedure: str, page: Page, site: Path, manual: Manual
) -> None:
    """Every worked-out value with its verdicts, and every reading in its box."""
    judged = opened(page, site, manual, job, procedure)

    shown = {tuple(place): words for place, words in page.evaluate(SHOWN)}
    wanted = worked_out(judged)
    told = {place: (digits(ends, shown[place][0]), marks(ends)) for place, ends in wanted.items()}
    assert {place: (value_of(shown[place][0]), shown[place][1]) for place in wanted} == told
    read = [one for one in judged.judgements if place_of(one) not in wanted]
    assert [tuple(words) for words in page.evaluate(READ)] == [
        (str(one.verdict).replace(" ", "-"), " ".join(map(str, one.flags))) for one in read
    ]


def value_of(shown: str) -> str:
    """A value without its unit."""
    return shown if shown == "–" else shown.rpartition(" ")[0]


def test_page_names_each_fault_that_one_sheet_can_show(page: Page, site: Path, manual: Manual) -> None:
    """Of the faulty job: main 3 slack, main 4 by its size step, the stale gauge, bore 5, exhaust spring 6."""
    opened(page, site, manual, "P-0331", "fit-poured-mains")
    mains = words(page, "step-measure")
    opened(page, site, manual, "P-0331", "bore-and-hone")
    bores = words(page, "gl-steps")
    opened(page, site, manual, "P-0331", "valve-springs")
    springs = words(page, "gl-steps")

    assert "main 3 most clearance 0.0036 in, limit 0.0015 to 0.0025 in" in mains
    assert (
        "“journal” at main 4, plane front, axis A is suspect: it is exactly the size step 0.020 in" in mains
    )
    assert "OM-23 was due on 2026-03-12 and was used on 2026-03-19" in mains
    assert "cylinder 5 taper 0.0007 in, limit 0.0005 in max" in bores
    assert "valve E6 shut 39 lbf, limit 43 to 47 lbf; open 69 lbf, limit 75 to 82 lbf" in springs


def words(page: Page, part: str) -> str:
    """The words of a part of the page in one line."""
    return " ".join((page.locator(f"#{part}").text_content() or "").split())

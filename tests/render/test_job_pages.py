"""The pages of a shop's jobs: the list, the jobs with their open points in order, families side by side."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Sequence
from pathlib import Path

import pytest

from builder.jobs import CheckedJob, Plans, check_jobs
from builder.manual import load
from builder.render.job_pages import job_pages, job_records
from builder.render.shell import Asset, Page
from builder.site import build

ROOT = Path(__file__).parents[2]
JOBS = ROOT / "site_demo" / "jobs"
SHOP = ROOT / "tests" / "rules" / "base"
NUMBERS = ["P-0331", "T-0217", "T-0224", "T-0231", "T-0238", "T-0252"]

Made = tuple[Plans, tuple[CheckedJob, ...]]


@pytest.fixture(scope="module")
def made() -> Made:
    """The jobs of the demonstration shop, checked."""
    return check_jobs(load(ROOT)[0], JOBS)


@pytest.fixture(scope="module")
def pages(made: Made) -> dict[str, Page]:
    """Their pages by path."""
    return {page.path: page for page in job_pages(*made)}


@pytest.fixture(scope="module")
def records(made: Made) -> Sequence[Asset]:
    """Their build records."""
    return tuple(job_records(made[1]))


def words(html: str) -> str:
    """What a page says, without its markup."""
    return " ".join(re.sub(r"<[^>]+>", " ", html).split())


def test_each_job_has_a_page_and_each_family_of_two_jobs_a_comparison(pages: dict[str, Page]) -> None:
    """Six jobs, one list, one comparison; the family with a single job has none."""
    assert list(pages) == [
        "jobs/index.html",
        *(f"jobs/{number.lower()}.html" for number in NUMBERS),
        "jobs/compare-tarnwick-222h-six.html",
    ]
    assert {page.section for page in pages.values()} == {("Jobs",)}


def test_list_tells_the_state_of_every_job(pages: dict[str, Page]) -> None:
    """Which may go, which not, and how many points stand open."""
    said = words(pages["jobs/index.html"].html)

    assert "6 jobs, 2 of them with something open." in said
    assert "P-0331 Pellbrook Series 35 Eight (invented) 8 may not be released" in said
    assert "T-0231 Tarnwick 222-H Six (invented) 0 may be released: nothing stands open" in said


def test_page_of_a_faulty_job_names_its_findings_in_the_order_to_deal_with_them(
    made: Made, pages: dict[str, Page]
) -> None:
    """The eight of P-0331, each with what to do, in one list."""
    html = pages["jobs/p-0331.html"].html
    checked = next(one for one in made[1] if one.folder.name == "P-0331")

    points = [words(item) for item in re.findall(r"<li><p><strong>.*?</li>", html, re.DOTALL)]
    expected = [f"{finding.kind}".capitalize() for finding in checked.findings]
    assert [point.split(" ,")[0] for point in points] == expected
    assert len(points) == 8
    assert points[5].endswith("Then take the 48 readings again.")


def test_sheets_of_a_job_stand_with_their_verdicts_counted(made: Made, pages: dict[str, Page]) -> None:
    """As many values in each verdict as the check has."""
    checked = next(one for one in made[1] if one.folder.name == "T-0231")
    said = words(pages["jobs/t-0231.html"].html)

    for worked in checked.sheets:
        judged = worked.judged_at("final")
        inside = sum(one.verdict == "in" and one.value is not None for one in judged.judgements)
        number = len(worked.sheet.readings)
        title = f"{worked.plan.code} {worked.plan.checklist.procedure.title}"
        assert re.search(rf"{title} final N\.A\. [\d-]+ {number} {inside} in", said), title


def test_holds_stand_with_who_signed_them(pages: dict[str, Page]) -> None:
    """Name, day and sheet; a hold that nobody signed says so."""
    assert "H11 Bearings witnessed second: K.O. on 2026-09-08" in words(pages["jobs/t-0231.html"].html)
    assert "H13 Bottom end locked not signed" in words(pages["jobs/t-0252.html"].html)


def test_come_back_leads_to_the_job_it_comes_from_and_says_what_has_worn(pages: dict[str, Page]) -> None:
    """Both ways, and the most of each characteristic."""
    later, earlier = pages["jobs/t-0252.html"].html, pages["jobs/t-0224.html"].html

    assert '<a href="t-0224.html">Comes back from T-0224</a>' in later
    assert '<a href="t-0252.html">Came back as T-0252</a>' in earlier
    assert "Main journal diameter: worn most at main 3, plane front, axis T, 0.0004 in" in words(later)


def test_every_link_between_the_pages_of_jobs_leads_somewhere(
    pages: dict[str, Page], records: Sequence[Asset]
) -> None:
    """Pages and records that a page of this folder names are there."""
    there = {*pages, *(record.path for record in records)}

    named = {
        f"jobs/{link}" for page in pages.values() for link in re.findall(r'href="([^"#/]+\.html)"', page.html)
    }
    assert named - there == set()
    assert {f"jobs/{number.lower()}-record.html" for number in NUMBERS} <= named


def test_file_that_does_not_read_stands_on_the_page_with_its_line(tmp_path: Path) -> None:
    """A broken sheet hides nothing: the page says what is wrong and where, and the rest stands."""
    folder = tmp_path / "T-0001"
    (folder / "sheets").mkdir(parents=True)
    text = (JOBS / "T-0231" / "job.yaml").read_text("utf-8").replace("T-0231", "T-0001")
    (folder / "job.yaml").write_text(text, "utf-8")
    sheet = json.loads((JOBS / "T-0231" / "sheets" / "P30-lay-in-crankshaft.json").read_text("utf-8"))
    del sheet["run"]
    (folder / "sheets" / "P30.json").write_text(json.dumps(sheet, indent=1), "utf-8")

    made = {page.path: page for page in job_pages(*check_jobs(load(ROOT)[0], tmp_path))}

    said = words(made["jobs/t-0001.html"].html)
    assert "Files that do not read: T-0001/sheets/P30.json:1:1: GL-101" in said
    assert list(made) == ["jobs/index.html", "jobs/t-0001.html"]


def test_folder_without_jobs_has_a_list_that_says_so(tmp_path: Path) -> None:
    """An empty folder makes one page."""
    (page,) = job_pages(*check_jobs(load(ROOT)[0], tmp_path))

    assert "There is no job in this folder yet." in words(page.html)


@pytest.mark.parametrize("job_pages", [False, True])
def test_jobs_are_on_the_site_only_where_the_shop_asks_for_it(tmp_path: Path, *, job_pages: bool) -> None:
    """A record names its owner: without `job_pages` no page and no record of a job is made."""
    shop = Path(shutil.copytree(SHOP, tmp_path / "shop"))
    (shop / "jobs" / "T-0001").mkdir(parents=True)
    family = next((SHOP / "specs" / "engines").glob("*.yaml")).stem
    text = f"number: T-0001\nengine: {family}\nowner: H. Vance (invented)\nbasis: rebuilt\npeople: {{}}\n"
    (shop / "jobs" / "T-0001" / "job.yaml").write_text(text, "utf-8")

    site = build(shop, job_pages=job_pages)

    paths = [page.path for page in site.pages] + [asset.path for asset in site.assets]
    made = [path for path in paths if path.startswith("jobs/")]
    assert len(site.pages) > 10
    assert made == (["jobs/index.html", "jobs/t-0001.html", "jobs/t-0001-record.html"] if job_pages else [])
    assert any("H. Vance" in page.html for page in site.pages) is job_pages

"""The owner's build record: whole, true to the check of the job, and loud where the engine may not go."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from functools import cache
from html.parser import HTMLParser
from pathlib import Path

import pytest

from builder.job_files import report
from builder.jobs import CheckedJob
from builder.jobs.measured import told
from builder.judge import Verdict
from builder.judge.words import WHOSE
from builder.manual import Manual, load
from builder.render.job_papers.documents import Document, html_of
from builder.render.job_papers.limits import number_words

ROOT = Path(__file__).parents[2]
JOBS = ("T-0217", "P-0331")

SECTIONS = (
    "In short",
    "What was done",
    "What was not done",
    "Measured: block and bores",
    "Run-in and power",
    "Parts by position",
    "Work done outside",
    "Concessions",
    "Signatures",
    "How to read this record",
)


@cache
def manual() -> Manual:
    """The manual of the demonstration shop."""
    found, faults = load(ROOT)
    assert faults == ()
    return found


@cache
def made(job: str) -> tuple[CheckedJob, str]:
    """A demonstration job checked, and its record."""
    return report(manual(), ROOT / "tests" / "data" / "jobs" / job)


class Cells(HTMLParser):
    """The words of a page: headings, and the cells of its tables by their class."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.headings: list[str] = []
        self.figures: list[str] = []
        self._open = ""
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Open a heading or a cell of figures."""
        look = dict(attrs).get("class") or ""
        if tag == "h2":
            self.headings.append("")
            self._open = "h2"
        elif tag == "td" and look.split()[:1] == ["number"]:
            self.figures.append("")
            self._open = "td"

    def handle_endtag(self, tag: str) -> None:
        """Close it."""
        if tag == self._open:
            self._open = ""

    def handle_data(self, data: str) -> None:
        """Take its words."""
        if self._open == "h2":
            self.headings[-1] += data
        elif self._open == "td":
            self.figures[-1] += data


def judged(checked: CheckedJob) -> Iterator[str]:
    """Every value that the check of a job tells, without its unit; a power curve is told apart."""
    for worked in checked.sheets:
        for sheet in worked.judged:
            yield from (number_words(one, one.unit) for one in told(sheet) if one.step != "sweep")


@pytest.mark.parametrize("job", JOBS)
def test_record_has_every_section(job: str) -> None:
    """Identity, what was done and not done, measurements, run, parts, concessions, signatures, the rule."""
    _, html = made(job)

    assert [one for one in SECTIONS if one not in Cells(html).headings] == []


@pytest.mark.parametrize("job", JOBS)
def test_every_value_of_the_check_stands_in_the_record(job: str) -> None:
    """What `job check` judges and what the record prints are the same figures, each as often."""
    checked, html = made(job)

    printed = Counter(cell.split(" ")[0].removesuffix("°") for cell in Cells(html).figures if cell)
    expected = Counter(value.split(" ")[0] for value in judged(checked))
    assert expected - printed == Counter()


def test_power_is_told_observed_and_corrected_with_the_correction_named() -> None:
    """T-0217: 183 lb-ft at 2000 rpm and 147 at 4000, old gross form 1.0706: 195.9 lb-ft and 119.9 hp."""
    _, html = made("T-0217")
    cells = Cells(html).figures

    at = cells.index("183.0")
    assert cells[at : at + 4] == ["183.0", "195.9", "69.7", "74.6"]
    at = cells.index("147.0")
    assert cells[at : at + 4] == ["147.0", "157.4", "112.0", "119.9"]
    assert "<dt>Correction</dt><dd>Old gross form: factor 1.07062</dd>" in html


@pytest.mark.parametrize("job", JOBS)
def test_values_out_are_framed(job: str) -> None:
    """Each value that is out stands in a frame, and nothing else does."""
    checked, html = made(job)
    out = [
        one
        for worked in checked.sheets
        for sheet in worked.judged
        for one in told(sheet)
        if one.verdict is Verdict.OUT
    ]

    assert html.count('class="number out"') == len(out)


def test_record_of_a_clean_job_says_who_released_it() -> None:
    """T-0217: nothing stands open, released by the foreman."""
    _, html = made("T-0217")

    assert "Nothing stands open" in html
    assert "Released by R. Stead (R.S.) on 2026-06-26 15:00." in html
    assert "NOT RELEASED" not in html


def test_record_of_a_faulty_job_is_headed_not_released_with_every_open_point() -> None:
    """P-0331: the number of open points, each with what to do, and the words on every page's head."""
    checked, html = made("P-0331")
    number = len(checked.findings) + len(checked.waiting)

    assert f"NOT RELEASED: {number} open points" in html
    assert '--gl-paper: "Build record, NOT RELEASED"' in html
    plain = re.sub(r"<[^>]*>", "", html)
    kinds = [str(one.kind) for one in checked.findings]
    assert re.findall(r"<li><p><strong>([^<]*)</strong>", html) == kinds
    for line in checked.waiting:
        assert f"Not done yet: {line}" in plain


def test_paper_renders_from_the_smallest_document() -> None:
    """A paper without anything but its name is a whole document."""
    html = html_of(Document("Title", "T-1", (), (), ()))

    assert html.startswith("<!doctype html>")
    assert html.count("<h1>Title</h1>") == 1


@pytest.mark.parametrize("job", JOBS)
def test_each_kind_of_limit_is_explained_under_the_name_it_is_told_by(job: str) -> None:
    """`service limit` beside a value is `service limit` where the record says whose limits these are."""
    _, html = made(job)
    explained = html.partition("<h3>Whose limits</h3>")[2].partition("</dl>")[0]

    for words in WHOSE.values():
        assert f"<dt>{words.replace(chr(39), '&#39;')}</dt>" in explained

"""The papers of a job as PDF: the job on every page, nothing cut off, no row split, every word there."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from collections import Counter
from collections.abc import Iterator
from functools import cache
from html import unescape
from pathlib import Path
from typing import Any

import pytest

from builder.job_files import PAPERS, paper, report, sound
from builder.manual import Manual, load
from builder.render import pdf

ROOT = Path(__file__).parents[2]
JOBS = ROOT / "tests" / "data" / "jobs"
MADE = (
    ("T-0217", "record"),
    ("P-0331", "record"),
    *(("T-0217", name) for name in PAPERS),
)
"""A clean and a faulty record, and each of the other papers."""


@cache
def manual() -> Manual:
    """The manual of the demonstration shop."""
    found, faults = load(ROOT)
    assert faults == ()
    return found


@cache
def made(job: str, name: str) -> tuple[str, pdf.Typeset, bytes]:
    """A paper as HTML, on its pages, and as a PDF."""
    if name == "record":
        _, html = report(manual(), JOBS / job, size="a4")
    else:
        checked, whole = sound(manual(), JOBS / job)
        html = paper(checked, whole, name, "a4")
    set_ = pdf.typeset_paper(html)
    return html, set_, pdf.written([set_])


@cache
def text(content: bytes) -> tuple[str, ...]:
    """What a reader of PDFs other than the one that made it finds on each page."""
    reader = shutil.which("pdftotext")
    if reader is None:
        assert os.environ.get("GAUGELEAF_BROWSER") != "required", "pdftotext is not installed"
        pytest.skip("no pdftotext (Debian: poppler-utils)")
    found = subprocess.run([reader, "-raw", "-", "-"], input=content, capture_output=True, check=True)
    return tuple(found.stdout.decode().split("\f")[:-1])


def inside(page: Any) -> Any:  # noqa: ANN401 - the library says nothing of its types
    """The box of a page; the library keeps it to itself."""
    return page._page_box  # noqa: SLF001 - where its words stand is told nowhere else


def boxes(page: Any) -> Iterator[Any]:  # noqa: ANN401 - as above
    """Every box of a page with an element of the document, margins left out."""
    for box in inside(page).children[0].descendants():
        if box.element is not None:
            yield box


@pytest.mark.parametrize(("job", "name"), MADE)
def test_every_page_names_its_job_and_its_number(job: str, name: str) -> None:
    """The running head has the job, the foot `Page n of N`; a record that is not released says so there."""
    _, set_, content = made(job, name)

    for number, page in enumerate(text(content), 1):
        assert f"Job {job} · " in page
        assert f"Page {number} of {set_.pages}" in page
        assert ("NOT RELEASED" in page) is (job == "P-0331")


@pytest.mark.parametrize("job", ["T-0217", "P-0331"])
def test_card_fits_on_one_page(job: str) -> None:
    """The card for the first miles hangs in the car: one page, a draft too."""
    assert made(job, "card")[1].pages == 1


@pytest.mark.parametrize(("job", "name"), MADE)
def test_nothing_runs_over_its_page_or_its_cell(job: str, name: str) -> None:
    """Every line of words ends inside the page, and inside the cell that holds it."""
    _, set_, _ = made(job, name)

    for page in set_.document.pages:
        area = inside(page)
        right, foot = area.content_box_x() + area.width, area.content_box_y() + area.height
        for box in boxes(page):
            kind = type(box).__name__
            if kind == "TextBox":
                assert box.position_x + box.width <= right + 0.5, box.text
                assert box.position_y + box.height <= foot + 0.5, box.text
            if kind == "TableCellBox":
                end = box.position_x + box.margin_width()
                words = [one for one in box.descendants() if type(one).__name__ == "TextBox"]
                assert [one.text for one in words if one.position_x + one.width > end + 0.5] == []


@pytest.mark.parametrize(("job", "name"), MADE)
def test_no_row_is_split_over_two_pages(job: str, name: str) -> None:
    """A row of a table stands whole on one page; only the head of a table is there again."""
    _, set_, _ = made(job, name)
    seen: Counter[Any] = Counter()
    for page in set_.document.pages:
        rows = {box.element for box in boxes(page) if type(box).__name__ == "TableRowBox"}
        seen.update(row for row in rows if row.find("td") is not None)

    assert len(seen) > 5
    assert [number for number in seen.values() if number > 1] == []


def letters(words: str) -> Counter[str]:
    """Words and numbers, whatever their capitals and line ends."""
    return Counter(re.findall(r"[a-z]+|\d+(?:\.\d+)?", words.lower()))


@pytest.mark.parametrize(("job", "name"), MADE)
def test_words_of_the_pdf_are_the_words_of_the_page(job: str, name: str) -> None:
    """Every word and number as often as the page has it, and no other words but those of the margins."""
    html, set_, content = made(job, name)
    style, _, rest = html.partition("</style>")
    wanted = letters(unescape(re.sub(r"<[^>]+>", " ", rest.partition("<body")[2].partition(">")[2])))
    found = letters(" ".join(text(content)))
    margins = letters(" ".join(re.findall(r'--gl-\w+: "([^"]*)"', style)))
    numbers = {str(number) for number in range(1, set_.pages + 1)}

    assert sum(wanted.values()) > 100
    assert wanted - found == Counter()
    assert set(found) - set(wanted) <= {"page", "of", *margins, *numbers}

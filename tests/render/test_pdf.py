"""Sheets as PDF: every page has its head and its number, no step is split, nothing is cut off or left out."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator
from functools import cache
from html import unescape
from pathlib import Path
from typing import Any

import pytest

from builder.checklist import Checklist, checklists, resolve
from builder.diagnostics import Fault
from builder.manual import Manual, load
from builder.render import paper, pdf
from builder.render.form_fields import with_fields

ROOT = Path(__file__).parents[2]
SHEETS = (
    ("pellbrook-35-eight", "fit-poured-mains"),
    ("pellbrook-35-eight", "joint-faces"),
    ("tarnwick-222h-six", "fit-shell-bearings"),
    ("veltmoor-twelve-four", "time-the-overhead-camshaft"),
)
"""Sheets with holds, warnings, drawings, steps taller than a page, long and wide tables."""


KEPT = ("step", "hold", "safety", "grid", "if-out")
"""What stands on one page unless it is taller."""


@cache
def sheet(engine: str, procedure: str) -> tuple[Checklist, str, pdf.Typeset, bytes]:
    """A sheet of the demonstration shop, its HTML, its pages and the PDF of them."""
    manual, faults = load(ROOT)
    assert faults == ()
    checklist = resolve(manual, manual.engines[engine], manual.procedures[procedure])
    html = paper.sheet(checklist, "a4")
    made = pdf.typeset(html)
    return checklist, html, made, pdf.written([made])


def area(page: Any) -> Any:  # noqa: ANN401 - the library says nothing of its types
    """The box of a page; the library keeps it to itself."""
    return page._page_box  # noqa: SLF001 - where its words stand is told nowhere else


def boxes(page: Any) -> Iterator[Any]:  # noqa: ANN401 - as above
    """Every box of a page with an element of the document, margins left out."""
    for box in area(page).children[0].descendants():
        if box.element is not None:
            yield box


def look(box: Any) -> str:  # noqa: ANN401 - as above
    """The class of a box's element."""
    return str(box.element.get("class") or "")


@cache
def text(content: bytes) -> tuple[str, ...]:
    """What a reader of PDFs other than the one that made it finds on each page."""
    reader = shutil.which("pdftotext")
    if reader is None:
        assert os.environ.get("GAUGELEAF_BROWSER") != "required", "pdftotext is not installed"
        pytest.skip("no pdftotext (Debian: poppler-utils)")
    found = subprocess.run([reader, "-raw", "-", "-"], input=content, capture_output=True, check=True)
    return tuple(found.stdout.decode().split("\f")[:-1])


@pytest.mark.parametrize(("engine", "procedure"), SHEETS)
def test_every_page_has_its_head_its_number_and_its_edition(engine: str, procedure: str) -> None:
    """`page n of N` with the true count; which sheet of which engine, which job, which edition."""
    checklist, _, made, content = sheet(engine, procedure)
    of = checklist.procedure

    for number, page in enumerate(text(content), 1):
        assert f"page {number} of {made.pages}" in page
        assert f"{of.code} {of.title}" in page
        assert str(checklist.engine.title) in page
        assert re.search(r"job _+", page)
        assert re.search(rf"revision {of.revision}, edition [0-9a-f]{{8}}\.", page)


@pytest.mark.parametrize(("engine", "procedure"), SHEETS)
def test_step_is_split_only_when_it_is_taller_than_a_page(engine: str, procedure: str) -> None:
    """A step with its warning, its blanks and its tick stays together; a hold and a table always do."""
    _, _, made, _ = sheet(engine, procedure)
    parts: dict[Any, list[tuple[float, float]]] = {}
    for page in made.document.pages:
        for box in boxes(page):
            if look(box).split(" ")[0] in KEPT and type(box).__name__ in ("BlockBox", "TableBox"):
                parts.setdefault((box.element, type(box)), []).append(
                    (box.margin_height(), area(page).height)
                )
    split = [heights for heights in parts.values() if len(heights) > 1]

    assert len(parts) > 20
    assert [heights for heights in split if sum(height for height, _ in heights) <= heights[0][1]] == []


@pytest.mark.parametrize(("engine", "procedure"), SHEETS)
def test_nothing_runs_over_the_edge_of_its_page_or_cell(engine: str, procedure: str) -> None:
    """Every line of words ends inside the page, and inside the cell that holds it."""
    _, _, made, _ = sheet(engine, procedure)

    for page in made.document.pages:
        inside = area(page)
        right = inside.content_box_x() + inside.width
        foot = inside.content_box_y() + inside.height
        for box in boxes(page):
            if type(box).__name__ in ("TextBox", "TableBox", "InlineTableBox", "TableCellBox"):
                assert box.position_x + box.margin_width() <= right + 0.5, look(box)
                assert box.position_y <= foot
        for cell in (box for box in boxes(page) if type(box).__name__ == "TableCellBox"):
            end = cell.position_x + cell.margin_width()
            words = [box for box in cell.descendants() if type(box).__name__ == "TextBox"]
            assert [box.text for box in words if box.position_x + box.width > end + 0.5] == []


def letters(words: str) -> Counter[str]:
    """Words and numbers, whatever their capitals and line ends."""
    return Counter(re.findall(r"[a-z]+|\d+(?:\.\d+)?", words.lower()))


def body(html: str) -> str:
    """The text of a sheet's HTML after its running head."""
    inside = html.partition("</thead>")[2]
    return unescape(re.sub(r"<[^>]+>", " ", re.sub(r"<style>.*?</style>", "", inside, flags=re.DOTALL)))


def bodies(checklist: Checklist, pages: tuple[str, ...]) -> str:
    """The text of a PDF's pages without the head and the foot of each, which are read last."""
    of = checklist.procedure
    head = f"{of.code} {of.title} {checklist.engine.title}"
    return " ".join(" ".join(page.split()).rpartition(head)[0] for page in pages)


@pytest.mark.parametrize(("engine", "procedure"), SHEETS)
def test_words_of_the_pdf_are_the_words_of_the_sheet(engine: str, procedure: str) -> None:
    """Every word and number as often as the sheet has it; more often only what a continued step repeats."""
    checklist, html, _, content = sheet(engine, procedure)
    wanted, found = letters(body(html)), letters(bodies(checklist, text(content)))
    heads = re.findall(r'<thead><tr><td><span class="box tick">.*?</thead>', html, re.DOTALL)

    assert sum(wanted.values()) > 500
    assert wanted - found == Counter()
    assert set(found - wanted) <= set(letters(body("</thead>" + " ".join(heads))))


def test_steps_are_read_in_their_order() -> None:
    """Who copies out of the PDF, or has it read aloud, gets each step whole before the next one."""
    checklist, _, _, content = sheet(*SHEETS[1])
    whole = " ".join(bodies(checklist, text(content)).split())
    places = [whole.find(f"Why: {step.step.why.text[:24]}") for step in checklist.steps if step.step.why]
    heads = [
        whole.find(" ".join(f"{step.number} {step.step.do.text}"[:24].split())) for step in checklist.steps
    ]

    assert -1 not in places
    assert sorted([*heads, *places]) == [place for pair in zip(heads, places, strict=True) for place in pair]


def test_fillable_sheet_has_a_field_for_every_blank(small: Manual) -> None:
    """As many fields as the form has, each under its own name."""
    html = paper.sheet(next(checklists(small)), "a4")
    made = pdf.typeset(html, fillable=True)

    content = made.document.write_pdf(pdf_forms=True, uncompressed_pdf=True)

    assert content.count(b"/Subtype /Widget") == len(re.findall("<(?:input|select)", with_fields(html)))
    assert b"(CRK-01 M1 F T)" in content
    assert b"/AcroForm" in content
    assert b"/AcroForm" not in pdf.written([pdf.typeset(html)])


def test_pack_keeps_the_count_of_each_sheet(small: Manual) -> None:
    """Contents first, with the pages of each sheet; then the sheets, each numbered from 1; each told of."""
    one, told = next(checklists(small)), list[str]()
    alone = pdf.typeset(paper.sheet(one, "letter")).pages

    pages = text(pdf.pack_pdf((one, one), "letter", tell=told.append))

    assert "Sheets for Tallow Four" in pages[0]
    assert [re.findall(r"page (\d+) of (\d+)", page)[-1] for page in pages[1:]] == [
        (str(number), str(alone)) for _ in range(2) for number in range(1, alone + 1)
    ]
    assert told == [paper.progress(number, (one, one), alone) for number in (1, 2)]


def test_same_sheet_gives_the_same_bytes(small: Manual) -> None:
    """No date and no chance goes into a PDF, so that two prints can be told to be one."""
    one = next(checklists(small))

    assert pdf.sheet_pdf(one, "a4") == pdf.sheet_pdf(one, "a4")


def test_machine_without_the_extra_is_told_how_to_install_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """The hint can be typed as it stands."""
    monkeypatch.setitem(sys.modules, "weasyprint", None)

    with pytest.raises(Fault) as refused:
        pdf.typeset("<p>A</p>")

    assert refused.value.message.startswith("a PDF needs WeasyPrint, which is not installed")
    assert refused.value.hint == "pip install 'gaugeleaf[pdf]'"


def test_machine_without_pango_is_told_which_library_to_install(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """The message of the library is long and names no package; the hint does."""
    broken = tmp_path / "weasyprint.py"
    broken.write_text(
        "raise OSError(\"cannot load library 'libpango-1.0-0': not found. And so on\")\n", "utf-8"
    )
    monkeypatch.delitem(sys.modules, "weasyprint", raising=False)
    monkeypatch.syspath_prepend(str(tmp_path))

    with pytest.raises(Fault) as refused:
        pdf.typeset("<p>A</p>")

    assert "cannot load library 'libpango-1.0-0'" in refused.value.message
    assert refused.value.hint.startswith("apt-get install libpango-1.0-0 ")
    monkeypatch.delitem(sys.modules, "weasyprint", raising=False)


def test_nothing_is_fetched(tmp_path: Path) -> None:
    """A picture that a document names is not read, from the network or from a disk."""
    secret = tmp_path / "picture.svg"
    secret.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><text>secret</text></svg>', "utf-8"
    )

    found = text(pdf.written([pdf.typeset(f'<style></style><p>Words.</p><img src="{secret.as_uri()}">')]))

    assert "Words." in found[0]
    assert "secret" not in found[0]

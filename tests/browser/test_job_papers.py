"""The record and the papers of a job in a browser: by axe's rules, on a telephone and a desk, alone."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser

from builder.job_files import PAPERS, paper, report, sound
from builder.manual import Manual, load

ROOT = Path(__file__).parents[2]
JOBS = ROOT / "tests" / "data" / "jobs"

TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
MADE = (
    ("P-0331", "record", 1280),
    ("P-0331", "record", 360),
    *(("T-0217", name, 360) for name in PAPERS),
)


@cache
def manual() -> Manual:
    """The manual of the demonstration shop."""
    found, faults = load(ROOT)
    assert faults == ()
    return found


@cache
def html_of(job: str, name: str) -> str:
    """A paper of a job."""
    if name == "record":
        return report(manual(), JOBS / job)[1]
    return paper(*sound(manual(), JOBS / job), name)


@pytest.mark.parametrize(("job", "name", "width"), MADE)
def test_paper_stands_alone_and_is_open_to_all(
    chromium: Browser, tmp_path: Path, job: str, name: str, width: int
) -> None:
    """No complaint of axe, no line wider than the window, nothing asked for, nothing said in the console."""
    file = tmp_path / f"{job}-{name}.html"
    file.write_text(html_of(job, name), "utf-8")
    page = chromium.new_page(viewport={"width": width, "height": 900})
    asked, said = list[str](), list[str]()
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: said.append(message.text))
    page.goto(file.as_uri())

    options = {"runOnly": {"type": "tag", "values": TAGS}, "resultTypes": ["violations"]}
    found = Axe().run(page, options=options).response["violations"]
    wide = page.evaluate("document.documentElement.scrollWidth")
    page.close()
    assert [(one["id"], one["nodes"][0]["target"]) for one in found] == []
    assert wide <= width
    assert asked == [file.as_uri()]
    assert said == []

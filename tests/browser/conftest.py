"""A small site built through MkDocs, and a Chromium that is cut off from every network."""

from __future__ import annotations

import os
import re
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

from builder import sheet_files
from builder.manual import load
from builder.render import shell
from builder.sheet_files import Form

CHROMIUM = os.environ.get("CHROMIUM") or shutil.which("chromium") or "/usr/bin/chromium"
REQUIRED = os.environ.get("GAUGELEAF_BROWSER") == "required"
"""Whether a run without Chromium is a failure: so in CI."""
QUIET = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
ROOT = Path(__file__).parents[2]
SAMPLE = Path(__file__).with_name("sample_page.html")
HEADING = re.compile(r'<h([1-6]) id="([^"]+)">(.*?)</h\1>')


def page(path: str, title: str, html: str, section: tuple[str, ...] = (), template: str = "") -> shell.Page:
    """Return a page whose headings are read out of `html`."""
    found = tuple(shell.Heading(int(m[1]), m[2], re.sub("<[^>]+>", "", m[3])) for m in HEADING.finditer(html))
    return shell.Page(path, title, html, found, section, template=template)


HOME = (
    '<h1 id="home">Sample shop</h1><p>Everything here is invented.</p>'
    '<h2 id="what">What is here</h2><p>Pages.</p>'
)
SHEET = (
    '<h1 id="top">Bearing sheet {0}</h1><p>Oil clearance of main {0}.</p>'
    '<h2 id="cap">Cap</h2><p>The nuts of cap {0} are oiled.</p>'
)


def sample_site() -> shell.Site:
    """Return a site of eleven small pages: a home page, a look-up, the sample of all blocks, eight sheets."""
    sample = SAMPLE.read_text("utf-8")
    pages = [
        page("index.html", "Home", HOME),
        page(
            "find.html", "Find a value", '<h1 id="find">Find a value</h1><p>Type a word.</p>', template="wide"
        ),
        page(
            "checklists/sample.html", "Line bore and fit poured mains", sample, ("Checklists", "Tallow Four")
        ),
    ]
    for number in range(1, 9):
        path, section = f"engines/tallow-four/sheet-{number}.html", ("Engines", "Tallow Four")
        pages.append(page(path, f"Bearing sheet {number}", SHEET.format(number), section))
    return shell.Site(tuple(pages), (shell.Asset("assets/data/rows.js", "var rows = [];\n"),), (), ())


@pytest.fixture(scope="session")
def sample(build_through_mkdocs: Callable[..., Path], tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample site on disk."""
    return build_through_mkdocs(sample_site(), tmp_path_factory.mktemp("shop"))


@pytest.fixture(scope="session")
def carried(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The checklist of shell bearings in one file as the command writes it, alone in a folder."""
    manual, faults = load(ROOT)
    assert faults == ()
    order = sheet_files.order(manual, "tarnwick", "fit-shell-bearings", Form.ONE_FILE)
    return sheet_files.write(order, tmp_path_factory.mktemp("stick"), force=False)


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """One Chromium for all browser tests of a run."""
    if not Path(CHROMIUM).exists():
        missing = f"NOT LOOKED AT IN A BROWSER: no Chromium at {CHROMIUM}; set CHROMIUM to its path"
        pytest.fail(missing) if REQUIRED else pytest.skip(missing)
    with sync_playwright() as player:
        browser = player.chromium.launch(executable_path=CHROMIUM, args=list(QUIET))
        yield browser
        browser.close()


class Tab:
    """A page of its own, offline, that notes what it asks for and what its console says."""

    def __init__(self, context: BrowserContext) -> None:
        self.requests: list[str] = []
        self.console: list[str] = []
        context.set_offline(True)
        self.page: Page = context.new_page()
        self.page.on("request", lambda request: self.requests.append(request.url))
        self.page.on("console", lambda message: self.console.append(f"{message.type}: {message.text}"))
        self.page.on("pageerror", lambda error: self.console.append(f"error: {error}"))

    @property
    def outside(self) -> list[str]:
        """The requests that left the disk."""
        return [url for url in self.requests if not url.startswith(("file:", "blob:", "data:"))]


@pytest.fixture
def tab(chromium: Browser) -> Iterator[Tab]:
    """A tab of desktop size, offline."""
    context = chromium.new_context(viewport={"width": 1300, "height": 900})
    yield Tab(context)
    context.close()

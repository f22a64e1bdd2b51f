"""Every kind of page by those rules of WCAG 2.2 A and AA that a program can test, in both shades and widths.

The rules are axe-core's. What no program can tell (whether words are plain, whether an order makes sense) is
not shown here.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from builder import sheet_files
from builder.checklist import Checklist, resolve
from builder.jobs import check_jobs
from builder.judge.program import shared
from builder.layers import Layer
from builder.manual import Manual, load, load_layers
from builder.render import pages, paper
from builder.render.bench import SHARED, checklist_page, program_asset, script
from builder.render.changes import changes_page
from builder.render.differences import differences_page
from builder.render.find import find_page, lookup_assets
from builder.render.glossary import glossary_page
from builder.render.hazards import hazards_page
from builder.render.holds import holds_page
from builder.render.instruments import instruments_page
from builder.render.job_pages import job_pages
from builder.render.procedures import procedure_page, procedures_page
from builder.render.rules_pages import rules_page
from builder.render.shell import Asset, Site
from builder.render.source_lists import sources_page
from builder.render.wall_cards import wall_card
from builder.render.worksheets import worksheet_page, worksheets_page
from builder.revision.change import Change
from builder.revision.history import Commit
from builder.revision.report import NewEdition, Report, Told, ToldSection
from builder.revision.sections import Section

Json = dict[str, Any]

ROOT = Path(__file__).parents[2]
FAMILY = "pellbrook-35-eight"
PROCEDURE = "fit-poured-mains"
WORKSHEET = "compression_ratio"
JOBS = ("jobs/index.html", "jobs/p-0331.html", "jobs/compare-tarnwick-222h-six.html")
CASE: Json = json.loads((ROOT / "tests/vectors/judge/mains-faulty.json").read_text("utf-8"))

TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]

OWN_PAGE = """\
# Our own page

| size | limit |
|---|---|
| a long name of a size | 0.0015 to 0.0025 in |

    a line of YAML that is far longer than a telephone is wide: [manual p. 22], caps at torque, 68 degF
"""

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def manual() -> Manual:
    """The demonstration shop."""
    found, faults = load(ROOT)
    assert faults == ()
    return found


def site_of(manual: Manual) -> Site:
    """One page of each kind; a checklist, a sheet and a family stand for all of theirs."""
    engine = manual.engines[FAMILY]
    checklist = resolve(manual, engine, manual.procedures[PROCEDURE])
    found = [
        find_page(manual),
        pages.engines_page(manual),
        *(family_page(manual, engine) for family_page in pages.FAMILY_PAGES),
        procedures_page(manual),
        procedure_page(manual, manual.procedures[PROCEDURE]),
        *(of(manual) for of in (hazards_page, holds_page, instruments_page, glossary_page, sources_page)),
        rules_page(),
        checklist_page(checklist),
        worksheets_page(manual),
        worksheet_page(manual, manual.worksheets[WORKSHEET]),
        changes_page(report(manual)),
        differences_page(over_a_base()),
        *(page for page in job_pages(*check_jobs(manual, ROOT / "site_demo" / "jobs")) if page.path in JOBS),
    ]
    assets = [
        Asset(SHARED, script("shared", shared(manual))),
        program_asset(checklist),
        *lookup_assets(manual),
        *documents(manual, checklist),
    ]
    return Site(tuple(found), tuple(assets), (), ())


def over_a_base() -> Manual:
    """A small shop that extends another one."""
    layers = (Layer(ROOT / "tests/rules/base", "../shared"), Layer(ROOT / "tests/layers/shop"))
    return load_layers(layers)[0]


def documents(manual: Manual, checklist: Checklist) -> Iterator[Asset]:
    """What stands outside the shell of the site: a sheet, a wall card, a checklist in one file."""
    order = sheet_files.Order((checklist,), sheet_files.Form.ONE_FILE)
    yield Asset(f"sheets/{FAMILY}/{PROCEDURE}.html", paper.sheet(checklist))
    yield Asset(f"wallcards/{FAMILY}.html", wall_card(manual, checklist.engine))
    yield Asset(f"onefile/{FAMILY}/{PROCEDURE}.html", sheet_files.content(order).decode())


def report(manual: Manual) -> Report:
    """A change, a new edition and an open job that follows an old one."""
    told = Told(
        Change("Main clearance, aim", "0.0015 to 0.0018 in", "0.0014 to 0.0018 in"),
        Commit("1a2b3c4d", "The rear main ran dry", "R. Tate", "2026-03-01"),
    )
    section = Section("Pellbrook", f"specs/engines/{FAMILY}.yaml", (told.change,), family=FAMILY)
    since = Commit("1a2b3c4d", "As it was", "R. Tate", "2026-02-01")
    fresh = NewEdition(FAMILY, PROCEDURE, "P16 Fit the mains", "00000000", "11111111")
    return Report(since, manual, (ToldSection(section, (told,)),), (fresh,), (), ())


@pytest.fixture(scope="module")
def site(
    manual: Manual, build_through_mkdocs: Callable[..., Path], tmp_path_factory: pytest.TempPathFactory
) -> Path:
    """One page of each kind on disk, with a page of the shop's own."""
    shop = tmp_path_factory.mktemp("access")
    (shop / "pages").mkdir()
    (shop / "pages" / "index.md").write_text(OWN_PAGE, encoding="utf-8")
    return build_through_mkdocs(site_of(manual), shop)


KINDS = (
    "index.html",
    "find.html",
    "changes.html",
    "engines/index.html",
    *(f"engines/{FAMILY}/{name}.html" for name in ("index", "specs", "route", "torque", "kit", "sources")),
    f"wallcards/{FAMILY}.html",
    "procedures/index.html",
    f"procedures/{PROCEDURE}.html",
    f"checklists/{FAMILY}/{PROCEDURE}.html",
    f"sheets/{FAMILY}/{PROCEDURE}.html",
    f"onefile/{FAMILY}/{PROCEDURE}.html",
    "hazards.html",
    "holds.html",
    "instruments.html",
    "glossary.html",
    "sources.html",
    "rules/index.html",
    "differences.html",
    "worksheets/index.html",
    f"worksheets/{WORKSHEET}.html",
    *JOBS,
)


def in_use(page: Page, path: str) -> None:
    """Bring a page into the state in which it is used: words sought, a record open, a sum worked out."""
    if path == "find.html":
        page.locator("#find-words").fill("end play")
        page.locator(".gl-find-open").wait_for()
    if path.startswith(("checklists/", "onefile/")):
        for name in ("job", "sheet"):
            text = json.dumps(CASE[name]).encode()
            page.locator("#gl-open").set_input_files(
                {"name": f"{name}.json", "mimeType": "application/json", "buffer": text}
            )
        page.locator("[data-shown-rule]").first.wait_for()


LAID_FLAT = """async () => {
  for (const one of document.querySelectorAll("details")) one.open = true;
  for (const one of document.querySelectorAll("*")) {
    const { position, contentVisibility } = getComputedStyle(one);
    if (["fixed", "sticky"].includes(position)) one.style.position = "static";
    if (contentVisibility === "auto") one.style.contentVisibility = "visible";
  }
  await new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)));
}"""
"""Everything is unfolded and laid out, and bars that stay in sight stand in their place, over nothing."""


def complaints(page: Page) -> list[str]:
    """What axe says against a page: the rule, how often, the first place and why."""
    options = {"runOnly": {"type": "tag", "values": TAGS}, "resultTypes": ["violations"]}
    found = Axe().run(page, options=options).response["violations"]
    return [
        f"{one['id']} × {len(one['nodes'])}: {one['nodes'][0]['target']} {one['nodes'][0]['failureSummary']}"
        for one in found
    ]


def test_every_page_of_the_site_is_of_a_kind_that_is_looked_at(site: Path) -> None:
    """A kind of page that is added to the site is added here."""
    there = {file.relative_to(site).as_posix() for file in site.rglob("*.html")}

    assert there == set(KINDS)


def looked_at(browser: Browser, place: Path, path: str, width: int, shade: Any) -> list[str]:  # noqa: ANN401
    """The complaints of one page, in use, at a width in a shade."""
    context = browser.new_context(viewport={"width": width, "height": 900}, color_scheme=shade, offline=True)
    page = context.new_page()
    page.goto((place / path).as_uri())
    in_use(page, path)
    page.evaluate(LAID_FLAT)
    found = complaints(page)
    context.close()
    return found


@pytest.mark.parametrize(("width", "shade"), [(360, "light"), (1300, "dark")])
@pytest.mark.parametrize("path", KINDS)
def test_page_breaks_no_rule_that_a_program_can_test(
    path: str, width: int, shade: str, site: Path, chromium: Browser
) -> None:
    """On a phone and on a desk, light and dark: nothing of WCAG 2.2 A and AA."""
    assert looked_at(chromium, site, path, width, shade) == []


@pytest.mark.slow
@pytest.mark.parametrize(("width", "shade"), [(360, "dark"), (1300, "light")])
@pytest.mark.parametrize("path", KINDS)
def test_page_breaks_no_rule_the_other_way_round(
    path: str, width: int, shade: str, site: Path, chromium: Browser
) -> None:
    """Dark on a phone and light on a desk as well."""
    assert looked_at(chromium, site, path, width, shade) == []


FOCUS = """() => {
  const one = document.activeElement;
  if (one === null || one === document.body) return "";
  const { left, top, width, height } = one.getBoundingClientRect();
  const own = one.closest("label") || one;
  const isSeen = (found) => Boolean(found) && (own.contains(found) || found.contains(own));
  const parts = [[0.5, 0.5], [0.1, 0.1], [0.9, 0.9], [0.1, 0.9], [0.9, 0.1]];
  const seen = parts.some(([x, y]) => isSeen(document.elementFromPoint(left + width * x, top + height * y)));
  return seen ? "" : one.outerHTML.slice(0, 80);
}"""
"""What has the focus and lies wholly under a bar or out of sight."""


@pytest.mark.parametrize("width", [360, 1300])
def test_what_has_the_focus_is_not_hidden_by_a_bar(width: int, site: Path, chromium: Browser) -> None:
    """Through a checklist by the Tab key: bars that stay in sight never cover where one is."""
    context = chromium.new_context(
        viewport={"width": width, "height": 740}, reduced_motion="reduce", offline=True
    )
    page = context.new_page()
    path = f"checklists/{FAMILY}/{PROCEDURE}.html"
    page.goto((site / path).as_uri())
    in_use(page, path)
    page.locator("#gl-message > button").click()
    page.locator("h1").click()
    hidden = []
    for _ in range(150):
        page.keyboard.press("Tab")
        page.wait_for_timeout(20)
        hidden.append(page.evaluate(FOCUS))
    context.close()

    assert list(filter(None, hidden)) == []

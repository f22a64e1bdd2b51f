"""A worksheet's page from the disk, network off: numbers in, answer and steps at once, nothing kept."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from builder.judge.program import shared
from builder.manual import load
from builder.render.bench import SHARED, script
from builder.render.shell import Asset, Page, Site
from builder.render.worksheets import worksheet_page, worksheets_page
from builder.worksheet import work
from builder.worksheet.words import answer_lines

ROOT = Path(__file__).parents[2]
SHOWN = ("compression_ratio", "oversize_to_choose", "valve_events")

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def site(build_through_mkdocs: Callable[..., Path], tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Three worksheets of the demonstration shop on disk."""
    manual, _ = load(ROOT)
    home = Page("index.html", "Home", '<h1 id="home">Home</h1>', (), ())
    pages = [worksheet_page(manual, manual.worksheets[name]) for name in SHOWN]
    assets = (Asset(SHARED, script("shared", shared(manual))),)
    whole = Site((home, worksheets_page(manual), *pages), assets, (), ())
    return build_through_mkdocs(whole, tmp_path_factory.mktemp("worksheets"))


@pytest.fixture
def sheet(site: Path, tab: Any) -> Any:  # noqa: ANN401 - the tab of the folder's conftest
    """The page of the compression ratio, open."""
    tab.page.goto((site / "worksheets" / "compression_ratio.html").as_uri())
    return tab


def test_example_gives_answer_formula_and_steps(sheet: Any) -> None:  # noqa: ANN401 - as above
    """One press fills the boxes; the answer, the numbers in each formula and the text stand there at once."""
    page = sheet.page
    page.click("#example")

    assert page.inner_text("#answer") == "8.58"
    first = page.locator("[data-step=swept]")
    assert first.locator("[data-numbers]").inner_text() == "= π ÷ 4 × (101.6\u00a0mm)2 × 76.2\u00a0mm"
    assert first.locator("[data-value]").inner_text() == "= 617.78 cc (37.699 cu in)"
    assert sheet.console == []
    assert sheet.outside == []


def test_text_is_what_the_command_line_prints(sheet: Any) -> None:  # noqa: ANN401 - as above
    """Line for line."""
    manual, _ = load(ROOT)
    worksheet = manual.worksheets["compression_ratio"]
    typed = {str(name): str(text) for name, text in worksheet.examples[0].given.items()}
    sheet.page.click("#example")

    assert sheet.page.text_content("#text").splitlines() == list(answer_lines(manual, work(worksheet, typed)))


def test_every_keystroke_counts(sheet: Any) -> None:  # noqa: ANN401 - as above
    """What is wanting is said; what cannot be read is said at its box, and both go when it is right."""
    page = sheet.page
    assert page.inner_text("#answer") == "bore is not typed yet"

    page.fill("#in-bore", "3,5")
    assert page.inner_text("#why-bore") == "3,5 has a comma for a decimal point: write 3.5"
    assert page.get_attribute("#in-bore", "aria-invalid") == "true"

    page.fill("#in-bore", "3 1/2")
    assert page.get_attribute("#in-bore", "aria-invalid") is None
    assert page.inner_text("#answer") == "stroke is not typed yet"


def test_chosen_unit_goes_for_bare_numbers_only(sheet: Any) -> None:  # noqa: ANN401 - as above
    """A bare number is in the unit chosen beside the box; a unit that is typed comes first."""
    page = sheet.page
    page.click("#example")
    page.fill("#in-bore", "4")
    page.select_option("#unit-bore", "in")
    assert page.locator("[data-step=swept] [data-value]").inner_text().startswith("= 617.78 cc")

    page.fill("#in-bore", "101.6 mm")
    assert page.locator("[data-step=swept] [data-value]").inner_text().startswith("= 617.78 cc")


def test_nothing_is_kept(sheet: Any) -> None:  # noqa: ANN401 - as above
    """After reading the page anew the boxes are empty, and the browser's storage holds nothing of them."""
    page = sheet.page
    page.click("#example")
    page.reload()

    assert page.input_value("#in-bore") == ""
    assert page.evaluate("Object.keys(localStorage).filter((key) => key.includes('worksheet'))") == []


def test_clear_empties_every_box(sheet: Any) -> None:  # noqa: ANN401 - as above
    """The units go back to those of the worksheet too."""
    page = sheet.page
    page.click("#example")
    page.click("#clear")

    assert page.input_value("#in-bore") == ""
    assert page.input_value("#unit-bore") == "in"


@pytest.mark.parametrize("name", ["index", *SHOWN])
def test_page_is_not_wider_than_a_phone(site: Path, tab: Any, name: str) -> None:  # noqa: ANN401 - as above
    """At 360 pixels nothing is pushed off the side."""
    tab.page.set_viewport_size({"width": 360, "height": 740})
    tab.page.goto((site / "worksheets" / f"{name}.html").as_uri())
    if name != "index":
        tab.page.click("#example")

    assert tab.page.evaluate("document.documentElement.scrollWidth") == 360
    assert tab.console == []

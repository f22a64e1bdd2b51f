"""Pages of worksheets: inputs with their units, formulas as on paper, examples, data that a page can hold."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from builder.formula import parse
from builder.manual import Manual, load
from builder.model.worksheet import SAMPLE
from builder.render.formulas import formula_markup
from builder.render.shell import Page
from builder.render.source_lists import sources_page
from builder.render.worksheets import worksheet_page, worksheet_pages

TRAP = """\
  - given: {bore: 100 mm, stroke: 100 mm}
    gives: {swept: 999.9 cc}
    from: handbook p. 9
    holds_in: trap
    remark: A five for a four.
"""


@pytest.fixture(scope="module")
def manual(tmp_path_factory: pytest.TempPathFactory) -> Manual:
    """A shop with the sample worksheet, a misprint in it, and words that a page must escape."""
    shop = tmp_path_factory.mktemp("shop")
    (shop / "specs" / "worksheets").mkdir(parents=True)
    text = SAMPLE.replace("title: Clearance volume", "title: Volume </script><b>").replace(
        "[squeeze]", "[<i>]"
    )
    (shop / "specs" / "worksheets" / "compression_ratio.yaml").write_text(text + TRAP, encoding="utf-8")
    found, faults = load(shop)
    assert faults == ()
    return found


@pytest.fixture(scope="module")
def demonstration() -> Manual:
    """The manual of the demonstration shop."""
    return load(Path(__file__).parents[2])[0]


@pytest.fixture(scope="module")
def page(manual: Manual) -> Page:
    """The page of the sample."""
    return worksheet_page(manual, manual.worksheets["compression_ratio"])


def test_list_comes_first_then_each_page(manual: Manual) -> None:
    """The list stands at `worksheets/index.html`, each worksheet beside it, shelved under its subject."""
    pages = list(worksheet_pages(manual))

    assert [(one.path, one.section) for one in pages] == [
        ("worksheets/index.html", ("Worksheets",)),
        ("worksheets/compression_ratio.html", ("Worksheets", "Volumes and ratios")),
    ]
    assert '<h2 id="volumes">Volumes and ratios</h2>' in pages[0].html
    assert '<a href="compression_ratio.html">Compression ratio from measured volumes</a>' in pages[0].html


def test_shop_without_worksheets_has_no_list() -> None:
    """No empty page stands in the index."""
    assert list(worksheet_pages(Manual())) == []


def test_sources_and_worksheets_lead_to_one_another(demonstration: Manual) -> None:
    """Each worksheet leads to its source on the page of sources, and that page back to it."""
    sources = sources_page(demonstration).html
    pages = [one for one in worksheet_pages(demonstration) if one.path != "worksheets/index.html"]
    cited = {found for one in pages for found in re.findall(r'href="\.\./sources\.html#([^"]+)"', one.html)}

    assert len(pages) == len(demonstration.worksheets) > 35
    assert cited
    assert all(f'id="{name}"' in sources for name in cited)
    assert all(f'href="{one.path}"' in sources for one in pages)


def test_every_input_has_a_label_and_all_units_that_measure_it(page: Page) -> None:
    """The input's own unit comes first; a default shows in the empty box."""
    boxes = re.findall(r'<label for="in-(\w+)">', page.html)
    choices = re.search(r'<select id="unit-clearance".*?</select>', page.html, re.DOTALL)

    assert boxes == ["bore", "stroke", "clearance"]
    assert choices
    assert re.findall(r'value="([^"]+)"', choices[0])[:3] == ["cc", "cu in", "L"]
    assert 'placeholder="70.9 cc"' in page.html


def test_formula_stands_as_on_paper(page: Page) -> None:
    """Powers are raised, names can be filled by the script."""
    assert (
        'π ÷ 4 × <var class="gl-var" data-name="bore" data-raised="yes">bore</var><sup>2</sup> × '
        '<var class="gl-var" data-name="stroke">stroke</var>'
    ) in page.html


@pytest.mark.parametrize(
    ("typed", "html"),
    [
        ("a < b", '<var class="gl-var" data-name="a">a</var> &lt; <var class="gl-var" data-name="b">b</var>'),
        ("sqrt(a)", '√<span class="gl-root"><var class="gl-var" data-name="a">a</var></span>'),
        ("2**-1", "2<sup>−1</sup>"),
    ],
)
def test_formula_is_escaped_and_marked(typed: str, html: str) -> None:
    """Signs of HTML never come through; a root is ruled."""
    assert formula_markup(parse(typed)) == html


def test_misprint_is_told_as_one(page: Page) -> None:
    """A trap stands in a frame of its own: what is printed, what comes out, what it should be."""
    trap = page.html[page.html.index('data-trap="yes"') :]

    assert "This is a misprint: the printed value does not come out." in trap
    assert '<strong class="gl-num">999.9 cc</strong>, printed' in trap
    assert 'comes out as <span class="gl-num">785.40 cc</span>' in trap
    assert "A five for a four." in trap


def test_data_cannot_leave_its_block(page: Page) -> None:
    """Whatever the shop writes, the data of a page reads as JSON and ends where the block ends."""
    block = re.search(r'<script id="worksheet-data" type="application/json">(.*?)</script>', page.html)

    assert block
    assert "<" not in block[1]
    assert json.loads(block[1])["lines"][1]["uses"] == ["swept", "clearance"]
    assert "<b>" not in page.html
    assert "&lt;i&gt;" in page.html

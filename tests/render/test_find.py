"""The page *Find a value*."""

from __future__ import annotations

import re

from builder.manual import Manual
from builder.render.find import DATA, find_page, lookup_assets
from builder.render.find_job_data import LIST
from builder.render.shell import FIND, shell_assets


def test_page_names_only_files_that_are_there(small: Manual) -> None:
    """Scripts in their order, style sheets, and nothing inline."""
    html = find_page(small).html
    named = re.findall(r'<script src="([^"]+)"></script>', html)
    styles = re.findall(r'<link rel="stylesheet" href="([^"]+)">', html)

    assert named[-3:] == [DATA, LIST, "assets/js/lookup-page.js"]
    published = {asset.path for asset in (*shell_assets(), *lookup_assets(small))}
    assert set(named) | set(styles) <= published
    assert html.count("<script") == len(named)


def test_page_stands_at_the_root_with_one_choice_for_each_family(small: Manual) -> None:
    """The shell gives `find.html` its place of honour."""
    page = find_page(small)

    assert (page.path, page.title, page.section, page.template) == (FIND, "Find a value", (), "wide")
    assert re.findall(r'<option value="([^"]*)">([^<]*)</option>', page.html) == [
        ("", "All engines"),
        ("tallow-four", "Tallow Four (invented)"),
        ("", "No job"),
    ]


def test_hostile_title_comes_out_as_text(small: Manual) -> None:
    """Markup in a title is shown, never obeyed; in the data it cannot end the script either."""
    engine = small.engines["tallow-four"].model_copy(
        update={"title": '</script><img src=x onerror=alert("x")>'}
    )
    hostile = Manual(engines={"tallow-four": engine})

    assert "<img" not in find_page(hostile).html
    assert "&lt;/script&gt;&lt;img" in find_page(hostile).html

"""Wall cards as a printer gets them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from builder.manual import load
from builder.render.wall_cards import wall_cards

pytestmark = pytest.mark.browser


def test_every_card_is_one_page_of_a4(chromium: Browser, tmp_path: Path) -> None:
    """The longest of them too: forty nuts, twenty values, seven rules to stop by, twenty-one holds."""
    manual, faults = load(Path(__file__).parents[2])
    assert faults == ()
    context = chromium.new_context(offline=True)
    page = context.new_page()
    pages = {}
    for asset in wall_cards(manual):
        file = tmp_path / Path(asset.path).name
        file.write_text(str(asset.content), encoding="utf-8")
        page.goto(file.as_uri())
        printed = page.pdf(prefer_css_page_size=True)
        pages[file.stem] = len(re.findall(rb"/Type\s*/Page\b", printed))
        wide, high = map(float, re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", printed)[0])
        assert (round(wide), round(high)) == (595, 842)  # A4 in points
    context.close()

    assert pages == dict.fromkeys(manual.engines, 1)

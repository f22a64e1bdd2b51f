"""The first page of a shop that has written none: every family, every way in, no link that leads nowhere."""

from __future__ import annotations

import re

from builder.manual import Manual
from builder.render.home import home_page
from builder.render.pages import reference_pages
from builder.render.worksheets import worksheet_pages


def test_home_page_leads_to_every_family_and_to_what_is_there(small: Manual) -> None:
    """Each card's link is the path of a page of the site; each family has a card."""
    home = home_page(small)
    there = {page.path for page in (*reference_pages(small), *worksheet_pages(small))} | {"find.html"}

    links = re.findall(r'class="gl-card" href="([^"]+)"', home.html)
    assert set(links) <= there
    assert {f"engines/{name}/index.html" for name in small.engines} <= set(links)
    assert ("worksheets/index.html" in links) is bool(small.worksheets)

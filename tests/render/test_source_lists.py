"""Lists of sources."""

from __future__ import annotations

import re

from builder.manual import Manual
from builder.render.source_lists import cited_in, engine_sources_page, sources_page
from builder.render.values import citations


def test_everything_cited_stands_on_the_list_of_its_source(small: Manual) -> None:
    """Each row that cites a source is named under it, with the place and what it is cited for."""
    engine = small.engines["tallow-four"]
    html = engine_sources_page(small, engine).html

    for name, row in engine.specs.items():
        for _, citation in citations(row):
            section = html.split(f'<h2 id="{citation.source.replace(" ", "-")}">')[1].split("<h2")[0]
            assert re.search(
                rf'>{citation.locator}</td><th scope="row"><a href="specs\.html#{name}">', section
            )


def test_shared_source_lists_hazards_and_instruments(small: Manual) -> None:
    """What stands beside the families cites too."""
    html = sources_page(small).html

    assert 'href="hazards.html#lead">Lead in white metal</a>' in html
    assert 'href="instruments.html#outside_micrometer">Outside micrometer</a>' in html


def test_text_that_does_not_end_in_citations_cites_nothing() -> None:
    """A broken bracket is the checks' business, not the page's."""
    assert cited_in("from memory") == ()
    assert cited_in("[open") == ()

"""All reference pages of a manual in the order of the site."""

from __future__ import annotations

from collections.abc import Iterator

from builder.manual import Manual
from builder.render.apprentice import apprentice_page
from builder.render.differences import differences_page
from builder.render.engines import engine_page, engines_page
from builder.render.glossary import glossary_page
from builder.render.hazards import hazards_page
from builder.render.holds import holds_page
from builder.render.instruments import instruments_page
from builder.render.kits import kit_page
from builder.render.procedures import procedure_page, procedures_page, written
from builder.render.routes import route_page
from builder.render.rules_pages import rules_page
from builder.render.shell import Page
from builder.render.source_lists import engine_sources_page, sources_page
from builder.render.spec_tables import specs_page
from builder.render.torque_cards import torque_page

FAMILY_PAGES = (engine_page, specs_page, route_page, torque_page, kit_page, engine_sources_page)
"""What each family has, in the order of the index."""


def reference_pages(manual: Manual) -> Iterator[Page]:
    """The families, the procedures, then what both refer to; the same manual gives the same pages."""
    yield engines_page(manual)
    for engine in manual.engines.values():
        for family_page in FAMILY_PAGES:
            yield family_page(manual, engine)
    yield procedures_page(manual)
    for procedure in written(manual):
        yield procedure_page(manual, procedure)
    for reference_page in (
        hazards_page,
        holds_page,
        apprentice_page,
        instruments_page,
        glossary_page,
        sources_page,
    ):
        yield reference_page(manual)
    if manual.differences:
        yield differences_page(manual)
    yield rules_page()

"""The first page of a site whose shop has written none of its own: the ways in."""

from __future__ import annotations

from dataclasses import dataclass

from builder.manual import Manual
from builder.render import addresses
from builder.render.engines import Card, summary
from builder.render.page_parts import Head, Link, Shelf, any_invented, head, page
from builder.render.shell import FIND, Heading, Page
from builder.render.site_index import HOME

WAYS = (
    ("Find a value", FIND, "Type what you would say, British or American; half words will do"),
    ("Procedures", addresses.PROCEDURES, "The written steps, for all families they serve"),
    ("Worksheets", addresses.WORKSHEETS, "Type numbers, get the answer with its formula and steps"),
    ("Holds", addresses.HOLDS, "Where the work stops until somebody has signed"),
    ("What an apprentice may do", addresses.APPRENTICE, "Step by step: alone, beside a builder, or not yet"),
    ("Hazards", addresses.HAZARDS, "What can hurt, and what to do about it"),
    ("Instruments", addresses.INSTRUMENTS, "What each one reads, and how it is set"),
    ("Glossary", addresses.GLOSSARY, "The words of the trade, and the other words for them"),
)
"""Title, page and what is there."""

HEADINGS = (Heading(2, "families", "Engine families"), Heading(2, "ways", "Ways in"))


@dataclass(frozen=True, slots=True)
class HomeView:
    """The families, and the ways into the rest."""

    head: Head
    families: tuple[Card, ...]
    ways: tuple[Card, ...]


def home_page(manual: Manual) -> Page:
    """The home page; a worksheet list that is not there is not offered."""
    families = tuple(
        Card(
            Link(str(engine.title), addresses.link(HOME, addresses.engine_page(name))),
            f"{summary(engine)}. Spec tables, route, checklists, cards.",
        )
        for name, engine in manual.engines.items()
    )
    ways = tuple(
        Card(Link(title, addresses.link(HOME, there)), about)
        for title, there, about in WAYS
        if there != addresses.WORKSHEETS or manual.worksheets
    )
    lead = "Procedures, spec tables and checklists of this shop. Everything here works with the network off."
    origin = (
        "Written from the files in specs/ and procedures/. Write docs/index.md to put your own page here."
    )
    view = HomeView(
        head(HOME, "The shop's manual", lead, origin, invented=any_invented(manual)), families, ways
    )
    return page(Shelf(HOME, "Home", ()), "home.html", view, HEADINGS)

"""All reference pages together: finished, linked, safe, the same each time."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable, Iterator, Mapping
from html.parser import HTMLParser
from pathlib import Path
from posixpath import dirname, normpath
from urllib.parse import unquote

import pytest

from builder.manual import Manual, load
from builder.model.procedure import Procedure
from builder.render import addresses
from builder.render.pages import reference_pages
from builder.render.shell import Page

ROOT = Path(__file__).parents[2]
Compare = Callable[[str, str], None]


class Outline(HTMLParser):
    """The ids, links, headings and element nesting of a page."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.ids: list[str] = []
        self.links: list[str] = []
        self.headings: list[tuple[int, str]] = []
        self.open: list[str] = []
        self.tables: list[list[str]] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note what an element says of itself; empty elements do not stay open."""
        known = dict(attrs)
        if known.get("id") is not None:
            self.ids.append(str(known["id"]))
        self.links += [str(known[key]) for key in ("href", "src") if known.get(key)]
        if re.fullmatch("h[1-6]", tag):
            self.headings.append((int(tag[1]), str(known.get("id"))))
        if tag == "table":
            self.tables.append([])
        if tag in ("caption", "th") and self.tables:
            self.tables[-1].append(f"{tag} {known.get('scope', '')}".strip())
        if tag not in ("link", "br", "line", "circle", "rect", "input"):
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        """An element closes the one that was opened last."""
        if tag not in ("line", "circle", "rect"):
            assert self.open.pop() == tag


def outlines(pages: tuple[Page, ...]) -> Mapping[str, Outline]:
    """The outline of each page by its path."""
    return {page.path: Outline(page.html) for page in pages}


@pytest.fixture(scope="module")
def demonstration() -> Manual:
    """The demonstration shop's manual."""
    return load(ROOT)[0]


@pytest.fixture(scope="module")
def demonstration_pages(demonstration: Manual) -> tuple[Page, ...]:
    """Its reference pages."""
    return tuple(reference_pages(demonstration))


def made_by_others(manual: Manual) -> Iterator[str]:
    """Pages that reference pages lead to, made elsewhere: checklists, sheets, worksheets, the look-up."""
    yield from ("find.html", addresses.STYLE)
    yield from map(addresses.worksheet, manual.worksheets)
    for engine in manual.engines.values():
        yield addresses.wall_card(str(engine.engine))
        for procedure in manual.route:
            if isinstance(procedure, Procedure) and manual.applies(procedure, engine):
                names = str(engine.engine), str(procedure.procedure)
                yield from (addresses.checklist_page(*names), addresses.sheet_page(*names))


def dangling(pages: tuple[Page, ...], manual: Manual) -> list[str]:
    """Every link that leads to no page, or to an anchor that its page does not have."""
    found = outlines(pages)
    others = set(made_by_others(manual))
    return [
        f"{here} -> {href}"
        for here, outline in found.items()
        for href in outline.links
        if not leads(here, href, found, others)
    ]


def leads(here: str, href: str, found: Mapping[str, Outline], others: set[str]) -> bool:
    """Whether a link on the page `here` leads somewhere."""
    path, _, anchor = href.partition("#")
    there = normpath(f"{dirname(here)}/{unquote(path)}").lstrip("/") if path else here
    if there in others:
        return True
    return there in found and (not anchor or unquote(anchor) in found[there].ids)


def test_every_link_of_the_demonstration_leads_somewhere(
    demonstration: Manual, demonstration_pages: tuple[Page, ...]
) -> None:
    """No link leads to a page or an anchor that is not there; none leads off the site."""
    assert dangling(demonstration_pages, demonstration) == []


def test_every_link_of_the_small_shop_leads_somewhere(small: Manual) -> None:
    """The same with a planned procedure, a hold without a page of its own and a scarce family."""
    assert dangling(tuple(reference_pages(small)), small) == []


def test_every_page_is_well_made(demonstration_pages: tuple[Page, ...]) -> None:
    """One h1 first, each id once, every heading of the contents there, tables with caption and scope."""
    for page in demonstration_pages:
        outline = Outline(page.html)
        assert outline.open == []
        assert page.html.startswith("<h1 ")
        assert [level for level, _ in outline.headings].count(1) == 1
        assert len(set(outline.ids)) == len(outline.ids)
        assert {(heading.level, heading.id) for heading in page.headings} <= set(outline.headings)
        assert all(table[0] == "caption" for table in outline.tables)
        assert not [part for table in outline.tables for part in table if part == "th"]


def test_every_page_says_where_it_comes_from(demonstration_pages: tuple[Page, ...]) -> None:
    """The foot of each page names its files; a page of an invented family says that it is invented."""
    for page in demonstration_pages:
        assert re.search(r'<p class="gl-origin gl-source">[^<]*(specs/|procedures/|rules)', page.html)
        if page.path.startswith("engines/"):
            assert '<p class="gl-invented">' in page.html


def test_same_manual_makes_the_same_pages(small: Manual) -> None:
    """Order and bytes do not change from one rendering to the next; no path comes twice."""
    once, again = tuple(reference_pages(small)), tuple(reference_pages(small))

    assert once == again
    assert len({page.path for page in once}) == len(once)
    assert [page.path for page in once] == [
        "engines/index.html",
        "engines/tallow-four/index.html",
        "engines/tallow-four/specs.html",
        "engines/tallow-four/route.html",
        "engines/tallow-four/torque.html",
        "engines/tallow-four/kit.html",
        "engines/tallow-four/sources.html",
        "procedures/index.html",
        "procedures/fit-poured-mains.html",
        "hazards.html",
        "holds.html",
        "apprentice.html",
        "instruments.html",
        "glossary.html",
        "sources.html",
        "rules/index.html",
    ]


@pytest.mark.parametrize(
    "path",
    [
        "engines/tallow-four/index.html",
        "engines/tallow-four/specs.html",
        "engines/tallow-four/route.html",
        "engines/tallow-four/torque.html",
        "engines/tallow-four/kit.html",
        "engines/tallow-four/sources.html",
        "procedures/index.html",
        "procedures/fit-poured-mains.html",
        "hazards.html",
        "holds.html",
        "apprentice.html",
        "instruments.html",
        "glossary.html",
        "sources.html",
    ],
)
def test_page_of_the_small_shop_reads_as_agreed(small: Manual, same_as_golden: Compare, path: str) -> None:
    """The whole page, byte for byte; `pytest --update` writes it anew, and the diff is read."""
    page = next(page for page in reference_pages(small) if page.path == path)

    same_as_golden(path.replace("/", "-"), page.html)


HOSTILE = "<script>alert(1)</script>&\"'"


def test_hostile_text_comes_out_as_text(tmp_path: Path) -> None:
    """Markup in any sentence, title, source or word of the YAML is shown as it was typed and never runs."""
    shop = tmp_path / "shop"
    shutil.copytree(Path(__file__).parent / "shop", shop)
    for path in shop.rglob("*.yaml"):
        path.write_text(poisoned(path.read_text("utf-8")), encoding="utf-8")
    manual, faults = load(shop)
    assert not faults

    pages = tuple(reference_pages(manual))

    shown = [page for page in pages if "&lt;script&gt;alert(1)&lt;/script&gt;&amp;&#34;&#39;" in page.html]
    assert not [page.path for page in pages if "<script" in page.html]
    assert len(shown) == len(pages) - 1  # all but the rules, which no shop writes
    assert [page.path for page in pages if Outline(page.html).open] == []


def poisoned(text: str) -> str:
    """A shop's file with markup at the end of everything that is written in words."""
    quoted = "'<script>alert(1)</script>&\"''"
    words = (
        "title|why|condition|expect|unknown|meaning|hazard|consequence|avoid|defer|purpose|publisher|setting"
    )
    return re.sub(rf"(?m)^(\s+(?:- )?|)({words}): ([^\"{{\n]+)$", rf"\1\2: {quoted} \3'", text)

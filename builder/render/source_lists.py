"""Where the numbers come from: the sources of a family, the shared ones, and what is cited from each."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from builder.citation import COMMON_PRACTICE, Citation, split_citations
from builder.diagnostics import Fault
from builder.manual import Manual
from builder.model.engine import Engine, Source
from builder.render import addresses, words
from builder.render.page_parts import Head, Link, Shelf, any_invented, head, is_invented, page
from builder.render.shell import Heading, Page
from builder.render.values import citations


@dataclass(frozen=True, slots=True)
class UseView:
    """One thing that is cited: where in the source, which characteristic, as what."""

    locator: str
    link: Link
    cited_as: str


@dataclass(frozen=True, slots=True)
class SourceView:
    """A source and everything that is cited from it."""

    id: str
    name: str
    title: str
    kind: str
    publisher: str
    edition: str
    note: str
    uses: tuple[UseView, ...]


@dataclass(frozen=True, slots=True)
class SourcesView:
    """A list of sources, and links to the lists of the families."""

    head: Head
    sources: tuple[SourceView, ...]
    lists: tuple[Link, ...]


class _Uses:
    """What is cited from each source, collected in the order of the files."""

    def __init__(self) -> None:
        self.found: dict[str, dict[tuple[str, Link], list[str]]] = {}

    def add(self, citation: Citation, link: Link, cited_as: str) -> None:
        """Note one citation; the same place cited twice for the same thing stands once."""
        names = self.found.setdefault(citation.source, {}).setdefault((citation.locator, link), [])
        if cited_as not in names:
            names.append(cited_as)

    def of(self, source: str) -> tuple[UseView, ...]:
        """Everything that is cited from a source."""
        uses = self.found.get(source, {})
        return tuple(UseView(place, link, ", ".join(names)) for (place, link), names in uses.items())


def engine_sources_page(manual: Manual, engine: Engine) -> Page:
    """The sources of a family and what each one is cited for."""
    family = str(engine.engine)
    here = addresses.engine_page(family, "sources")
    uses = _Uses()
    _add_rows(uses, engine, here, "")
    own = {str(name): source for name, source in engine.sources.items()}
    shared = {
        str(name): source for name, source in manual.sources.items() if name in uses.found and name not in own
    }
    views = (*_views(own | shared, uses), *_practice(uses))
    view = SourcesView(
        head(
            here,
            f"Sources, {engine.title}",
            "Every value names its source and the place in it. This is the same list from the other side.",
            f"Sources are declared in specs/engines/{family}.yaml and specs/sources.yaml.",
            invented=is_invented(engine),
        ),
        views,
        (Link("Sources that all families share", addresses.link(here, addresses.SOURCES)),),
    )
    return page(
        Shelf(here, "Sources", ("Engines", str(engine.title))), "sources.html", view, _headings(views)
    )


def sources_page(manual: Manual) -> Page:
    """The shared sources, and links to the lists of the families."""
    here = addresses.SOURCES
    uses = _Uses()
    for engine in manual.engines.values():
        _add_rows(uses, engine, here, f", {engine.title}")
    _add_shared(uses, manual, here)
    views = (*_views({str(name): source for name, source in manual.sources.items()}, uses), *_practice(uses))
    lists = tuple(
        Link(
            f"Sources, {engine.title}",
            addresses.link(here, addresses.engine_page(str(engine.engine), "sources")),
        )
        for engine in manual.engines.values()
    )
    view = SourcesView(
        head(
            here,
            "Sources",
            "No value stands here without a source. These are shared; each family has its own list as well.",
            "Shared sources are declared in specs/sources.yaml.",
            invented=any_invented(manual),
        ),
        views,
        lists,
    )
    return page(Shelf(here, "Sources", ("Reference",)), "sources.html", view, _headings(views))


def _headings(views: Iterable[SourceView]) -> tuple[Heading, ...]:
    return tuple(Heading(2, view.id, view.title) for view in views)


def _views(sources: dict[str, Source], uses: _Uses) -> Iterator[SourceView]:
    for name, source in sources.items():
        yield SourceView(
            id=addresses.slug(name),
            name=name,
            title=str(source.title),
            kind=words.SOURCE_KINDS.get(source.kind, str(source.kind)),
            publisher=str(source.publisher or ""),
            edition=str(source.edition or ""),
            note=str(source.note or ""),
            uses=uses.of(name),
        )


def _practice(uses: _Uses) -> Iterator[SourceView]:
    """Common practice, which nobody declares."""
    yield SourceView(
        id=addresses.slug(COMMON_PRACTICE),
        name=COMMON_PRACTICE,
        title="Common practice, no source",
        kind=words.SOURCE_KINDS["practice"],
        publisher="",
        edition="",
        note="What most shops do. No page stands behind it.",
        uses=uses.of(COMMON_PRACTICE),
    )


def _add_rows(uses: _Uses, engine: Engine, here: str, of: str) -> None:
    for name, row in engine.specs.items():
        there = addresses.link(here, addresses.row(str(engine.engine), str(name)))
        code = f"{row.code} " if row.code else ""
        for cited_as, citation in citations(row):
            if not of or citation.source not in engine.sources:
                uses.add(citation, Link(f"{code}{row.title}{of}", there), cited_as)


def _add_shared(uses: _Uses, manual: Manual, here: str) -> None:
    """What hazards, instruments and worksheets cite."""
    for name, hazard in manual.hazards.items():
        link = Link(str(hazard.title), addresses.link(here, addresses.hazard(str(name))))
        for citation in cited_in(str(hazard.source or "")):
            uses.add(citation, link, "hazard")
    for name, instrument in manual.instruments.items():
        link = Link(str(instrument.title), addresses.link(here, addresses.instrument(str(name))))
        for citation in instrument.uncertainty.citations if instrument.uncertainty else ():
            uses.add(citation, link, "uncertainty")
    for name, sheet in manual.worksheets.items():
        link = Link(str(sheet.title), addresses.link(here, addresses.worksheet(str(name))))
        source, place = sheet.cites
        uses.add(Citation(source or COMMON_PRACTICE, place, 0, 0), link, "worksheet")


def cited_in(text: str) -> tuple[Citation, ...]:
    """The citations at the end of a text; none where they do not read."""
    try:
        return split_citations(text)[1]
    except Fault:
        return ()

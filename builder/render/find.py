"""*Find a value*: the page with the one box, and the data that it looks in."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from builder.lookup import Lookup
from builder.manual import Manual
from builder.render import addresses
from builder.render.find_data import packed
from builder.render.find_job import OnJob
from builder.render.find_job_data import LIST, job_assets
from builder.render.page_parts import Head, Link, Shelf, any_invented, head, page
from builder.render.shell import FIND, Asset, Page

DATA: Final = "assets/lookup-data.js"
STYLE: Final = "assets/css/find.css"
SCRIPTS: Final = (
    "lookup-words.js",
    "lookup.js",
    "lookup-rows.js",
    "lookup-job.js",
    "lookup-answer.js",
    "lookup-hits.js",
    "lookup-page.js",
)
"""In the order in which the page runs them; the data stands before the last."""


@dataclass(frozen=True, slots=True)
class EngineChoice:
    """An engine family in the list of the page; `specs` leads to its spec tables."""

    id: str
    title: str
    specs: str


@dataclass(frozen=True, slots=True)
class FindView:
    """The page: its head, the families to choose from, its style sheet and its scripts in order."""

    head: Head
    engines: tuple[EngineChoice, ...]
    style: str
    scripts: tuple[str, ...]
    glossary: Link


def find_page(manual: Manual) -> Page:
    """The page *Find a value*."""
    origin = "Every number on this page comes from specs/engines/."
    view = FindView(
        head=head(FIND, "Find a value", "", origin, invented=any_invented(manual)),
        engines=tuple(_engines(manual)),
        style=addresses.link(FIND, STYLE),
        scripts=tuple(addresses.link(FIND, path) for path in _scripts()),
        glossary=Link("Words of the trade", addresses.link(FIND, addresses.GLOSSARY)),
    )
    return page(Shelf(FIND, "Find a value", (), "wide"), "find.html", view, ())


def _engines(manual: Manual) -> Iterator[EngineChoice]:
    for name, engine in manual.engines.items():
        specs = addresses.link(FIND, addresses.engine_page(str(name), "specs"))
        yield EngineChoice(str(name), str(engine.title), specs)


def _scripts() -> Iterator[str]:
    *first, last = (f"assets/js/{name}" for name in SCRIPTS)
    yield from (*first, DATA, LIST, last)


def lookup_assets(manual: Manual, jobs: tuple[OnJob, ...] = ()) -> Iterator[Asset]:
    """The files of the look-up: the manual's data, the list of jobs, and a script for each job."""
    lookup = Lookup(manual)
    yield Asset(DATA, packed(lookup))
    yield from job_assets(lookup, jobs)

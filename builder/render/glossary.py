"""The glossary: the shop's word for each thing, and every other word that people use for it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from builder.manual import Manual, row
from builder.model.bench import Term
from builder.model.engine import Engine
from builder.render import addresses
from builder.render.page_parts import Head, Link, Shelf, head, page
from builder.render.shell import Heading, Page

MOST_FAMILIES = 4
"""How many families a line lists by name."""

SAID = (
    ("british", "In Britain"),
    ("american", "In America"),
    ("old", "In old books"),
    ("also", "Also"),
    ("misspelt", "Misspelt"),
)


@dataclass(frozen=True, slots=True)
class SaidView:
    """Other words for a thing, and where they are used."""

    where: str
    words: str


@dataclass(frozen=True, slots=True)
class SeeView:
    """A characteristic that a word leads to, and where its values stand."""

    title: str
    links: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class TermView:
    """A word of the trade."""

    id: str
    word: str
    meaning: str
    said: tuple[SaidView, ...]
    refuse: str
    see: tuple[SeeView, ...]


@dataclass(frozen=True, slots=True)
class LetterView:
    """The words that begin with one letter."""

    id: str
    letter: str
    terms: tuple[TermView, ...]


@dataclass(frozen=True, slots=True)
class GlossaryView:
    """The glossary."""

    head: Head
    letters: tuple[LetterView, ...]


def glossary_page(manual: Manual) -> Page:
    """The glossary, by letters."""
    here = addresses.GLOSSARY
    terms = tuple(_term(manual, str(word), term, here) for word, term in sorted(manual.terms.items()))
    letters = dict.fromkeys(term.word[:1].upper() for term in terms)
    view = GlossaryView(
        head(
            here,
            "Glossary",
            "One word for one thing. The heading is the shop's word; under it stands what other people say.",
            "Written from specs/terms.yaml.",
        ),
        tuple(_letter(letter, terms) for letter in letters),
    )
    headings = tuple(Heading(2, term.id, term.word) for term in terms)
    return page(Shelf(here, "Glossary", ("Reference",), "wide"), "glossary.html", view, headings)


def _letter(letter: str, terms: tuple[TermView, ...]) -> LetterView:
    beginning = tuple(term for term in terms if term.word[:1].upper() == letter)
    return LetterView(f"letter-{addresses.slug(letter)}", letter, beginning)


def _term(manual: Manual, word: str, term: Term, here: str) -> TermView:
    said = ((where, ", ".join(getattr(term, key))) for key, where in SAID)
    return TermView(
        id=addresses.slug(word),
        word=word,
        meaning=str(term.meaning),
        said=tuple(SaidView(where, listed) for where, listed in said if listed),
        refuse=", ".join(term.refuse),
        see=tuple(_see(manual, term, here)),
    )


def _see(manual: Manual, term: Term, here: str) -> Iterator[SeeView]:
    """The characteristics that a word leads to; the look-up stands for many families."""
    for name in term.see:
        families = [engine for engine in manual.engines.values() if row(engine, name)]
        titles = [str(found.title) for engine in families if (found := row(engine, name))]
        if len(families) > MOST_FAMILIES:
            yield SeeView(titles[0], (Link("all families", addresses.link(here, addresses.find(titles[0]))),))
        elif families:
            yield SeeView(titles[0], tuple(_row_link(engine, str(name), here) for engine in families))


def _row_link(engine: Engine, name: str, here: str) -> Link:
    return Link(str(engine.title), addresses.link(here, addresses.row(str(engine.engine), name)))

"""What the templates of the reference pages share: links, sentences taken apart, the head of a page."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from builder.manual import Manual
from builder.model.base import Sentence
from builder.model.engine import Engine
from builder.render import addresses
from builder.render.environment import render
from builder.render.shell import Heading, Page
from builder.render.values import printed

INVENTED: Final = "(invented)"


@dataclass(frozen=True, slots=True)
class Link:
    """Words that lead somewhere; without `href` they are words alone."""

    text: str
    href: str = ""


@dataclass(frozen=True, slots=True)
class Piece:
    """A stretch of a sentence: plain, a link, or (`look` is `value` or `code`) set apart."""

    text: str
    href: str = ""
    look: str = ""


@dataclass(frozen=True, slots=True)
class Head:
    """What stands at the top and the foot of every reference page; `origin` names its files."""

    title: str
    lead: str
    origin: str
    style: str
    invented: str = ""


def head(here: str, title: str, lead: str, origin: str, *, invented: bool = False) -> Head:
    """The head of the page `here`."""
    mark = "Invented for demonstration; no maker's book was used." if invented else ""
    return Head(title, lead, origin, addresses.link(here, addresses.STYLE), mark)


def is_invented(engine: Engine) -> bool:
    """Whether a family says of itself that it is invented."""
    return INVENTED in engine.title


def any_invented(manual: Manual) -> bool:
    """Whether any family of the manual is invented."""
    return any(map(is_invented, manual.engines.values()))


def lowered(title: str) -> str:
    """A title inside a sentence: its first letter small, unless it begins an abbreviation."""
    return title if title[1:2].isupper() else title[:1].lower() + title[1:]


def raised(words: str) -> str:
    """Words at the beginning of a line: the first letter large, names in them as they are."""
    return words[:1].upper() + words[1:]


def coded(text: str) -> tuple[Piece, ...]:
    """A text with its words in backticks set apart."""
    parts = text.split("`")
    return tuple(Piece(part, look="code" if number % 2 else "") for number, part in enumerate(parts) if part)


def paragraphs(text: str) -> tuple[tuple[Piece, ...], ...]:
    """A docstring's text as paragraphs."""
    return tuple(coded(" ".join(part.split())) for part in text.split("\n\n") if part.strip())


def sentence(found: Sentence | None, names: Callable[[str], Piece]) -> tuple[Piece, ...]:
    """A sentence with what stands in braces put into words by `names`."""
    if found is None:
        return ()
    pieces, place = [], 0
    for mention in found.mentions:
        pieces += [Piece(printed(found.text[place : mention.start])), names(mention.name)]
        place = mention.end
    pieces.append(Piece(printed(found.text[place:])))
    return tuple(piece for piece in pieces if piece.text)


@dataclass(frozen=True, slots=True)
class Shelf:
    """Where a page stands: its path, its title, the sections it stands in, its template in the shell."""

    path: str
    title: str
    section: tuple[str, ...]
    template: str = ""


def page(shelf: Shelf, template: str, view: object, headings: tuple[Heading, ...]) -> Page:
    """Render a view into the finished page."""
    return Page(
        path=shelf.path,
        title=shelf.title,
        html=render(template, view),
        headings=headings,
        section=shelf.section,
        template=shelf.template,
    )

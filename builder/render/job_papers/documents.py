"""A paper of a job as data: sections of blocks with finished words, and the style of its pages."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from typing import Final

from markupsafe import Markup

from builder.jobs.whole import Whole
from builder.model.base import Text
from builder.render.checklist_facts import css_text
from builder.render.environment import render
from builder.render.job_papers.tables import NOTHING, Table
from builder.render.lines import Drawing
from builder.render.page_parts import INVENTED as MARK
from builder.render.page_parts import Piece, coded, is_invented
from builder.render.paper import SIZES, stylesheet

INVENTED: Final = "Invented for demonstration: engine, people, prices and readings."


@dataclass(frozen=True, slots=True)
class Point:
    """A numbered point: what kind it is and where, what is wrong, what to do."""

    kind: str
    where: str
    what: tuple[Piece, ...]
    do: tuple[Piece, ...]


@dataclass(frozen=True, slots=True)
class Sign:
    """A place for a signature: who signs and as what; where it is signed, when."""

    role: str
    name: str = ""
    when: str = ""


@dataclass(frozen=True, slots=True)
class Block:
    """A part of a section under a heading of its own, in the order in which a paper shows it."""

    title: str = ""
    code: str = ""
    words: tuple[str, ...] = ()
    facts: tuple[tuple[str, str], ...] = ()
    points: tuple[Point, ...] = ()
    drawing: Drawing | None = None
    table: Table | None = None
    listed: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()
    signs: tuple[Sign, ...] = ()
    look: str = ""


@dataclass(frozen=True, slots=True)
class Section:
    """A section of a paper; `look` is `page` where it begins a page of its own."""

    id: str
    title: str
    blocks: tuple[Block, ...]
    lead: str = ""
    look: str = ""


@dataclass(frozen=True, slots=True)
class Stamp:
    """What a paper says of itself in a frame on its first page."""

    title: str
    lead: str = ""
    points: tuple[Point, ...] = ()
    listed: tuple[str, ...] = ()
    is_warning: bool = False


@dataclass(frozen=True, slots=True)
class Document:
    """A whole paper."""

    title: str
    job: str
    lines: tuple[str, ...]
    facts: tuple[tuple[str, str], ...]
    sections: tuple[Section, ...]
    stamp: Stamp | None = None
    has_contents: bool = False
    invented: str = ""
    style: Markup = NOTHING
    look: str = ""
    """`compact` where a paper is to fit on a page."""


def html_of(document: Document) -> str:
    """A paper as one HTML document that needs nothing beside itself."""
    return render("job_paper.html", document)


def text(words: str) -> tuple[Piece, ...]:
    """A sentence with what stands in backticks set apart."""
    return coded(words)


def style(whole: Whole, title: str, size: str = "") -> Markup:
    """The style of a paper: the job and the paper's name at the head of each page, and the engine beside."""
    job = whole.job
    head, name = css_text(f"Job {job.number}"), css_text(title)
    engine = [str(whole.engine.title), str(job.engine_number or "")]
    foot = css_text(", ".join(filter(None, (text.removesuffix(f" {MARK}") for text in engine))))
    own = Markup(_style())  # noqa: S704 - our own file
    margins = Markup(":root {{ --gl-job: {}; --gl-paper: {}; --gl-foot: {}; }}\n").format(head, name, foot)
    paper = Markup("@page {{ size: {}; }}\n").format(SIZES[size]) if size else Markup()
    return own + margins + paper


@cache
def _style() -> str:
    return stylesheet("job-paper") + stylesheet("sheet-drawings")


def invented(whole: Whole) -> str:
    """The mark of a paper of the demonstration."""
    return INVENTED if is_invented(whole.engine) else ""


def named(whole: Whole, initials: str) -> str:
    """Someone by name and initials: `L. Marr (L.M.)`; initials alone where no name is given."""
    person = whole.job.people.get(Text(initials))
    name = str(person.name or "") if person is not None else ""
    name = name.removesuffix(" (invented)")
    return f"{name} ({initials})" if name else initials


def facts(pairs: Iterable[tuple[str, str]]) -> tuple[tuple[str, str], ...]:
    """Facts without those that say nothing."""
    return tuple((name, said) for name, said in pairs if said)

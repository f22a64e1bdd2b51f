"""Sheets as documents for paper: one checklist's sheet, or all sheets of a family as a pack with contents.

Each is one HTML document that needs nothing beside itself.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Final

from markupsafe import Markup

from builder.checklist import Checklist, checklists, resolve
from builder.edition import edition
from builder.manual import Manual
from builder.model.engine import Engine
from builder.model.job import Job
from builder.model.procedure import Procedure
from builder.render.checklist_facts import css_text
from builder.render.environment import render
from builder.render.page_parts import is_invented
from builder.render.sheets import SheetView, path_of, sheet_view
from builder.render.shell import ASSETS, Asset

Tell = Callable[[str], object]
"""Hears one line on how far the work is."""

SIZES: Final = {"a4": "A4", "letter": "letter"}
"""The sizes of paper by what is typed for them."""


@dataclass(frozen=True, slots=True)
class ContentsRow:
    """A line of a pack's contents; `pages` is empty while nobody has set the pages."""

    number: int
    code: str
    name: str
    stops: str
    pages: str


@dataclass(frozen=True, slots=True)
class ContentsView:
    """The first page of a pack."""

    family: str
    invented: str
    rows: tuple[ContentsRow, ...]
    counted: bool


@dataclass(frozen=True, slots=True)
class PaperView:
    """A document for paper: its contents where it is a pack, and its sheets."""

    title: str
    style: Markup
    contents: ContentsView | None
    sheets: tuple[SheetView, ...]


def sheet_assets(manual: Manual) -> Iterator[Asset]:
    """The printed sheet of every checklist."""
    for checklist in checklists(manual):
        yield Asset(path_of(checklist), sheet(checklist))


def of_family(manual: Manual, engine: Engine) -> tuple[Checklist, ...]:
    """A family's checklists in the order of the route."""
    return tuple(
        resolve(manual, engine, procedure)
        for procedure in manual.route
        if isinstance(procedure, Procedure) and manual.applies(procedure, engine)
    )


def silent(_line: str) -> None:
    """Hear nothing."""


# One sheet


def sheet(checklist: Checklist, size: str = "", place: str = "", job: Job | None = None) -> str:
    """A checklist's sheet, blank or for a job; without a size it takes the printer's paper."""
    procedure = checklist.procedure
    view = PaperView(
        title=f"{procedure.code} {procedure.title}, {checklist.engine.title}",
        style=_style((_foot("", checklist),), size),
        contents=None,
        sheets=(sheet_view(checklist, place, job),),
    )
    return render("sheet.html", view)


# A pack


def pack(family: Sequence[Checklist], size: str = "", tell: Tell = silent) -> str:
    """Every sheet of a family, the contents first, as one document; `tell` hears of each."""
    views = []
    for number, one in enumerate(family, 1):
        views.append(sheet_view(one, place(number, family)))
        tell(progress(number, family))
    feet = [_contents_foot(family[0]), *(_foot(str(one.procedure.code), one) for one in family)]
    view = replace(_contents(family, views), style=_style(feet, size), sheets=tuple(views))
    return render("sheet.html", view)


def contents(family: Sequence[Checklist], pages: Sequence[int], size: str = "") -> str:
    """The contents of a pack alone, with the number of pages that each sheet takes."""
    views = tuple(map(sheet_view, family))
    first = replace(_contents(family, views, pages), style=_style((_contents_foot(family[0]),), size))
    return render("sheet.html", first)


def progress(number: int, family: Sequence[Checklist], pages: int = 0) -> str:
    """How far a pack is: `12 of 41: P13 Fit the camshaft bearings, 9 pages`."""
    procedure = family[number - 1].procedure
    count = f", {pages} {'page' if pages == 1 else 'pages'}" if pages else ""
    return f"{number} of {len(family)}: {procedure.code} {procedure.title}{count}"


def place(number: int, family: Sequence[Checklist]) -> str:
    """Which sheet of a pack one is."""
    return f"sheet {number} of {len(family)}"


def _contents(
    family: Sequence[Checklist], views: Sequence[SheetView], pages: Sequence[int] = ()
) -> PaperView:
    engine = family[0].engine
    rows = tuple(
        ContentsRow(
            number, view.code, view.name, ", ".join(_stops(view)), str(pages[number - 1]) if pages else ""
        )
        for number, view in enumerate(views, 1)
    )
    mark = "Invented for demonstration." if is_invented(engine) else ""
    title = f"Sheets for {engine.title}"
    return PaperView(title, Markup(), ContentsView(str(engine.title), mark, rows, bool(pages)), ())


def _stops(view: SheetView) -> Iterator[str]:
    yield from (one.step.hold.code for one in view.steps if one.step.hold)


# The style


@cache
def stylesheet(name: str) -> str:
    """A style sheet of the paper by its name."""
    return (ASSETS / "styles" / f"{name}.css").read_text("utf-8")


def _style(feet: Iterable[Markup], size: str) -> Markup:
    """The style of a document: what stands in the margins of its pages, and their size."""
    paper = Markup("@page {{ size: {}; }}\n").format(SIZES[size]) if size else Markup()
    own = Markup(stylesheet("sheet") + stylesheet("sheet-drawings"))  # noqa: S704 - our own files
    return own + Markup().join(feet) + paper


def _foot(code: str, checklist: Checklist) -> Markup:
    """The foot of every page of a sheet; with a code, of that sheet among others."""
    revision = f"revision {checklist.procedure.revision}, edition {edition(checklist)}."
    foot = css_text(f"{revision} Check that this is the current issue.")
    if not code:
        return Markup(":root {{ --gl-foot: {}; }}\n").format(foot)
    form = Markup(".sheet-{0} {{ page: {0}; }}\n@page {0} {{ @bottom-left {{ content: {1}; }} }}\n")
    return form.format(code, foot)


def _contents_foot(checklist: Checklist) -> Markup:
    foot = css_text(f"{checklist.engine.title}. Check that each sheet is the current issue.")
    return Markup(":root {{ --gl-foot: {}; }}\n").format(foot)

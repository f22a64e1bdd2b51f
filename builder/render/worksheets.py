"""The worksheets: pages where numbers are typed and answer, formula and steps appear; the list of all."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from markupsafe import Markup

from builder.citation import COMMON_PRACTICE, Citation
from builder.formula.notation import plain
from builder.manual import Manual
from builder.model.base import Text
from builder.model.procedure import Procedure
from builder.model.worksheet import SUBJECTS, Example, Input, Worksheet
from builder.render import addresses
from builder.render.bench import SHARED
from builder.render.formulas import formula_markup
from builder.render.hazards import SafetyBox, hazard_box
from builder.render.page_parts import Head, Link, Shelf, head, page
from builder.render.shell import Heading, Page
from builder.render.values import Cite, cite
from builder.units import UNITS, Unit
from builder.worksheet import ITEM, compare, shown_as
from builder.worksheet.exported import exported
from builder.worksheet.words import NOTE, by_subject
from builder.worksheet.work import names_in, same_sort

STYLE: Final = "assets/css/worksheet.css"
SCRIPTS: Final = ("exact", "irrational", "grid", "amount", "formula", "reading", "worksheet")
"""In the order in which they build on one another; the units come next, the page's own script last."""
BARE: Final = {"ratio": "plain", "count": "pieces"}


@dataclass(frozen=True, slots=True)
class UnitChoice:
    """A unit in which an input may be typed."""

    symbol: str
    label: str


@dataclass(frozen=True, slots=True)
class InputView:
    """An input: its name in formulas, its name in words, the units that may be chosen, remarks."""

    name: str
    called: str
    label: str
    units: tuple[UnitChoice, ...]
    after: str
    about: str
    default: str


@dataclass(frozen=True, slots=True)
class StepView:
    """A step: its name in formulas, its name in words where that differs, its formula."""

    name: str
    called: str
    label: str
    formula: Markup


@dataclass(frozen=True, slots=True)
class RowView:
    """A value of an example: what it is of, as printed; what comes out where that differs."""

    label: str
    text: str
    ours: str = ""


@dataclass(frozen=True, slots=True)
class ExampleView:
    """A worked example; `trap` marks a published misprint, `said` where it holds."""

    given: tuple[RowView, ...]
    gives: tuple[RowView, ...]
    origin: str
    said: str
    remark: str
    trap: bool


@dataclass(frozen=True, slots=True)
class WorksheetView:
    """A worksheet's page; `data` is what its script works by."""

    head: Head
    codes: tuple[str, ...]
    cite: Cite
    also: str
    caution: str
    boxes: tuple[SafetyBox, ...]
    inputs: tuple[InputView, ...]
    steps: tuple[StepView, ...]
    answer: str
    note: str
    examples: tuple[ExampleView, ...]
    used_in: tuple[Link, ...]
    command: str
    style: str
    data: Markup
    scripts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ListedView:
    """A worksheet in the list of all."""

    link: Link
    codes: str
    about: str


@dataclass(frozen=True, slots=True)
class SubjectView:
    """The worksheets under one heading."""

    id: str
    title: str
    worksheets: tuple[ListedView, ...]


@dataclass(frozen=True, slots=True)
class WorksheetsView:
    """The list of all worksheets."""

    head: Head
    style: str
    subjects: tuple[SubjectView, ...]


def worksheet_pages(manual: Manual) -> Iterator[Page]:
    """The list of all worksheets, then the page of each in that order; a shop without any has no list."""
    if manual.worksheets:
        yield worksheets_page(manual)
    for sheets in by_subject(manual).values():
        for worksheet in sheets:
            yield worksheet_page(manual, worksheet)


def worksheets_page(manual: Manual) -> Page:
    """The list of all worksheets by subject."""
    here = addresses.WORKSHEETS
    subjects = tuple(
        SubjectView(subject, SUBJECTS[subject], tuple(_listed(here, one) for one in sheets))
        for subject, sheets in by_subject(manual).items()
    )
    lead = "Sums of the trade, each with its formula, its source and an example that every check works out."
    view = WorksheetsView(
        head(here, "Worksheets", lead, "Written from specs/worksheets/."),
        addresses.link(here, STYLE),
        subjects,
    )
    headings = tuple(Heading(2, one.id, one.title) for one in subjects)
    return page(Shelf(here, "Worksheets", ("Worksheets",), "wide"), "worksheets.html", view, headings)


def _listed(here: str, worksheet: Worksheet) -> ListedView:
    there = addresses.link(here, addresses.worksheet(str(worksheet.worksheet)))
    return ListedView(Link(str(worksheet.title), there), ", ".join(worksheet.code), str(worksheet.about))


def worksheet_page(manual: Manual, worksheet: Worksheet) -> Page:
    """One worksheet."""
    name = str(worksheet.worksheet)
    here = addresses.worksheet(name)
    origin = f"Written from specs/worksheets/{name}.yaml."
    view = WorksheetView(
        head=head(here, str(worksheet.title), str(worksheet.about), origin),
        codes=tuple(map(str, worksheet.code)),
        cite=_source(manual, worksheet, here),
        also=", ".join(worksheet.words),
        caution=str(worksheet.caution or ""),
        boxes=tuple(hazard_box(found) for one in worksheet.safety if (found := manual.hazards.get(one))),
        inputs=tuple(_input(str(key), own) for key, own in worksheet.inputs.items()),
        steps=tuple(_step(worksheet, key) for key in worksheet.is_),
        answer=_called(worksheet, worksheet.answer),
        note=NOTE,
        examples=tuple(_example(worksheet, one) for one in worksheet.examples),
        used_in=tuple(_used_in(manual, name, here)),
        command=f"gaugeleaf calc {name}",
        style=addresses.link(here, STYLE),
        data=_data(manual, worksheet),
        scripts=tuple(addresses.link(here, path) for path in _scripts()),
    )
    headings = (
        Heading(2, "numbers", "Numbers"),
        Heading(2, "steps", "Steps"),
        Heading(2, "examples", "Worked examples"),
    )
    shelf = Shelf(here, str(worksheet.title), ("Worksheets", SUBJECTS[worksheet.subject]), "wide")
    return page(shelf, "worksheet.html", view, headings)


def _source(manual: Manual, worksheet: Worksheet, here: str) -> Cite:
    source, place = worksheet.cites
    found = cite(manual, None, Citation(source or COMMON_PRACTICE, place, 0, 0), here)
    return Cite(found.full, found.full, found.href)


def _scripts() -> Iterator[str]:
    yield from (f"assets/js/{name}.js" for name in SCRIPTS)
    yield from (SHARED, "assets/js/worksheet-page.js")


def _data(manual: Manual, worksheet: Worksheet) -> Markup:
    """What the page works by, as JSON that may stand inside a page."""
    text = json.dumps(exported(manual, worksheet), ensure_ascii=False, separators=(",", ":"))
    return Markup(text.replace("<", "\\u003c"))  # noqa: S704 - no sign that HTML knows is left


def _label(unit: Unit) -> str:
    return BARE.get(unit.symbol, unit.label)


def _input(name: str, own: Input) -> InputView:
    words = plain(name)
    title = own.title or words.capitalize()
    units = tuple(UnitChoice(one.symbol, _label(one)) for one in _units_like(own.unit))
    notes = [own.note, "several, set apart by commas" if own.many else ""]
    return InputView(
        name=name,
        called="" if title.lower() == words else words,
        label=title,
        units=units,
        after=own.datum,
        about="; ".join(filter(None, notes)),
        default=str(own.default or ""),
    )


def _units_like(own: Unit) -> Iterator[Unit]:
    """Every unit that measures the same, the input's own first."""
    yield own
    for one in UNITS.values():
        if one.dimension == own.dimension and one != own and same_sort(one, own):
            yield one


def _called(worksheet: Worksheet, name: Text) -> str:
    """A result in words."""
    return shown_as(worksheet, name).title or plain(name).capitalize()


def _step(worksheet: Worksheet, name: Text) -> StepView:
    words, called = plain(name), _called(worksheet, name)
    return StepView(
        name=str(name),
        called=words,
        label="" if called.lower() == words else called,
        formula=formula_markup(worksheet.is_[name].node, {*names_in(worksheet), ITEM}),
    )


def _example(worksheet: Worksheet, example: Example) -> ExampleView:
    trap = example.holds_in == "trap"
    said = {
        "both": "",
        "python": "Holds on the command line only.",
        "trap": "This is a misprint: the printed value does not come out.",
    }
    return ExampleView(
        given=tuple(_typed(worksheet, name, text) for name, text in example.given.items()),
        gives=tuple(
            RowView(
                _called(worksheet, Text(one.name)),
                _printed(worksheet, one.name, example),
                one.text if trap else "",
            )
            for one in compare(worksheet, example)
        ),
        origin=str(example.from_),
        said=said[example.holds_in],
        remark=str(example.remark or ""),
        trap=trap,
    )


def _typed(worksheet: Worksheet, name: Text, text: Text) -> RowView:
    own = worksheet.inputs[name]
    bare = text[-1:].isdigit() and own.unit.symbol not in BARE
    return RowView(own.title or plain(name).capitalize(), f"{text} {own.unit.label}" if bare else str(text))


def _printed(worksheet: Worksheet, name: str, example: Example) -> str:
    """A printed result with its unit."""
    printed = example.gives[Text(name)]
    unit = shown_as(worksheet, name).unit
    bare = printed.unit is None and unit.symbol not in BARE
    return f"{printed.text} {unit.label}" if bare else str(printed.text)


def _used_in(manual: Manual, name: str, here: str) -> Iterator[Link]:
    """The procedures in which a step uses it."""
    for procedure in manual.route:
        if isinstance(procedure, Procedure):
            outs = (out for step in procedure.steps for out in step.work_out.values())
            if any(out.use == name for out in outs):
                there = addresses.link(here, addresses.procedure_page(str(procedure.procedure)))
                yield Link(f"{procedure.code} {procedure.title}", there)

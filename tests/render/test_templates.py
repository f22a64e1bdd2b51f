"""Templates receive finished words: they render from the smallest view and reckon nothing."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from pathlib import Path
from types import NoneType, UnionType
from typing import Any, get_args, get_origin, get_type_hints

import pytest

from builder import render as render_package
from builder.render.apprentice import ApprenticeView
from builder.render.changes import ChangesView
from builder.render.comparison import ComparisonView
from builder.render.differences import DifferencesView
from builder.render.engines import EnginesView, EngineView
from builder.render.environment import render
from builder.render.glossary import GlossaryView
from builder.render.hazards import HazardsView
from builder.render.holds import HoldsView
from builder.render.home import HomeView
from builder.render.instruments import InstrumentsView
from builder.render.job_views import JobsView, JobView
from builder.render.kits import KitView
from builder.render.procedures import ProceduresView, ProcedureView
from builder.render.routes import RouteView
from builder.render.rules_pages import RulesView
from builder.render.source_lists import SourcesView
from builder.render.spec_tables import SpecsView
from builder.render.torque_cards import CardView
from builder.render.worksheets import WorksheetsView, WorksheetView

TEMPLATES = Path(render_package.__file__).parent / "templates"

VIEWS: dict[str, type] = {
    "apprentice.html": ApprenticeView,
    "changes.html": ChangesView,
    "comparison.html": ComparisonView,
    "differences.html": DifferencesView,
    "engine.html": EngineView,
    "engines.html": EnginesView,
    "glossary.html": GlossaryView,
    "hazards.html": HazardsView,
    "holds.html": HoldsView,
    "home.html": HomeView,
    "instruments.html": InstrumentsView,
    "job.html": JobView,
    "jobs.html": JobsView,
    "kit.html": KitView,
    "procedure.html": ProcedureView,
    "procedures.html": ProceduresView,
    "route.html": RouteView,
    "rules.html": RulesView,
    "sources.html": SourcesView,
    "specs.html": SpecsView,
    "torque.html": CardView,
    "worksheet.html": WorksheetView,
    "worksheets.html": WorksheetsView,
}


def made(wanted: Any, *, full: bool) -> Any:  # noqa: ANN401 - a value of any view
    """The smallest value of a type; or, `full`, one with every list filled once and nothing left out."""
    kinds = [kind for kind in get_args(wanted) if kind is not NoneType]
    if get_origin(wanted) is UnionType:
        return made(kinds[0], full=full) if full else None
    if get_origin(wanted) is tuple:
        each = kinds[:1] if kinds[1:] == [...] else kinds
        return tuple(made(kind, full=full) for kind in each) if full or len(each) > 1 else ()
    if is_dataclass(wanted):
        hints = get_type_hints(wanted)
        return wanted(**{field.name: made(hints[field.name], full=full) for field in fields(wanted)})
    return (
        wanted("word") if full and issubclass(wanted, str) else wanted(full) if wanted is bool else wanted()
    )


def expressions(template: Path) -> Iterator[str]:
    """What stands in the braces of a template, words in quotes taken out."""
    text = re.sub(r"\{#.*?#\}", "", template.read_text("utf-8"), flags=re.DOTALL)
    for found in re.finditer(r"\{\{-?(.*?)-?\}\}|\{%-?(.*?)-?%\}", text, re.DOTALL):
        yield re.sub(r"\"[^\"]*\"|'[^']*'", "", found[1] or found[2])


@pytest.mark.parametrize("name", VIEWS)
@pytest.mark.parametrize("full", [False, True])
def test_template_renders_from_its_view(name: str, *, full: bool) -> None:
    """From the smallest view nothing is missing; from a filled one every part of the template is run."""
    html = render(name, made(VIEWS[name], full=full))

    assert html.startswith("<h1 ")
    assert ("word" in html) is full


@pytest.mark.parametrize("template", sorted(TEMPLATES.glob("*.html")), ids=lambda path: path.name)
def test_template_reckons_nothing(template: Path) -> None:
    """No sum, no difference, no rounding: whoever makes the view has finished the numbers."""
    sums = re.compile(r"[-+*/~%]|\b(round|abs|sum|int|float)\b")
    found = [each.strip() for each in expressions(template) if sums.search(each)]

    assert found == []


def test_every_reference_template_has_its_view_here() -> None:
    """A new page is added to the list above."""
    pages = {
        path.name
        for path in TEMPLATES.glob("*.html")
        if 'extends "reference.html"' in path.read_text("utf-8")
    }

    assert pages == set(VIEWS)

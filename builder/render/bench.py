"""The checklist pages, and the data by which a browser judges what is filled in on them."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from markupsafe import Markup

from builder.checklist import Checklist, checklists
from builder.edition import edition
from builder.judge.program import holds_needed, program, shared
from builder.manual import Manual
from builder.model.procedure import ROLES
from builder.render import addresses, decided, words
from builder.render.checklist_facts import SizesView, css_text, decision_rule, sizes, unproved
from builder.render.checklist_steps import HoldView, RoleView, StepView, Writer, part_words
from builder.render.family_blocks import FamilyBlocks
from builder.render.hazards import SafetyBox, dangers, hazard_box
from builder.render.holds import need_link
from builder.render.page_parts import Link, Shelf, is_invented, page
from builder.render.paper import sheet_assets
from builder.render.shell import Asset, Heading, Page
from builder.render.spec_tables import instrument

SHARED: Final = "checklists/shared.js"
STYLE: Final = "assets/css/checklist.css"
SCRIPTS: Final = (
    "exact",
    "irrational",
    "grid",
    "amount",
    "formula",
    "reading",
    "limit",
    "verdict",
    "taken",
    "judge",
    "record",
    "signing",
    "store",
    "bench-view",
    "edition-notice",
    "job-block",
    "grid-part",
    "result-part",
    "more-part",
    "step-part",
    "hold-bar",
    "record-files",
)
"""The scripts of a checklist page in the order in which they build on one another; `checklist` comes last."""

APPRENTICE: Final = RoleView("apprentice", "apprentice")


@dataclass(frozen=True, slots=True)
class Named:
    """A name of the manual with its words."""

    name: str
    label: str


@dataclass(frozen=True, slots=True)
class ChecklistView:
    """A checklist's page."""

    blocks: FamilyBlocks
    code: str
    title: str
    family: str
    purpose: str
    invented: str
    warning: str
    warning_why: str
    revision: str
    edition: str
    sheet: Link
    also: tuple[Link, ...]
    sizes: tuple[SizesView, ...]
    roles: tuple[RoleView, ...]
    instruments: tuple[Named, ...]
    needs: tuple[Link, ...]
    holds: tuple[HoldView, ...]
    tools: tuple[Link, ...]
    parts: tuple[str, ...]
    supplies: str
    dangers: tuple[str, ...]
    hazards: tuple[SafetyBox, ...]
    decided: tuple[str, ...]
    steps: tuple[StepView, ...]
    rule: str
    paper: Markup
    styles: tuple[str, ...]
    scripts: tuple[str, ...]


def bench_pages(manual: Manual) -> Iterator[Page]:
    """The page of every checklist, family by family, in the order of the route."""
    blocks: dict[str, FamilyBlocks] = {}
    for checklist in checklists(manual):
        family = str(checklist.engine.engine)
        if family not in blocks:
            blocks[family] = FamilyBlocks(manual, checklist.engine, page_path(checklist))
        yield checklist_page(checklist, blocks[family])


def bench_assets(manual: Manual) -> Iterator[Asset]:
    """What the pages judge by, and the printed sheets."""
    yield Asset(SHARED, script("shared", shared(manual)))
    yield from map(program_asset, checklists(manual))
    yield from sheet_assets(manual)


def program_asset(checklist: Checklist) -> Asset:
    """The script of the data by which one checklist is judged."""
    return Asset(program_path(checklist), script("program", program(checklist)))


def script(name: str, data: Mapping[str, Any]) -> str:
    """Plain data as a classic script that hands it over under this name."""
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    for sign in "<\u2028\u2029":  # so that the text may stand inside a page as well
        text = text.replace(sign, f"\\u{ord(sign):04x}")
    return f"globalThis.Gaugeleaf = globalThis.Gaugeleaf || {{}};\nGaugeleaf.{name} = {text};\n"


def page_path(checklist: Checklist) -> str:
    """Where a checklist's page is."""
    return addresses.checklist_page(str(checklist.engine.engine), str(checklist.procedure.procedure))


def program_path(checklist: Checklist) -> str:
    """Where the script of a checklist's data is."""
    return page_path(checklist).removesuffix(".html") + ".js"


def checklist_page(checklist: Checklist, blocks: FamilyBlocks | None = None) -> Page:
    """The page of one checklist; the pages of a family may share their blocks."""
    shared_blocks = blocks or FamilyBlocks(checklist.manual, checklist.engine, page_path(checklist))
    view = checklist_view(checklist, shared_blocks)
    headings = [
        Heading(2, "job", "The job"),
        Heading(2, "before", "Before you begin"),
        Heading(2, "steps", "Steps"),
    ]
    headings += [Heading(3, f"do-{step.id}", f"{step.number}. {step.do_text}") for step in view.steps]
    headings.append(Heading(2, "record", "The record"))
    section = ("Checklists", str(checklist.engine.title))
    shelf = Shelf(page_path(checklist), f"{view.code} {view.title}", section, "wide")
    return page(shelf, "checklist.html", view, tuple(headings))


def checklist_view(checklist: Checklist, blocks: FamilyBlocks) -> ChecklistView:
    """A checklist in finished words."""
    here = page_path(checklist)
    manual, engine, procedure = checklist.manual, checklist.engine, checklist.procedure
    writer = Writer(checklist, here, paper=False, known=blocks)
    warning, why = unproved(checklist)
    return ChecklistView(
        blocks=blocks,
        code=str(procedure.code),
        title=str(procedure.title),
        family=str(engine.title),
        purpose=str(procedure.purpose),
        invented="Invented for demonstration; no maker's book was used." if is_invented(engine) else "",
        warning=warning,
        warning_why=why,
        revision=str(procedure.revision),
        edition=edition(checklist),
        sheet=Link("Printed sheet", addresses.link(here, _sheet(checklist))),
        also=_also(checklist, here),
        sizes=tuple(sizes(checklist)),
        roles=(*(RoleView(role, words.ROLES[role]) for role in ROLES), APPRENTICE),
        instruments=tuple(instruments(checklist)),
        needs=tuple(
            need_link(manual, need, here) for need in checklist.needs if not need.startswith("hold ")
        ),
        holds=tuple(writer.hold(name, hold) for name, hold in holds_needed(checklist).items()),
        tools=tuple(instrument(manual, str(tool), here) for tool in procedure.tools),
        parts=tuple(map(part_words, checklist.parts)),
        supplies=words.listed(map(str, procedure.supplies)) or "none",
        dangers=dangers(checklist),
        hazards=tuple(hazard_box(manual.hazards[key]) for key in procedure.hazards if key in manual.hazards),
        decided=decided.of_checklist(checklist),
        steps=writer.steps(),
        rule=decision_rule(),
        paper=running_heads(checklist),
        styles=tuple(addresses.link(here, path) for path in (addresses.STYLE, STYLE)),
        scripts=tuple(_scripts(checklist, here)),
    )


def running_heads(checklist: Checklist) -> Markup:
    """What stands in the margins of every printed page, as CSS."""
    procedure = checklist.procedure
    form = Markup("--gl-head-left:{};--gl-head-right:{};--gl-foot-left:{};")
    foot = f"edition {edition(checklist)}. Check that this is the current one before use."
    left = f"{procedure.code} {procedure.title}"
    return form.format(css_text(left), css_text(str(checklist.engine.title)), css_text(foot))


def _sheet(checklist: Checklist) -> str:
    return addresses.sheet_page(str(checklist.engine.engine), str(checklist.procedure.procedure))


def _also(checklist: Checklist, here: str) -> tuple[Link, ...]:
    family, name = str(checklist.engine.engine), str(checklist.procedure.procedure)
    return (
        Link("This checklist in one file", addresses.link(here, addresses.one_file(family, name))),
        Link("The family's spec tables", addresses.link(here, addresses.engine_page(family, "specs"))),
        Link("The procedure for all families", addresses.link(here, addresses.procedure_page(name))),
    )


def instruments(checklist: Checklist) -> Iterator[Named]:
    """Every instrument, those of this checklist first."""
    every = checklist.manual.instruments
    used = [str(grid.measure.tool) for step in checklist.steps for grid in step.grids if grid.measure.tool]
    for name in dict.fromkeys([*used, *map(str, every)]):
        found = every.get(name)
        if found is not None:
            yield Named(name, str(found.title))


def _scripts(checklist: Checklist, here: str) -> Iterator[str]:
    yield from (addresses.link(here, f"assets/js/{name}.js") for name in SCRIPTS)
    yield addresses.link(here, SHARED)
    yield addresses.link(here, program_path(checklist))
    yield addresses.link(here, "assets/js/checklist.js")

"""A family's kit list: parts to be counted before and after, tools, all of it procedure by procedure."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from builder.checklist import Checklist, Part
from builder.manual import Manual
from builder.model.engine import Engine
from builder.render import addresses, words
from builder.render.checklist_steps import part_words
from builder.render.page_parts import Head, Link, Shelf, head, is_invented, page, raised
from builder.render.paper import of_family
from builder.render.shell import Heading, Page
from builder.render.spec_tables import instrument


@dataclass(frozen=True, slots=True)
class KitPart:
    """A part over the whole job: the most that are counted at one time, and where how many are."""

    name: str
    number: int
    uses: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class KitTool:
    """A tool or instrument and the procedures that want it."""

    tool: Link
    uses: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class KitProcedure:
    """What one procedure wants on the bench."""

    id: str
    title: Link
    parts: tuple[str, ...]
    tools: tuple[Link, ...]
    supplies: str


@dataclass(frozen=True, slots=True)
class KitView:
    """A family's kit list."""

    head: Head
    parts: tuple[KitPart, ...]
    tools: tuple[KitTool, ...]
    procedures: tuple[KitProcedure, ...]


HEADINGS = (
    Heading(2, "parts", "Parts of the whole job"),
    Heading(2, "tools", "Tools and instruments of the whole job"),
    Heading(2, "procedures", "Procedure by procedure"),
)


def kit_page(manual: Manual, engine: Engine) -> Page:
    """A family's kit list."""
    family = str(engine.engine)
    here = addresses.engine_page(family, "kit")
    lister = Lister(manual, here, of_family(manual, engine))
    view = KitView(
        head(
            here,
            f"Kit and tools, {engine.title}",
            "Lay the kit out and count it before the work, and count it again after: nothing is left over, "
            "and nothing is left inside.",
            f"Counted from the features in specs/engines/{family}.yaml and the parts in procedures/.",
            invented=is_invented(engine),
        ),
        tuple(lister.parts()),
        tuple(lister.tools()),
        tuple(lister.procedures()),
    )
    headings = (*HEADINGS, *(Heading(3, one.id, one.title.text) for one in view.procedures))
    return page(Shelf(here, "Kit and tools", ("Engines", str(engine.title))), "kit.html", view, headings)


@dataclass(frozen=True)
class Lister:
    """What it takes to list the kit of a family's checklists on the page `here`."""

    manual: Manual
    here: str
    checklists: Sequence[Checklist]

    def parts(self) -> Iterator[KitPart]:
        """Every part, by its name; the same part is counted in more than one procedure."""
        found: dict[str, list[tuple[Checklist, int]]] = {}
        for checklist in self.checklists:
            for name, part in counted(checklist).items():
                found.setdefault(words.plain(name), []).append((checklist, part.number))
        for name, uses in sorted(found.items()):
            most = max(number for _, number in uses)
            yield KitPart(raised(name), most, tuple(self._use(one, number) for one, number in uses))

    def tools(self) -> Iterator[KitTool]:
        """Every tool by its name, instruments and others alike."""
        found: dict[str, list[Checklist]] = {}
        for checklist in self.checklists:
            for name in tools_of(checklist):
                found.setdefault(name, []).append(checklist)
        links = {name: self._tool(name) for name in found}
        for name in sorted(found, key=lambda name: links[name].text.lower()):
            yield KitTool(links[name], tuple(map(self._use, found[name])))

    def procedures(self) -> Iterator[KitProcedure]:
        """What each procedure wants, in the order of the route."""
        for checklist in self.checklists:
            of = checklist.procedure
            yield KitProcedure(
                id=str(of.procedure),
                title=Link(f"{of.code} {of.title}", self._way(checklist)),
                parts=tuple(map(part_words, counted(checklist).values())),
                tools=tuple(map(self._tool, tools_of(checklist))),
                supplies=words.listed(map(str, of.supplies)),
            )

    def _tool(self, name: str) -> Link:
        link = instrument(self.manual, name, self.here)
        return Link(raised(link.text), link.href)

    def _use(self, checklist: Checklist, number: int = 0) -> Link:
        code = str(checklist.procedure.code)
        return Link(f"{code}: {number}" if number else code, f"#{checklist.procedure.procedure}")

    def _way(self, checklist: Checklist) -> str:
        there = addresses.checklist_page(str(checklist.engine.engine), str(checklist.procedure.procedure))
        return addresses.link(self.here, there)


def counted(checklist: Checklist) -> Mapping[str, Part]:
    """The parts of a procedure and of its steps by name; the larger count where both state one."""
    found: dict[str, Part] = {}
    for part in (*checklist.parts, *(part for step in checklist.steps for part in step.parts)):
        if part.name not in found or found[part.name].number < part.number:
            found[part.name] = part
    return found


def tools_of(checklist: Checklist) -> tuple[str, ...]:
    """The tools of a procedure and of its steps, each once."""
    of_steps = (tool for step in checklist.steps for tool in step.step.tools)
    return tuple(dict.fromkeys(map(str, (*checklist.procedure.tools, *of_steps))))

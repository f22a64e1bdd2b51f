"""The page of all hold points: where work stops, what is shown, who signs, what it covers and guards."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from builder.manual import Manual
from builder.model.procedure import Hold
from builder.render import addresses, words
from builder.render.page_parts import Head, Link, Piece, Shelf, head, page, sentence
from builder.render.routes import where
from builder.render.shell import Heading, Page


@dataclass(frozen=True, slots=True)
class HoldView:
    """A hold point."""

    id: str
    code: str
    title: str
    check: tuple[Piece, ...]
    by: str
    applies: str
    stands_in: tuple[Link, ...]
    covers: tuple[Link, ...]
    guards: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class HoldsView:
    """The page of all hold points."""

    head: Head
    holds: tuple[HoldView, ...]


def holds_page(manual: Manual) -> Page:
    """The page of all hold points."""
    here = addresses.HOLDS
    views = tuple(hold_view(manual, str(name), hold, here) for name, hold in manual.holds.items())
    view = HoldsView(
        head(
            here,
            "Hold points",
            "Work stops here until the people named have signed. A changed reading opens the hold again.",
            "Written from procedures/holds.yaml.",
        ),
        views,
    )
    headings = tuple(Heading(2, view.id, f"{view.code} {view.title}") for view in views)
    return page(Shelf(here, "Hold points", ("Reference",)), "holds.html", view, headings)


def hold_view(manual: Manual, name: str, hold: Hold, here: str) -> HoldView:
    """A hold point as a page shows it."""
    return HoldView(
        id=name,
        code=str(hold.code),
        title=hold_title(name, hold),
        check=sentence(hold.check, Piece),
        by=words.roles(hold.by),
        applies=applies(hold),
        stands_in=tuple(_stands_in(manual, name, here)),
        covers=tuple(procedure_links(manual, hold.covers, here)),
        guards=tuple(procedure_links(manual, hold.before, here)),
    )


def hold_title(name: str, hold: Hold) -> str:
    """A hold's short name."""
    return str(hold.title or words.plain(name).capitalize())


def applies(hold: Hold) -> str:
    """On which engines a hold stands, in words; empty where it is on all."""
    parts = []
    if hold.when:
        parts.append(f"with {words.condition(hold.when)}")
    if hold.unless:
        parts.append(f"not with {words.condition(hold.unless)}")
    return f"Only on engines {', '.join(parts)}." if parts else ""


def procedure_links(manual: Manual, names: Iterable[str], here: str) -> Iterator[Link]:
    """Procedures by code and title, written or planned; a name that is neither stays a word."""
    for name in names:
        found = manual.step_named(name)
        if found:
            yield Link(f"{found.code} {found.title}", addresses.link(here, where(found)))
        else:
            yield Link(words.plain(name))


def _stands_in(manual: Manual, name: str, here: str) -> Iterator[Link]:
    for key, procedure in manual.procedures.items():
        for step in procedure.steps:
            if step.hold == name:
                there = addresses.link(here, addresses.step(str(key), str(step.id)))
                yield Link(f"{procedure.code} {procedure.title}", there)


def need_link(manual: Manual, need: str, here: str) -> Link:
    """A procedure or a `hold <id>` by code and title with its link; an unknown name stays a word."""
    if need.startswith("hold "):
        name = need.removeprefix("hold ")
        hold = manual.holds.get(name)
        text = f"{hold.code} {hold_title(name, hold)}" if hold else words.plain(name)
        return Link(text, addresses.link(here, addresses.hold(name)) if hold else "")
    found = manual.step_named(need)
    if found is None:
        return Link(words.plain(need))
    return Link(f"{found.code} {found.title}", addresses.link(here, where(found)))

"""All in which a shop's manual differs from its base: for a terminal, for other programs, on a page."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import groupby
from typing import Any, Final

from builder.edition import stands_approved
from builder.layers import ADDED, LEFT_OUT, Difference
from builder.manual import Manual
from builder.manual import row as row_of
from builder.render import addresses, words
from builder.render.decided import full, whose
from builder.render.page_parts import Head, Link, Shelf, head, page, raised
from builder.render.shell import Heading, Page

VERSION: Final = 1
"""Of the plain data."""

NONE: Final = "this manual says nothing against a base"


@dataclass(frozen=True, slots=True)
class DifferenceView:
    """One difference: what it is about, what the base says, what is said now, who, when and why."""

    about: str
    base: str
    now: str
    because: str
    place: str


@dataclass(frozen=True, slots=True)
class Part:
    """The differences of one family or procedure, or the entries of one folder."""

    id: str
    title: Link
    told: tuple[DifferenceView, ...]


@dataclass(frozen=True, slots=True)
class DifferencesView:
    """All differences of a manual."""

    head: Head
    parts: tuple[Part, ...]


def lines(manual: Manual) -> Iterator[str]:
    """All differences for a terminal."""
    for part in _parts(manual, addresses.DIFFERENCES):
        yield from ("", part.title.text)
        for one in part.told:
            yield f"  {_line(one)}"
            yield f"    {one.because}" if one.because else f"    {one.place}"
    if not manual.differences:
        yield NONE


def _line(one: DifferenceView) -> str:
    if one.base and one.now:
        return f"{one.about}: {one.base} → {one.now}"
    if one.base:
        return f"{one.about}: {one.base}"
    return f"{one.about}: {one.now}" if one.now else one.about


def as_json(manual: Manual) -> str:
    """All differences as plain data, versioned; `folder` is empty for the shop's own."""
    data = {
        "differences": VERSION,
        "told": [_plain(one) for one in manual.differences],
        "unapproved": list(unapproved(manual)),
    }
    return json.dumps(data, ensure_ascii=False, indent=1)


def _plain(one: Difference) -> dict[str, Any]:
    names = ("about", "of", "name", "key", "folder", "was", "now", "by", "on", "why")
    return {"place": str(one.span), **{name: getattr(one, name) for name in names}}


def differences_page(manual: Manual) -> Page:
    """The page of all differences."""
    here = addresses.DIFFERENCES
    parts = _parts(manual, here)
    lead = "What this shop does otherwise than the manual that it extends, who decided it, when and why."
    origin = "Written from the files that begin with extends, and from those that the base has not."
    view = DifferencesView(head(here, "Differences from the base", lead, origin), parts)
    headings = tuple(Heading(2, part.id, part.title.text) for part in parts)
    shelf = Shelf(here, "Differences from the base", ("Reference",))
    return page(shelf, "differences.html", view, headings)


def _parts(manual: Manual, here: str) -> tuple[Part, ...]:
    """The differences by what they are in: families, procedures in their order, then what was added whole."""
    inside = sorted((one for one in manual.differences if one.of), key=lambda one: _order(manual, one.of))
    parts = [
        Part(
            f"part-{of}",
            _title(manual, of, here),
            (*_approval(manual, of), *(_view(manual, one) for one in found)),
        )
        for of, found in groupby(inside, key=lambda one: one.of)
    ]
    added = tuple(_view(manual, one) for one in manual.differences if not one.of)
    return (*parts, Part("added", Link("Added to the base"), added)) if added else tuple(parts)


def _approval(manual: Manual, of: str) -> Iterator[DifferenceView]:
    """That nobody of this shop approved a procedure in the words that it has here."""
    if of in unapproved(manual):
        yield DifferenceView("Approval", "", "nobody approved these words", "", f"gaugeleaf approve {of}")


def unapproved(manual: Manual) -> tuple[str, ...]:
    """The procedures that a shop changed and that nobody approved as they are now."""
    changed = dict.fromkeys(one.of for one in manual.differences)
    return tuple(
        name for name in changed if name in manual.procedures and not stands_approved(manual.procedures[name])
    )


def _order(manual: Manual, of: str) -> int:
    route = [str(one.procedure) for one in manual.route]
    families = list(manual.engines)
    return families.index(of) if of in families else len(families) + (route.index(of) if of in route else 0)


def _title(manual: Manual, of: str, here: str) -> Link:
    engine, procedure = manual.engines.get(of), manual.procedures.get(of)
    if engine is not None:
        return Link(str(engine.title), addresses.link(here, addresses.engine_page(of, "specs")))
    there = addresses.link(here, addresses.procedure_page(of))
    return Link(f"{procedure.code} {procedure.title}", there) if procedure is not None else Link(of)


def _view(manual: Manual, one: Difference) -> DifferenceView:
    why = f"{one.by} {one.on}: {full(one.why)}" if one.by else ""
    if one.folder and why:
        why = f"{whose(one)}, {why}"
    was, now = (_shown(manual, one, text) for text in (one.was, one.now))
    return DifferenceView(raised(_about(manual, one)), was, now, why, str(one.span))


def _shown(manual: Manual, one: Difference, text: str) -> str:
    """A value as people read it: an instrument by its title."""
    found = manual.instruments.get(text) if one.key == "instrument" else None
    return str(found.title) if found is not None else text


def _about(manual: Manual, one: Difference) -> str:
    """What a difference is about: `Main bearing bore (CRK-08), aim`, `step wait put in after caps`."""
    if one.about == "row":
        engine = manual.engines.get(one.of)
        row = row_of(engine, one.name) if engine is not None else None
        code = f" ({row.code})" if row is not None and row.code else ""
        called = f"{row.title}{code}" if row is not None else one.name
        return f"{called} added" if one.key == ADDED else f"{called}, {_WORDS.get(one.key, one.key)}"
    if one.about == "step":
        between = " " if one.key == LEFT_OUT or one.key.startswith("put in") else ", "
        return f"step {one.name}{between}{_WORDS.get(one.key, one.key)}"
    if one.about == "head":
        return f"{words.plain(one.name)}, {one.key}"
    return f"{one.about} {words.plain(one.name)}{f', {one.key}' if one.of else ''}"


_WORDS: Final[Mapping[str, str]] = {"do": "reworded", "expect": "when right", "mistake": "usual mistake"}

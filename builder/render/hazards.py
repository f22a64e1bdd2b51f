"""Safety messages as boxes, and the page of all hazards."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

from builder.checklist import Checklist
from builder.citation import Citation
from builder.manual import Manual
from builder.model.hazard import DEFERRAL, SIGNAL_WORDS, Hazard, Message
from builder.render import addresses, words
from builder.render.page_parts import Head, Link, Shelf, head, page
from builder.render.shell import Heading, Page
from builder.render.source_lists import cited_in
from builder.render.values import Cite, cite

SIGNAL_ORDER: Final = ("danger", "warning", "caution", "notice")


@dataclass(frozen=True, slots=True)
class SafetyBox:
    """A safety message, ready to print: `word` for the shape, `shown` for the reader, then the message."""

    word: str
    shown: str
    harm: str
    label: str
    hazard: str
    consequence: str
    avoid: str
    protect: str
    defer: str
    printed: str = ""


@dataclass(frozen=True, slots=True)
class HazardView:
    """A hazard of the trade: its box, how bad it is, where it is met, where the facts are from."""

    id: str
    code: str
    title: str
    box: SafetyBox
    severity: str
    procedures: tuple[Link, ...]
    source: str
    cites: tuple[Cite, ...]


@dataclass(frozen=True, slots=True)
class HazardsView:
    """The page of all hazards."""

    head: Head
    general: str
    hazards: tuple[HazardView, ...]


def dangers(checklist: Checklist) -> tuple[str, ...]:
    """What can hurt on a sheet, the worst first: signal word, hazard, throughout or in which steps."""
    throughout = {str(name) for name in checklist.procedure.hazards}
    steps: dict[str, list[str]] = {name: [] for name in throughout}
    for step in checklist.steps:
        for message, _ in step.messages:
            said = str(message.hazard_id or message.hazard or "")
            steps.setdefault(said, []).append(str(step.number))
    lines: list[tuple[int, str]] = []
    for said, numbers in steps.items():
        hazard = checklist.manual.hazards.get(said)
        word = signal_word(str(hazard.severity)) if hazard is not None else "caution"
        where = (
            "throughout"
            if said in throughout
            else f"step{'s' if len(numbers) > 1 else ''} {words.listed(numbers)}"
        )
        lines.append((SIGNAL_ORDER.index(word), f"{word}: {hazard.title if hazard else said}, {where}"))
    return tuple(line for _, line in sorted(lines))


def hazard_box(hazard: Hazard) -> SafetyBox:
    """The box of a declared hazard."""
    word = signal_word(str(hazard.severity))
    return SafetyBox(
        word=word,
        shown=word.capitalize(),
        harm=str(hazard.harm),
        label=f"{word.capitalize()}: {hazard.title}",
        hazard=str(hazard.hazard),
        consequence=str(hazard.consequence),
        avoid=str(hazard.avoid),
        protect=words.listed(hazard.protect) if hazard.protect else "",
        defer=str(hazard.defer),
        printed=f"The book prints: {hazard.as_printed}." if hazard.as_printed else "",
    )


def message_box(message: Message, hazard: Hazard | None) -> SafetyBox:
    """The box of a message in its place: of the hazard that it names, or of its own words."""
    if hazard is not None:
        return replace(hazard_box(hazard), shown=signal_word(str(hazard.severity)).capitalize())
    word = signal_word(str(message.severity or ""))
    return SafetyBox(
        word=word,
        shown=word.capitalize(),
        harm=str(message.harm or ""),
        label=f"{word.capitalize()}: {message.hazard or message.hazard_id or ''}",
        hazard=str(message.hazard or message.hazard_id or ""),
        consequence=str(message.consequence or ""),
        avoid=str(message.avoid or ""),
        protect="",
        defer=DEFERRAL,
        printed=f"The book prints: {message.as_printed}." if message.as_printed else "",
    )


def signal_word(severity: str) -> str:
    """danger, warning, caution or notice; what is not known is treated as a warning."""
    return SIGNAL_WORDS.get(severity, "warning")


def hazards_page(manual: Manual) -> Page:
    """The page of all hazards."""
    here = addresses.HAZARDS
    views = tuple(_hazard(manual, str(name), hazard, here) for name, hazard in manual.hazards.items())
    view = HazardsView(
        head(
            here,
            "Hazards",
            "Each hazard with its signal word, what it does, how to keep clear of it, and what to wear.",
            "Written from specs/hazards.yaml; where a fact has a source, it stands under its box.",
        ),
        DEFERRAL,
        views,
    )
    headings = tuple(Heading(2, view.id, view.title) for view in views)
    return page(Shelf(here, "Hazards", ("Reference",)), "hazards.html", view, headings)


def _hazard(manual: Manual, name: str, hazard: Hazard, here: str) -> HazardView:
    text = str(hazard.source or "")
    cited: tuple[Citation, ...] = cited_in(text)
    return HazardView(
        id=name,
        code=str(hazard.code or ""),
        title=str(hazard.title),
        box=hazard_box(hazard),
        severity=words.SEVERITIES.get(hazard.severity, str(hazard.severity)),
        procedures=tuple(_met_in(manual, name, here)),
        source="" if cited else text,
        cites=tuple(cite(manual, None, citation, here) for citation in cited),
    )


def _met_in(manual: Manual, name: str, here: str) -> Iterator[Link]:
    """The procedures that carry a hazard, as a whole or before a step."""
    for key, procedure in manual.procedures.items():
        inside = {message.hazard_id for step in procedure.steps for message in step.safety}
        if name in procedure.hazards or name in inside:
            there = addresses.link(here, addresses.procedure_page(str(key)))
            yield Link(f"{procedure.code} {procedure.title}", there)

"""The apprentice's page: every step by what he may do alone, beside a builder, or only watch."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from builder.apprentice import Allowed, Cause, Reason, Standing, allowed
from builder.manual import Manual
from builder.model.base import Sentence
from builder.model.hazard import DEFERRAL
from builder.model.procedure import Procedure
from builder.render import addresses, words
from builder.render.holds import hold_title
from builder.render.page_parts import Head, Link, Shelf, head, page
from builder.render.procedures import written
from builder.render.shell import Heading, Page
from builder.render.values import printed

MAY: Final = {
    Standing.ALONE: "alone",
    Standing.BESIDE: "beside a builder",
    Standing.WATCHES: "not yet: watch",
}
SAID: Final = {
    Cause.SHOP: "the shop says so",
    Cause.IRREVERSIBLE: "it cannot be undone",
    Cause.READING: "a builder reads it too",
}
LEAD: Final = (
    "What an apprentice does alone, what he does beside a builder, and what he only watches until he is "
    "trained for it. He signs no hold. His readings stand once a builder has read them too."
)


@dataclass(frozen=True, slots=True)
class StepLine:
    """A step: its number and words with the way to it, what he may do, and why."""

    number: int
    step: Link
    may: str
    standing: str
    why: str


@dataclass(frozen=True, slots=True)
class ProcedureSteps:
    """A procedure: the way to it, how many of its steps he does how, and each of them."""

    id: str
    title: str
    link: Link
    counts: str
    danger: tuple[Link, ...]
    lines: tuple[StepLine, ...]


@dataclass(frozen=True, slots=True)
class ApprenticeView:
    """The page."""

    head: Head
    general: str
    procedures: tuple[ProcedureSteps, ...]


def apprentice_page(manual: Manual) -> Page:
    """The apprentice's page."""
    here = addresses.APPRENTICE
    views = tuple(_procedure(manual, one, here) for one in written(manual))
    origin = "It follows from holds, hazards, readings and `irreversible` in procedures/, and `apprentice:`."
    view = ApprenticeView(head(here, "What an apprentice may do", LEAD, origin), DEFERRAL, views)
    headings = tuple(Heading(2, one.id, one.title) for one in views)
    shelf = Shelf(here, "What an apprentice may do", ("Reference",))
    return page(shelf, "apprentice.html", view, headings)


def _procedure(manual: Manual, procedure: Procedure, here: str) -> ProcedureSteps:
    name = str(procedure.procedure)
    there = addresses.link(here, addresses.procedure_page(name))
    found = [(number, step, allowed(manual, step)) for number, step in enumerate(procedure.steps, 1)]
    lines = tuple(
        StepLine(
            number=number,
            step=Link(_plain(step.do), addresses.link(here, addresses.step(name, str(step.id)))),
            may=MAY[may.standing],
            standing=str(may.standing),
            why=_why(manual, may),
        )
        for number, step, may in found
    )
    return ProcedureSteps(
        id=name,
        title=f"{procedure.code} {procedure.title}",
        link=Link("The procedure", there),
        counts=_counts([may for _, _, may in found]),
        danger=tuple(_dangers(manual, procedure, here)),
        lines=lines,
    )


def _plain(said: Sentence) -> str:
    """A sentence for all families: what stands in braces is the value that each family lists."""
    text, place = "", 0
    for mention in said.mentions:
        text += f"{said.text[place : mention.start]}the listed value"
        place = mention.end
    return printed(text + said.text[place:])


def _counts(every: list[Allowed]) -> str:
    """How many steps stand how: `12 alone, 5 beside a builder`."""
    counted = Counter(may.standing for may in every)
    return ", ".join(f"{counted[one]} {MAY[one]}" for one in Standing if counted[one])


def _dangers(manual: Manual, procedure: Procedure, here: str) -> Iterator[Link]:
    """The hazards of a procedure that he is told of before he begins."""
    for name in procedure.hazards:
        hazard = manual.hazards.get(str(name))
        if hazard is not None:
            yield Link(str(hazard.title), addresses.link(here, addresses.hazard(str(name))))


def _why(manual: Manual, may: Allowed) -> str:
    return "; ".join(dict.fromkeys(_said(manual, reason) for reason in may.reasons))


def _said(manual: Manual, reason: Reason) -> str:
    """A reason in words."""
    if reason.cause is Cause.HOLD:
        hold = manual.holds.get(reason.of)
        return (
            f"{hold.code} {hold_title(reason.of, hold)} is signed here: {words.roles(hold.by)}"
            if hold
            else "a hold"
        )
    if reason.cause in (Cause.DANGER, Cause.WARNING):
        hazard = manual.hazards.get(reason.of)
        return f"{reason.cause}: {hazard.title if hazard else 'see the step'}"
    return SAID[reason.cause]

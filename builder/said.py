"""What an edition of a checklist says, in short, and in what a later edition says otherwise.

A filled sheet keeps the short form of the edition it was filled in on. So a page or the command line can
tell, with nothing but the sheet and the checklist of today, which steps and limits are others now.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from builder.checklist import Checklist
from builder.citation import split_citations
from builder.diagnostics import Fault
from builder.edition import digest, said, spoken_of
from builder.model.base import Text
from builder.model.record import Said
from builder.model.spec import LIMIT_KINDS, LimitRow
from builder.plain import Plain

APART: Final = frozenset({"steps", "limits", "engine"})
"""Parts of an edition that are not told by one digest."""

PARTS: Final[Mapping[str, str]] = {
    "procedure": "What stands before the first step reads otherwise.",
    "notes": "Notes or positions of a characteristic read otherwise.",
    "sizes": "The listed sizes are others.",
    "seats": "What sits on what is laid down otherwise.",
    "holds": "A hold reads otherwise.",
    "hazards": "A safety message reads otherwise.",
    "instruments": "An instrument is described otherwise.",
    "worksheets": "A worksheet reckons otherwise.",
    "sources": "A source is named otherwise.",
}
"""What is told of each other part that has another digest."""


def in_short(checklist: Checklist) -> Said:
    """What the edition of today says, in short."""
    every = said(checklist)
    rows, steps = _dict(every["limits"]), every["steps"]
    limits = {name: _limits(_dict(rows[name])) for name in _titles(checklist)}
    rest = {name: digest(part) for name, part in every.items() if name not in APART}
    rest["notes"] = digest({name: _notes(_dict(row), limits.get(name)) for name, row in rows.items()})
    listed = [_dict(step) for step in steps] if isinstance(steps, list) else []
    return Said(
        steps={Text(step["id"]): Text(digest(step)) for step in listed},
        limits={Text(name): Text(words) for name, words in limits.items()},
        rest={Text(name): Text(one) for name, one in rest.items()},
    )


def _titles(checklist: Checklist) -> dict[str, str]:
    """The characteristics with limits that a checklist speaks of, each with its title."""
    every = spoken_of(checklist).items()
    return {name: str(row.title) for name, row in every if isinstance(row, LimitRow)}


def _dict(part: Plain) -> dict[str, Plain]:
    return part if isinstance(part, dict) else {}


def _limits(row: dict[str, Plain]) -> str:
    """The limits of a row in words, without citations: `new 0.0015 to 0.0025 in; wear 0.0045 in max`."""
    stated = [f"{kind} {one}" for kind in LIMIT_KINDS for one in _stated(row.get(kind))]
    return "; ".join(stated) or "nothing published"


def _stated(limit: Plain) -> Iterator[str]:
    for place, values in _dict(limit).items():
        for value in values if isinstance(values, list) else ():
            yield f"{place}: {_uncited(str(value))}" if place else _uncited(str(value))


def _uncited(printed: str) -> str:
    try:
        return split_citations(printed)[0].strip()
    except Fault:
        return printed


def _notes(row: dict[str, Plain], limits: str | None) -> Plain:
    """What else a row says."""
    return row if limits is None else {key: one for key, one in row.items() if key not in LIMIT_KINDS}


# What has changed


def changes(before: Said, checklist: Checklist) -> Iterator[str]:
    """In what the checklist of today says otherwise, a sentence for each thing."""
    if not before.steps:
        return
    now = in_short(checklist)
    numbers = {str(step.step.id): step.number for step in checklist.steps}
    yield from _steps(before.steps, now.steps, numbers)
    titles = _titles(checklist)
    for name in dict.fromkeys((*now.limits, *before.limits)):
        was, words = before.limits.get(name), now.limits.get(name)
        if was != words:
            yield f"{titles.get(str(name), str(name))}: {was or 'not there'} before, {words or 'gone'} now."
    for part, told in PARTS.items():
        if before.rest.get(Text(part)) != now.rest.get(Text(part)):
            yield told


def _steps(
    before: Mapping[Text, Text], now: Mapping[Text, Text], numbers: Mapping[str, int]
) -> Iterator[str]:
    new = [numbers[str(name)] for name in now if name not in before]
    other = [numbers[str(name)] for name, one in now.items() if before.get(name, one) != one]
    if new:
        yield f"{_numbered(new)} new."
    if other:
        yield f"{_numbered(other, 'reads', 'read')} otherwise."
    yield from (f"Step `{name}` is gone." for name in before if name not in now)
    if [name for name in before if name in now] != [name for name in now if name in before]:
        yield "The steps stand in another order."


def _numbered(numbers: list[int], one: str = "is", many: str = "are") -> str:
    """Steps by number with their verb: `Step 4 is`, `Steps 4, 6 are`."""
    listed = ", ".join(map(str, numbers))
    return f"Step {listed} {one}" if len(numbers) == 1 else f"Steps {listed} {many}"

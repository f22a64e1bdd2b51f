"""Citations at the end of a value: `[manual p. 41]`, several where several sources say the same."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from builder.diagnostics import Fault

COMMON_PRACTICE: Final = "common practice"
"""The one source that nobody declares: `[common practice]`."""

_BRACKETS = re.compile(r"\[([^\[\]]*)\]")
_TAIL = re.compile(r"\s*((?:\[[^\[\]]*\]\s*)+)\Z")


@dataclass(frozen=True, slots=True)
class Citation:
    """A declared source and the place in it; `start` and `end` bound the brackets in the text (0-based)."""

    source: str
    locator: str
    start: int
    end: int

    def __str__(self) -> str:
        return f"[{self.source} {self.locator}]" if self.locator else f"[{self.source}]"


def split_citations(text: str) -> tuple[str, tuple[Citation, ...]]:
    """The text before its citations, blanks at its end dropped, and the citations in order.

    Offsets in the text before the citations stay what they are. A Fault for a bracket that is open, empty or
    not at the end.
    """
    if "[" not in text and "]" not in text:
        return text.rstrip(), ()
    tail = _TAIL.search(text)
    body = text[: tail.start()] if tail else text
    if tail is None or "[" in body or "]" in body:
        raise _misplaced(text)
    return body.rstrip(), tuple(_citation(found) for found in _BRACKETS.finditer(text, tail.start(1)))


def _citation(found: re.Match[str]) -> Citation:
    inside = " ".join(found[1].split())
    if not inside:
        raise Fault(
            "`[]` cites nothing",
            "write the source and the place, for example `[manual p. 41]`",
            *found.span(),
        )
    if inside.startswith(COMMON_PRACTICE):
        return Citation(COMMON_PRACTICE, inside[len(COMMON_PRACTICE) :].strip(" ,"), *found.span())
    source, _, locator = inside.partition(" ")
    return Citation(source, locator, *found.span())


def _misplaced(text: str) -> Fault:
    """What is wrong with brackets that are not a row of citations at the end."""
    whole = _BRACKETS.search(text)
    if text.count("[") != text.count("]") or whole is None:
        start = text.find("[" if "[" in text else "]")
        return Fault("a citation's bracket has no partner", "close it, for example `[manual p. 41]`", start)
    return Fault(f"`{whole[0]}` stands before the end of the value", "write the citation last", *whole.span())

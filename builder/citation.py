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
    body, opened, rest = text.partition("[")
    if opened and rest.find("]") == len(rest) - 1 and "[" not in rest:
        return body.rstrip(), (_citation(rest[:-1], len(body), len(text)),)
    if "[" not in text and "]" not in text:
        return text.rstrip(), ()
    return _several(text)


def _several(text: str) -> tuple[str, tuple[Citation, ...]]:
    """A text with more than one bracket, or with blanks after it."""
    tail = _TAIL.search(text)
    body = text[: tail.start()] if tail else text
    if tail is None or "[" in body or "]" in body:
        raise _misplaced(text)
    found = _BRACKETS.finditer(text, tail.start(1))
    return body.rstrip(), tuple(_citation(one[1], *one.span()) for one in found)


def _citation(inside: str, start: int, end: int) -> Citation:
    """What the brackets between two offsets hold: the source's id, then the place."""
    if not inside.strip():
        raise Fault(
            "`[]` cites nothing", "write the source and the place, for example `[manual p. 41]`", start, end
        )
    if inside.startswith(COMMON_PRACTICE):
        return Citation(COMMON_PRACTICE, inside[len(COMMON_PRACTICE) :].strip(" ,"), start, end)
    source, _, locator = inside.strip().partition(" ")
    return Citation(source, locator.strip(), start, end)


def _misplaced(text: str) -> Fault:
    """What is wrong with brackets that are not a row of citations at the end."""
    whole = _BRACKETS.search(text)
    if text.count("[") != text.count("]") or whole is None:
        start = text.find("[" if "[" in text else "]")
        return Fault("a citation's bracket has no partner", "close it, for example `[manual p. 41]`", start)
    return Fault(f"`{whole[0]}` stands before the end of the value", "write the citation last", *whole.span())

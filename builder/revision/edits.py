"""Changes of a YAML text by places: what they do not touch keeps every byte."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from builder.diagnostics import Span

LINE_END: Final = re.compile("\r\n|[\r\n\x85\u2028\u2029]")
"""Where YAML ends a line; the columns of a span count from there."""

_PLAIN: Final = re.compile(r"\w(?:[\w .'’()+-]*[\w.)+])?")
_NOT_TEXT: Final = re.compile(
    r"[+-]?(?:\d[\d_]*\.?\d*(?:[eE][+-]?\d+)?|0[bxo][\da-fA-F_]+)|true|false|yes|no|on|off|null|y|n",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Edit:
    """The text between two offsets of a file becomes another one."""

    start: int
    end: int
    text: str


def edited(text: str, edits: Iterable[Edit]) -> str:
    """The text with edits made; they may not overlap."""
    for one in sorted(edits, key=lambda one: (one.start, one.end), reverse=True):
        text = text[: one.start] + one.text + text[one.end :]
    return text


class Places:
    """Offsets in a text by line and column."""

    def __init__(self, text: str) -> None:
        self.text = text
        ends = [found.end() for found in LINE_END.finditer(text)]
        self.starts = [0, *ends]

    def offset(self, line: int, column: int) -> int:
        """The offset of a line and column, both counted from 1."""
        return self.starts[line - 1] + column - 1

    def reach(self, span: Span) -> tuple[int, int]:
        """The offsets between which a span lies."""
        return self.offset(span.line, span.column), self.offset(span.end_line, span.end_column)

    def line_end(self, line: int) -> int:
        """The offset at which a line's own text ends, before its line break."""
        found = LINE_END.search(self.text, self.starts[line - 1])
        return found.start() if found else len(self.text)


def line_break(text: str) -> str:
    """The line break that a text uses: that of its first line."""
    found = LINE_END.search(text)
    return found.group() if found else "\n"


def scalar(text: str) -> str:
    """A text as one YAML scalar, quoted where it would be read as anything else, inside brackets too."""
    if _PLAIN.fullmatch(text) and not _NOT_TEXT.fullmatch(text):
        return text
    return "'" + text.replace("'", "''") + "'"

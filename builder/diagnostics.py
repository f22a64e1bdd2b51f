"""What is wrong, where, and what to write instead: one value for every fault in a shop's files."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Severity(StrEnum):
    """How much a diagnostic weighs: an error stops a build, a warning does not."""

    ERROR = "error"
    WARNING = "warning"


@dataclass(frozen=True, order=True, slots=True)
class Span:
    """A stretch of one file, lines and columns counted from 1; the end column is the first one outside."""

    path: str
    line: int
    column: int
    end_line: int
    end_column: int

    def __str__(self) -> str:
        return f"{self.path}:{self.line}:{self.column}"


NOWHERE = Span("", 0, 0, 0, 0)


@dataclass(frozen=True, order=True, slots=True)
class Diagnostic:
    """One fault: the thing in backticks, what is wrong with it, and in `hint` what to write instead."""

    span: Span
    code: str
    message: str
    severity: Severity = Severity.ERROR
    hint: str = ""


class Fault(ValueError):  # noqa: N818 - a fault in a text is not an error of the program
    """A parser's finding: what is wrong between two offsets of the text that it was given.

    A parser knows no file; whoever knows where the text stands turns the fault into a `Diagnostic`.
    """

    def __init__(self, message: str, hint: str = "", start: int = 0, end: int | None = None) -> None:
        """Keep the words and the 0-based offsets; `end` None means up to the end of the text."""
        super().__init__(message)
        self.message = message
        self.hint = hint
        self.start = start
        self.end = end

"""How diagnostics are written down: text with excerpts, one line each, JSON, annotations of a code host."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterable, Sequence
from typing import TypeAlias

from builder.diagnostics import Diagnostic, Severity, Span

Lines: TypeAlias = Callable[[str], Sequence[str]]
"""The lines of a file by its shown path; empty where it cannot be read."""

CONTEXT = 2
"""Lines shown above the faulty one."""
WIDEST = 160
"""Columns of a line that an excerpt shows; a longer one is cut round the fault."""

# YAML ends a line at each of these, so an excerpt must too, or its numbers drift.
_LINE_END = re.compile("\r\n|[\r\n\x85\u2028\u2029]")
_CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f]")


def lines_of(text: str) -> list[str]:
    """The lines of a file's text, counted as YAML counts them."""
    return _LINE_END.split(text.removeprefix("\ufeff"))


def as_lines(diagnostics: Iterable[Diagnostic]) -> str:
    """`path:line:col: CODE message`, then the hint on a line of its own; an empty text for no diagnostics."""
    return "".join(map(_line, diagnostics))


def _line(one: Diagnostic) -> str:
    head = f"{one.span}: {one.code} {one.message}\n"
    return head + (f"    {one.hint}\n" if one.hint else "")


def as_text(diagnostics: Sequence[Diagnostic], lines: Lines) -> str:
    """For people: each fault with its lines, carets under the words, the hint beside them; then the count."""
    shown = [_block(one, lines(one.span.path)) for one in diagnostics]
    return "\n".join([*shown, summary(diagnostics)]) + "\n"


def _block(one: Diagnostic, lines: Sequence[str]) -> str:
    head = f"{one.severity}[{one.code}]: {one.message}\n"
    if not 0 < one.span.line <= len(lines):
        return f"{head}  --> {one.span}\n" + (f"   = {one.hint}\n" if one.hint else "")
    width = len(str(one.span.line))
    return f"{head}{' ' * width}--> {one.span}\n{_excerpt(one.span, one.hint, lines, width)}"


def _excerpt(span: Span, hint: str, lines: Sequence[str], width: int) -> str:
    first = max(1, span.line - CONTEXT)
    cut = _cut(span, lines[span.line - 1])
    rows = [f"{'':{width}} |"]
    rows += [_row(number, lines[number - 1], cut, width) for number in range(first, span.line + 1)]
    rows.append(f"{'':{width}} | {_carets(span, lines[span.line - 1], cut)} {hint}".rstrip())
    return "\n".join(rows) + "\n"


def _row(number: int, line: str, cut: int, width: int) -> str:
    return f"{number:{width}} | {_shown(line)[cut : cut + WIDEST]}".rstrip()


def _shown(line: str) -> str:
    """A line without characters that move a terminal's cursor; columns stay where they are."""
    return _CONTROL.sub(" ", line)


def _cut(span: Span, line: str) -> int:
    """How many columns of a very long line are left out before the fault."""
    return 0 if len(line) <= WIDEST else max(0, min(span.column - 1 - WIDEST // 4, len(line) - WIDEST))


def _carets(span: Span, line: str, cut: int) -> str:
    """Blanks up to the fault and a caret under each of its columns, as far as the end of its first line."""
    start = min(span.column - 1, len(line))
    end = span.end_column - 1 if span.end_line == span.line else len(line)
    end = max(start + 1, min(end, cut + WIDEST))
    return " " * (start - cut) + "^" * (end - start)


def summary(diagnostics: Sequence[Diagnostic]) -> str:
    """The counts in one line: `2 errors and 1 warning in 2 files`."""
    errors = sum(one.severity is Severity.ERROR for one in diagnostics)
    warnings = len(diagnostics) - errors
    if not diagnostics:
        return "no faults found"
    counts = [_counted(errors, "error")] if errors else []
    counts += [_counted(warnings, "warning")] if warnings else []
    files = len({one.span.path for one in diagnostics})
    return f"{' and '.join(counts)} in {_counted(files, 'file')}"


def _counted(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"


def as_json(diagnostics: Sequence[Diagnostic]) -> str:
    """For programs: the counts and every diagnostic with its whole span."""
    errors = sum(one.severity is Severity.ERROR for one in diagnostics)
    said = {
        "errors": errors,
        "warnings": len(diagnostics) - errors,
        "diagnostics": [_plain(one) for one in diagnostics],
    }
    return json.dumps(said, ensure_ascii=False, indent=1) + "\n"


def _plain(one: Diagnostic) -> dict[str, str | int]:
    span = one.span
    return {
        "path": span.path,
        "line": span.line,
        "column": span.column,
        "end_line": span.end_line,
        "end_column": span.end_column,
        "code": one.code,
        "severity": str(one.severity),
        "message": one.message,
        "hint": one.hint,
    }


def as_github(diagnostics: Iterable[Diagnostic]) -> str:
    """For a code host that reads workflow commands: one annotation a line."""
    return "".join(map(_annotation, diagnostics))


def _annotation(one: Diagnostic) -> str:
    span = one.span
    place = f"file={_property(span.path)},line={span.line},col={span.column}"
    # An end column is only understood where the fault ends on the line on which it begins.
    end = f",endLine={span.end_line}" + (
        f",endColumn={span.end_column}" if span.end_line == span.line else ""
    )
    words = f"{one.message}; {one.hint}" if one.hint else one.message
    return f"::{one.severity} {place}{end},title={one.code}::{_data(words)}\n"


def _data(text: str) -> str:
    return text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _property(text: str) -> str:
    return _data(text).replace(":", "%3A").replace(",", "%2C")


FORMATS = ("text", "lines", "json", "github")


def written(diagnostics: Sequence[Diagnostic], form: str, lines: Lines) -> str:
    """The diagnostics in one of the `FORMATS`."""
    if form == "text":
        return as_text(diagnostics, lines)
    return {"lines": as_lines, "json": as_json, "github": as_github}[form](diagnostics)

"""YAML to a tree of text: every scalar exactly as typed, every node with its place in the file.

The only door to the YAML library. Nothing is resolved: `0.0020` keeps its zeros, `12:30`, `on`, `no` and
`0123` stay as typed. What a shop's file may not hold is a diagnostic, never an exception.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Protocol, Self, TypeAlias

import yaml

from builder.diagnostics import NOWHERE, Diagnostic, Span

MAX_BYTES = 4 * 1024 * 1024
MAX_DEPTH = 32

# YAML ends a line at each of these.
_LINE_END = re.compile("\r\n|[\r\n\x85\u2028\u2029]")
_NOT_ALLOWED = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]|\ufeff")

_Loader = getattr(yaml, "CBaseLoader", yaml.BaseLoader)  # libyaml's C parser where it is present


class _Events(Protocol):
    """A parser as this module uses it; events and their marks are the library's untyped values."""

    def get_event(self) -> Any:  # noqa: ANN401 - see above
        """Take the next event."""

    def dispose(self) -> None:
        """Let go of the text."""


class Text(str):
    """A scalar as its author typed it, with the place where it stands."""

    __slots__ = ("span",)
    span: Span

    def __new__(cls, value: str, span: Span = NOWHERE) -> Self:
        """Make a text that knows its place."""
        text = super().__new__(cls, value)
        text.span = span
        return text

    def part(self, start: int, end: int | None = None) -> Span:
        """The place of the characters from `start` up to `end`, counted from 0.

        A scalar that runs over several lines, or is quoted with escapes, gives its whole place.
        """
        span = self.span
        stop = len(self) if end is None else end
        lead = span.end_column - span.column - len(self)
        if span.line != span.end_line or lead not in (0, 2):
            return span
        first = span.column + lead // 2
        return Span(span.path, span.line, first + start, span.line, max(first + stop, first + start + 1))


class Mapping(dict[Text, "Tree"]):
    """A mapping node: keys in the author's order, and the place of the whole."""

    __slots__ = ("span",)
    span: Span

    def __init__(self, span: Span = NOWHERE) -> None:
        super().__init__()
        self.span = span


class Sequence(list["Tree"]):
    """A sequence node and the place of the whole."""

    __slots__ = ("span",)
    span: Span

    def __init__(self, span: Span = NOWHERE) -> None:
        super().__init__()
        self.span = span


Tree: TypeAlias = Text | Mapping | Sequence


@dataclass(frozen=True)
class Document:
    """One file as text: its path as shown to people, and its tree; None when it could not be read."""

    path: str
    root: Tree | None
    faults: tuple[Diagnostic, ...] = ()


def read_file(path: Path, shown: str) -> Document:
    """Read one YAML file; `shown` is the path that diagnostics name."""
    whole = Span(shown, 1, 1, 1, 2)
    try:
        data = path.read_bytes()
    except OSError as error:
        reason = (error.strerror or "no reason given").lower()
        return _unread(
            whole, "GL-001", f"`{shown}` cannot be opened: {reason}", "check its name and its rights"
        )
    if len(data) > MAX_BYTES:
        return _unread(whole, "GL-002", f"`{shown}` is larger than 4 MiB", "split it into several files")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        before = data[data.rfind(b"\n", 0, error.start) + 1 : error.start]
        column = len(before.decode("utf-8-sig", "replace")) + 1
        place = Span(shown, line, column, line, column + 1)
        return _unread(place, "GL-003", f"`{shown}` is not UTF-8 text", "save the file as UTF-8")
    return read_text(text, shown)


def read_text(text: str, shown: str) -> Document:
    """Read YAML that is at hand as text; the same rules as for a file."""
    strange = _NOT_ALLOWED.search(text)
    if strange:
        return Document(shown, None, (_strange(strange, shown, text),))
    loader: _Events = _Loader(text)
    reader = _Reader(shown)
    try:
        return reader.document(loader)
    except yaml.YAMLError as error:
        return Document(shown, None, (*reader.faults, _syntax(error, shown, text)))
    except _TooDeep:
        return Document(shown, None, tuple(reader.faults))
    finally:
        loader.dispose()


class _TooDeep(Exception):  # noqa: N818 - it only ends the reading of a file; the fault is noted already
    """A file is nested deeper than anything in a manual."""


def _strange(found: re.Match[str], shown: str, text: str) -> Diagnostic:
    """A character that YAML does not allow, named by its number, since it has no shape of its own."""
    before = _LINE_END.split(text[: found.start()])
    line, column = len(before), len(before[-1]) + 1
    message = f"the character number {ord(found.group())} cannot stand in a file"
    place = Span(shown, line, column, line, column + 1)
    return Diagnostic(
        place, "GL-005", message, hint="remove it; an editor may show it as a blank or not at all"
    )


def _unread(span: Span, code: str, message: str, hint: str) -> Document:
    return Document(span.path, None, (Diagnostic(span, code, message, hint=hint),))


def _syntax(error: yaml.YAMLError, shown: str, text: str) -> Diagnostic:
    """Turn the library's complaint into ours; its place is kept, its wording is explained."""
    problem = getattr(error, "problem", None) or "this is not YAML"
    open_quote = "end of stream" in problem and "quoted" in (getattr(error, "context", None) or "")
    mark = getattr(error, "context_mark" if open_quote else "problem_mark", None)
    line, column = (mark.line + 1, mark.column + 1) if mark is not None else (1, 1)
    span = Span(shown, line, column, line, column + 1)
    if open_quote:
        return Diagnostic(span, "GL-005", "the quote that begins here is never closed", hint="close it")
    if "nesting depth" in problem:
        return Diagnostic(
            span, "GL-007", f"the file is nested deeper than {MAX_DEPTH} levels", hint="write it flatter"
        )
    lines = _LINE_END.split(text)
    row = lines[line - 1] if line <= len(lines) else ""
    if "\t" in row[: max(column, len(row) - len(row.lstrip()))]:
        tab = row.index("\t") + 1
        place = Span(shown, line, tab, line, tab + 1)
        return Diagnostic(place, "GL-004", "a tab stands where only spaces may", hint="indent with spaces")
    return Diagnostic(span, "GL-005", f"the YAML breaks here: {problem}", hint=_syntax_hint(row))


def _syntax_hint(row: str) -> str:
    """The usual cause of a fault on this line, in the author's terms."""
    if "{" in row or "[" in row:
        return (
            "inside `{…}` and `[…]` a comma or bracket ends the value: "
            "write sentences and cited limits on lines of their own"
        )
    if ": " in row.partition(": ")[2]:
        return "put quotes round a sentence that holds `: `"
    return "look for a missing quote, colon or indent here or on the line before"


class _Reader:
    """Builds the tree from parse events, noting every construct that a shop's file may not hold."""

    def __init__(self, path: str) -> None:
        self.path = path
        self.faults: list[Diagnostic] = []

    def document(self, loader: _Events) -> Document:
        """Read the one document of the file."""
        loader.get_event()  # the stream begins
        event = loader.get_event()
        if isinstance(event, yaml.StreamEndEvent):
            return _unread(
                Span(self.path, 1, 1, 1, 2),
                "GL-006",
                "the file is empty",
                "write its first key, or remove it",
            )
        root = self.node(loader, loader.get_event(), 1)
        loader.get_event()  # the document ends
        extra = loader.get_event()
        if not isinstance(extra, yaml.StreamEndEvent):
            self.fault(
                self.span(extra), "GL-011", "a second document begins here", "keep one document in one file"
            )
        if isinstance(root, Text) and not root:
            return _unread(
                Span(self.path, 1, 1, 1, 2),
                "GL-006",
                "the file is empty",
                "write its first key, or remove it",
            )
        return Document(self.path, root, tuple(self.faults))

    def span(self, event: Any) -> Span:  # noqa: ANN401 - see `_Events`
        """Where an event stands."""
        start, end = event.start_mark, event.end_mark
        return Span(self.path, start.line + 1, start.column + 1, end.line + 1, end.column + 1)

    def fault(self, span: Span, code: str, message: str, hint: str) -> None:
        """Note a fault and go on."""
        self.faults.append(Diagnostic(span, code, message, hint=hint))

    def node(self, loader: _Events, event: Any, depth: int) -> Tree:  # noqa: ANN401 - see `_Events`
        """Read the node that `event` opens."""
        if isinstance(event, yaml.AliasEvent):
            self.fault(self.span(event), "GL-009", f"`*{event.anchor}` is an alias", "write the value out")
            return Text("", self.span(event))
        if event.anchor is not None:
            self.fault(
                self.span(event),
                "GL-009",
                f"`&{event.anchor}` is an anchor",
                "write the value out where it is used",
            )
        if event.tag is not None:
            self.fault(
                self.span(event),
                "GL-010",
                f"`{event.tag.replace('tag:yaml.org,2002:', '!!')}` is a tag",
                "write the plain value; nothing here needs a tag",
            )
        if isinstance(event, yaml.ScalarEvent):
            return Text(event.value, self.span(event))
        if depth == MAX_DEPTH + 1:
            self.fault(
                self.span(event),
                "GL-007",
                f"the file is nested deeper than {MAX_DEPTH} levels",
                "write it flatter",
            )
            raise _TooDeep
        if isinstance(event, yaml.MappingStartEvent):
            return self.mapping(loader, event, depth)
        return self.sequence(loader, event, depth)

    def mapping(self, loader: _Events, opening: Any, depth: int) -> Mapping:  # noqa: ANN401 - see `_Events`
        """Read the pairs of a mapping up to its end."""
        pairs = Mapping()
        event = loader.get_event()
        while not isinstance(event, yaml.MappingEndEvent):
            key = self.node(loader, event, depth + 1)
            value = self.node(loader, loader.get_event(), depth + 1)
            self.add(pairs, key, value)
            event = loader.get_event()
        pairs.span = self.over(opening, event)
        return pairs

    def add(self, pairs: Mapping, key: Tree, value: Tree) -> None:
        """Put one pair in, unless its key is no word or was written before."""
        if not isinstance(key, Text):
            self.fault(key.span, "GL-012", "a key is a list or a mapping", "write a word before the colon")
        elif key in pairs:
            first = next(old for old in pairs if old == key)
            self.fault(
                key.span,
                "GL-008",
                f"`{key}` is written twice; first on line {first.span.line}",
                "keep one of the two",
            )
        else:
            pairs[key] = value

    def sequence(self, loader: _Events, opening: Any, depth: int) -> Sequence:  # noqa: ANN401 - see `_Events`
        """Read the items of a sequence up to its end."""
        items = Sequence()
        event = loader.get_event()
        while not isinstance(event, yaml.SequenceEndEvent):
            items.append(self.node(loader, event, depth + 1))
            event = loader.get_event()
        items.span = self.over(opening, event)
        return items

    def over(self, opening: Any, closing: Any) -> Span:  # noqa: ANN401 - see `_Events`
        """From the start of one event to the end of another."""
        start, end = opening.start_mark, closing.end_mark
        return Span(self.path, start.line + 1, start.column + 1, end.line + 1, end.column + 1)

"""From the text tree to the typed model: every fault becomes a diagnostic, and what can be read is kept.

A part that does not read (a row, a step, a hazard) is left out and remembered by name, so that one fault
neither hides the others nor makes the checks complain of a name that is only misspelt inside.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import PurePosixPath
from typing import Any, Generic, TypeVar

from pydantic import TypeAdapter, ValidationError
from pydantic_core import ErrorDetails

from builder.diagnostics import Diagnostic, Fault, Span
from builder.model.layout import PlacedFault
from builder.yaml_text import Document, Mapping, Sequence, Text, Tree

T = TypeVar("T")
Loc = tuple[int | str, ...]

MISSING, UNKNOWN, SHAPE, VALUE = "GL-101", "GL-102", "GL-103", "GL-104"

_ROUNDS = 8  # each takes out faults or tries the next stand-in; two or three do
_PART = 2  # a part is an entry of a table or an item of a list, two levels down
_IDS = frozenset({"engine", "procedure"})
_STAND_INS = ("none", "0")

_SHAPES = {
    "model_type": ("a mapping belongs here", "write `name: value` lines, indented"),
    "dict_type": ("a mapping belongs here", "write `name: value` lines, indented"),
    "tuple_type": ("a list belongs here", "write one item a line, each after `- `"),
    "list_type": ("a list belongs here", "write one item a line, each after `- `"),
}


@dataclass(frozen=True)
class Decoded(Generic[T]):
    """What could be read of one document, the names of the parts left out, and the faults."""

    value: T | None
    left_out: frozenset[str]
    faults: tuple[Diagnostic, ...]


def decode(document: Document, adapter: TypeAdapter[T]) -> Decoded[T]:
    """Read a document into its model, leaving out the parts that do not read.

    `left_out` also says in which table of which file a part is lacking, as `specs/engines/x.yaml:specs`.
    """
    salvage = _Salvage(document)
    for _ in range(_ROUNDS):
        if salvage.root is None:
            break
        try:
            value = adapter.validate_python(salvage.root)
        except ValidationError as error:
            salvage.note(error.errors(include_url=False))
        else:
            return Decoded(value, frozenset(salvage.left_out), tuple(dict.fromkeys(salvage.faults)))
    return Decoded(None, frozenset(salvage.left_out), tuple(dict.fromkeys(salvage.faults)))


class _Salvage:
    """What is left of a document when the parts that do not read are taken out.

    Something missing at the top (a title, a list of tools) gets a stand-in, so that the rest of the file is
    checked in the same run; a manual with faults is never built.
    """

    def __init__(self, document: Document) -> None:
        self.document = document
        self.root = document.root
        self.left_out: set[str] = set()
        self.faults: list[Diagnostic] = []
        self.stood_in: dict[str, int] = {}

    def note(self, details: list[ErrorDetails]) -> None:
        """Report what is new among the faults of one round, and take out what they spoil."""
        doomed: set[Loc] = set()
        for detail in details:
            loc = tuple(detail["loc"])
            if loc and str(loc[0]) in self.stood_in:
                self.stand_in(str(loc[0]))
            elif self.root is not None:
                self.report(_diagnostic(self.document, self.root, detail))
                doomed.add(tuple(key for key, _ in _trail(self.root, loc))[:_PART] or loc[:1])
        if self.root is None or () in doomed:
            self.root = None
            return
        missing = [part for part in doomed if not any(True for _ in _trail(self.root, part))]
        for part in doomed:
            self.remember(self.root, part)
        self.root = _pruned(self.root, (), doomed)
        for part in missing:
            self.stand_in(str(part[0]))

    def report(self, found: Diagnostic) -> None:
        """Keep a fault, unless the reader has refused what stands at this very place already."""
        refused = {_place(fault) for fault in self.document.faults}
        if _place(found) not in refused:
            self.faults.append(found)

    def remember(self, root: Tree, part: Loc) -> None:
        """Keep the name of a part that is taken out, and the table of the file that lacks it."""
        self.left_out.add(f"{self.document.path}:{part[0]}")
        self.left_out.update(_names(root, part))
        if len(part) < _PART:
            self.stood_in[str(part[0])] = 0

    def stand_in(self, key: str) -> None:
        """Put the next stand-in where something that must be there is missing or does not read."""
        stem = PurePosixPath(self.document.path).stem
        words = (stem,) if key in _IDS else _STAND_INS
        turn = self.stood_in[key]
        self.stood_in[key] = turn + 1
        if turn >= len(words) or not isinstance(self.root, Mapping):
            self.root = None
        else:
            self.root = _with(self.root, Text(key), Text(words[turn]))


def _place(fault: Diagnostic) -> tuple[str, int, int]:
    return fault.span.path, fault.span.line, fault.span.column


def _diagnostic(document: Document, root: Tree, detail: ErrorDetails) -> Diagnostic:
    loc = tuple(detail["loc"])
    trail = list(_trail(root, loc))
    span = trail[-1][1].span if trail else Span(document.path, 1, 1, 1, 2)
    if detail["type"] == "missing":
        return Diagnostic(
            _head(trail, document),
            MISSING,
            f"`{loc[-1]}` is missing{_inside(trail)}",
            hint=f"write `{loc[-1]}:`",
        )
    if detail["type"] == "extra_forbidden":
        key = trail[-1][0]
        place = key.span if isinstance(key, Text) else span
        return Diagnostic(place, UNKNOWN, f"`{loc[-1]}` is not known here", hint=_misplaced(trail[-1][1]))
    cause = detail.get("ctx", {}).get("error")
    if isinstance(cause, Fault):
        return _from_fault(cause, trail[-1][1] if trail else root)
    message, hint = _SHAPES.get(
        detail["type"], ("this does not read", "write it as other rows of the kind are written")
    )
    name = trail[-1][0] if trail else document.path
    return Diagnostic(span, SHAPE, f"`{name}`: {message}", hint=hint)


def _misplaced(value: Tree) -> str:
    if isinstance(value, Text) and not value:
        return "put a sentence that holds a comma on a line of its own: inside `{…}` the comma ends it"
    return "look at its spelling, or at its indent"


def _from_fault(fault: Fault, value: Tree) -> Diagnostic:
    text = fault.text if isinstance(fault, PlacedFault) else value
    span = text.part(fault.start, fault.end) if isinstance(text, Text) else text.span
    return Diagnostic(span, VALUE, fault.message, hint=fault.hint)


def _trail(root: Tree, loc: Loc) -> Iterator[tuple[Text | int, Tree]]:
    """Walk down as far as the author wrote, skipping the parts of `loc` that only the schema knows."""
    here = root
    for part in loc:
        if isinstance(here, Mapping):
            key = next((key for key in here if key == part), None)
            if key is None:
                continue
            here = here[key]
            yield key, here
        elif isinstance(here, Sequence) and isinstance(part, int) and part < len(here):
            here = here[part]
            yield part, here


def _head(trail: list[tuple[Text | int, Tree]], document: Document) -> Span:
    """The key under which something is missing, or the first line of the file."""
    for key, value in reversed(trail):
        if isinstance(key, Text):
            return key.span
        if isinstance(value, Mapping) and value:
            return next(iter(value)).span
    return Span(document.path, 1, 1, 1, 2)


def _inside(trail: list[tuple[Text | int, Tree]]) -> str:
    for key, value in reversed(trail):
        if isinstance(key, Text):
            return f" in `{key}`"
        if isinstance(value, Mapping) and isinstance(value.get(Text("id")), Text):
            return f" in `{value[Text('id')]}`"
    return ""


def _with(root: Mapping, key: Text, value: Text) -> Mapping:
    more = Mapping(root.span)
    more.update(root)
    more[key] = value
    return more


def _names(root: Tree, loc: Loc) -> Iterator[str]:
    for key, value in _trail(root, loc):
        if isinstance(key, Text):
            yield str(key)
        if isinstance(value, Mapping):
            yield from (
                str(name) for word in ("id", "procedure") if isinstance(name := value.get(Text(word)), Text)
            )


def _pruned(tree: Tree, here: Loc, doomed: set[Loc]) -> Tree:
    if isinstance(tree, Mapping):
        kept = Mapping(tree.span)
        for key, value in tree.items():
            if (*here, key) not in doomed:
                kept[key] = _pruned(value, (*here, key), doomed)
        return kept
    if isinstance(tree, Sequence):
        items = Sequence(tree.span)
        items.extend(
            _pruned(item, (*here, at), doomed) for at, item in enumerate(tree) if (*here, at) not in doomed
        )
        return items
    return tree


def adapter_of(model: Any) -> TypeAdapter[Any]:  # noqa: ANN401 - models and mappings of models alike
    """The reader of a model or of a mapping of models, made once."""
    return TypeAdapter(model)

"""From the text tree to the typed model: every fault becomes a diagnostic, and what can be read is kept.

A part that does not read (a row, a step, a hazard) is left out and remembered by name, so that one fault
neither hides the others nor makes the checks complain of a name that is only misspelt inside.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from pydantic import TypeAdapter, ValidationError
from pydantic_core import ErrorDetails

from builder.diagnostics import Diagnostic, Fault, Span
from builder.model.layout import PlacedFault
from builder.yaml_text import Document, Mapping, Sequence, Text, Tree

T = TypeVar("T")
Loc = tuple[int | str, ...]

MISSING, UNKNOWN, SHAPE, VALUE = "GL-101", "GL-102", "GL-103", "GL-104"

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
    """Read a document into its model, leaving out the parts that do not read."""
    root = document.root
    left_out: set[str] = set()
    faults: list[Diagnostic] = []
    for depth in (3, 2, 1):
        if root is None:
            break
        try:
            return Decoded(adapter.validate_python(root), frozenset(left_out), tuple(faults))
        except ValidationError as error:
            details = error.errors(include_url=False)
            faults += [_diagnostic(document, root, detail) for detail in details]
            root = _without(root, [tuple(detail["loc"]) for detail in details], depth, left_out)
    return Decoded(None, frozenset(left_out), tuple(dict.fromkeys(faults)))


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
    message, hint = _SHAPES.get(detail["type"], (detail["msg"], ""))
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


def _without(root: Tree, locs: list[Loc], depth: int, left_out: set[str]) -> Tree | None:
    """The tree less the parts that do not read; None when a fault is not inside a part."""
    doomed = {_part_of(root, loc, depth) for loc in locs}
    if any(len(loc) < 2 for loc in doomed):  # noqa: PLR2004 - a part lies at least two levels down
        return None
    for loc in doomed:
        left_out.update(_names(root, loc))
    return _pruned(root, (), doomed)


def _part_of(root: Tree, loc: Loc, depth: int) -> Loc:
    """The part that a fault spoils: an entry of a table or an item of a list, two levels down."""
    return tuple(key for key, _ in list(_trail(root, loc))[: min(depth, 2)])


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

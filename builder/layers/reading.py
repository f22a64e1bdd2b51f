"""The files of a manual read folder by folder, the base first; what is written twice is told, never lost."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from difflib import get_close_matches
from pathlib import Path, PurePosixPath
from typing import Any, Final

from builder.diagnostics import Diagnostic, Severity, Span
from builder.layers.bases import Layer
from builder.layers.difference import ADDED, Difference
from builder.layers.extend import Extended, extended_family, extended_procedure
from builder.layers.places import ENTRIES, EXTENSIONS, FOLDERS, TABLES, WORKSHEETS, entries, model_of
from builder.model.base import StrictModel
from builder.model.decode import adapter_of, decode
from builder.model.engine import Engine
from builder.model.extension import FamilyExtension, ProcedureExtension
from builder.model.procedure import Procedure
from builder.model.worksheet import Worksheet
from builder.yaml_text import Document, Mapping, Text, Tree, read_file

EXTENDS: Final = Text("extends")

_IDS: Final = {Engine: "engine", Procedure: "procedure"}
_WORDS: Final = {"engine": "family", "procedure": "procedure"}
_ADAPTERS: Final = {
    model: adapter_of(model)
    for model in (Engine, Procedure, Worksheet, *TABLES.values(), *EXTENSIONS.values())
}


@dataclass(frozen=True)
class Part:
    """A file of a manual: its text, what it is, the folder that wrote it, its place there."""

    document: Document
    model: type[StrictModel]
    layer: Layer
    inside: str


@dataclass(frozen=True)
class Read:
    """All that could be read: families and procedures in their order, tables by file, what is lacking."""

    engines: tuple[tuple[Engine, str], ...]
    """Each with its place in its folder."""
    procedures: tuple[tuple[Procedure, str], ...]
    tables: dict[str, tuple[tuple[Text, Any], ...]]
    differences: tuple[Difference, ...]
    left_out: frozenset[str]
    files: tuple[str, ...]
    faults: tuple[Diagnostic, ...]


def read_layers(layers: tuple[Layer, ...], *, whole: bool = True) -> Read:
    """Read every file of some folders, each laid over those before it; `whole` unless a base is missing."""
    reader = _Reader(layers[0], whole=whole)
    for layer in layers:
        reader.layer(layer)
    parts = list(reader.typed())  # which adds to what is lacking
    return Read(
        tuple((one, part.inside) for one, part in parts if isinstance(one, Engine)),
        tuple((one, part.inside) for one, part in parts if isinstance(one, Procedure)),
        {place: tuple(reader.entries(place)) for place in reader.tables},
        tuple(reader.differences),
        frozenset(reader.left_out),
        tuple(reader.files),
        tuple(reader.faults),
    )


class _Reader:
    """Collects the parts of a manual file by file."""

    def __init__(self, first: Layer, *, whole: bool) -> None:
        self.first = first
        self.whole = whole
        self.faults: list[Diagnostic] = []
        self.left_out: set[str] = set()
        self.files: list[str] = []
        self.parts: dict[tuple[str, str], Part] = {}
        self.extensions: list[Part] = []
        self.tables: dict[str, list[tuple[Text, Any, Layer]]] = {key: [] for key in (*TABLES, WORKSHEETS)}
        self.differences: list[Difference] = []

    def layer(self, layer: Layer) -> None:
        """Read the files of one folder, then lay what extends a part of those below over it."""
        self.extensions = []
        for folder in FOLDERS:
            for path in sorted((layer.folder / folder).rglob("*.yaml")):
                self.file(layer, path)
        for part in self.extensions:
            self.extend(part)

    def file(self, layer: Layer, path: Path) -> None:
        """Read one file and put it where it belongs."""
        inside = path.relative_to(layer.folder).as_posix()
        shown, model = layer.path(inside), model_of(inside)
        if model is None:
            hint = "put families in specs/engines/ and procedures in procedures/<phase>/"
            message = f"`{shown}` has no place in a manual"
            self.faults.append(Diagnostic(Span(shown, 1, 1, 1, 2), "GL-013", message, hint=hint))
            return
        self.files.append(shown)
        document = read_file(path, shown)
        self.faults += document.faults
        part = Part(document, model, layer, inside)
        if model not in EXTENSIONS:
            self.table(part)
        elif isinstance(document.root, Mapping) and EXTENDS in document.root:
            self.extensions.append(part)
        else:
            self.hold(part)

    def decoded(self, part: Part, model: type[StrictModel]) -> Any:  # noqa: ANN401 - a value of that model
        """A file in its model, or None; what could not be read of it is remembered by name."""
        decoded = decode(part.document, _ADAPTERS[model])
        self.faults += decoded.faults
        shown = part.document.path
        lost = set(decoded.left_out)
        if decoded.value is None:
            lost |= {PurePosixPath(part.inside).stem, shown}
        self.left_out |= lost | {name.replace(shown, part.inside, 1) for name in lost}
        return decoded.value

    def twice(self, name: Text, path: str, hint: str) -> None:
        """Tell of a part that the base has already: it is not written over."""
        self.faults.append(Diagnostic(name.span, "GL-033", f"`{name}` stands in `{path}` already", hint=hint))

    # Families and procedures

    def hold(self, part: Part) -> None:
        """Keep a family or a procedure by its id until all folders are read."""
        root, word = part.document.root, _IDS[part.model]
        name = root.get(Text(word)) if isinstance(root, Mapping) else None
        key = (word, str(name) if isinstance(name, Text) else part.document.path)
        first = self.parts.get(key)
        if first is None or not isinstance(name, Text):
            self.parts[key] = part
            self.add(part, _WORDS[word], name, root)
        elif first.layer is part.layer:
            message = f"`{name}` is the id of `{first.document.path}` already"
            self.faults.append(Diagnostic(name.span, "GL-014", message, hint="write an id of its own"))
        else:
            hint = f"begin with `extends: {name}` and say what changes, or write an id of its own"
            self.twice(name, first.document.path, hint)

    def typed(self) -> Iterator[tuple[Any, Part]]:
        """Every family and procedure in its model, as all folders together have it."""
        for part in self.parts.values():
            value = self.decoded(part, part.model)
            if value is not None:
                yield value, part

    def extend(self, part: Part) -> None:
        """Lay a file that extends a part of the base over that part."""
        extension = self.decoded(part, EXTENSIONS[part.model])
        if extension is None:
            return
        root = part.document.root
        if isinstance(root, Mapping) and not any(value for name, value in root.items() if name != EXTENDS):
            message = f"`{extension.extends}` is extended, and nothing of it is changed"
            hint = "write `changes:`, each with `by`, `on` and `why`, or remove the file"
            place = extension.extends.span
            self.faults.append(Diagnostic(place, "GL-040", message, Severity.WARNING, hint))
        key = (_IDS[part.model], str(extension.extends))
        base = self.parts.get(key)
        if base is None or base.layer is part.layer:
            self.extends_nothing(part, extension.extends)
        elif base.inside != part.inside:
            message = f"`{extension.extends}` stands in `{base.inside}` of the base, not here"
            hint = f"move this file to `{base.inside}`"
            self.faults.append(Diagnostic(extension.extends.span, "GL-039", message, hint=hint))
        elif base.document.root is not None:
            laid = _extended(base.document.root, extension, part.layer)
            self.parts[key] = replace(base, document=replace(base.document, root=laid.root))
            self.differences += laid.differences
            self.faults += laid.faults

    def extends_nothing(self, part: Part, name: Text) -> None:
        """Tell of a file that extends what no folder below has, unless that did not read."""
        word = _IDS[part.model]
        lower = [one for one in self.parts.values() if one.layer is not part.layer]
        if not self.whole or any(
            PurePosixPath(one.inside).stem == name and one.document.root is None for one in lower
        ):
            return
        known = [
            own for (kind, own), one in self.parts.items() if kind == word and one.layer is not part.layer
        ]
        near = get_close_matches(name, known, 1)
        hint = f"write `{near[0]}`" if near else f"write `{word}:` for a {_WORDS[word]} of your own"
        message = f"the base has no {_WORDS[word]} `{name}`"
        if part.layer is self.first:
            message, hint = (
                f"`{name}` is extended, but this manual has no base",
                "name the base in `shop.yaml`",
            )
        self.faults.append(Diagnostic(name.span, "GL-034", message, hint=hint))

    # Tables and worksheets

    def table(self, part: Part) -> None:
        """Put the entries of a table, or a worksheet, beside those of the folders below."""
        value = self.decoded(part, part.model)
        if value is None:
            return
        place = part.inside if part.inside in TABLES else WORKSHEETS
        below = {name: name.span.path for name, _, layer in self.tables[place] if layer is not part.layer}
        for name, one in entries(value):
            if name in below:
                self.twice(name, below[name], "take it out here, or write an id of its own")
            else:
                self.tables[place].append((name, one, part.layer))
                self.add(part, ENTRIES[place], name, getattr(one, "title", None))

    def entries(self, place: str) -> Iterator[tuple[Text, Any]]:
        """The entries of a table; what one folder plans and one above has written is planned no more."""
        for name, one, layer in self.tables[place]:
            written = self.parts.get(("procedure", str(name)))
            if place != "procedures/planned.yaml" or written is None or written.layer is layer:
                yield name, one

    def add(self, part: Part, about: str, name: object, titled: Tree | None) -> None:
        """Note what a folder has that none below it has."""
        if part.layer is self.first or not isinstance(name, Text):
            return
        title = titled.get(Text("title")) if isinstance(titled, Mapping) else titled
        now = str(title) if isinstance(title, Text) else ""
        folder = part.layer.shown
        self.differences.append(Difference(about, "", str(name), ADDED, name.span, folder, now=now))


def _extended(root: Tree, extension: StrictModel, layer: Layer) -> Extended:
    if isinstance(extension, FamilyExtension):
        return extended_family(root, extension, layer.shown)
    if isinstance(extension, ProcedureExtension):
        return extended_procedure(root, extension, layer.shown)
    raise TypeError(f"{type(extension).__name__} extends nothing")

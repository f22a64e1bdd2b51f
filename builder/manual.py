"""The manual: everything a shop wrote, by id, and who refers to whom."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from string import ascii_lowercase
from typing import Any

from builder.diagnostics import Diagnostic, Span
from builder.model.base import StrictModel, Word
from builder.model.bench import Instrument, SharedSources, Term
from builder.model.decode import adapter_of, decode
from builder.model.engine import Engine, Feature, Source
from builder.model.hazard import Hazard
from builder.model.procedure import PHASES, Hold, Planned, Procedure, Redo
from builder.model.spec import BasicRow, LimitRow
from builder.model.worksheet import Worksheet
from builder.yaml_text import Text, read_file


class Holds(StrictModel):
    """`procedures/holds.yaml`."""

    holds: dict[Word, Hold]
    """By id."""


class Redos(StrictModel):
    """`procedures/redo.yaml`."""

    redo: tuple[Redo, ...]
    """In the order of the work."""


class Plans(StrictModel):
    """`procedures/planned.yaml`."""

    planned: tuple[Planned, ...]
    """In the order of the work."""


class Hazards(StrictModel):
    """`specs/hazards.yaml`."""

    hazards: dict[Word, Hazard]
    """By id."""


class Instruments(StrictModel):
    """`specs/instruments.yaml`."""

    instruments: dict[Word, Instrument]
    """By id."""


class Terms(StrictModel):
    """`specs/terms.yaml`."""

    terms: dict[Word, Term]
    """By preferred word."""


TABLES: Mapping[str, type[StrictModel]] = {
    "specs/sources.yaml": SharedSources,
    "specs/hazards.yaml": Hazards,
    "specs/instruments.yaml": Instruments,
    "specs/terms.yaml": Terms,
    "procedures/holds.yaml": Holds,
    "procedures/redo.yaml": Redos,
    "procedures/planned.yaml": Plans,
}
FOLDERS = ("specs", "procedures")
_FOLDERS: Mapping[str, type[StrictModel]] = {"engines": Engine, "worksheets": Worksheet}
_ADAPTERS = {model: adapter_of(model) for model in (*_FOLDERS.values(), Procedure, *TABLES.values())}


@dataclass(frozen=True, eq=False)
class Manual:
    """A shop's whole manual as typed values; two manuals are the same only if they are one.

    `left_out` holds the names of what stands in the files but could not be read; a reference to one of them
    is not a second fault, and a rule about something absent keeps quiet about a part that lost pieces. A file
    that is not read is there by its path, a table that lost entries as `specs/engines/four.yaml:specs`.
    """

    engines: Mapping[str, Engine] = field(default_factory=dict)
    procedures: Mapping[str, Procedure] = field(default_factory=dict)
    phases: Mapping[str, str] = field(default_factory=dict)
    planned: Mapping[str, Planned] = field(default_factory=dict)
    holds: Mapping[str, Hold] = field(default_factory=dict)
    redo: tuple[Redo, ...] = ()
    hazards: Mapping[str, Hazard] = field(default_factory=dict)
    instruments: Mapping[str, Instrument] = field(default_factory=dict)
    terms: Mapping[str, Term] = field(default_factory=dict)
    sources: Mapping[str, Source] = field(default_factory=dict)
    worksheets: Mapping[str, Worksheet] = field(default_factory=dict)
    left_out: frozenset[str] = frozenset()
    files: tuple[str, ...] = ()

    def source(self, engine: Engine | None, name: str) -> Source | None:
        """The source that a citation names, the family's own before the shared ones."""
        own = engine.sources.get(Text(name)) if engine else None
        return own or self.sources.get(name)

    def applies(self, procedure: Procedure | Planned, engine: Engine) -> bool:
        """Whether a procedure serves a family."""
        return procedure.applies is None or procedure.applies.holds(engine.layout)

    def families_of(self, procedure: Procedure | Planned) -> tuple[Engine, ...]:
        """The families that a procedure serves."""
        return tuple(engine for engine in self.engines.values() if self.applies(procedure, engine))

    def step_named(self, name: str) -> Procedure | Planned | None:
        """A procedure by id, written or planned."""
        return self.procedures.get(name) or self.planned.get(name)

    @cached_property
    def route(self) -> tuple[Procedure | Planned, ...]:
        """Every procedure in the order of its code."""
        every: list[Procedure | Planned] = [*self.procedures.values(), *self.planned.values()]
        return tuple(sorted(every, key=lambda procedure: _code_order(procedure.code)))

    def phase_of(self, procedure: Procedure | Planned) -> str:
        """The phase of the job that a procedure belongs to."""
        if isinstance(procedure, Planned):
            return str(procedure.phase)
        return self.phases.get(procedure.procedure, PHASES[0])

    def rows(self) -> Iterator[tuple[Engine, Word, BasicRow]]:
        """Every row of every spec table with its family and id."""
        for engine in self.engines.values():
            for name, row in engine.specs.items():
                yield engine, name, row

    def limit_rows(self) -> Iterator[tuple[Engine, Word, LimitRow]]:
        """Every row that is measured against limits."""
        for engine, name, row in self.rows():
            if isinstance(row, LimitRow):
                yield engine, name, row


def feature(engine: Engine, name: str | None) -> Feature | None:
    """A feature of a family by name."""
    return engine.features.get(Text(name or ""))


def row(engine: Engine, name: str | None) -> BasicRow | None:
    """A row of a family's spec table by id."""
    return engine.specs.get(Text(name or ""))


def _code_order(code: str) -> tuple[str, int, str]:
    """A code by its letters, its number and what stands after: `P32b` between `P32` and `P33`."""
    digits = "".join(filter(str.isdigit, code))
    return code.rstrip(ascii_lowercase).rstrip("0123456789"), int(digits or 0), code


def load(shop: Path) -> tuple[Manual, tuple[Diagnostic, ...]]:
    """Read every file of a shop; the manual holds what could be read, the diagnostics say what could not."""
    reader = _Loader(shop)
    for folder in FOLDERS:
        for path in sorted((shop / folder).rglob("*.yaml")):
            reader.file(path)
    return reader.manual(), tuple(reader.faults)


class _Loader:
    """Collects the parts of a manual file by file."""

    def __init__(self, shop: Path) -> None:
        self.shop = shop
        self.faults: list[Diagnostic] = []
        self.left_out: set[str] = set()
        self.files: list[str] = []
        self.engines: dict[str, Engine] = {}
        self.procedures: dict[str, Procedure] = {}
        self.phases: dict[str, str] = {}
        self.worksheets: dict[str, Worksheet] = {}
        self.tables: dict[str, Any] = {}

    def file(self, path: Path) -> None:
        """Read one file into its part of the manual."""
        shown = path.relative_to(self.shop).as_posix()
        model = _model_of(shown)
        whole = Span(shown, 1, 1, 1, 2)
        if model is None:
            hint = "put families in specs/engines/ and procedures in procedures/<phase>/"
            self.faults.append(Diagnostic(whole, "GL-013", f"`{shown}` has no place in a manual", hint=hint))
            return
        self.files.append(shown)
        document = read_file(path, shown)
        self.faults += document.faults
        decoded = decode(document, _ADAPTERS[model])
        self.faults += decoded.faults
        self.left_out |= decoded.left_out
        if decoded.value is None:
            self.left_out |= {path.stem, shown}
        elif not self.taken(decoded.value):
            self.keep(shown, decoded.value)

    def taken(self, value: Any) -> bool:  # noqa: ANN401 - one of the models of this module
        """Whether another file has a family or a procedure of this id already, which is then reported."""
        known = self.engines if isinstance(value, Engine) else self.procedures
        name = getattr(value, "engine", None) or getattr(value, "procedure", None)
        first = known.get(str(name))
        if first is None or name is None:
            return False
        path = (first.engine if isinstance(first, Engine) else first.procedure).span.path
        message = f"`{name}` is the id of `{path}` already"
        self.faults.append(Diagnostic(name.span, "GL-014", message, hint="write an id of its own"))
        return True

    def keep(self, shown: str, value: Any) -> None:  # noqa: ANN401 - one of the models of this module
        """Put a decoded file where it belongs."""
        if isinstance(value, Engine):
            self.engines[str(value.engine)] = value
        elif isinstance(value, Procedure):
            self.procedures[str(value.procedure)] = value
            self.phases[str(value.procedure)] = shown.split("/")[1]
        elif isinstance(value, Worksheet):
            self.worksheets[str(value.worksheet)] = value
        else:
            self.tables[shown] = value

    def manual(self) -> Manual:
        """The manual of what was read."""
        table = self.tables.get
        plans = table("procedures/planned.yaml")
        redos = table("procedures/redo.yaml")
        return Manual(
            engines=self.engines,
            procedures=self.procedures,
            phases=self.phases,
            planned={str(plan.procedure): plan for plan in plans.planned} if plans else {},
            holds=getattr(table("procedures/holds.yaml"), "holds", {}),
            redo=redos.redo if redos else (),
            hazards=getattr(table("specs/hazards.yaml"), "hazards", {}),
            instruments=getattr(table("specs/instruments.yaml"), "instruments", {}),
            terms=getattr(table("specs/terms.yaml"), "terms", {}),
            sources=getattr(table("specs/sources.yaml"), "sources", {}),
            worksheets=self.worksheets,
            left_out=frozenset(self.left_out),
            files=tuple(self.files),
        )


def _model_of(shown: str) -> type[StrictModel] | None:
    """The model of a file by its place."""
    parts = shown.split("/")
    if shown in TABLES:
        return TABLES[shown]
    if parts[0] == "specs" and len(parts) == 3:  # noqa: PLR2004 - specs/engines/<id>.yaml
        return _FOLDERS.get(parts[1])
    if parts[0] == "procedures" and len(parts) == 3 and parts[1] in PHASES:  # noqa: PLR2004 - procedures/<phase>/<id>.yaml
        return Procedure
    return None

"""The manual: everything a shop wrote, by id, and who refers to whom."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from string import ascii_lowercase

from builder.diagnostics import Diagnostic, Span
from builder.layers import Difference, Layer, layers_of, read_layers
from builder.layers.places import FOLDERS, WORKSHEETS
from builder.model.base import Word
from builder.model.bench import Instrument, Term
from builder.model.engine import Engine, Feature, Source
from builder.model.hazard import Hazard
from builder.model.procedure import PHASES, Hold, Planned, Procedure, Redo
from builder.model.spec import BasicRow, LimitRow
from builder.model.worksheet import Worksheet
from builder.yaml_text import Text

__all__ = ["FOLDERS", "Manual", "feature", "load", "load_layers", "row"]


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
    differences: tuple[Difference, ...] = ()
    """What the folders of the manual say otherwise than those they extend, the deepest first."""
    left_out: frozenset[str] = frozenset()
    files: tuple[str, ...] = ()
    served_at: str = ""
    """The address at which the shop's site is served; empty where it is read from a disk."""

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

    @cached_property
    def differs_at(self) -> Mapping[Span, Difference]:
        """The difference that wrote a text, by the place of the text."""
        return {span: one for one in self.differences for span in one.places}

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
    """Read every file of a shop; the manual holds what could be read, the diagnostics say what could not.

    A shop that extends a base has all of the base, with its own files laid over it.
    """
    layers, faults = layers_of(shop)
    manual, unread = load_layers(layers, whole=not faults)
    return manual, (*faults, *unread)


def load_layers(layers: tuple[Layer, ...], *, whole: bool = True) -> tuple[Manual, tuple[Diagnostic, ...]]:
    """Read every file of some folders, the base first, each laid over those before it.

    Without the `whole` of its bases a folder may extend what is not there, which is reported already.
    """
    read = read_layers(layers, whole=whole)
    tables = read.tables
    manual = Manual(
        engines={str(one.engine): one for one, _ in read.engines},
        procedures={str(one.procedure): one for one, _ in read.procedures},
        phases={str(one.procedure): place.split("/")[1] for one, place in read.procedures},
        planned={str(name): one for name, one in tables["procedures/planned.yaml"]},
        holds=dict(tables["procedures/holds.yaml"]),
        redo=tuple(one for _, one in tables["procedures/redo.yaml"]),
        hazards=dict(tables["specs/hazards.yaml"]),
        instruments=dict(tables["specs/instruments.yaml"]),
        terms=dict(tables["specs/terms.yaml"]),
        sources=dict(tables["specs/sources.yaml"]),
        worksheets={str(name): one for name, one in tables[WORKSHEETS]},
        differences=read.differences,
        left_out=read.left_out,
        files=read.files,
    )
    return manual, tuple(dict.fromkeys(read.faults))

"""Which file of a manual's folder holds what: families, procedures, worksheets and the tables all share."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Final

from builder.model.base import StrictModel, Text, Word
from builder.model.bench import Instrument, SharedSources, Term
from builder.model.engine import Engine
from builder.model.extension import FamilyExtension, ProcedureExtension
from builder.model.hazard import Hazard
from builder.model.procedure import PHASES, Hold, Planned, Procedure, Redo
from builder.model.worksheet import Worksheet


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


FOLDERS: Final = ("specs", "procedures")
"""The folders in which a manual stands."""

TABLES: Final[Mapping[str, type[StrictModel]]] = {
    "specs/sources.yaml": SharedSources,
    "specs/hazards.yaml": Hazards,
    "specs/instruments.yaml": Instruments,
    "specs/terms.yaml": Terms,
    "procedures/holds.yaml": Holds,
    "procedures/redo.yaml": Redos,
    "procedures/planned.yaml": Plans,
}
WORKSHEETS: Final = "worksheets"
"""The table of the worksheets, which stand in files of their own."""

ENTRIES: Final = {
    "specs/sources.yaml": "source",
    "specs/hazards.yaml": "hazard",
    "specs/instruments.yaml": "instrument",
    "specs/terms.yaml": "term",
    "procedures/holds.yaml": "hold",
    "procedures/redo.yaml": "entry of what to redo",
    "procedures/planned.yaml": "planned procedure",
    WORKSHEETS: "worksheet",
}
"""What an entry of each table is called."""

EXTENSIONS: Final[Mapping[type[StrictModel], type[StrictModel]]] = {
    Engine: FamilyExtension,
    Procedure: ProcedureExtension,
}
"""What says something against a part of a base, by what it extends."""

_IN_SPECS: Final[Mapping[str, type[StrictModel]]] = {"engines": Engine, "worksheets": Worksheet}
_DEPTH: Final = 3  # specs/engines/<id>.yaml, procedures/<phase>/<id>.yaml


def model_of(inside: str) -> type[StrictModel] | None:
    """The model of a file by its place in its folder."""
    parts = inside.split("/")
    if inside in TABLES:
        return TABLES[inside]
    if parts[0] == "specs" and len(parts) == _DEPTH:
        return _IN_SPECS.get(parts[1])
    if parts[0] == "procedures" and len(parts) == _DEPTH and parts[1] in PHASES:
        return Procedure
    return None


def entries(value: StrictModel) -> Iterator[tuple[Text, Any]]:
    """The entries of a table with their ids; of a worksheet, itself."""
    if isinstance(value, Worksheet):
        yield value.worksheet, value
        return
    table = getattr(value, next(iter(type(value).model_fields)))
    if isinstance(table, Mapping):
        yield from table.items()
    else:
        yield from ((one.touched if isinstance(one, Redo) else one.procedure, one) for one in table)

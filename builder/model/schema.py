"""The published JSON Schema of each kind of file, for editors and for other programs."""

from __future__ import annotations

import json

from builder.model.base import StrictModel
from builder.model.engine import Engine
from builder.model.extension import FamilyExtension, ProcedureExtension
from builder.model.job import Job
from builder.model.procedure import Procedure
from builder.model.record import Sheet
from builder.model.worksheet import Worksheet

PUBLISHED: dict[str, type[StrictModel]] = {
    "engine": Engine,
    "procedure": Procedure,
    "engine-extension": FamilyExtension,
    "procedure-extension": ProcedureExtension,
    "worksheet": Worksheet,
    "job": Job,
    "sheet": Sheet,
}


def schema_text(name: str) -> str:
    """The schema of one kind of file as JSON text.

    Raises:
        KeyError: when `name` is none of `PUBLISHED`.
    """
    said = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **PUBLISHED[name].model_json_schema(by_alias=True),
    }
    return json.dumps(said, indent=2, ensure_ascii=False)

"""The orders of keys hold exactly the keys that the models know, so that a new one finds its place."""

from __future__ import annotations

from typing import Any

import pytest

from builder.model.base import StrictModel
from builder.model.bench import Instrument, Term
from builder.model.engine import Engine, Source
from builder.model.extension import FamilyChange, FamilyExtension, ProcedureChange, ProcedureExtension
from builder.model.hazard import Hazard, Message
from builder.model.procedure import (
    Approval,
    Hold,
    IfOut,
    Look,
    Measure,
    Planned,
    Procedure,
    Redo,
    Step,
    WorkOut,
)
from builder.model.spec import CurveRow, LimitRow, OrderRow, ScheduleRow, SeenRow, StepsRow, TextRow
from builder.model.worksheet import Example, Worksheet
from builder.revision import key_order
from builder.revision.key_order import Shape, shape_of

ROWS = (LimitRow, OrderRow, StepsRow, CurveRow, ScheduleRow, SeenRow, TextRow)
SHAPES: tuple[tuple[Shape, tuple[type[StrictModel], ...]], ...] = (
    (key_order.PROCEDURE, (Procedure,)),
    (key_order.APPROVED, (Approval,)),
    (key_order.STEP, (Step,)),
    (key_order.MEASURE, (Measure,)),
    (key_order.WORK_OUT, (WorkOut,)),
    (key_order.LOOK, (Look,)),
    (key_order.IF_OUT, (IfOut,)),
    (key_order.MESSAGE, (Message,)),
    (key_order.ENGINE, (Engine,)),
    (key_order.ROW, ROWS),
    (key_order.SOURCE, (Source,)),
    (key_order.WORKSHEET, (Worksheet,)),
    (key_order.EXAMPLE, (Example,)),
    (key_order.HOLD, (Hold,)),
    (key_order.HAZARD, (Hazard,)),
    (key_order.INSTRUMENT, (Instrument,)),
    (key_order.TERM, (Term,)),
    (key_order.REDO, (Redo,)),
    (key_order.PLANNED, (Planned,)),
    (key_order.EXTENSION, (ProcedureExtension,)),
    (key_order.PROCEDURE_CHANGE, (ProcedureChange,)),
    (key_order.FAMILY_EXTENSION, (FamilyExtension,)),
    (key_order.FAMILY_CHANGE, (FamilyChange,)),
)


@pytest.mark.parametrize(("shape", "models"), SHAPES, ids=lambda one: getattr(one, "__name__", ""))
def test_order_has_every_key_once(shape: Shape, models: Any) -> None:  # noqa: ANN401 - a tuple of models
    """No key is forgotten, none is left over, none stands twice."""
    known = {field.alias or name for model in models for name, field in model.model_fields.items()}

    assert set(shape.order) == known
    assert len(shape.order) == len(known)


def test_files_have_the_shape_of_their_place() -> None:
    """A file is known by where it stands; one that is not keeps its order."""
    assert shape_of("procedures/crank/a.yaml") is key_order.PROCEDURE
    assert shape_of("specs/engines/a.yaml") is key_order.ENGINE
    assert shape_of("specs/worksheets/a.yaml") is key_order.WORKSHEET
    assert shape_of("specs/hazards.yaml").under("hazards").under("lead") is key_order.HAZARD
    assert shape_of("specs/else/a.yaml") is key_order.ANY

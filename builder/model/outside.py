"""Work that is sent out: the ticket that goes with a part, and what was measured when it came back."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

from pydantic import Field, PlainValidator, WithJsonSchema

from builder.model.base import StrictModel, Text, Word, Words, items_of
from builder.model.choice import Day
from builder.model.written import Exact, StatedLimit, exact_of

ALL = Text("all")
"""The position that stands for every position which is not named."""


def sizes_of(tree: object) -> Mapping[Text, Exact]:
    """A size step for every position, or by the label of a position; `""` stands for the rest."""
    if isinstance(tree, dict):
        return {Text("") if label == ALL else label: exact_of(size) for label, size in items_of(tree)}
    return {Text(""): exact_of(tree)}


StepSizes = Annotated[
    Mapping[Text, Exact],
    PlainValidator(sizes_of),
    WithJsonSchema(
        {"anyOf": [{"type": "string"}, {"type": "object", "additionalProperties": {"type": "string"}}]}
    ),
]


class OutsideTicket(StrictModel):
    """Work that was sent out."""

    part: Word
    """What was sent."""
    work: Word
    """What is done to it."""
    to: Word
    """Who does it."""
    sizes: dict[Word, StatedLimit] = Field(default_factory=dict)
    """The sizes to hold, by characteristic."""
    hold: Words = ()
    """Characteristics whose limits in force on this job are to be held, where no size is written for them."""
    instruction: Words = ()
    """What to do and what to leave alone, one sentence each."""
    out: Day
    """The day it left."""
    due: Day | None = None
    """The day it is wanted."""
    back: Day | None = None
    """The day it came back."""
    measured_by: Word | None = None
    """Who measured it on return."""
    received: dict[Word, StepSizes] = Field(default_factory=dict)
    """What was measured on return, by characteristic and position, where no filed sheet has it."""
    batch: Word | None = None
    """Batch or melt of what was put on."""
    certificate: Word | None = None
    """The certificate that came with it."""
    note: Word | None = None
    """A remark."""

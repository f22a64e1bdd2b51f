"""The record of one filled sheet: readings as typed, ticks, signatures, corrections (design: job)."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, PlainValidator, WithJsonSchema

from builder.model.base import StrictModel, Text, Whole, Word, string_schema, text_of
from builder.model.bench import Texts
from builder.model.choice import Moment, Run, Stage, one_of


def _blank_or_text(tree: object) -> Text:
    return text_of(tree)


Maybe = Annotated[Text, PlainValidator(_blank_or_text), string_schema("A text, or nothing.")]

Seen = Annotated[Text, one_of(("yes", "no")), WithJsonSchema({"enum": ["yes", "no"]})]


class Reading(StrictModel):
    """One reading as typed."""

    step: Word
    """The step that asks for it."""
    name: Word
    """The measurement in that step."""
    at: Texts = Field(default_factory=dict)
    """Its position: feature, plane, axis, point."""
    stage: Stage
    """as_found, as_machined, final or after_run."""
    try_: Annotated[Whole, Field(alias="try")] = 1
    """Which try; a later one does not remove an earlier one."""
    typed: Word
    """What was typed."""
    unit: Word
    """The unit it was typed in when the entry names none."""
    gauge: Maybe = Text("")
    """The gauge, by number."""
    setting: Maybe = Text("")
    """The size that the gauge was set to, for entries such as +2½."""
    by: Word
    """Who."""
    when: Moment
    """When, as 2026-03-19T10:20:00Z."""


class Tick(StrictModel):
    """A step marked done."""

    step: Word
    """The step."""
    by: Word
    """Who."""
    when: Moment
    """When."""


class Looked(StrictModel):
    """An answer to something looked at."""

    step: Word
    """The step."""
    name: Word
    """What was looked at."""
    at: Texts = Field(default_factory=dict)
    """Of which one."""
    seen: Seen
    """yes or no."""
    by: Word
    """Who."""
    when: Moment
    """When."""


class Signature(StrictModel):
    """A signature on a hold."""

    hold: Word
    """The hold."""
    role: Word
    """In which role."""
    by: Word
    """Who."""
    when: Moment
    """When."""


class ReadingKey(StrictModel):
    """Which reading was corrected."""

    step: Word
    """The step."""
    name: Word
    """The measurement."""
    at: Texts = Field(default_factory=dict)
    """The position."""
    stage: Stage
    """The stage."""
    try_: Annotated[Whole, Field(alias="try")] = 1
    """The try."""


class Correction(StrictModel):
    """An entry that was changed: the old value stays."""

    of: ReadingKey
    """Which reading."""
    was: Word
    """What it was."""
    why: Maybe = Text("")
    """Why it was changed."""
    by: Word
    """Who."""
    when: Moment
    """When."""


class Pass(StrictModel):
    """One pass of a correction."""

    step: Word
    """The step."""
    rule: Whole
    """Which of its corrections, counted from 0."""
    pass_: Annotated[Whole, Field(alias="pass")]
    """Which time."""
    at: Texts = Field(default_factory=dict)
    """Where: the feature that was worked on. Without a position the pass counts for every one."""
    amount: Maybe = Text("")
    """How much was taken off, added or changed."""
    by: Word
    """Who."""
    when: Moment
    """When."""


class Photo(StrictModel):
    """A photo of a step: the picture lies in the folder `photos` of the job."""

    step: Word
    """The step."""
    file: Word
    """The file name."""
    caption: Maybe = Text("")
    """What it shows."""
    by: Maybe = Text("")
    """Who took it."""
    when: Maybe = Text("")
    """When it was noted."""


class Note(StrictModel):
    """A remark on a step or on the sheet."""

    step: Maybe = Text("")
    """The step, or nothing."""
    text: Word
    """The remark."""
    by: Maybe = Text("")
    """Who."""
    when: Maybe = Text("")
    """When."""


class Skip(StrictModel):
    """What is not done, and why: a step, or what is read or looked at there, everywhere or at a position."""

    step: Word
    """The step."""
    name: Maybe = Text("")
    """The measurement or the thing looked at; everything in the step when absent."""
    at: Texts = Field(default_factory=dict)
    """The position; every position when absent."""
    reason: Word
    """Why."""
    by: Word
    """Who decided it."""
    when: Moment
    """When."""


class Said(StrictModel):
    """What the edition said, in short, so that a later edition can tell what has changed."""

    steps: Texts = Field(default_factory=dict)
    """The digest of each step, by id."""
    limits: Texts = Field(default_factory=dict)
    """The limits as printed, by characteristic."""
    rest: Texts = Field(default_factory=dict)
    """The digest of each other part: head, holds, hazards, instruments, worksheets, sources, sizes."""


class Sheet(StrictModel):
    """One filled sheet of one run."""

    sheet: Whole
    """The version of this format: 1."""
    job: Word
    """The job."""
    engine: Word
    """The engine family."""
    procedure: Word
    """The procedure."""
    edition: Maybe = Text("")
    """The edition it was filled in on."""
    said: Said = Field(default_factory=Said)
    """What that edition said, in short."""
    run: Run
    """mock_up or final."""
    room: Maybe = Text("")
    """The room's temperature."""
    readings: tuple[Reading, ...] = ()
    """As typed."""
    ticks: tuple[Tick, ...] = ()
    """Steps done."""
    looks: tuple[Looked, ...] = ()
    """What was seen."""
    holds: tuple[Signature, ...] = ()
    """Signatures."""
    corrections: tuple[Correction, ...] = ()
    """Changed entries."""
    passes: tuple[Pass, ...] = ()
    """Passes of corrections."""
    skipped: tuple[Skip, ...] = ()
    """What is not done, with the reason."""
    photos: tuple[Photo, ...] = ()
    """Photos."""
    notes: tuple[Note, ...] = ()
    """Remarks."""

"""Procedures: generic written steps, with what is measured, worked out, held and corrected in them."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated

from pydantic import Field, PlainValidator, WithJsonSchema

from builder.diagnostics import Fault
from builder.model.base import (
    Flag,
    SentenceField,
    StrictModel,
    Text,
    Whole,
    Word,
    Words,
    items_of,
    string_schema,
    word_of,
)
from builder.model.hazard import Messages
from builder.model.layout import Condition, ConditionField, PlacedFault, condition_of
from builder.model.written import FormulaField

PHASES = ("intake", "block", "crank", "pistons", "valves", "assembly", "test")
ROLES = ("builder", "second", "foreman", "customer")
STAGES = ("as_found", "as_machined", "final", "after_run")
RUNS = ("mock_up", "final")
APPRENTICE_MAY = ("alone", "beside", "watches")
"""How an apprentice stands to a step: he does it alone, beside a builder, or watches a builder do it."""
VERIFICATIONS = ("unverified", "table-top", "on-engine")


@dataclass(frozen=True)
class Count:
    """How many: `3`, or `2 each main`."""

    text: Text
    number: int
    each: str | None
    when: Condition | None = None


_COUNT = re.compile(r"(\d{1,4})(?: each ([a-z][a-z0-9_]*))?")


def count_of(tree: object) -> Count:
    """Read a count, or `{count: 2 each main, when: {…}}`."""
    if isinstance(tree, dict):
        pairs = dict(items_of(tree))
        when = pairs.pop(Text("when"), None)
        base = count_of(pairs.pop(Text("count"), Text("")))
        if pairs:
            key = next(iter(pairs))
            raise PlacedFault(f"`{key}` is not known here", "a part has `count` and `when`", key)
        return Count(base.text, base.number, base.each, condition_of(when) if when is not None else None)
    text = word_of(tree)
    found = _COUNT.fullmatch(text)
    if not found:
        raise Fault(f"`{text}` is not a count", "write it as in `3` or `2 each main`")
    return Count(text, int(found.group(1)), found.group(2))


def parts_of(tree: object) -> Mapping[Text, Count]:
    """Read parts by name; `none` says on purpose that there are none."""
    if isinstance(tree, str) and tree == "none":
        return {}
    return {key: count_of(value) for key, value in items_of(tree)}


PartsField = Annotated[
    Mapping[Text, Count],
    PlainValidator(parts_of),
    WithJsonSchema(
        {
            "anyOf": [
                {"const": "none"},
                {"type": "object", "additionalProperties": {"type": ["string", "integer", "object"]}},
            ],
        }
    ),
]


def against_of(tree: object) -> Mapping[Text, Text]:
    """Read what readings are held against: one characteristic for all, or one for each label of a side."""
    if isinstance(tree, str):
        return {Text(""): word_of(tree)}
    return {key: word_of(value) for key, value in items_of(tree)}


AgainstField = Annotated[
    Mapping[Text, Text],
    PlainValidator(against_of),
    WithJsonSchema(
        {"anyOf": [{"type": "string"}, {"type": "object", "additionalProperties": {"type": "string"}}]}
    ),
]


@dataclass(frozen=True)
class Passes:
    """At most so many passes of a correction."""

    text: Text
    number: int


def passes_of(tree: object) -> Passes:
    """Read `3 passes`."""
    text = word_of(tree)
    found = re.fullmatch(r"(\d{1,2})(?: pass(?:es)?)?", text)
    if not found or int(found.group(1)) == 0:
        raise Fault(f"`{text}` is not a number of passes", "write it as in `3 passes`")
    return Passes(text, int(found.group(1)))


PassesField = Annotated[Passes, PlainValidator(passes_of), string_schema("`3 passes`.")]


class Measure(StrictModel):
    """What is read, of which feature, in which planes and along which axes."""

    each: Word | None = None
    """The feature that is read; one reading alone when absent."""
    plane: Words = ()
    """The planes, front to rear or top to bottom."""
    axis: Words = ()
    """The axes in each plane."""
    point: Words = ()
    """The points round one thing."""
    tool: Word | None = None
    """The instrument."""
    against: AgainstField | None = None
    """The characteristic that the readings are held against."""
    unit: Word | None = None
    """The unit, where no characteristic gives it."""
    relies_on: Words = ()
    """Worked-out values of earlier steps that must be in for these readings to stand, as `at_nut`."""
    when: ConditionField | None = None
    """The layouts on which it is read."""
    unless: ConditionField | None = None
    """The layouts on which it is not."""
    title: Word | None = None
    """The name at the head of the grid; the key when absent."""


class WorkOut(StrictModel):
    """A value worked out of readings: one number, or the least and the most of a fit."""

    is_: FormulaField | None = Field(default=None, alias="is")
    """The formula of the value."""
    least: FormulaField | None = None
    """The formula of the smaller end."""
    most: FormulaField | None = None
    """The formula of the larger end."""
    use: Word | None = None
    """The worksheet that works it out."""
    against: Word | None = None
    """The characteristic it is held against."""
    size_for: Word | None = None
    """The characteristic that it gives the size for: the bore to aim at, the shell to choose. It is not held
    against it; the look-up tells it there for a job."""
    unit: Word | None = None
    """The unit to show it in, where no characteristic gives it."""
    when: ConditionField | None = None
    """The layouts on which it is worked out."""
    unless: ConditionField | None = None
    """The layouts on which it is not."""
    title: Word | None = None
    """Its name; the key when absent."""


class Look(StrictModel):
    """Something to look at and answer yes or no."""

    see: SentenceField
    """What is seen when it is right."""
    each: Word | None = None
    """The feature of which each one is looked at."""
    when: ConditionField | None = None
    """The layouts on which it is looked at."""
    unless: ConditionField | None = None
    """The layouts on which it is not."""


class IfOut(StrictModel):
    """What to do when a value is out, and where to go on."""

    when: FormulaField
    """The test."""
    do: SentenceField
    """What to do; `{amount}` stands for the amount."""
    amount: FormulaField | None = None
    """How much to take off, add or change."""
    unit: Word | None = None
    """The unit to show the amount in."""
    at_most: PassesField | None = None
    """How many times, before the foreman decides."""
    then: Word
    """The step to go on from, or `stop`."""


def standing_of(tree: object) -> Text:
    """How an apprentice stands to a step."""
    text = word_of(tree)
    if text not in APPRENTICE_MAY:
        raise PlacedFault(f"`{text}` is not known here", f"write one of {', '.join(APPRENTICE_MAY)}", text)
    return text


Standing = Annotated[Text, PlainValidator(standing_of), WithJsonSchema({"enum": list(APPRENTICE_MAY)})]


class Step(StrictModel):
    """One step: one action, with what guards it, proves it and corrects it."""

    id: Word
    """Its name inside the procedure."""
    do: SentenceField
    """What to do, the verb first."""
    why: SentenceField | None = None
    """Why it matters."""
    expect: SentenceField | None = None
    """What is seen when it is right."""
    mistake: SentenceField | None = None
    """The usual mistake."""
    look: dict[Word, Look] = Field(default_factory=dict)
    """Yes or no observations."""
    measure: dict[Word, Measure] = Field(default_factory=dict)
    """What is read."""
    work_out: dict[Word, WorkOut] = Field(default_factory=dict)
    """What follows from the readings."""
    if_out: tuple[IfOut, ...] = ()
    """What to do when it is out."""
    hold: Word | None = None
    """The hold at which work stops after this step."""
    redo: Words = ()
    """What must be done again once this was touched."""
    safety: Messages = ()
    """The messages that stand before it."""
    tools: Words = ()
    """Tools of this step."""
    parts: PartsField = Field(default_factory=dict)
    """Parts of this step."""
    figure: Word | None = None
    """The drawing that belongs here."""
    irreversible: Flag = False
    """Whether it cannot be undone."""
    apprentice: Standing | None = None
    """How an apprentice stands to it, where the shop says otherwise than follows from the step: alone,
    beside (a builder) or watches."""
    run: Word | None = None
    """Only in this run: mock_up or final."""
    when: ConditionField | None = None
    """The layouts on which it is done."""
    unless: ConditionField | None = None
    """The layouts on which it is not."""


class Approval(StrictModel):
    """Who approved which wording, and when."""

    by: Word
    """The person."""
    on: Word
    """The day, as 2026-03-02."""
    wording: Word
    """The digest of the wording that was approved."""


class Procedure(StrictModel):
    """Generic written steps; one procedure serves every family whose layout fits."""

    procedure: Word
    """The id; equals the file name."""
    code: Word
    """The short code, as in P16."""
    title: Word
    """Its name."""
    purpose: Word
    """What it is for, in a sentence."""
    revision: Whole
    """The revision, counted up."""
    approved: Approval | None = None
    """Who approved which wording."""
    verification: Word = Text("unverified")
    """How it was tried: unverified, table-top or on-engine."""
    applies: ConditionField | None = None
    """The layouts it serves; all when absent."""
    needs: Words
    """Procedures and holds that come before; `none` if there are none."""
    tools: Words
    """Tools and instruments; `none` if there are none."""
    parts: PartsField
    """Parts by count; `none` if there are none."""
    supplies: Words
    """What is used up; `none` if nothing is."""
    hazards: Words
    """Hazards of the whole procedure; `none` if there are none."""
    steps: tuple[Step, ...]
    """The steps in order."""


class Planned(StrictModel):
    """A procedure that is not written yet: it has its place in the route, so that needs resolve."""

    procedure: Word
    """The id it will have."""
    code: Word
    """The short code."""
    title: Word
    """Its name."""
    phase: Word
    """The phase of the job."""
    applies: ConditionField | None = None
    """The layouts it will serve; all when absent."""
    needs: Words = ()
    """Procedures and holds that come before."""


class Hold(StrictModel):
    """A point where work stops until the named roles have signed."""

    code: Word
    """The short code, as in H11."""
    title: Word | None = None
    """A short name."""
    check: SentenceField
    """What is verified: the criterion."""
    by: Words
    """The roles that sign."""
    covers: Words = ()
    """The procedures whose readings it covers; a changed one re-opens it."""
    before: Words = ()
    """The procedures that may not begin without it."""
    releases: Flag | None = None
    """Whether it releases the engine: it is signed when nothing stands open of what comes before it."""
    when: ConditionField | None = None
    """The layouts that have it."""
    unless: ConditionField | None = None
    """The layouts that have not."""


class Redo(StrictModel):
    """Touch this, redo that."""

    touched: Word
    """What was touched, as an id."""
    title: Word
    """In words."""
    redo: Words
    """The procedures and holds to do again, in order."""
    why: Word | None = None
    """Why."""

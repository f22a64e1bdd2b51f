"""The job: one engine in the shop, who works on it, its sizes, its parts, and what was decided about it."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, PlainValidator, WithJsonSchema

from builder.model.base import (
    Flag,
    StrictModel,
    Text,
    Whole,
    Word,
    Words,
    words_of,
)
from builder.model.bench import Texts
from builder.model.choice import Day, Moment, Run, choice_of, one_of
from builder.model.estimate import Condition, Estimate
from builder.model.outside import OutsideTicket, StepSizes
from builder.model.procedure import ROLES
from builder.model.written import StatedLimit

APPRENTICE = "apprentice"
JOB_ROLES = (*ROLES, APPRENTICE)
BASES = ("rebuilt", "overhauled")
STATES = ("new", "reused", "machined", "none")


def roles_of(tree: object) -> tuple[Text, ...]:
    """One role, or a list of them."""
    return tuple(choice_of(JOB_ROLES, role) for role in words_of(tree))


Basis = Annotated[Text, one_of(BASES), WithJsonSchema({"enum": list(BASES)})]
State = Annotated[Text, one_of(STATES), WithJsonSchema({"enum": list(STATES)})]
_ROLE: dict[str, object] = {"enum": list(JOB_ROLES)}
Roles = Annotated[
    tuple[Text, ...],
    PlainValidator(roles_of),
    WithJsonSchema({"anyOf": [_ROLE, {"type": "array", "items": _ROLE}]}),
]


class Gauge(StrictModel):
    """A gauge of the shop on a job."""

    instrument: Word
    """The kind of instrument."""
    due: Day
    """The last day on which it is in date, as 2026-09-30."""
    set_to: Word | None = None
    """What it was set to: a ring, a standard, another gauge."""
    last_good: Day | None = None
    """Where a later check found it wrong, the day of its last good check: what it read since is suspect."""


class Person(StrictModel):
    """Someone who works on a job or signs for it."""

    role: Roles
    """builder, second, foreman, customer or apprentice."""
    name: Word | None = None
    """The name, invented in a demonstration."""


class Lot(StrictModel):
    """Parts of one kind and origin on a job."""

    state: State
    """new, reused or machined; none where nothing is fitted on purpose, as with a shim that is not needed."""
    at: Words = ()
    """The positions it is fitted at; every position when absent."""
    count: Whole | None = None
    """How many in all; as many as the positions take when absent."""
    size: Word | None = None
    """The size, as printed on the box or as measured."""
    maker: Word | None = None
    """Whose it is, or its mark."""
    batch: Word | None = None
    """Batch, melt or box number."""
    ticket: Word | None = None
    """The ticket of the outside work that was done on it."""
    sheet: Word | None = None
    """The supplier's sheet that came with it, with its revision."""
    note: Word | None = None
    """A remark."""


class PartRecord(StrictModel):
    """One kind of part on a job: what came out and what went in."""

    came_out: Whole | None = None
    """How many came out of the engine, where they were counted."""
    fitted: tuple[Lot, ...] = ()
    """What went in."""
    note: Word | None = None
    """Why more or fewer went in than came out."""


class Concerned(StrictModel):
    """What a concession is about: a value of a sheet, a thing seen, a hold or the passes of a step."""

    procedure: Word
    """The procedure."""
    run: Run = Text("final")
    """Which time round."""
    step: Word | None = None
    """The step."""
    name: Word | None = None
    """The reading, the worked-out value or the thing looked at; every one of the step when absent."""
    at: Texts = Field(default_factory=dict)
    """The position; every position when absent."""
    hold: Word | None = None
    """The hold that was passed."""


class Concession(StrictModel):
    """A finding that is accepted as it is, for this engine, in writing."""

    of: Concerned
    """What it is about."""
    reason: Word | None = None
    """Why it is accepted."""
    by: Word | None = None
    """The foreman, by initials."""
    on: Day | None = None
    """The day it was decided."""
    customer_told: Day | None = None
    """The day the customer was told."""


class Skipped(StrictModel):
    """A step, or a whole procedure, that is not done on this job."""

    procedure: Word
    """The procedure."""
    step: Word | None = None
    """The step; the whole procedure when absent."""
    reason: Word | None = None
    """Why: the trait or the agreement that makes it so."""
    by: Word | None = None
    """Who decided it."""
    on: Day | None = None
    """The day."""


class PaperSheet(StrictModel):
    """A procedure whose filled sheet is kept on paper alone: nothing of it is judged here."""

    by: Word
    """The foreman who read it through and answers for it."""
    on: Day
    """The day the work was finished."""
    where: Word | None = None
    """Where the paper is kept."""


class Touched(StrictModel):
    """Something that was touched again, so that other work must be redone."""

    what: Word
    """Which entry of the table of what to redo."""
    on: Moment
    """When."""
    by: Word
    """Who."""
    note: Word | None = None
    """A remark."""


class Moved(StrictModel):
    """A procedure that was moved to another edition while the job was open."""

    procedure: Word
    """The procedure."""
    from_: Words = Field(alias="from")
    """The editions that its sheets were on."""
    to: Word
    """The edition that they are held against from then on."""
    by: Word
    """Who decided it, by initials."""
    on: Moment
    """When."""
    why: Word
    """Why."""
    again: Words = ()
    """The steps, and as `hold <id>` the holds, to do again because of it."""


class Decision(StrictModel):
    """An option that was chosen."""

    what: Word
    """The question."""
    chosen: Word
    """The option."""
    stage: Word | None = None
    """The stage of the price that it belongs to."""
    option: Word | None = None
    """The letter of the option that was chosen, where the stage has several."""
    by: Words
    """Who decided it, by initials."""
    on: Day
    """The day."""


class Earlier(StrictModel):
    """The job that an engine comes back from."""

    job: Word
    """Its number."""
    complaint: Word | None = None
    """What the owner says."""
    run_since: Word | None = None
    """How far or how long it ran since."""
    cause: Word | None = None
    """The cause that was found."""
    learned: Word | None = None
    """What changes in a procedure because of it."""


class Job(StrictModel):
    """One engine in the shop."""

    number: Word
    """The job number."""
    engine: Word
    """The engine family."""
    engine_number: Word | None = None
    """The number on the engine."""
    owner: Word | None = None
    """Whose engine it is."""
    basis: Basis
    """`rebuilt` (limits of new parts) or `overhauled` (service limits for what stays)."""
    people: dict[Word, Person]
    """By initials."""
    shop_of_one: Flag = False
    """Whether one person does all the work, so that a second's hold is released on readings taken again."""
    sizes: dict[Word, StepSizes] = Field(default_factory=dict)
    """The size steps, as main_undersize: 0.020 in; by position where they differ, the others under `all`."""
    came_with: dict[Word, StepSizes] = Field(default_factory=dict)
    """The size steps of earlier work that the engine came with: readings as found are held against these."""
    supplier: dict[Word, StatedLimit] = Field(default_factory=dict)
    """Limits of the sheets in the box, by characteristic: they outrank the book on this job."""
    gauges: dict[Word, Gauge] = Field(default_factory=dict)
    """By number."""
    parts: dict[Word, PartRecord] = Field(default_factory=dict)
    """What came out and went in, by the part's name in the procedures."""
    tickets: dict[Word, OutsideTicket] = Field(default_factory=dict)
    """Outside work, by ticket number."""
    paper: dict[Word, PaperSheet] = Field(default_factory=dict)
    """Procedures whose sheets are kept on paper alone, by id."""
    skipped: tuple[Skipped, ...] = ()
    """Steps and procedures that are not done, with the reason."""
    concessions: tuple[Concession, ...] = ()
    """Findings that are accepted as they are."""
    touched: tuple[Touched, ...] = ()
    """What was touched again."""
    decisions: tuple[Decision, ...] = ()
    """Options chosen."""
    moved: tuple[Moved, ...] = ()
    """Procedures that were moved to another edition; all others stay on that of their sheets."""
    condition: Condition | None = None
    """What the survey says beyond its readings."""
    estimate: Estimate | None = None
    """Prices and hours, by stage and option."""
    earlier: Earlier | None = None
    """The job it comes back from."""
    note: Word | None = None
    """A remark."""

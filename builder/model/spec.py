"""The rows of a spec table: limits by whose they are, each cited, and the rows without a limit."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from typing import Annotated, Any, ClassVar

from pydantic import Discriminator, Field, PlainValidator, Tag, WithJsonSchema, model_validator

from builder.model.base import Flag, StrictModel, Text, Word, Words, items_of, word_of
from builder.model.kinds import KINDS, OTHER_ROWS
from builder.model.written import (
    Cited,
    CitedText,
    ExactField,
    FormulaField,
    MovesField,
    PerField,
    SourceField,
    StatedCurve,
    StatedLimit,
    StatedOrder,
    StatedSteps,
    StatedText,
    unit_named,
    within,
)
from builder.quantity import Quantity
from builder.sequence import Curve, read_curve, read_row

LIMIT_KINDS = ("new", "wear", "supplier", "aim", "shop", "rule")
IN_FORCE = ("supplier", "new", "shop", "rule")
"""Whose limit decides: the first of these that a row states (design: judging a reading)."""


class BasicRow(StrictModel):
    """What every row of a spec table may say."""

    group: ClassVar[str] = ""

    kind: Word
    """What it is: its kind sets dimension and wear side."""
    code: Word | None = None
    """The short code that stands beside boxes on paper, as in CRK-09."""
    title: Word
    """Its name in the shop's words."""
    each: Word | None = None
    """The feature it is of, when there is one for each."""
    words: Words = ()
    """Other words that people type to find it."""
    why: Word | None = None
    """Why it matters."""
    condition: Word | None = None
    """In what state it holds: temperature, torque, oil."""
    instrument: Word | None = None
    """The instrument it is read with."""
    unknown: Word | None = None
    """Why nothing is stated: what was searched and where."""
    wall_card: Flag = False
    """Whether it stands on the family's wall card."""
    note: Word | None = None
    """A remark for the reader; it holds no limit."""


class LimitRow(BasicRow):
    """A characteristic that is measured against limits."""

    group: ClassVar[str] = "limit"

    new: StatedLimit | None = None
    """The maker's assembly band."""
    wear: StatedLimit | None = None
    """The maker's service limit: may an untouched part stay."""
    supplier: StatedLimit | None = None
    """The sheet in the box of the part; it outranks the book."""
    aim: StatedLimit | None = None
    """The shop's narrower target."""
    shop: StatedLimit | None = None
    """The shop's accept limit where the book is silent."""
    rule: StatedLimit | None = None
    """Rule of thumb, the last resort."""
    moves_with: MovesField = Field(default_factory=dict)
    """The size steps of a job that move this size, with the factor."""
    follows: FormulaField | None = None
    """The formula of its mates from which it follows."""
    differs: Word | None = None
    """Why the printed fit differs from its parts on purpose."""
    at: ExactField | None = None
    """The height, speed or other state at which a load or pressure is read."""
    per: PerField | None = None
    """The length for which the limit counts."""
    same: Word | None = None
    """`grade` where a fit holds between mates of the same grade."""
    grades: Words = ()
    """The letters of a selective grade."""
    threads: Word | None = None
    """The state of the threads: oiled, dry, sealed."""
    order: CitedText | None = None
    """The tightening order, or `any order`."""
    rounds: CitedText | None = None
    """The rounds in which a torque is reached."""
    waiver: Word | None = None
    """Why a coarse instrument may judge it all the same."""
    of: Word | None = None
    """The characteristic whose wear or spread this is."""


class OrderRow(BasicRow):
    """An order of a feature's names: firing, tightening."""

    group: ClassVar[str] = "order"

    of: Word
    """The feature whose names it orders."""
    new: StatedOrder | None = None
    """The maker's order."""
    shop: StatedOrder | None = None
    """The shop's order."""


class StepsRow(BasicRow):
    """The sizes in which parts are listed: oversizes, undersizes."""

    group: ClassVar[str] = "steps"

    new: StatedSteps | None = None
    """The maker's list."""
    supplier: StatedSteps | None = None
    """The supplier's list."""
    shop: StatedSteps | None = None
    """What the shop keeps."""
    step: Word | None = None
    """The size step of a job that this list offers, as in bore_oversize."""


class CurveRow(BasicRow):
    """A curve by its points: ignition advance."""

    group: ClassVar[str] = "curve"

    from_: Word = Field(alias="from")
    """The unit of what the curve runs over."""
    to: Word
    """The unit of its values."""
    within: ExactField
    """How near a reading must come."""
    new: StatedCurve | None = None
    """The maker's curve."""
    shop: StatedCurve | None = None
    """The shop's curve."""

    @model_validator(mode="after")
    def _points_read(self) -> CurveRow:
        for stated_curve in (self.new, self.shop):
            for one in stated_curve.every() if stated_curve else ():
                self.curve(one)
        return self

    def curve(self, one: Cited[str]) -> Curve:
        """The curve that a printed text gives, in the units of the row."""
        return within(one.text, lambda: read_curve(one.body, unit_named(self.from_), unit_named(self.to)))


class ScheduleRow(BasicRow):
    """A table of stages: run-in."""

    group: ClassVar[str] = "schedule"

    columns: Annotated[
        Mapping[Text, Text],
        PlainValidator(lambda tree: {key: word_of(value) for key, value in items_of(tree)}),
        WithJsonSchema({"type": "object", "additionalProperties": {"type": "string"}}),
    ]
    """The columns by name, each with its unit."""
    rows: Words
    """One stage a line, values by column, set apart by commas."""
    source: SourceField
    """Where it is printed."""

    @model_validator(mode="after")
    def _stages_read(self) -> ScheduleRow:
        self.stages()
        return self

    def stages(self) -> tuple[tuple[Quantity | None, ...], ...]:
        """The stages, a quantity for each column; None where a dash stands."""
        units = {str(name): unit_named(symbol) for name, symbol in self.columns.items()}
        return tuple(within(line, partial(read_row, line, units)) for line in self.rows)


class SeenRow(BasicRow):
    """Something seen and not measured."""

    group: ClassVar[str] = "seen"

    expect: Word
    """What is seen when it is right."""
    source: SourceField
    """Where it is printed."""


class TextRow(BasicRow):
    """A fact in words: an oil, a condition, a mark."""

    group: ClassVar[str] = "text"

    new: StatedText | None = None
    """What the maker prints."""
    supplier: StatedText | None = None
    """What the supplier prints."""
    shop: StatedText | None = None
    """What the shop does."""
    rule: StatedText | None = None
    """Rule of thumb."""


def _group(tree: Any) -> str:  # noqa: ANN401 - whatever stands in the file
    """The kind of row by its `kind`; an unknown or missing kind reads as a limit and is reported there."""
    kind = tree.get("kind", "") if isinstance(tree, dict) else ""
    return kind if kind in OTHER_ROWS and kind not in {"wear_amount", "spread"} else "limit"


Row = Annotated[
    Annotated[LimitRow, Tag("limit")]
    | Annotated[OrderRow, Tag("order")]
    | Annotated[StepsRow, Tag("steps")]
    | Annotated[CurveRow, Tag("curve")]
    | Annotated[ScheduleRow, Tag("schedule")]
    | Annotated[SeenRow, Tag("seen")]
    | Annotated[TextRow, Tag("text")],
    Discriminator(_group),
]

ROW_KINDS = (*KINDS, *sorted(OTHER_ROWS))

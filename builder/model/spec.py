"""The rows of a spec table: limits by whose they are, each cited, and the rows without a limit."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial
from typing import Annotated, Any, ClassVar, Generic, TypeVar

from pydantic import Discriminator, Field, PlainValidator, Tag, WithJsonSchema, model_validator

from builder.citation import Citation, split_citations
from builder.diagnostics import Fault
from builder.formula import Node, parse
from builder.limit import Limit, read_limit
from builder.model.base import (
    Flag,
    StrictModel,
    Text,
    Word,
    Words,
    items_of,
    string_schema,
    word_of,
)
from builder.model.kinds import KINDS, OTHER_ROWS
from builder.model.layout import PlacedFault
from builder.quantity import Quantity, read_quantity
from builder.sequence import Curve, read_curve, read_order, read_row, read_steps
from builder.units import Unit, unit

V = TypeVar("V")

LIMIT_KINDS = ("new", "wear", "supplier", "aim", "shop", "rule")
IN_FORCE = ("supplier", "new", "shop", "rule")
"""Whose limit decides: the first of these that a row states (design: judging a reading)."""


@dataclass(frozen=True)
class Cited(Generic[V]):
    """One printed value: the text as typed, what it means, and where it was printed."""

    text: Text
    body: str
    value: V
    citations: tuple[Citation, ...]


@dataclass(frozen=True)
class Stated(Generic[V]):
    """What a row states under one limit kind, by position or grade (`""` for all).

    Each is the tuple of sources that print it; they may disagree, the first is in force.
    """

    by: Mapping[Text, tuple[Cited[V], ...]]

    def at(self, position: str = "") -> Cited[V] | None:
        """The value in force at a position or grade; a row for all answers for each."""
        found = self.by.get(Text(position)) or self.by.get(Text(""))
        return found[0] if found else None

    def every(self) -> tuple[Cited[V], ...]:
        """All printed values, in the author's order."""
        return tuple(cited for group in self.by.values() for cited in group)


def cited(read: Callable[[str], V], tree: object) -> Cited[V]:
    """Read one value and its citations."""
    text = word_of(tree)
    body, citations = split_citations(text)
    if not body:
        raise PlacedFault("a citation stands here with no value", "write the value before the citation", text)
    try:
        return Cited(text, body, read(body), citations)
    except Fault as fault:
        raise ScalarFault(fault, text) from fault


class ScalarFault(PlacedFault):
    """A fault inside a scalar deeper than the value that was being read; it keeps its offsets."""

    def __init__(self, fault: Fault, text: Text) -> None:
        super().__init__(fault.message, fault.hint, text)
        self.start, self.end = fault.start, fault.end


def stated(read: Callable[[str], V], tree: object) -> Stated[V]:
    """Read a value, a list of sources that disagree, or a mapping of positions or grades."""
    if isinstance(tree, dict):
        return Stated({key: _sources(read, value) for key, value in items_of(tree)})
    return Stated({Text(""): _sources(read, tree)})


def _sources(read: Callable[[str], V], tree: object) -> tuple[Cited[V], ...]:
    if isinstance(tree, list):
        if not tree:
            raise Fault("the list is empty", "write at least one value with its citation")
        return tuple(cited(read, item) for item in tree)
    return (cited(read, tree),)


def _stated_schema(about: str) -> WithJsonSchema:
    one: dict[str, Any] = {"type": "string"}
    several = {"anyOf": [one, {"type": "array", "items": one}]}
    return WithJsonSchema(
        {
            "description": about,
            "anyOf": [
                one,
                {"type": "array", "items": one},
                {"type": "object", "additionalProperties": several},
            ],
        }
    )


def _as_typed(body: str) -> str:
    return body


StatedLimit = Annotated[
    Stated[Limit],
    PlainValidator(partial(stated, read_limit)),
    _stated_schema("A limit with unit and citation, as in `0.0012 to 0.0022 in [manual p. 22]`."),
]
StatedText = Annotated[
    Stated[str], PlainValidator(partial(stated, _as_typed)), _stated_schema("A text, cited.")
]
StatedOrder = Annotated[
    Stated[tuple[str, ...]],
    PlainValidator(partial(stated, read_order)),
    _stated_schema("An order, as in `1-2-4-3 [m 3]`."),
]
StatedSteps = Annotated[
    Stated[tuple[Quantity, ...]],
    PlainValidator(partial(stated, read_steps)),
    _stated_schema("Steps, as in `0.010, 0.020, 0.030 in [list]`."),
]
StatedCurve = Annotated[
    Stated[str],
    PlainValidator(partial(stated, _as_typed)),
    _stated_schema("Points, as in `0 at 700, 8 at 1400 [m 40]`."),
]


def sourced(tree: object) -> Cited[str]:
    """Read where a row is printed: citations, with or without words before them."""
    text = word_of(tree)
    body, citations = split_citations(text)
    if not citations:
        raise PlacedFault(f"`{text}` is not a citation", "write it as in `[notes 9]`", text)
    return Cited(text, body, body, citations)


SourceField = Annotated[
    Cited[str], PlainValidator(sourced), string_schema("Where it is printed, as in `[notes 9]`.")
]
CitedText = Annotated[
    Cited[str], PlainValidator(partial(cited, _as_typed)), string_schema("A text with its citation.")
]


@dataclass(frozen=True)
class Formula:
    """A formula as typed and its parsed tree."""

    text: Text
    node: Node


def formula_of(tree: object) -> Formula:
    """Parse a formula."""
    text = word_of(tree)
    return Formula(text, parse(text))


FormulaField = Annotated[Formula, PlainValidator(formula_of), string_schema("A formula.")]


@dataclass(frozen=True)
class Exact:
    """A quantity with a unit, as typed, with its citations if it has any."""

    text: Text
    quantity: Quantity
    citations: tuple[Citation, ...]


def exact_of(tree: object) -> Exact:
    """Read a quantity, cited or not."""
    text = word_of(tree)
    body, citations = split_citations(text)
    return Exact(text, read_quantity(body), citations)


ExactField = Annotated[Exact, PlainValidator(exact_of), string_schema("A quantity with its unit.")]


@dataclass(frozen=True)
class Per:
    """`1 in of bore.size`: the length of another characteristic that a limit is counted for."""

    text: Text
    quantity: Quantity
    of: str


def per_of(tree: object) -> Per:
    """Read `1 in of bore.size`."""
    text = word_of(tree)
    amount, found, of = text.partition(" of ")
    if not found:
        raise Fault(f"`{text}` does not say of what", "write it as in `1 in of bore.size`")
    return Per(text, read_quantity(amount), of.strip())


PerField = Annotated[Per, PlainValidator(per_of), string_schema("`1 in of <characteristic>`.")]

_FACTOR = re.compile(r"[+-]?\d+(/\d+)?")


def moves_of(tree: object) -> Mapping[Text, Text]:
    """Read which size steps of a job move this size, and by how many times the step."""
    moves = {key: word_of(value) for key, value in items_of(tree)}
    for value in moves.values():
        if not _FACTOR.fullmatch(value):
            raise PlacedFault(f"`{value}` is not a factor", "write 1, -1, 1/2 or the like", value)
    return moves


MovesField = Annotated[
    Mapping[Text, Text],
    PlainValidator(moves_of),
    WithJsonSchema({"type": "object", "additionalProperties": {"type": ["string", "integer"]}}),
]


def _unit(symbol: Text) -> Unit:
    return _within(symbol, partial(unit, symbol))


def _within(text: Text, read: Callable[[], V]) -> V:
    """Read a text of this row; a fault in it is told at its own place."""
    try:
        return read()
    except PlacedFault:
        raise
    except Fault as fault:
        raise ScalarFault(fault, text) from fault


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
        return _within(one.text, lambda: read_curve(one.body, _unit(self.from_), _unit(self.to)))


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
        units = {str(name): _unit(symbol) for name, symbol in self.columns.items()}
        return tuple(_within(line, partial(read_row, line, units)) for line in self.rows)


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

"""Values as an author writes them: cited, by position, as formulas and quantities; each keeps its text."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial
from typing import Annotated, Any, Generic, TypeVar

from pydantic import PlainValidator, WithJsonSchema

from builder.citation import Citation, split_citations
from builder.diagnostics import Fault
from builder.formula import Node, parse
from builder.limit import Limit, read_limit
from builder.model.base import Text, items_of, string_schema, word_of
from builder.model.layout import PlacedFault
from builder.quantity import Quantity, read_quantity
from builder.sequence import read_order, read_steps
from builder.units import Unit, unit

V = TypeVar("V")


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


def unit_named(symbol: Text) -> Unit:
    """The unit that a text of a row names."""
    return within(symbol, partial(unit, symbol))


def within(text: Text, read: Callable[[], V]) -> V:
    """Read a text of this row; a fault in it is told at its own place."""
    try:
        return read()
    except PlacedFault:
        raise
    except Fault as fault:
        raise ScalarFault(fault, text) from fault

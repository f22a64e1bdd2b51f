"""The nodes of a formula: a closed set, frozen, each knowing its place and its words in the author's text."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeAlias


@dataclass(frozen=True, slots=True)
class Place:
    """Where a node stands: 0-based offsets in the formula's text, and the words between them."""

    start: int
    end: int
    text: str


@dataclass(frozen=True, slots=True)
class Number(Place):
    """A number as typed, `0.0020` or `3`: exact, without a unit."""

    value: Fraction


@dataclass(frozen=True, slots=True)
class Name(Place):
    """A reading, a worked-out value, a dotted characteristic, a unit, a dimension, a label, or `pi`.

    Which of these it is, the scope says: a name in the scope comes before a unit of the same spelling.
    """

    name: str


@dataclass(frozen=True, slots=True)
class Unary(Place):
    """A sign or a denial before one operand: `-`, `+` or `not`."""

    operator: str
    operand: Node


@dataclass(frozen=True, slots=True)
class Binary(Place):
    """Arithmetic between two operands: `+`, `-`, `*`, `/` or `**`."""

    operator: str
    left: Node
    right: Node


@dataclass(frozen=True, slots=True)
class Compare(Place):
    """One comparison: `<`, `<=`, `>`, `>=`, `==` or `!=`. A chain is an `and` of these."""

    operator: str
    left: Node
    right: Node


@dataclass(frozen=True, slots=True)
class Logic(Place):
    """`and` or `or` between two or more operands."""

    operator: str
    operands: tuple[Node, ...]


@dataclass(frozen=True, slots=True)
class Steps(Place):
    """Sizes written out, `[0.010 * inch, 0.020 * inch]`, for `nearest` and `first_at_least`."""

    items: tuple[Node, ...]


@dataclass(frozen=True, slots=True)
class Call(Place):
    """A function of `functions.FUNCTIONS` with its arguments in order."""

    function: str
    arguments: tuple[Node, ...]


Node: TypeAlias = Number | Name | Unary | Binary | Compare | Logic | Steps | Call


def children(node: Node) -> tuple[Node, ...]:
    """The nodes directly under `node`, in the order of the text."""
    match node:
        case Number() | Name():
            return ()
        case Unary(operand=operand):
            return (operand,)
        case Binary(left=left, right=right) | Compare(left=left, right=right):
            return (left, right)
        case Logic(operands=nodes) | Steps(items=nodes) | Call(arguments=nodes):
            return nodes


def names_of(node: Node) -> Iterator[Name]:
    """Every name in the formula in the order of the text.

    Units, dimensions and labels are among them; the caller keeps the names that it knows.
    """
    if isinstance(node, Name):
        yield node
    for child in children(node):
        yield from names_of(child)


def word(node: Node) -> str:
    """The word that names a dimension, a label or a characteristic: `axis`, `V`, `3`, `main.clearance`."""
    return node.name if isinstance(node, Name) else node.text


def constant(node: Node) -> Fraction | None:
    """The value of a node that is written out in numbers, `2`, `-1` or `1 / 2`; None for any other."""
    match node:
        case Number(value=value):
            return value
        case Unary(operator="-", operand=operand):
            value_below = constant(operand)
            return None if value_below is None else -value_below
        case Binary(operator="/", left=left, right=right):
            above, below = constant(left), constant(right)
            return None if above is None or not below else above / below
        case _:
            return None

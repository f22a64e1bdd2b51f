"""A formula as a sum: how many times each name counts in it. Most fits are such sums, quick to check."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from builder.formula import Node
from builder.formula.nodes import Binary, Name, Number, Unary
from builder.units import IDENTIFIERS

CONSTANT = ""
"""The name under which what stands alone is kept."""


def terms(node: Node) -> Mapping[str, Fraction] | None:
    """How many times each name counts: `tunnel - 2 * wall` is 1 and -2; None where it is no such sum."""
    match node:
        case Number(value=value):
            return {CONSTANT: value}
        case Name(name=name):
            return {CONSTANT: IDENTIFIERS[name].factor} if name in IDENTIFIERS else {name: Fraction(1)}
        case Unary(operator="-", operand=operand):
            return _times(terms(operand), Fraction(-1))
        case Binary(operator="+" | "-" as sign, left=left, right=right):
            return _sum(terms(left), _times(terms(right), Fraction(1 if sign == "+" else -1)))
        case Binary(operator="*", left=left, right=right):
            return _product(terms(left), terms(right))
        case Binary(operator="/", left=left, right=right):
            by = _constant(terms(right))
            return _times(terms(left), 1 / by) if by else None
        case _:
            return None


def _times(one: Mapping[str, Fraction] | None, by: Fraction) -> Mapping[str, Fraction] | None:
    return None if one is None else {name: count * by for name, count in one.items()}


def _sum(
    one: Mapping[str, Fraction] | None, other: Mapping[str, Fraction] | None
) -> Mapping[str, Fraction] | None:
    if one is None or other is None:
        return None
    return {name: one.get(name, Fraction(0)) + other.get(name, Fraction(0)) for name in {**one, **other}}


def _constant(one: Mapping[str, Fraction] | None) -> Fraction | None:
    return one[CONSTANT] if one is not None and one.keys() == {CONSTANT} else None


def _product(
    one: Mapping[str, Fraction] | None, other: Mapping[str, Fraction] | None
) -> Mapping[str, Fraction] | None:
    left, right = _constant(one), _constant(other)
    if left is not None:
        return _times(other, left)
    return None if right is None else _times(one, right)

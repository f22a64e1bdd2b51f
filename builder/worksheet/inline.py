"""A worksheet as one formula, so that a step of a procedure can use it on its readings."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace
from fractions import Fraction

from builder.diagnostics import Fault
from builder.formula.nodes import Binary, Call, Compare, Logic, Name, Node, Number, Steps, Unary
from builder.model.base import Text
from builder.model.procedure import WorkOut
from builder.model.worksheet import Input, Worksheet
from builder.model.written import Formula
from builder.quantity import DATUMS
from builder.units import IDENTIFIERS
from builder.worksheet.work import read_input, shown_as


def in_step(out: WorkOut, worksheets: Mapping[str, Worksheet], read: Collection[str]) -> WorkOut:
    """A `use:` of a step with the worksheet's formula in its place; `read` names what the procedure reads.

    Inputs are taken from readings and results of the same names; one that is not read takes its default.
    """
    worksheet = worksheets.get(out.use) if out.use is not None else None
    if worksheet is None or out.use is None:
        return out
    node = one_formula(worksheet, read)
    said = "; ".join(f"{name} = {formula.text}" for name, formula in worksheet.is_.items())
    unit = out.unit or (None if out.against else Text(shown_as(worksheet, worksheet.answer).unit.symbol))
    return out.model_copy(update={"is_": Formula(Text(said, out.use.span), node), "unit": unit})


def one_formula(worksheet: Worksheet, read: Collection[str] = ()) -> Node:
    """The answer of a worksheet as one formula of its inputs; defaults stand for those that are not read."""
    known: dict[str, Node] = {}
    for name, own in worksheet.inputs.items():
        default = None if name in read else _default(own)
        known[str(name)] = _read(str(name), own) if default is None else _written(default, own)
    for name, formula in worksheet.is_.items():
        known[str(name)] = _replaced(formula.node, known)
    return known[str(worksheet.answer)]


def unread_defaults(worksheet: Worksheet) -> frozenset[str]:
    """The inputs whose defaults are no quantities of their sort: nothing can stand for them."""
    return frozenset(
        str(name)
        for name, own in worksheet.inputs.items()
        if own.default is not None and _default(own) is None
    )


def _default(own: Input) -> Fraction | None:
    """The default of an input in base units; None where it has none, or one that does not read (GL-907)."""
    if own.default is None:
        return None
    try:
        return read_input(own, str(own.default))[0].base
    except Fault:
        return None


def _read(name: str, own: Input) -> Node:
    """What stands for an input that is read: its reading, told from the input's own crank position."""
    plain = Name(0, 0, name, name)
    before = bool(own.datum) and DATUMS[own.datum][1] < 0  # readings before dead centre are kept below zero
    return Unary(0, 0, f"-{name}", "-", plain) if before else plain


def _written(base: Fraction, own: Input) -> Node:
    """A quantity as a formula writes it: a number and its unit, or a temperature."""
    unit = own.unit
    value = unit.from_base(base)
    number = Number(0, 0, str(value), value)
    if unit.offset:
        return Call(0, 0, f"{unit}({value})", unit.symbol, (number,))
    factor = next(name for name, one in IDENTIFIERS.items() if one.symbol == unit.symbol)
    return Binary(0, 0, f"{value} * {factor}", "*", number, Name(0, 0, factor, factor))


def _replaced(node: Node, known: Mapping[str, Node]) -> Node:
    """A formula with what is known in place of its names; its words stay the author's."""
    match node:
        case Name(name=name):
            return known.get(name, node)
        case Unary(operand=operand):
            return replace(node, operand=_replaced(operand, known))
        case Binary(left=left, right=right) | Compare(left=left, right=right):
            return replace(node, left=_replaced(left, known), right=_replaced(right, known))
        case Logic(operands=operands):
            return replace(node, operands=_each(operands, known))
        case Steps(items=items):
            return replace(node, items=_each(items, known))
        case Call(arguments=arguments):
            return replace(node, arguments=_each(arguments, known))
        case Number():
            return node


def _each(nodes: tuple[Node, ...], known: Mapping[str, Node]) -> tuple[Node, ...]:
    return tuple(_replaced(node, known) for node in nodes)

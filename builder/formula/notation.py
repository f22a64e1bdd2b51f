"""A formula as the trade writes it on paper: × ÷ − √, raised powers, units beside their numbers."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from typing import Final

from builder.formula.functions import FUNCTIONS, Sort
from builder.formula.nodes import (
    Binary,
    Call,
    Compare,
    Logic,
    Name,
    Node,
    Number,
    Steps,
    Unary,
    constant,
    word,
)
from builder.units import IDENTIFIERS, Unit

_OR, _AND, _NOT, _COMPARED, _SUM, _GATHER, _PRODUCT, _SIGN, _POWER, _ATOM = range(10)
"""How tightly a node holds together; what holds looser than its surroundings stands in brackets."""
_TIGHT: Final = {"or": _OR, "and": _AND, "+": _SUM, "-": _SUM, "*": _PRODUCT, "/": _PRODUCT, "**": _POWER}
_SIGNS: Final = {"*": "×", "/": "÷", "-": "−", "<=": "≤", ">=": "≥", "!=": "≠", "==": "="}
_RAISED: Final = str.maketrans("0123456789-", "⁰¹²³⁴⁵⁶⁷⁸⁹⁻")
_GATHERED: Final = {
    "min": "smallest of",
    "max": "largest of",
    "mean": "mean of",
    "spread": "spread of",
    "sum": "sum of",
    "count": "number of",
}
_CHOSEN: Final = {"first_at_least": "first of {} not below {}", "nearest": "one of {} nearest to {}"}
_CALLED: Final = {"log": "ln", "asin": "arcsin"}


@dataclass(frozen=True)
class Notation:
    """Writes formulas as plain text; `values` stand in place of names, as `101.6 mm` for `bore`.

    `names` are those of the scope: one of them is never taken for a unit of the same spelling.
    """

    names: Collection[str] = ()
    values: Mapping[str, str] = field(default_factory=dict)

    def write(self, node: Node) -> str:
        """The whole formula."""
        return self._node(node)

    def text(self, words: str) -> str:
        """Words of the formula itself: numbers, signs, functions."""
        return words

    def name(self, name: str, *, raised: bool) -> str:
        """A name, or its value; `raised` where a power follows, so that a value needs brackets."""
        value = self.values.get(name)
        if value is None:
            return plain(name)
        return f"({value})" if (raised and " " in value) or value.startswith(("-", "−")) else value

    def power(self, base: str, exponent: str) -> str:
        """Something to a power."""
        return (
            base + exponent.translate(_RAISED) if exponent.lstrip("-").isdigit() else f"{base}^({exponent})"
        )

    def root(self, inside: str, *, simple: bool) -> str:
        """A square root; `simple` where what stands under it is one thing."""
        return f"√{inside}" if simple else f"√({inside})"

    def _node(self, node: Node, within: int = _OR) -> str:
        """A node, in brackets where it holds looser than what stands around it."""
        words = self._words(node)
        return self.text("(") + words + self.text(")") if _tightness(node, self.names) < within else words

    def _words(self, node: Node) -> str:  # noqa: C901 - one case per sort of node
        match node:
            case Number():
                return self.text(node.text)
            case Name(name=name):
                return self._name(name)
            case Unary(operator=sign, operand=operand):
                lead = "not " if sign == "not" else _SIGNS.get(sign, sign)
                return self.text(lead) + self._node(operand, _tightness(node, self.names))
            case Binary():
                return self._binary(node)
            case Compare(operator=sign, left=left, right=right):
                joint = self.text(f" {_SIGNS.get(sign, sign)} ")
                return self._node(left, _SUM) + joint + self._node(right, _SUM)
            case Logic(operator=sign, operands=operands):
                return self.text(f" {sign} ").join(self._node(one, _TIGHT[sign] + 1) for one in operands)
            case Steps(items=items):
                return self.text(", ").join(map(self._node, items))
            case Call():
                return self._call(node)

    def _name(self, name: str, *, raised: bool = False) -> str:
        """A name of the scope; pi; or a unit, of which there is one."""
        if name == "pi":
            return self.text("π")
        unit = None if name in self.names else IDENTIFIERS.get(name)
        return self.name(name, raised=raised) if unit is None else self.text(f"1 {unit.label}")

    def _binary(self, node: Binary) -> str:
        unit = _unit_after(node, self.names)
        if unit is not None:
            return self._node(node.left, _PRODUCT) + self.text(
                f"{'' if unit.label == '°' else ' '}{unit.label}"
            )
        if node.operator == "**":
            return self._power(node)
        own = _TIGHT[node.operator]
        sign = self.text(f" {_SIGNS.get(node.operator, node.operator)} ")
        closer = own + 1 if node.operator in ("-", "/") else own
        if isinstance(node.right, Unary):
            closer = _POWER
        return self._node(node.left, own) + sign + self._node(node.right, closer)

    def _power(self, node: Binary) -> str:
        """A power; half of one is a root."""
        exponent = constant(node.right)
        if exponent is not None and 2 * exponent == 1:
            return self._root(node.left)
        base = (
            self._name(node.left.name, raised=True)
            if isinstance(node.left, Name)
            else self._node(node.left, _ATOM)
        )
        return self.power(base, str(exponent) if exponent is not None else self._node(node.right))

    def _root(self, node: Node) -> str:
        return self.root(self._node(node), simple=isinstance(node, Name | Number))

    def _call(self, node: Call) -> str:
        first = node.arguments[0]
        match FUNCTIONS[node.function].sort:
            case Sort.REDUCE:
                return self._gathered(node)
            case Sort.STEP:
                head, middle, _ = _CHOSEN[node.function].split("{}")
                wanted = self._node(node.arguments[1], _SUM)
                return self.text(head) + self._node(first) + self.text(middle) + wanted
            case Sort.DEGREES:
                return self._node(first, _ATOM) + self.text(f" {IDENTIFIERS[node.function].label}")
            case Sort.CURVE if node.function == "sqrt":
                return self._root(first)
            case Sort.CURVE if node.function == "abs":
                return self.text("|") + self._node(first) + self.text("|")
            case Sort.CURVE:
                called = _CALLED.get(node.function, node.function)
                return self.text(f"{called}(") + self._node(first) + self.text(")")
            case _:
                return self.text(node.text)

    def _gathered(self, node: Call) -> str:
        """`largest of (a, b)`, or `largest of readings` along a dimension."""
        several = [one for one in node.arguments if word(one) not in _DIMENSIONS]
        words = self.text(", ").join(map(self._node, several))
        called = f"{_GATHERED[node.function]} "
        if len(several) == 1:
            return self.text(called) + self._node(several[0], _ATOM)
        return self.text(f"{called}(") + words + self.text(")")


_DIMENSIONS: Final = frozenset({"item", "plane", "axis", "point"})


def plain(name: str) -> str:
    """A name as words: `free_height` is `free height`."""
    return name.replace("_", " ")


def _unit_after(node: Node, names: Collection[str]) -> Unit | None:
    """The unit that stands after a number, as in `0.002 * inch` or `1.18 * 99 * kPa`; None for others."""
    match node:
        case Binary(operator="*", left=left, right=Name(name=name)) if name not in names:
            last = left.right if isinstance(left, Binary) and left.operator == "*" else left
            return IDENTIFIERS.get(name) if isinstance(last, Number) else None
        case _:
            return None


def _tightness(node: Node, names: Collection[str]) -> int:
    match node:
        case Binary(left=Number()) if _unit_after(node, names) is not None:
            return _POWER
        case Binary(operator=sign) | Logic(operator=sign):
            return _TIGHT[sign]
        case Compare():
            return _COMPARED
        case Unary(operator=sign):
            return _NOT if sign == "not" else _SIGN
        case Call(function=function) if FUNCTIONS[function].sort in (Sort.REDUCE, Sort.STEP):
            return _GATHER
        case _:
            return _ATOM


def written(node: Node, names: Collection[str] = (), values: Mapping[str, str] | None = None) -> str:
    """A formula in the notation of the trade as plain text, values in place of names that have one."""
    return Notation(names, values or {}).write(node)

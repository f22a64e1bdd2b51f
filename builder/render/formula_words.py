"""A formula as a sentence says it: `least(fit) < low(main.clearance)` as one would read it aloud."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass
from typing import Final

from builder.formula import Node
from builder.formula.nodes import Binary, Call, Compare, Logic, Name, Number, Steps, Unary, word
from builder.render.words import listed
from builder.units import IDENTIFIERS

_COMPARED: Final = {
    "<": "is below",
    "<=": "is not above",
    ">": "is above",
    ">=": "is not below",
    "==": "is",
    "!=": "is not",
}
_JOINED: Final = {"+": "plus", "-": "less", "*": "times", "/": "divided by", "**": "to the power of"}
_BOUNDS: Final = {
    "low": "the lower limit of {}",
    "high": "the upper limit of {}",
    "mid": "the middle of the limits of {}",
    "mid_aim": "the middle of the aim for {}",
    "least": "the least {}",
    "most": "the most {}",
}
_ALONG: Final = {
    "min": "the smallest {}",
    "max": "the largest {}",
    "mean": "the mean {}",
    "spread": "the spread of {}",
    "sum": "the sum of {}",
    "count": "the number of {}",
}
_AMONG: Final = {
    "min": "the smallest of {}",
    "max": "the largest of {}",
    "mean": "the mean of {}",
    "spread": "the spread of {}",
    "sum": "the sum of {}",
    "count": "the number of {}",
}


@dataclass(frozen=True)
class Reader:
    """What it takes to read formulas aloud: what a name is called, and which names are dimensions."""

    called: Callable[[str], str]
    dims: Collection[str]

    def words(self, node: Node) -> str:
        """The formula in words."""
        match node:
            case Number():
                return node.text
            case Name(name=name):
                return self.called(name)
            case Unary(operator=sign, operand=operand):
                return f"{'not ' if sign == 'not' else sign}{self.words(operand)}"
            case (
                Binary(operator=sign, left=left, right=other) | Compare(operator=sign, left=left, right=other)
            ):
                return self._between(sign, left, other)
            case Logic(operator=joint, operands=parts):
                return f", {joint} ".join(map(self.words, parts))
            case Steps(items=items):
                return listed(map(self.words, items), "or")
            case Call():
                return self._call(node)

    def _between(self, sign: str, left: Node, right: Node) -> str:
        if sign == "*" and isinstance(right, Name) and right.name in IDENTIFIERS:
            return f"{self.words(left)} {IDENTIFIERS[right.name].label}"
        parts = (self._within(sign, left), self._within(sign, right))
        return f"{parts[0]} {(_JOINED | _COMPARED)[sign]} {parts[1]}"

    def _within(self, sign: str, part: Node) -> str:
        """An operand, in parentheses where the words alone would bind it otherwise."""
        looser = isinstance(part, Binary) and sign in "*/**" and part.operator in "+-"
        return f"({self.words(part)})" if looser else self.words(part)

    def _call(self, node: Call) -> str:
        name, (first, *rest) = node.function, node.arguments
        if name in _BOUNDS:
            return _BOUNDS[name].format(self.called(word(first)))
        if name in _ALONG:
            along = all(word(one) in self.dims for one in rest)
            parts = (first,) if along else node.arguments
            return (_ALONG if along else _AMONG)[name].format(listed(map(self.words, parts)))
        if name == "pick":
            return f"{self.words(first)} at {listed(map(word, rest[1:]), 'or')}"
        if name == "neighbour":
            return f"{self.words(first)} of the next {word(rest[0])}"
        if name == "abs":
            return f"the size of {self.words(first)}"
        return node.text

"""Formula text to nodes: Python's own grammar reads it, and only what the language knows is let in."""

from __future__ import annotations

import ast
import difflib
import re
from dataclasses import dataclass
from fractions import Fraction

from builder.diagnostics import Fault
from builder.formula.functions import FUNCTIONS, Function
from builder.formula.nodes import Binary, Call, Compare, Logic, Name, Node, Number, Steps, Unary, children

LONGEST = 2000
"""Characters in one formula; longer ones belong in a worksheet of several lines."""
DEEPEST = 60
"""Nodes above one another: a sum of sixty terms, and far below what a computer's stack holds."""

_NUMBER = re.compile(r"(\d+(\.\d*)?|\.\d+)([eE][+-]?\d{1,2})?")
_INSTEAD = {
    "×": "write `*`",
    "·": "write `*`",
    "@": "write `*`",
    "÷": "write `/`",
    "−": "write `-`",
    "–": "write `-`",
    "^": "write `**` for a power",
    "≤": "write `<=`",
    "≥": "write `>=`",
    "≠": "write `!=`",
    "&": "write `and`",
    "|": "write `or`",
    "π": "write `pi`",
    "%": "write the factor `percent`",
    "½": "write `1 / 2`",
    "¼": "write `1 / 4`",
    "¾": "write `3 / 4`",
    "°": "write the factor `deg`, or `degF(68)` for a temperature",
    '"': "write the unit's name, for example `2 * inch`",
    "'": "write the unit's name, for example `2 * ft`",
    "#": "leave remarks out",
    ";": "write one formula",
    "{": "write the bare name",
    "}": "write the bare name",
    "\\": "leave it out",
}
"""Signs that no formula holds, and what is written instead."""
_TRAPS = (
    (re.compile(r"(?<![\w.])in(?!\w)"), "is a word that a formula cannot use", "write `inch` for the unit"),
    (re.compile(r"\d,\d"), "has a comma inside a number", "write a decimal point, for example `2.4272`"),
    (re.compile(r"(?<![<>=!])=(?!=)"), "compares nothing", "write `==` to ask whether two values are equal"),
)
_UNFINISHED = re.compile(r"([-+*/<>=,(\[]|\b(?:and|or|not))\s*$")
_ARITHMETIC: dict[type[ast.operator], str] = {
    ast.Add: "+",
    ast.Sub: "-",
    ast.Mult: "*",
    ast.Div: "/",
    ast.Pow: "**",
}
_SIGNS: dict[type[ast.unaryop], str] = {ast.USub: "-", ast.UAdd: "+", ast.Not: "not"}
_COMPARISONS: dict[type[ast.cmpop], str] = {
    ast.Lt: "<",
    ast.LtE: "<=",
    ast.Gt: ">",
    ast.GtE: ">=",
    ast.Eq: "==",
    ast.NotEq: "!=",
}
_LOGIC: dict[type[ast.boolop], str] = {ast.And: "and", ast.Or: "or"}


def parse(text: str) -> Node:
    """Read a formula; raises `Fault` with offsets into `text`."""
    line = re.sub(r"\s", " ", text)
    if not line.strip():
        raise Fault("the formula is empty", "write the calculation, for example `bore - journal`")
    if len(line) > LONGEST:
        raise Fault(f"the formula is longer than {LONGEST} characters", "split it into several", LONGEST)
    _refuse_characters(line)
    lead = len(line) - len(line.lstrip())
    body = line.strip()
    try:
        tree = ast.parse(body, mode="eval")
        node = _Reader(body, lead).node(tree.body)
        deep = _depth(node) > DEEPEST
    except SyntaxError as error:
        raise _syntax(line, lead, body, error) from None
    except (RecursionError, MemoryError):
        deep = True
    if deep:
        raise Fault(f"the formula is nested deeper than {DEEPEST} levels", "split it into several")
    return node


def _depth(node: Node) -> int:
    """How many nodes stand above one another."""
    return 1 + max(map(_depth, children(node)), default=0)


def _refuse_characters(line: str) -> None:
    """Refuse what no formula holds, and say what the trade's sign is written as here."""
    for offset, character in enumerate(line):
        if character in _INSTEAD:
            raise Fault(f"`{character}` has no meaning in a formula", _INSTEAD[character], offset, offset + 1)
        if not character.isprintable():
            raise Fault("a character that cannot be seen stands here", "type it anew", offset, offset + 1)


def _syntax(line: str, lead: int, body: str, error: SyntaxError) -> Fault:
    """Say where the text stops making sense; a well-known trap is named instead."""
    for pattern, wrong, hint in _TRAPS:
        found = pattern.search(line)
        if found:
            return Fault(f"`{found[0]}` {wrong}", hint, found.start(), found.end())
    last = _UNFINISHED.search(line)
    if last:
        return Fault(f"nothing follows `{last[1]}`", "write what comes after it", last.start(1), last.end(1))
    start = lead + min(max((error.offset or 1) - 1, 0), len(body) - 1)
    rest = re.match(r"[\w.]+|\S", line[start:])
    shown = rest[0] if rest else line.strip()
    hint = "look for a missing sign, bracket or comma at this place"
    return Fault(f"`{shown}` makes no sense here", hint, start, start + len(shown))


@dataclass(frozen=True)
class _Reader:
    """Turns Python's tree into nodes; `lead` is how far `body` stands inside the author's text."""

    body: str
    lead: int

    def node(self, tree: ast.expr) -> Node:  # noqa: C901 - one case per sort of node
        """Read one expression."""
        match tree:
            case ast.Constant():
                return self.number(tree)
            case ast.Name() | ast.Attribute():
                return Name(*self.place(tree), self.dotted(tree))
            case ast.UnaryOp() if type(tree.op) in _SIGNS:
                return Unary(*self.place(tree), _SIGNS[type(tree.op)], self.node(tree.operand))
            case ast.BinOp() if type(tree.op) in _ARITHMETIC:
                sign = _ARITHMETIC[type(tree.op)]
                return Binary(*self.place(tree), sign, self.node(tree.left), self.node(tree.right))
            case ast.BoolOp():
                return Logic(*self.place(tree), _LOGIC[type(tree.op)], tuple(map(self.node, tree.values)))
            case ast.List() if tree.elts:
                return Steps(*self.place(tree), tuple(map(self.node, tree.elts)))
            case ast.Compare():
                return self.comparison(tree)
            case ast.Call():
                return self.call(tree)
            case ast.Tuple():
                raise self.fault(tree, "has a comma that separates nothing", "write a decimal point")
            case _:
                hint = "use arithmetic, comparisons and the functions of the formula language"
                raise self.fault(tree, "is not part of the formula language", hint)

    def place(self, tree: ast.expr) -> tuple[int, int, str]:
        """The offsets of an expression in the author's text, and its words."""
        start, end = self.offset(tree.col_offset), self.offset(tree.end_col_offset or 0)
        return self.lead + start, self.lead + end, self.body[start:end]

    def offset(self, column: int) -> int:
        """Characters before a column that Python counts in UTF-8 bytes."""
        return len(self.body.encode()[:column].decode())

    def fault(self, tree: ast.expr, wrong: str, hint: str) -> Fault:
        """A fault about one expression."""
        start, end, words = self.place(tree)
        return Fault(f"`{words}` {wrong}", hint, start, end)

    def number(self, tree: ast.Constant) -> Number:
        """Read a number from its digits, never through a float."""
        start, end, words = self.place(tree)
        if not _NUMBER.fullmatch(words):
            hint = "write digits, for example `0.0020`"
            raise self.fault(tree, "is not a number that a formula can use", hint)
        return Number(start, end, words, Fraction(words))

    def dotted(self, tree: ast.expr) -> str:
        """Read `main` or `main.clearance`."""
        match tree:
            case ast.Name(id=name):
                return name
            case ast.Attribute(value=value, attr=part):
                return f"{self.dotted(value)}.{part}"
            case _:
                hint = "only a name such as `main.clearance` holds dots"
                raise self.fault(tree, "stands before a dot", hint)

    def comparison(self, tree: ast.Compare) -> Node:
        """Read `a < b`, or `a < b <= c` as two comparisons that must both hold."""
        operands = [tree.left, *tree.comparators]
        pairs = tuple(
            self.compare(sign, left, right)
            for sign, left, right in zip(tree.ops, operands, operands[1:], strict=False)
        )
        return pairs[0] if len(pairs) == 1 else Logic(*self.place(tree), "and", pairs)

    def compare(self, sign: ast.cmpop, left: ast.expr, right: ast.expr) -> Compare:
        """Read one comparison of a chain."""
        start, _, _ = self.place(left)
        _, end, _ = self.place(right)
        words = self.body[start - self.lead : end - self.lead]
        if type(sign) not in _COMPARISONS:
            hint = "compare with `<`, `<=`, `>`, `>=`, `==` or `!=`"
            raise Fault(f"`{words}` is not a comparison that a formula can make", hint, start, end)
        return Compare(start, end, words, _COMPARISONS[type(sign)], self.node(left), self.node(right))

    def call(self, tree: ast.Call) -> Call:
        """Read a function with its arguments."""
        name, function = self.function(tree)
        given = len(tree.args)
        most = given if function.most is None else function.most
        arguments = tuple(map(self.node, tree.args))
        words = all(_is_word(argument) for argument in arguments[function.words])
        if tree.keywords or not function.least <= given <= most or not words:
            raise self.fault(tree, f"is not how `{name}` is written", f"write it like `{function.form}`")
        return Call(*self.place(tree), name, arguments)

    def function(self, tree: ast.Call) -> tuple[str, Function]:
        """The function that is called, from the closed list."""
        name = self.dotted(tree.func)
        if name in FUNCTIONS:
            return name, FUNCTIONS[name]
        near = difflib.get_close_matches(name, FUNCTIONS, 1)
        hint = f"did you mean `{near[0]}`" if near else f"the functions are {', '.join(FUNCTIONS)}"
        raise self.fault(tree.func, "is not a function of the formula language", hint)


def _is_word(node: Node) -> bool:
    """Whether a node can name a dimension, a label or a characteristic."""
    return isinstance(node, Name | Number)

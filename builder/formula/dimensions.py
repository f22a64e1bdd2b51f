"""What a formula measures, found before any number is known; a mismatch is a fault at its own place."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from difflib import get_close_matches
from enum import StrEnum
from typing import assert_never

from builder.diagnostics import Fault
from builder.dimension import ANGLE, RATIO, TEMPERATURE, Dimension
from builder.formula.functions import FUNCTIONS, Sort
from builder.formula.grid import join
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
from builder.units import IDENTIFIERS


class Holds(StrEnum):
    """What a name holds, and so how it may be written."""

    VALUE = "value"
    """A reading, a worked-out value, an input: written bare."""
    EXACT = "exact"
    """A characteristic with one exact value, or any in a `follows`: bare, or inside `low` and its kin."""
    LIMIT = "limit"
    """A characteristic with limits: inside `low`, `high`, `mid`, `mid_aim`, `least`, `most` only."""
    PAIR = "pair"
    """A worked-out value with two ends: inside `least` and `most` only."""
    STEPS = "steps"
    """A list of sizes: first argument of `nearest` and `first_at_least` only."""
    TRUTH = "truth"
    """Yes or no."""


@dataclass(frozen=True, slots=True)
class Shape:
    """What a value measures and which named dimensions it runs over; labels of these where they are known."""

    dimension: Dimension
    dims: tuple[str, ...] = ()
    holds: Holds = Holds.VALUE
    labels: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


def dimension_of(node: Node, names: Mapping[str, Shape], on: Mapping[str, str] | None = None) -> Shape:
    """The shape of a formula's value; raises `Fault` with offsets into the formula's text.

    `names` are all the names that the formula may use beside units, dimensions and labels; `on` says which
    feature sits on which, `{"rod": "crankpin"}`. A plain 0 goes with any dimension. For a `follows` the
    characteristics are given as `Holds.EXACT`.
    """
    return _Check(names, on or {}).shape(node)


def kind_of(dimension: Dimension) -> str:
    """A dimension in a sentence: a length, an angle, a plain number."""
    if dimension == RATIO:
        return "a plain number"
    return f"{'an' if str(dimension)[0] in 'aeiou' else 'a'} {dimension}"


def _fault(node: Node, wrong: str, hint: str = "") -> Fault:
    return Fault(f"`{node.text}`{wrong}", hint, node.start, node.end)


def _is_zero(node: Node) -> bool:
    return isinstance(node, Number) and node.value == 0


@dataclass(frozen=True)
class _Check:
    """One pass over a formula with the names that it may use."""

    names: Mapping[str, Shape]
    on: Mapping[str, str]

    def shape(self, node: Node) -> Shape:  # noqa: C901 - one case per sort of node
        """The shape of any node."""
        match node:
            case Number():
                return Shape(RATIO)
            case Name():
                return self.name(node)
            case Unary(operator=sign, operand=operand):
                return self.answer(operand) if sign == "not" else self.number(operand)
            case Binary():
                return self.arithmetic(node)
            case Compare(left=left, right=right):
                return replace(self.alike(node, (left, right), "compared with"), holds=Holds.TRUTH)
            case Logic(operands=operands):
                return self.meet(node, [self.answer(operand) for operand in operands])
            case Steps(items=items):
                return self.alike(node, items, "beside")
            case Call(function=function):
                return _CALLS[FUNCTIONS[function].sort](self, node)
            case _:
                assert_never(node)

    def number(self, node: Node) -> Shape:
        """The shape of a node that must be a number."""
        shape = self.shape(node)
        if shape.holds is Holds.TRUTH:
            raise _fault(node, " is yes or no, where a number is wanted", "leave the comparison out here")
        return shape

    def answer(self, node: Node) -> Shape:
        """The shape of a node that must be yes or no."""
        shape = self.shape(node)
        if shape.holds is not Holds.TRUTH:
            raise _fault(node, " is a number, where yes or no is wanted", "compare it with something")
        return shape

    def name(self, node: Name) -> Shape:
        """The shape of a bare name: of `names` first, then `pi`, then a unit."""
        if node.name in self.names:
            shape = self.names[node.name]
            if shape.holds in _BARE_FAULTS:
                wrong, hint = _BARE_FAULTS[shape.holds]
                raise _fault(node, wrong, hint.format(node.name))
            return replace(shape, holds=Holds.TRUTH if shape.holds is Holds.TRUTH else Holds.VALUE)
        unit = IDENTIFIERS.get(node.name)
        if unit is None and node.name != "pi":
            raise self.unknown(node)
        if unit is not None and unit.offset:
            hint = f"write `{unit}(68)` for a temperature, `18 * {unit.symbol[-1]}deg` for a difference"
            raise _fault(node, " alone is neither a temperature nor a difference", hint)
        return Shape(RATIO if unit is None else unit.dimension)

    def unknown(self, node: Node) -> Fault:
        """The fault for a name that nobody knows."""
        name = word(node)
        near = [_TAKEN[name]] if name in _TAKEN else get_close_matches(name, [*self.names, *IDENTIFIERS], 1)
        hint = f"did you mean `{near[0]}`" if near else "name a reading, a characteristic or a unit"
        return _fault(node, " is no reading, characteristic or unit here", hint)

    def meet(self, node: Node, shapes: Sequence[Shape]) -> Shape:
        """The first shape, run over the dimensions of all; or why they have no common position."""
        dims = join([shape.dims for shape in shapes], self.on)
        if isinstance(dims, str):
            hint = "pick or reduce one of them first, or say in `features` what sits on what"
            raise _fault(node, f": {dims}", hint)
        labels: dict[str, tuple[str, ...]] = {}
        for dim, given in ((dim, given) for shape in shapes for dim, given in shape.labels.items()):
            if set(labels.setdefault(dim, given)) != set(given):
                wrong = f": the {dim} is {', '.join(labels[dim])} in one and {', '.join(given)} in another"
                raise _fault(node, wrong, "pick or reduce one of them first")
        return Shape(shapes[0].dimension, dims, shapes[0].holds, labels)

    def alike(self, node: Node, operands: Sequence[Node], between: str) -> Shape:
        """Operands of one dimension; a plain 0 goes with any."""
        shapes = [self.number(operand) for operand in operands]
        weighed = [shape for shape, operand in zip(shapes, operands, strict=True) if not _is_zero(operand)]
        first = (weighed or shapes)[0].dimension
        for shape in weighed:
            if shape.dimension != first:
                plain = RATIO in (shape.dimension, first)
                hint = "give the plain number a unit, for example `0.002 * inch`" if plain else ""
                raise _fault(node, f": {kind_of(first)} {between} {kind_of(shape.dimension)}", hint)
        return replace(self.meet(node, shapes), dimension=first)

    def arithmetic(self, node: Binary) -> Shape:
        """Sums of like with like; products and quotients of anything; powers of plain numbers."""
        if node.operator in _SUMS:
            return self.alike(node, (node.left, node.right), _SUMS[node.operator])
        left, right = self.number(node.left), self.number(node.right)
        met = self.meet(node, (left, right))
        if node.operator == "*":
            return replace(met, dimension=left.dimension * right.dimension)
        if node.operator == "/":
            return replace(met, dimension=left.dimension / right.dimension)
        return replace(met, dimension=self.power(node, left.dimension, right.dimension))

    def power(self, node: Binary, base: Dimension, exponent: Dimension) -> Dimension:
        """The dimension of a power: any plain exponent for a plain number, a written one for the others."""
        if exponent != RATIO:
            raise _fault(node, f": a power that is {kind_of(exponent)}", "make the power a plain number")
        if base == RATIO:
            return base
        written = constant(node.right)
        if written is None:
            wrong = f": {kind_of(base)} to a power that is not written out"
            raise _fault(node, wrong, "write the power as a number")
        root = (base**written.numerator).root(written.denominator)
        if root is None:
            raise _fault(node, f": no measure is {kind_of(base)} to this power", "divide by a unit first")
        return root

    def reduced(self, node: Call) -> Shape:
        """`max(journal, axis)` along dimensions, or `max(a, b)` position by position."""
        first, *rest = node.arguments
        shape = self.shape(first)
        if node.function != "count":
            self.number(first)
        along = [word(argument) for argument in rest if word(argument) in shape.dims]
        if len(along) < len(rest) or not rest:
            return self.beside(node, shape, along)
        dims = tuple(dim for dim in shape.dims if dim not in along)
        labels = {dim: labels for dim, labels in shape.labels.items() if dim in dims}
        return Shape(RATIO if node.function == "count" else shape.dimension, dims, Holds.VALUE, labels)

    def beside(self, node: Call, shape: Shape, along: Sequence[str]) -> Shape:
        """Several values position by position; a word among dimensions that is none is what is wrong."""
        first, *rest = node.arguments
        over = ", ".join(shape.dims)
        hint = f"`{first.text}` runs over {over}" if over else f"`{first.text}` is one value, not several"
        if not rest:
            raise _fault(node, " does not say what it runs over", f"name the dimensions; {hint}")
        for argument in rest:
            strange = isinstance(argument, Name) and argument.name not in {*self.names, *IDENTIFIERS, "pi"}
            if strange and word(argument) not in along:
                raise _fault(argument, " is neither a dimension nor a value here", hint)
        if along:
            raise _fault(node, " mixes dimensions with values", "do one after the other")
        shape = self.alike(node, node.arguments, "beside")
        return replace(shape, dimension=RATIO) if node.function == "count" else shape

    def along(self, node: Call) -> tuple[Shape, str]:
        """The shape of the first argument, and the dimension that the second names."""
        shape, dim = self.shape(node.arguments[0]), word(node.arguments[1])
        if dim not in shape.dims:
            over = f"it runs over {', '.join(shape.dims)}" if shape.dims else "it is one value"
            raise _fault(node.arguments[1], f" is no dimension of `{node.arguments[0].text}`", over)
        return shape, dim

    def picked(self, node: Call) -> Shape:
        """`pick(bore, axis, V)`: one label removes the dimension, several narrow it."""
        shape, dim = self.along(node)
        known = shape.labels.get(dim)
        for label in node.arguments[2:]:
            if known is not None and word(label) not in known:
                wrong = f" is no {dim} of `{node.arguments[0].text}`"
                raise _fault(label, wrong, f"they are {', '.join(known)}")
        chosen = tuple(word(label) for label in node.arguments[2:])
        others = {name: labels for name, labels in shape.labels.items() if name != dim}
        if len(chosen) > 1:
            return replace(shape, labels={**others, dim: chosen})
        return replace(shape, dims=tuple(name for name in shape.dims if name != dim), labels=others)

    def neighboured(self, node: Call) -> Shape:
        """`neighbour(stand_proud, cylinder)`."""
        shape, _ = self.along(node)
        return shape

    def bound(self, node: Call) -> Shape:
        """`low(main.clearance)`, `least(clearance)`."""
        named = node.arguments[0]
        shape = self.names.get(word(named))
        if shape is None:
            raise self.unknown(named)
        held = {Holds.LIMIT, Holds.EXACT, *([Holds.PAIR] if node.function in ("least", "most") else [])}
        if shape.holds not in held:
            wrong = " has a least and a most, no limits" if shape.holds is Holds.PAIR else " has no limits"
            raise _fault(named, wrong, f"write it like `{FUNCTIONS[node.function].form}`")
        return replace(shape, holds=Holds.VALUE)

    def step(self, node: Call) -> Shape:
        """`first_at_least(bore.oversizes, needed)`."""
        listed, wanted = node.arguments
        sizes = self.names.get(word(listed)) if not isinstance(listed, Steps) else self.shape(listed)
        if sizes is None or not (isinstance(listed, Steps) or sizes.holds is Holds.STEPS):
            raise _fault(listed, " lists no sizes", f"write it like `{FUNCTIONS[node.function].form}`")
        shape = self.number(wanted)
        if shape.dimension != sizes.dimension:
            wrong = f": {kind_of(shape.dimension)} in a list where each is {kind_of(sizes.dimension)}"
            raise _fault(node, wrong, "list and value must measure the same")
        return shape

    def curved(self, node: Call) -> Shape:
        """`sqrt(area)`, `sin(angle)`, `abs(difference)`."""
        shape = self.number(node.arguments[0])
        taken, given = _CURVES.get(node.function, (shape.dimension, shape.dimension))
        if shape.dimension != taken:
            wrong = f": {kind_of(shape.dimension)} where {kind_of(taken)} is wanted"
            raise _fault(node, wrong, f"write it like `{FUNCTIONS[node.function].form}`")
        if node.function == "sqrt":
            return replace(shape, dimension=self.root(node, shape.dimension))
        return replace(shape, dimension=given)

    def root(self, node: Call, dimension: Dimension) -> Dimension:
        """The dimension of a square root."""
        root = dimension.root(2)
        if root is None:
            wrong = f": no measure is the root of {kind_of(dimension)}"
            raise _fault(node, wrong, "check what stands under the root")
        return root


_SUMS = {"+": "plus", "-": "minus"}
_CURVES = {
    "exp": (RATIO, RATIO),
    "log": (RATIO, RATIO),
    "asin": (RATIO, ANGLE),
    "sin": (ANGLE, RATIO),
    "cos": (ANGLE, RATIO),
    "degF": (RATIO, TEMPERATURE),
    "degC": (RATIO, TEMPERATURE),
}
_TAKEN = {"min": "minute", "count": "pieces"}  # units whose names are functions here
_BARE_FAULTS = {
    Holds.LIMIT: (" has limits, not one value", "write `low({0})`, `high({0})` or `mid({0})`"),
    Holds.PAIR: (" has a least and a most", "write `least({0})` or `most({0})`"),
    Holds.STEPS: (" is a list of sizes", "write `nearest({0}, …)` or `first_at_least({0}, …)`"),
}
_CALLS: dict[Sort, Callable[[_Check, Call], Shape]] = {
    Sort.REDUCE: _Check.reduced,
    Sort.PICK: _Check.picked,
    Sort.NEIGHBOUR: _Check.neighboured,
    Sort.BOUND: _Check.bound,
    Sort.STEP: _Check.step,
    Sort.CURVE: _Check.curved,
    Sort.DEGREES: _Check.curved,
}

"""Formula text to nodes: what is read, where it stands, and what is refused in which words."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from builder.diagnostics import Fault
from builder.formula import Amount, Node, Scope, evaluate, names_of, parse, single
from builder.formula.nodes import Binary, Call, Compare, Logic, Name, Number, Steps, Unary, children
from builder.formula.parse import DEEPEST, LONGEST


def _refusal(text: str) -> tuple[str, str, str]:
    """The part of the text that is refused, the message, the hint."""
    with pytest.raises(Fault) as caught:
        parse(text)
    fault = caught.value
    return text[fault.start : fault.end], fault.message, fault.hint


def _all(node: Node) -> list[Node]:
    return [node, *(below for child in children(node) for below in _all(child))]


def test_number_keeps_its_digits_and_is_exact() -> None:
    """`0.0020` is one five-hundredth, with the text that was typed."""
    assert parse("0.0020") == Number(0, 6, "0.0020", Fraction(1, 500))


def test_every_node_knows_its_words() -> None:
    """Start and end of each node cut its own words out of the author's text."""
    text = "  min(pick(bore, axis, V) - max(journal, axis),\n plane) <= low(main.gap) and not -x**2 > [1, 2]"
    flat = text.replace("\n", " ")

    assert all(flat[node.start : node.end] == node.text for node in _all(parse(text)))


def test_places_count_characters_not_bytes() -> None:
    """A letter outside ASCII before a name does not shift the name's place."""
    node = parse("µm + bore")

    assert isinstance(node, Binary)
    assert (node.right.start, node.right.end) == (5, 9)


def test_dotted_name_is_one_name() -> None:
    """`main.clearance` is a characteristic's id, not an operation."""
    assert parse("main.clearance") == Name(0, 14, "main.clearance", "main.clearance")


def test_power_binds_closer_than_sign() -> None:
    """`-x ** 2` is the negative of a square."""
    node = parse("-x ** 2")

    assert isinstance(node, Unary)
    assert isinstance(node.operand, Binary)


def test_chain_of_comparisons_is_all_of_them() -> None:
    """`a < b <= c` asks both."""
    node = parse("a < b <= c")

    assert isinstance(node, Logic)
    assert node.operator == "and"
    assert [(part.text, part.operator) for part in node.operands if isinstance(part, Compare)] == [
        ("a < b", "<"),
        ("b <= c", "<="),
    ]


def test_list_of_sizes_is_read() -> None:
    """Sizes may be written out where a list is wanted."""
    node = parse("nearest([0.010, 0.020], x)")

    assert isinstance(node, Call)
    assert isinstance(node.arguments[0], Steps)


def test_names_come_in_the_order_of_the_text() -> None:
    """All names, units, dimensions and labels among them."""
    assert [name.name for name in names_of(parse("max(bore, axis) - 2 * main.wall + thou"))] == [
        "bore",
        "axis",
        "main.wall",
        "thou",
    ]


@pytest.mark.parametrize(
    ("text", "part", "message", "hint"),
    [
        ("", "", "the formula is empty", "write the calculation, for example `bore - journal`"),
        ("bore -", "-", "nothing follows `-`", "write what comes after it"),
        ("bore journal", "journal", "`journal` makes no sense here",
         "look for a missing sign, bracket or comma at this place"),
        ("bore − 1", "−", "`−` has no meaning in a formula", "write `-`"),
        ("2 × wall", "×", "`×` has no meaning in a formula", "write `*`"),
        ("d^2", "^", "`^` has no meaning in a formula", "write `**` for a power"),
        ("2 % 3", "%", "`%` has no meaning in a formula", "write the factor `percent`"),
        ("0.002 * in", "in", "`in` is a word that a formula cannot use", "write `inch` for the unit"),
        ("a = b", "=", "`=` compares nothing", "write `==` to ask whether two values are equal"),
        ("2,4272", "2,4272", "`2,4272` has a comma that separates nothing", "write a decimal point"),
        ("1_000", "1_000", "`1_000` is not a number that a formula can use",
         "write digits, for example `0.0020`"),
        ("0x10", "0x10", "`0x10` is not a number that a formula can use",
         "write digits, for example `0.0020`"),
        ("1e999", "1e999", "`1e999` is not a number that a formula can use",
         "write digits, for example `0.0020`"),
        ("True", "True", "`True` is not a number that a formula can use",
         "write digits, for example `0.0020`"),
        ("a if b else c", "a if b else c", "`a if b else c` is not part of the formula language",
         "use arithmetic, comparisons and the functions of the formula language"),
        ("x is y", "x is y", "`x is y` is not a comparison that a formula can make",
         "compare with `<`, `<=`, `>`, `>=`, `==` or `!=`"),
        ("a[1]", "a[1]", "`a[1]` is not part of the formula language",
         "use arithmetic, comparisons and the functions of the formula language"),
        ("(a + b).c", "a + b", "`a + b` stands before a dot",
         "only a name such as `main.clearance` holds dots"),
        ("spred(bore, axis)", "spred", "`spred` is not a function of the formula language",
         "did you mean `spread`"),
        ("pick(bore, axis)", "pick(bore, axis)", "`pick(bore, axis)` is not how `pick` is written",
         "write it like `pick(bore, axis, V)`"),
        ("low(a - b)", "low(a - b)", "`low(a - b)` is not how `low` is written",
         "write it like `low(main.clearance)`"),
        ("min(*x)", "*x", "`*x` is not part of the formula language",
         "use arithmetic, comparisons and the functions of the formula language"),
        ("min(x=1)", "min(x=1)", "`min(x=1)` is not how `min` is written",
         "write it like `min(bore, plane)`"),
    ],
)  # fmt: skip
def test_what_is_refused_says_where_and_what_instead(text: str, part: str, message: str, hint: str) -> None:
    """Each refusal stands at its words and says what to write."""
    assert _refusal(text) == (part, message, hint)


def test_long_formula_is_refused() -> None:
    """A page of formula is refused before it is read."""
    assert _refusal("1+" * LONGEST + "1")[1] == f"the formula is longer than {LONGEST} characters"


@pytest.mark.parametrize("text", ["(" * 900 + "1" + ")" * 900, "-" * 1900 + "1", "1" + "**1" * 600])
def test_deep_formula_is_refused(text: str) -> None:
    """Nesting beyond what can be worked out is a fault, never a crash."""
    with pytest.raises(Fault):
        parse(text)


def test_formula_at_the_deepest_is_worked_out() -> None:
    """A sum of sixty ones is sixty: the deepest formula that is read is also evaluated and exported."""
    text = " + ".join(["1"] * DEEPEST)

    assert evaluate(parse(text), Scope()) == single(Amount(Fraction(DEEPEST)))
    assert _refusal(f"{text} + 1")[1] == f"the formula is nested deeper than {DEEPEST} levels"


def _read_or_refused(text: str) -> None:
    """Reading raises nothing but a fault, and what is read or refused lies within the text."""
    try:
        node = parse(text)
    except Fault as refused:
        place, message = (refused.start, refused.end), refused.message
    else:
        place, message = (node.start, node.end), node.text
    assert message
    assert not message.endswith("\n")
    assert 0 <= place[0] <= (len(text) if place[1] is None else place[1]) <= len(text)


@example("a\x00b")
@example("a\ud800b")
@example("a\u200b+ b")
@given(st.text(st.characters(exclude_categories=()), max_size=60))
def test_any_text_is_read_or_refused(text: str) -> None:
    """No text makes the parser raise anything but a fault."""
    _read_or_refused(text)


@given(st.text("abx01.*/-+()<>=, [_]minV", max_size=25))
def test_near_formulas_are_read_or_refused(text: str) -> None:
    """The same for texts made of what formulas are made of."""
    _read_or_refused(text)

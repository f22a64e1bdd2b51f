"""Plain data compared: each difference by its place, values with and without their citations."""

from __future__ import annotations

from builder.revision.change import Change, differences, line, said


def test_line_tells_what_was_and_what_is() -> None:
    """Changed, added, taken out, and what needs no value."""
    assert [
        line(Change("top ring gap, aim", "0.011 to 0.013 in", "0.012 to 0.014 in")),
        line(Change("tools", "", "scraper")),
        line(Change("tools", "scraper", "")),
        line(Change("step 2 (bore): moved, first now")),
    ] == [
        "top ring gap, aim: 0.011 to 0.013 in → 0.012 to 0.014 in",
        "tools added: scraper",
        "tools taken out: scraper",
        "step 2 (bore): moved, first now",
    ]


def test_same_citation_is_not_told_twice() -> None:
    """A value whose book and page stayed is told without them; another page is told with them."""
    old, new = "1.5 in min [manual p. 2]", "1.6 in min [manual p. 2]"
    paged = "1.5 in min [manual p. 3]"

    assert list(map(line, differences("x", old, new))) == ["x: 1.5 in min → 1.6 in min"]
    assert list(map(line, differences("x", old, paged))) == [f"x: {old} → {paged}"]


def test_brackets_that_cite_nothing_are_told_as_they_stand() -> None:
    """A text with an open bracket is no citation and no fault."""
    assert list(map(line, differences("x", "a [b", "a [c"))) == ["x: a [b → a [c"]


def test_parts_of_a_list_are_paired_in_their_order() -> None:
    """What stayed is left out; the first that went is held against the first that came."""
    old = [{"do": "a", "then": "x"}, {"do": "b"}]
    new = [{"do": "b"}, {"do": "a", "then": "y"}, {"do": "c"}]

    assert [(line(one), one.keys) for one in differences("if out", old, new, ("if_out",))] == [
        ("if out 2, then: x → y", ("if_out", "1", "then")),
        ("if out 3 added: do c", ("if_out", "2")),
    ]
    assert list(map(line, differences("if out", old, [old[1], old[0]]))) == ["if out: in another order"]


def test_conditions_are_said_as_alternatives() -> None:
    """Traits that must all hold stand together; what may hold instead is set apart."""
    assert said([{"liners": ["wet"]}, {"pin": ["floating", "pressed"], "valves": ["side"]}]) == (
        "liners wet; or pin floating, pressed; valves side"
    )


def test_nothing_changed_is_nothing_told() -> None:
    """Equal data give no line."""
    assert list(differences("x", {"a": [1, {"b": None}]}, {"a": [1, {"b": None}]})) == []

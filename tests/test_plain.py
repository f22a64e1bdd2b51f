"""Parts of the manual as plain data: only what they say is left, in a form that layout does not touch."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.manual import load
from builder.model.layout import condition_of
from builder.model.procedure import count_of
from builder.plain import plain
from builder.yaml_text import Mapping, Sequence, Text, read_text

BASE = Path(__file__).parent / "rules" / "base"


def test_runs_of_blanks_are_one_blank() -> None:
    """A sentence that is wrapped, or typed with two blanks, says the same."""
    assert plain(Text("Bore  the\nmetal. ")) == "Bore the metal."


def test_condition_is_told_in_an_order_of_its_own() -> None:
    """Traits, their values and the alternatives may be written in any order."""
    one = read_text("any: [{valves: [side, f_head], pin: floating}, {liners: wet}]", "a.yaml").root
    other = read_text("any: [{liners: wet}, {pin: floating, valves: [f_head, side]}]", "a.yaml").root

    assert plain(condition_of(one)) == plain(condition_of(other))
    assert plain(condition_of(one)) == [
        {"liners": ["wet"]},
        {"pin": ["floating"], "valves": ["f_head", "side"]},
    ]


def test_count_keeps_its_condition() -> None:
    """A part that only some layouts take is not the same as one that all take."""
    under = read_text("{count: 2 each main, when: {valves: side}}", "a.yaml").root

    assert plain(count_of(Text("2 each main"))) == "2 each main"
    assert plain(count_of(under)) == {"count": "2 each main", "when": [{"valves": ["side"]}]}


def test_default_said_on_purpose_is_not_said() -> None:
    """`irreversible: false` says what its absence says."""
    manual, _ = load(BASE)
    steps = plain(manual.procedures["fit-mains"])["steps"]

    assert [step.get("irreversible") for step in steps] == [None, True, None]


def test_every_part_of_a_manual_has_plain_data() -> None:
    """Families, procedures, holds, hazards, instruments, terms, sources and plans all go through."""
    manual, _ = load(BASE)

    assert set(plain(manual.engines["tallow-four"])) == {
        "engine", "title", "made", "layout", "features", "sources", "specs"
    }  # fmt: skip
    assert plain(manual.engines["tallow-four"].features)["ring"] == {
        "names": ["top", "second", "oil"],
        "of": "cylinder",
    }
    for part in (manual.holds, manual.hazards, manual.instruments, manual.terms, manual.sources, manual.redo):
        assert plain(part)


def test_what_is_no_part_of_a_manual_is_refused() -> None:
    """A value that has no text and no fields is a slip of the program, not something to be left out."""
    with pytest.raises(TypeError, match=r"\w*Path is no part of a manual"):
        plain(Path("x"))


def test_trees_of_text_go_through_as_they_are() -> None:
    """A tree that was only read is plain already."""
    tree = Mapping()
    tree[Text("a")] = Sequence()

    assert plain(tree) == {"a": []}

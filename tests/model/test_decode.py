"""From text to typed parts: every fault a diagnostic at its place, and whatever reads is kept."""

from __future__ import annotations

from textwrap import dedent
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import TypeAdapter

from builder.diagnostic_formats import as_lines
from builder.model.decode import Decoded, adapter_of, decode
from builder.model.engine import Engine
from builder.model.procedure import Procedure
from builder.yaml_text import read_text

ENGINE = adapter_of(Engine)
PROCEDURE = adapter_of(Procedure)

HEAD = """\
engine: four
title: Four (invented)
layout: {valves: side}
features: {main: 3}
specs:
"""
ROW = """\
  main.journal:
    title: Main journal
    kind: shaft
    new: 1.8740 to 1.8745 in [manual p. 22]
"""
BORE = ROW.replace("main.journal", "main.bore")


def engine(text: str) -> Decoded[Engine]:
    """An engine family decoded from YAML."""
    return decode(read_text(text, "four.yaml"), ENGINE)


def faults(text: str) -> str:
    """What is wrong with an engine family, written as lines."""
    return as_lines(engine(text).faults)


def test_sound_file_is_decoded_whole() -> None:
    """A file without faults gives its model, nothing left out."""
    decoded = engine(HEAD + ROW)

    assert decoded.faults == ()
    assert decoded.left_out == frozenset()
    assert decoded.value is not None
    assert list(decoded.value.specs) == ["main.journal"]


def test_faulty_row_is_left_out_and_its_mates_are_kept() -> None:
    """One bad limit loses its own row only, and the row's name is remembered."""
    decoded = engine(HEAD + ROW.replace("1.8740 to", "1,8740 to") + BORE)

    assert as_lines(decoded.faults) == (
        "four.yaml:9:10: GL-104 `1,8740` has a comma for a decimal point\n    write `1.8740`\n"
    )
    assert decoded.value is not None
    assert list(decoded.value.specs) == ["main.bore"]
    assert decoded.left_out >= {"main.journal", "four.yaml:specs"}


def test_two_faulty_steps_lose_themselves_and_no_other() -> None:
    """Of four steps the first and the third do not read; the second and the fourth are kept."""
    more = "  - {id: three, do: Fit {}.}\n  - {id: four, do: Fit the lock.}\n"
    text = STEPS.replace("do: Fit the cap.", "od: Fit the cap.") + more.replace("Fit {}.", '"Fit {}."')
    decoded = decode(read_text(text, "fit.yaml"), PROCEDURE)

    assert decoded.value is not None
    assert [step.id for step in decoded.value.steps] == ["two", "four"]
    assert decoded.left_out >= {"one", "three"}


def test_faults_of_different_rows_are_found_together() -> None:
    """No fault hides another: three rows with three faults give three diagnostics."""
    third = ROW.replace("main.journal", "main.width").replace("kind: shaft", "kind: width\n    ecah: main")
    text = (
        HEAD + ROW.replace("1.8740 to", "1.8790 to") + BORE.replace("    title: Main journal\n", "") + third
    )

    assert [fault.code for fault in engine(text).faults] == ["GL-104", "GL-101", "GL-102"]


SHAPES = {
    "a missing part": (
        HEAD + ROW.replace("    kind: shaft\n", ""),
        "four.yaml:6:3: GL-101 `kind` is missing in `main.journal`\n    write `kind:`\n",
    ),
    "an unknown part": (
        HEAD + ROW + "    knid: shaft\n",
        "four.yaml:10:5: GL-102 `knid` is not known here\n    look at its spelling, or at its indent\n",
    ),
    "a comma in a sentence inside braces": (
        HEAD + '  a: {title: A, kind: text, new: "x [m 1]", note: seen, not felt}\n',
        (
            "four.yaml:6:57: GL-102 `not felt` is not known here\n"
            "    put a sentence that holds a comma on a line of its own: inside `{…}` the comma ends it\n"
        ),
    ),
    "one value for a mapping": (
        HEAD + "  main.journal: 1.8740 in\n",
        (
            "four.yaml:6:17: GL-103 `main.journal`: a mapping belongs here\n"
            "    write `name: value` lines, indented\n"
        ),
    ),
    "a mapping for one value": (
        HEAD + ROW.replace("title: Main journal", "title: {en: Main journal}"),
        (
            "four.yaml:7:12: GL-104 a list or a mapping stands where one value belongs\n"
            "    write one value after the colon\n"
        ),
    ),
    "an empty value": (
        HEAD + ROW.replace("title: Main journal", "title:"),
        "four.yaml:7:11: GL-104 nothing is written here\n    write the value, or remove the key\n",
    ),
    "a trait that is not known": (
        HEAD.replace("valves", "valvs") + ROW,
        "four.yaml:3:10: GL-104 `valvs` is not a trait of an engine\n    write `valves`\n",
    ),
    "a value that a trait does not have": (
        HEAD.replace("side", "sides") + ROW,
        "four.yaml:3:18: GL-104 `sides` is no value of `valves`\n    write `side`\n",
    ),
    "a count that is none": (
        HEAD.replace("main: 3", "main: three") + ROW,
        "four.yaml:4:18: GL-104 `three` is not a count\n    write a whole number from 1 to 200\n",
    ),
}


@pytest.mark.parametrize("name", SHAPES)
def test_fault_of_shape_says_where_and_what_to_write(name: str) -> None:
    """Each way in which a shape goes wrong gives exactly one diagnostic, at the very words."""
    text, expected = SHAPES[name]

    assert faults(text) == expected


def test_fault_at_the_head_does_not_hide_the_rows() -> None:
    """A missing title and an unknown key at the top are reported with the fault in a row."""
    text = HEAD.replace("title: Four (invented)\n", "ttile: Four\n") + ROW.replace("1.8745 in", "1.8745")

    assert as_lines(sorted(engine(text).faults)) == dedent("""\
        four.yaml:1:1: GL-101 `title` is missing
            write `title:`
        four.yaml:2:1: GL-102 `ttile` is not known here
            look at its spelling, or at its indent
        four.yaml:9:10: GL-104 `1.8740 to 1.8745` has no unit
            write the unit too, for example `in`, `lb-ft` or `count`
    """)


def test_rows_are_checked_under_a_faulty_head() -> None:
    """Where something small is missing at the top, the rest of the file is still decoded."""
    decoded = engine(HEAD.replace("title: Four (invented)\n", "") + ROW)

    assert decoded.value is not None
    assert list(decoded.value.specs) == ["main.journal"]


def test_missing_id_is_taken_from_the_file_name() -> None:
    """A family without its id is still known by its file, so that nothing else complains of it."""
    decoded = engine(HEAD.replace("engine: four\n", "") + ROW)

    assert as_lines(decoded.faults) == "four.yaml:1:1: GL-101 `engine` is missing\n    write `engine:`\n"
    assert decoded.value is not None
    assert decoded.value.engine == "four"


@pytest.mark.parametrize("missing", ["layout: {valves: side}\n", "features: {main: 3}\n"])
def test_file_without_a_whole_table_is_left_out(missing: str) -> None:
    """Without its layout or its features a family cannot be checked; that is one diagnostic."""
    decoded = engine(HEAD.replace(missing, "") + ROW)

    assert decoded.value is None
    assert [fault.code for fault in decoded.faults] == ["GL-101"]


def test_what_the_reader_refused_is_not_reported_again() -> None:
    """An alias stands for nothing, and that nothing is not a second fault."""
    text = (
        HEAD
        + ROW.replace("new: 1", "new: &band 1")
        + BORE.replace("1.8740 to 1.8745 in [manual p. 22]", "*band")
    )
    document = read_text(text, "four.yaml")
    decoded = decode(document, ENGINE)

    assert [fault.code for fault in document.faults] == ["GL-009", "GL-009"]
    assert decoded.faults == ()


STEPS = """\
procedure: fit
code: P1
title: Fit
purpose: A fit.
revision: 1
needs: none
tools: none
parts: none
supplies: none
hazards: none
steps:
  - {id: one, do: Fit the cap.}
  - {id: two, do: Fit the nut.}
"""


def test_faulty_step_is_left_out_by_its_id() -> None:
    """A step that does not read is known by its id, so that what leads to it is no fault."""
    text = STEPS.replace("Fit the nut.", "Fit {the nut}.").replace(
        "do: Fit {the nut}.", 'do: "Fit {the nut}."'
    )
    decoded = decode(read_text(text, "fit.yaml"), PROCEDURE)

    assert as_lines(decoded.faults) == (
        "fit.yaml:13:24: GL-104 `{the nut}` is not the name of a value\n"
        "    write the id of a characteristic in braces, as in `{main.clearance}`\n"
    )
    assert decoded.value is not None
    assert [step.id for step in decoded.value.steps] == ["one"]
    assert decoded.left_out >= {"two", "fit.yaml:steps"}


@pytest.mark.parametrize(
    "key", ["code", "title", "purpose", "revision", "needs", "tools", "parts", "supplies", "hazards"]
)
def test_each_missing_line_of_a_procedure_is_one_fault(key: str) -> None:
    """A procedure that lacks one line of its head says so, and its steps are kept."""
    text = "".join(line for line in STEPS.splitlines(keepends=True) if not line.startswith(f"{key}:"))
    decoded = decode(read_text(text, "fit.yaml"), PROCEDURE)

    assert as_lines(decoded.faults) == f"fit.yaml:1:1: GL-101 `{key}` is missing\n    write `{key}:`\n"
    assert decoded.value is not None
    assert len(decoded.value.steps) == 2


KEYS = st.sampled_from(
    ["engine", "title", "layout", "features", "specs", "new", "kind", "each", "a", "main", ""]
)
SCALARS = st.one_of(
    st.sampled_from(["shaft", "order", "curve", "1 to 2 in [m 1]", "3", "none", ""]), st.text(max_size=8)
)
TREES = st.recursive(
    SCALARS,
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(KEYS, inner, max_size=4)),
    max_leaves=12,
)


def written(tree: object) -> str:
    """A tree as YAML in one line, every scalar in quotes."""
    if isinstance(tree, dict):
        return "{" + ", ".join(f"{written(key)}: {written(value)}" for key, value in tree.items()) + "}"
    if isinstance(tree, list):
        return "[" + ", ".join(map(written, tree)) + "]"
    return "'" + str(tree).replace("'", "''") + "'"


@given(TREES, st.sampled_from([ENGINE, PROCEDURE]))
def test_any_tree_is_decoded_or_refused(tree: object, adapter: TypeAdapter[Any]) -> None:
    """No shape makes the decoder raise; what it does not take it says why."""
    document = read_text(written(tree), "four.yaml")
    decoded: Decoded[object] = decode(document, adapter)

    assert decoded.value is not None or decoded.faults or document.faults

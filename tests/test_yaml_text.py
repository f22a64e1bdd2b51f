"""The reader: every scalar as typed, with its place; every bad file a diagnostic at its line and column."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.diagnostic_formats import as_lines
from builder.yaml_text import (
    MAX_BYTES,
    MAX_DEPTH,
    Document,
    Mapping,
    Sequence,
    Text,
    Tree,
    read_file,
    read_text,
)

HINT = "look for a missing quote, colon or indent here or on the line before"


def faults(text: str) -> str:
    """What is wrong with a text, written as lines."""
    return as_lines(read_text(text, "f.yaml").faults)


def root(text: str) -> Tree | None:
    """The tree of a text."""
    return read_text(text, "f.yaml").root


def test_five_scalars_survive_as_typed() -> None:
    """Nothing is resolved: YAML 1.1 would make 750, 83, True and 0.05 of the first four."""
    typed = root("a: 12:30\nb: 0123\nc: on\nd: 0.050\ne: 1e-3\n")

    assert typed == {"a": "12:30", "b": "0123", "c": "on", "d": "0.050", "e": "1e-3"}


def test_every_node_knows_its_place() -> None:
    """Lines and columns count from 1; the end column is the first one outside."""
    tree = root("specs:\n  main.clearance: {new: 0.0012 to 0.0022 in}\n")
    assert isinstance(tree, Mapping)
    specs = tree[Text("specs")]
    assert isinstance(specs, Mapping)
    row = specs[Text("main.clearance")]
    assert isinstance(row, Mapping)
    limit = row[Text("new")]

    assert str(next(iter(specs)).span) == "f.yaml:2:3"
    assert str(row.span) == "f.yaml:2:19"
    assert isinstance(limit, Text)
    assert (limit.span.line, limit.span.column, limit.span.end_column) == (2, 25, 44)


def test_columns_count_characters_and_not_bytes() -> None:
    """A sign outside ASCII before a value does not move its column."""
    tree = root("a: {é±µ: 5 mm}\n")
    assert isinstance(tree, Mapping)
    inner = tree[Text("a")]
    assert isinstance(inner, Mapping)
    value = inner[Text("é±µ")]

    assert isinstance(value, Text)
    assert str(value.span) == "f.yaml:1:10"


@pytest.mark.parametrize(
    ("text", "column"),
    [("a: 0.0012 in [m 3]", 4), ('a: "0.0012 in [m 3]"', 5), ("a: '0.0012 in [m 3]'", 5)],
)
def test_part_of_a_scalar_has_its_own_place(text: str, column: int) -> None:
    """The place of a part stands inside the quotes."""
    tree = root(text)
    assert isinstance(tree, Mapping)
    value = tree[Text("a")]
    assert isinstance(value, Text)
    part = value.part(10, 15)

    assert (part.column, part.end_column) == (column + 10, column + 15)


@pytest.mark.parametrize("text", ["a: 0.0012\n  in [m 3]\n", 'a: "0.0012\\tin"\n'])
def test_part_of_a_folded_or_escaped_scalar_is_the_whole(text: str) -> None:
    """Where offsets and columns do not run together, the whole scalar is shown."""
    tree = root(text)
    assert isinstance(tree, Mapping)
    value = tree[Text("a")]

    assert isinstance(value, Text)
    assert value.part(3, 5) == value.span


BROKEN = {
    "a quote that is never closed": (
        'a: 1\nb: "open\nc: 2\n',
        "f.yaml:2:4: GL-005 the quote that begins here is never closed\n    close it\n",
    ),
    "a second colon": (
        "a: b: c\n",
        (
            "f.yaml:1:5: GL-005 the YAML breaks here: mapping values are not allowed in this context\n"
            "    put quotes round a sentence that holds `: `\n"
        ),
    ),
    "a comma inside braces": (
        "a: {see: one, two [m 3]}\n",
        (
            "f.yaml:1:19: GL-005 the YAML breaks here: did not find expected ',' or '}'\n"
            "    inside `{…}` and `[…]` a comma or bracket ends the value: "
            "write sentences and cited limits on lines of their own\n"
        ),
    ),
    "a wrong indent": (
        "a:\n  b: 1\n c: 2\n",
        f"f.yaml:3:2: GL-005 the YAML breaks here: did not find expected key\n    {HINT}\n",
    ),
    "a tab for indent": (
        "a:\n\tb: 1\n",
        "f.yaml:2:1: GL-004 a tab stands where only spaces may\n    indent with spaces\n",
    ),
    "a control character": (
        "a: 1\nb: é\x01\n",
        (
            "f.yaml:2:5: GL-005 the character number 1 cannot stand in a file\n"
            "    remove it; an editor may show it as a blank or not at all\n"
        ),
    ),
    "half a surrogate pair": (
        "a: \ud800\n",
        (
            "f.yaml:1:4: GL-005 the character number 55296 cannot stand in a file\n"
            "    remove it; an editor may show it as a blank or not at all\n"
        ),
    ),
    "nothing": ("", "f.yaml:1:1: GL-006 the file is empty\n    write its first key, or remove it\n"),
    "only a remark": (
        "# later\n",
        "f.yaml:1:1: GL-006 the file is empty\n    write its first key, or remove it\n",
    ),
    "too deep": (
        "a: " + "[" * MAX_DEPTH + "]" * MAX_DEPTH,
        "f.yaml:1:35: GL-007 the file is nested deeper than 32 levels\n    write it flatter\n",
    ),
    "far too deep": (
        "[" * 100_000,
        "f.yaml:1:1001: GL-007 the file is nested deeper than 32 levels\n    write it flatter\n",
    ),
}


@pytest.mark.parametrize("name", BROKEN)
def test_broken_file_is_not_read_and_says_where(name: str) -> None:
    """What cannot be read at all gives one diagnostic at its line and column, and no tree."""
    text, expected = BROKEN[name]

    assert faults(text) == expected
    assert root(text) is None


REFUSED = {
    "a duplicate key": (
        "a: 1\nb: 2\na: 3\n",
        "f.yaml:3:1: GL-008 `a` is written twice; first on line 1\n    keep one of the two\n",
    ),
    "an anchor and its alias": (
        "a: &size 1\nb: *size\n",
        (
            "f.yaml:1:4: GL-009 `&size` is an anchor\n    write the value out where it is used\n"
            "f.yaml:2:4: GL-009 `*size` is an alias\n    write the value out\n"
        ),
    ),
    "a tag": (
        "a: !!float 1\n",
        "f.yaml:1:4: GL-010 `!!float` is a tag\n    write the plain value; nothing here needs a tag\n",
    ),
    "a second document": (
        "a: 1\n---\nb: 2\n",
        "f.yaml:2:1: GL-011 a second document begins here\n    keep one document in one file\n",
    ),
    "a key that is no word": (
        "a: 1\n? [b, c]\n: 2\n",
        "f.yaml:2:3: GL-012 a key is a list or a mapping\n    write a word before the colon\n",
    ),
}


@pytest.mark.parametrize("name", REFUSED)
def test_refused_construct_is_noted_and_the_rest_is_read(name: str) -> None:
    """What a shop's file may not hold is noted, and the first key is still there."""
    text, expected = REFUSED[name]
    tree = root(text)

    assert faults(text) == expected
    assert isinstance(tree, Mapping)
    assert tree["a"] == "1"  # type: ignore[index]


def test_all_faults_of_a_file_are_found_in_one_run() -> None:
    """One duplicate does not hide the tag after it."""
    assert faults("a: 1\na: 2\nb: !!int 3\nb: 4\n").count(": GL-") == 3


def test_byte_order_mark_is_no_fault(tmp_path: Path) -> None:
    """An editor's mark at the head of a file is passed over."""
    path = tmp_path / "f.yaml"
    path.write_bytes(b"\xef\xbb\xbfa: 1\n")

    assert read_file(path, "f.yaml") == Document("f.yaml", root("a: 1\n"))


def test_file_that_is_not_utf_8_says_where(tmp_path: Path) -> None:
    """The column counts characters before the first byte that is no UTF-8."""
    path = tmp_path / "f.yaml"
    path.write_bytes("a: 1\nb: é ".encode() + b"\xb1 2\n")

    assert as_lines(read_file(path, "f.yaml").faults) == (
        "f.yaml:2:6: GL-003 `f.yaml` is not UTF-8 text\n    save the file as UTF-8\n"
    )


def test_file_over_four_mib_is_refused(tmp_path: Path) -> None:
    """A file of 4 MiB is read, one byte more is not."""
    path = tmp_path / "f.yaml"
    path.write_bytes(b"a: 1\n#" + b"-" * (MAX_BYTES - 6))
    fitting = read_file(path, "f.yaml")
    path.write_bytes(b"a: 1\n#" + b"-" * (MAX_BYTES - 5))

    assert fitting.faults == ()
    assert as_lines(read_file(path, "f.yaml").faults) == (
        "f.yaml:1:1: GL-002 `f.yaml` is larger than 4 MiB\n    split it into several files\n"
    )


def test_file_that_is_not_there_is_a_diagnostic(tmp_path: Path) -> None:
    """A file that cannot be opened raises nothing."""
    assert as_lines(read_file(tmp_path / "gone.yaml", "gone.yaml").faults) == (
        "gone.yaml:1:1: GL-001 `gone.yaml` cannot be opened: no such file or directory\n"
        "    check its name and its rights\n"
    )


def texts(tree: Tree | None) -> list[Text]:
    """Every scalar of a tree, keys too."""
    if isinstance(tree, Text):
        return [tree]
    if isinstance(tree, Sequence):
        return [text for item in tree for text in texts(item)]
    if isinstance(tree, Mapping):
        return [text for key, value in tree.items() for text in (key, *texts(value))]
    return []


YAML_LIKE = st.text(st.sampled_from("ab1: -{}[],\"'\n\t&*!#?|>%@é±\x85\u2028\x00"), max_size=60)


@given(st.one_of(st.text(), YAML_LIKE))
def test_any_text_is_read_or_refused(text: str) -> None:
    """No text makes the reader raise; what it does not read it says why, at a place inside the text."""
    document = read_text(text, "f.yaml")

    assert document.root is not None or document.faults
    assert all(fault.span.line >= 1 and fault.span.column >= 1 for fault in document.faults)
    assert all(one.span.path == "f.yaml" for one in texts(document.root))


@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_refused(tmp_path_factory: pytest.TempPathFactory, data: bytes) -> None:
    """No file makes the reader raise."""
    path = tmp_path_factory.mktemp("any") / "f.yaml"
    path.write_bytes(data)
    document = read_file(path, "f.yaml")

    assert document.root is not None or document.faults

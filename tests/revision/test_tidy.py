"""Tidying: keys in order, one value a line, indented by two; texts, comments and their places are kept."""

from __future__ import annotations

import json
import random
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.diagnostics import Fault
from builder.revision.tidy import tidy, tidy_text
from builder.yaml_text import read_text

ROOT = Path(__file__).parents[2]
FILES = sorted(path for folder in ("specs", "procedures") for path in (ROOT / folder).rglob("*.yaml"))
MAINS = "procedures/crank/fit-mains.yaml"

UNTIDY = """\
# Every value is invented.
title: Fit the mains        # short
procedure: fit-mains
tools: [bore_gauge, torque_wrench,   # both set today
        boring_bar]


approved: {on: 2026-03-02, by: R. Tate, wording: 1a2b3c4d}   # in ink
steps:
# First the caps.
- do: "Tighten
       the nuts."
  id: tighten
    # a remark that ends the step

  # The cut.
- {id: bore, irreversible: true, do: Bore the metal.}
-
  id: measure
  measure:
      # rear journal first
      journal: {against: main.journal, plane: [front, rear]}
  hold:   witnessed
code: P16
parts: none
supplies: []
shop's own: kept where it stands
# The end.
"""
LAID_OUT = """\
# Every value is invented.
procedure: fit-mains
code: P16
title: Fit the mains        # short

approved:  # in ink
  by: R. Tate
  on: 2026-03-02
  wording: 1a2b3c4d
tools:
  - bore_gauge
  - torque_wrench  # both set today
  - boring_bar
parts: none
supplies: []
steps:
  # First the caps.
  - id: tighten
    do: "Tighten
      the nuts."
    # a remark that ends the step

  # The cut.
  - id: bore
    do: Bore the metal.
    irreversible: true
  - id: measure
    measure:
      # rear journal first
      journal:
        plane:
          - front
          - rear
        against: main.journal
    hold: witnessed
shop's own: kept where it stands
# The end.
"""


def test_file_is_laid_out() -> None:
    """Every kind of layout at once; unknown keys come last, comments stay with what they are about."""
    assert tidy_text(UNTIDY, MAINS) == LAID_OUT
    assert tidy_text(LAID_OUT, MAINS) == LAID_OUT


def comments(text: str) -> list[str]:
    """All comments of a demonstration file, in which no text holds a hash after a blank."""
    found = (line.partition("#") for line in text.splitlines() if line.startswith("#") or " #" in line)
    return sorted(comment.strip() for _, _, comment in found)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_demonstration_says_the_same_when_tidy(path: Path) -> None:
    """Each file of the demonstration shop: the same texts, the same comments, and tidy at the second time."""
    text, shown = path.read_text(encoding="utf-8"), path.relative_to(ROOT).as_posix()
    new = tidy_text(text, shown)

    assert read_text(new, shown).root == read_text(text, shown).root
    assert comments(new) == comments(text)
    assert tidy_text(new, shown) == new
    assert not any(line.endswith((" ", "]", "}")) and line[-1] != "]" for line in new.splitlines())


def test_comment_that_hangs_loose_finds_its_place_at_once() -> None:
    """A comment behind a list in brackets, indented deeper than any part: tidy at the first time."""
    text = 'specs:\n  - ["",  # one\n     ]\n\n       # two\n  - x\n'

    assert tidy_text(text, "specs/x.yaml") == 'specs:\n  - - ""  # one\n\n  # two\n  - x\n'


TREES = st.recursive(
    st.text(st.sampled_from("ab 1-.,:#'\"{}[]é"), max_size=8) | st.just("two\nlines"),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.text(st.sampled_from("abcd_"), min_size=1), inner, max_size=3)
    ),
    max_leaves=12,
)


REMARK = re.compile(r"# remark \d+$", re.MULTILINE)


class Scribe:
    """Writes a tree as untidily as its dice fall: braces or lines, deep or shallow, remarks anywhere."""

    def __init__(self, throw: int) -> None:
        self.dice = random.Random(throw)  # noqa: S311 - it only lays out
        self.count = 0

    def remark(self) -> str:
        """A comment that there is only once."""
        self.count += 1
        return f"# remark {self.count}"

    def beside(self) -> str:
        """A comment behind a value, mostly none."""
        return " " * self.dice.randint(1, 4) + self.remark() if self.dice.random() < 0.2 else ""

    def between(self, indent: int) -> Iterator[str]:
        """Lines with nothing but comments or blanks."""
        while self.dice.random() < 0.2:
            deeper = " " * (indent + self.dice.choice([0, 0, 0, 2, 5]))
            yield self.dice.choice(["", deeper + self.remark()])

    def text(self, value: str) -> str:
        """One scalar, quoted."""
        return json.dumps(value, ensure_ascii=False)

    def flow(self, tree: Any) -> str:  # noqa: ANN401 - dicts, lists and texts
        """A tree in braces and brackets."""
        if isinstance(tree, str):
            return self.text(tree)
        breaks = [", ", ",\n        ", f",  {self.remark()}\n     "] if self.dice.random() < 0.3 else [", "]
        if isinstance(tree, dict):
            pairs = [f"{self.text(key)}: {self.flow(value)}" for key, value in tree.items()]
            return "{" + "".join(one + self.dice.choice(breaks) for one in pairs) + "}"
        return "[" + "".join(self.flow(one) + self.dice.choice(breaks) for one in tree) + "]"

    def block(self, tree: Any, indent: int) -> Iterator[str]:  # noqa: ANN401 - as above
        """A tree on lines; parts of it in braces."""
        pad = " " * indent
        for key, value in tree.items() if isinstance(tree, dict) else ((None, one) for one in tree):
            yield from self.between(indent)
            head = f"{pad}-" if key is None else f"{pad}{key}:"
            if not value or isinstance(value, str) or self.dice.random() < 0.3:
                yield f"{head} {self.flow(value)}{self.beside()}"
            else:
                yield head + self.beside()
                yield from self.block(value, indent + self.dice.choice([1, 2, 4]))

    def file(self, tree: Any) -> str:  # noqa: ANN401 - as above
        """A whole file."""
        return "\n".join([*self.between(0), *self.block(tree, 0), *self.between(0), ""])


@settings(deadline=None)
@given(
    tree=st.dictionaries(st.sampled_from(["engine", "specs", "b", "title", "c"]), TREES, min_size=1),
    throw=st.integers(0, 2**32),
)
def test_any_layout_is_tidied_without_loss(tree: dict[str, Any], throw: int) -> None:
    """Whatever the layout, the texts and comments are the same after, each comment once, and it is stable."""
    text = Scribe(throw).file(tree)
    new = tidy_text(text, "specs/engines/a.yaml")

    assert read_text(new, "a").root == tree
    assert sorted(REMARK.findall(new)) == sorted(REMARK.findall(text))
    assert tidy_text(new, "specs/engines/a.yaml") == new


def test_line_breaks_and_mark_are_kept() -> None:
    """A file saved with carriage returns and a byte order mark keeps them."""
    text = "\ufefftitle: A\r\nengine: a   # x\r\n"

    assert tidy_text(text, "specs/engines/a.yaml") == "\ufeffengine: a   # x\r\ntitle: A\r\n"


def test_texts_in_lines_move_as_a_whole() -> None:
    """A literal or folded text keeps its own lines, its inner indents and its blank lines."""
    text = (
        "a:\n    b: |\n        one\n          two\n\n        three\n    c: >-   # why\n     so\n     text\n"
    )

    assert tidy_text(text, "specs/x/a.yaml") == (
        "a:\n  b: |\n    one\n      two\n\n    three\n  c: >-   # why\n    so\n    text\n"
    )


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("a: [1\n", "it does not read: x.yaml:2:1 the YAML breaks here: did not find expected ',' or ']'"),
        ("just words\n", "it is one value and no part of a manual"),
        ("a: |2\n   x\n", "a text in lines tells its own indent"),
    ],
)
def test_what_cannot_be_laid_out_is_refused(text: str, message: str) -> None:
    """A file that does not read, or that would change its texts, is told."""
    with pytest.raises(Fault) as refused:
        tidy_text(text, "x.yaml")

    assert refused.value.message == message


def test_tidy_tells_what_it_would_do_and_does_it(shop: Path) -> None:
    """Only files of the manual that change are named; one that does not read stays."""
    broken = shop / "specs" / "terms.yaml"
    broken.write_text("terms: [\n", encoding="utf-8")
    before = {path: path.read_bytes() for path in shop.rglob("*.yaml")}

    told = tidy(shop, write=False)

    assert {path: path.read_bytes() for path in shop.rglob("*.yaml")} == before
    assert [(one.path, one.refused[:16]) for one in told] == [
        ("specs/engines/tallow-four.yaml", ""),
        ("specs/hazards.yaml", ""),
        ("specs/sources.yaml", ""),
        ("specs/terms.yaml", "it does not read"),
        (MAINS, ""),
        ("procedures/holds.yaml", ""),
        ("procedures/planned.yaml", ""),
        ("procedures/redo.yaml", ""),
    ]
    assert tidy(shop, write=True) == told
    assert broken.read_bytes() == before[broken]
    assert [one.path for one in tidy(shop, write=True)] == ["specs/terms.yaml"]

"""Every rule has a bad and a good example on disk, laid over a small clean shop; they are found by listing.

A case is a folder `<code>-<name>` with `bad/` and `good/`. What `bad/` gives is compared whole, text and all,
with its `expected.txt`; `UPDATE_EXPECTED=1` writes that file anew, to be read in the diff.
"""

from __future__ import annotations

import os
import re
import shutil
from pathlib import Path

import pytest

from builder.diagnostic_formats import as_lines
from builder.diagnostics import Diagnostic
from builder.manual import load
from builder.rules import RULES, check

HERE = Path(__file__).parent
BASE = HERE / "base"
CASES = sorted((HERE / "cases").iterdir())
EXPECTED = "expected.txt"
WITHOUT_A_CASE = {
    "GL-002",  # a file over 4 MiB is not kept on disk; tests/test_yaml_text.py makes one
    "GL-020",  # of a job's files, which are no part of a manual; tests/jobs/test_folder.py makes them
    "GL-021",
}
GRAMMAR = re.compile(r"^\S+:\d+:\d+: GL-\d{3} (?=.*\S).*[^.\s]$")
FORBIDDEN = re.compile(r"<class|NoneType|Invalid|\bstr\b|\bdict\b|\bint\b|Value error|Input should")


def found(shop: Path) -> list[Diagnostic]:
    """Everything that is wrong with a shop, in the order of the files."""
    manual, unread = load(shop)
    return sorted([*unread, *check(manual)])


def laid_over(tmp_path: Path, case: Path) -> Path:
    """The clean shop with the files of a case laid over it.

    A case with a `shop.yaml` is a shop of its own, and the clean shop lies beside it as `../shared`.
    """
    shop = tmp_path / "shop"
    shutil.copytree(BASE, tmp_path / "shared" if (case / "shop.yaml").exists() else shop)
    shutil.copytree(case, shop, dirs_exist_ok=True)
    return shop


def code_of(case: Path) -> str:
    """The code that a case is named after."""
    return case.name[:6]


def test_the_clean_shop_has_no_faults() -> None:
    """The small shop under the cases gives no diagnostics, so whatever a case gives is its own."""
    assert as_lines(found(BASE)) == ""


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_bad_example_gives_its_diagnostics(case: Path, tmp_path: Path) -> None:
    """A bad example gives exactly the expected text, and its own code and no other."""
    expected = case / "bad" / EXPECTED
    diagnostics = found(laid_over(tmp_path, case / "bad"))
    text = as_lines(diagnostics)
    if os.environ.get("UPDATE_EXPECTED"):
        expected.write_text(text, encoding="utf-8", newline="\n")

    assert text == expected.read_text(encoding="utf-8")
    assert {one.code for one in diagnostics} == {code_of(case)}


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_good_example_gives_none(case: Path, tmp_path: Path) -> None:
    """A good example, which says the same thing rightly, gives no diagnostics."""
    assert as_lines(found(laid_over(tmp_path, case / "good"))) == ""


def test_every_code_has_a_case() -> None:
    """No rule is without its examples, and no example without its rule; both carry the same name."""
    named = {f"{rule.code}-{rule.name}" for rule in RULES.values() if rule.code not in WITHOUT_A_CASE}

    assert {case.name for case in CASES} == named


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_messages_keep_the_grammar(case: Path) -> None:
    """A message is plain words without a full stop, and names no type of the program."""
    lines = (case / "bad" / EXPECTED).read_text(encoding="utf-8").splitlines()
    heads = [line for line in lines if not line.startswith("    ")]

    assert heads
    assert [line for line in heads if not GRAMMAR.match(line)] == []
    assert [line for line in lines if FORBIDDEN.search(line) or line.endswith(".")] == []


def test_every_hint_tells_what_to_write() -> None:
    """Every expected diagnostic is followed by a hint."""
    texts = [(case / "bad" / EXPECTED).read_text(encoding="utf-8") for case in CASES]

    assert [text for text in texts if not re.fullmatch(r"(?:\S.*\n    \S.*\n)+", text)] == []

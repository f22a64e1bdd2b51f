"""Approving: who, when and which wording go into the file; every other byte of it stays."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from difflib import unified_diff
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.checklist import checklists
from builder.diagnostics import Fault
from builder.edition import stands_approved
from builder.manual import load
from builder.render.checklist_facts import approval as approval_words
from builder.render.checklist_facts import unproved
from builder.revision.approve import Approved, approve, approved_text
from builder.rules import check
from builder.yaml_text import Text, read_text

ROOT = Path(__file__).parents[2]
PROCEDURES = sorted((ROOT / "procedures").glob("*/*.yaml"))
MAINS = "procedures/crank/fit-mains.yaml"
DAY = date(2026, 3, 2)
TALKED = (
    "The wording is talked through at the table, not yet tried on an engine, and nobody has signed for it."
)
NAMES = st.text(st.characters(codec="utf-8", exclude_categories=("C", "Zl", "Zp")), min_size=1).filter(
    str.strip
)


def approval(by: str, how: str, digits: str = "1a2b3c4d") -> Approved:
    """An approval of a procedure."""
    return Approved("balance", "P20", "a.yaml", by, DAY.isoformat(), digits, how)


def difference(old: str, new: str) -> list[str]:
    """The lines that are gone and those that came, without their surroundings."""
    lines = unified_diff(old.splitlines(), new.splitlines(), lineterm="", n=0)
    return [line for line in lines if not line.startswith(("---", "+++", "@@"))]


@pytest.mark.parametrize("path", PROCEDURES, ids=lambda path: path.stem)
@settings(max_examples=5, deadline=None)
@given(by=NAMES)
def test_only_the_approval_changes(path: Path, by: str) -> None:
    """In every procedure of the demonstration: five new lines at most, the one of the verification apart."""
    name = " ".join(by.split())
    text = path.read_text(encoding="utf-8")
    done = approval(name, "on-engine")
    new = approved_text(text, path.name, done)
    root = read_text(new, path.name).root

    assert isinstance(root, dict)
    assert root[Text("approved")] == {"by": name, "on": "2026-03-02", "wording": "1a2b3c4d"}
    told = difference(text, new)
    assert [line for line in told if line[0] == "-" and not line.startswith("-verification:")] == []
    added = [line for line in told if line[0] == "+" and not line.startswith("+verification:")]
    assert [line.split(":")[0] for line in added] == [
        "+approved", "+  by", "+  on", "+  wording"
    ]  # fmt: skip
    assert approved_text(new, path.name, done) == new


def test_approval_goes_below_the_revision(shop: Path) -> None:
    """Four lines, and one for how it was tried; the comments about stay where they are."""
    path = shop / MAINS
    text = "# first\n" + path.read_text().replace("revision: 1\n", "revision: 1   # counted up\n# then\n")
    path.write_text(text)

    done = approve(shop, "p16", "R.  Tate", DAY, "table-top")

    new = path.read_text()
    assert difference(text, new) == [
        "+approved:",
        "+  by: R. Tate",
        "+  on: 2026-03-02",
        f"+  wording: {done.wording}",
        "+verification: table-top",
    ]
    assert "revision: 1   # counted up\napproved:\n" in new
    assert "verification: table-top\n# then\napplies:" in new


def test_approved_wording_is_the_present_one(shop: Path) -> None:
    """After approving, the check is silent; after the next change of words it warns, at the digits."""
    approve(shop, "fit-mains", "R. Tate", DAY, "on-engine")
    manual, _ = load(shop)

    assert stands_approved(manual.procedures["fit-mains"])
    assert list(check(manual)) == []

    path = shop / MAINS
    path.write_text(path.read_text().replace("do: Bore the metal.", "do: Bore it out."))
    changed, _ = load(shop)
    (found,) = check(changed)

    assert not stands_approved(changed.procedures["fit-mains"])
    assert (str(found.span), found.code, found.severity) == (f"{MAINS}:9:12", "GL-413", "warning")
    assert found.message.startswith("`02363ca6` was approved by R. Tate, and the wording is `")


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (
            "approved: {by: K. Oakes, on: 2025-01-01, wording: 00000000}   # in ink\n",
            "approved: {by: R. Tate, on: 2026-03-02, wording: 02363ca6}   # in ink\n",
        ),
        (
            "approved:\n    # seen\n    wording: '00000000'\n    by:   K. Oakes # i\n    on: 2025-01-01\n",
            "approved:\n    # seen\n    wording: 02363ca6\n    by:   R. Tate # i\n    on: 2026-03-02\n",
        ),
    ],
)
def test_earlier_approval_is_written_over_in_its_own_layout(shop: Path, before: str, after: str) -> None:
    """Only the three values change, in braces or on lines, whatever stands between them."""
    path = shop / MAINS
    text = path.read_text().replace("revision: 1\n", f"revision: 1\n{before}")
    path.write_text(text)

    approve(shop, "fit-mains", "R. Tate", DAY)

    assert path.read_text() == text.replace(before, after)


def test_line_breaks_and_mark_of_the_file_are_kept(shop: Path) -> None:
    """A file saved elsewhere, with a byte order mark and carriage returns, keeps both."""
    path = shop / MAINS
    text = "\ufeff" + path.read_text().replace("\n", "\r\n")
    path.write_bytes(text.encode())

    done = approve(shop, "fit-mains", "R. Tate", DAY)

    lines = f"approved:\r\n  by: R. Tate\r\n  on: 2026-03-02\r\n  wording: {done.wording}\r\n"
    assert path.read_bytes().decode() == text.replace("revision: 1\r\n", "revision: 1\r\n" + lines)


def test_file_in_braces_stays_in_braces() -> None:
    """A file that is one mapping in braces gets the approval inside them."""
    done = approval("R. Tate", "table-top")

    assert approved_text("{procedure: a, revision: 1, steps: []}", "a.yaml", done) == (
        "{procedure: a, revision: 1, approved: {by: R. Tate, on: 2026-03-02, wording: 1a2b3c4d}, "
        "verification: table-top, steps: []}"
    )


def test_digits_that_look_like_a_number_are_quoted() -> None:
    """Other readers of YAML would take 12345678 or 1234e567 for a number."""
    for digits, written in (("12345678", "'12345678'"), ("1234e567", "'1234e567'"), ("1234f567", "1234f567")):
        done = approval("R. Tate", "unverified", digits)

        assert f"  wording: {written}\n" in approved_text("revision: 1\nsteps: []\n", "a.yaml", done)


@pytest.mark.parametrize(
    ("called", "by", "message", "hint"),
    [
        ("fit-main", "R. Tate", "there is no procedure `fit-main`", "did you mean `fit-mains`"),
        ("xyzzy", "R. Tate", "there is no procedure `xyzzy`", "`gaugeleaf check` tells what does not read"),
        ("P16", " \t", "` \t` is no name", "write who approves it, as in `R. Tate`"),
        ("P16", "R.\x07Tate", "`R.\x07Tate` is no name", "write who approves it, as in `R. Tate`"),
    ],
)
def test_what_cannot_be_approved_is_refused(
    shop: Path, called: str, by: str, message: str, hint: str
) -> None:
    """An unknown procedure and an empty name are told; the file stays."""
    text = (shop / MAINS).read_text()

    with pytest.raises(Fault) as refused:
        approve(shop, called, by, DAY)

    assert (refused.value.message, refused.value.hint) == (message, hint)
    assert (shop / MAINS).read_text() == text


def test_procedure_that_does_not_read_whole_is_not_approved(
    shop: Path, edited: Callable[[Path, tuple[str, str, str]], None]
) -> None:
    """What was left out of a faulty file would not be in the wording, so nobody can sign for it."""
    edited(shop, ("mains", "irreversible: true", "irreversible: maybe"))

    with pytest.raises(Fault, match="does not read whole") as refused:
        approve(shop, "P16", "R. Tate", DAY)

    assert refused.value.message == (
        f"`P16` does not read whole: {MAINS}:21:19 `maybe` is neither `true` nor `false`"
    )


def test_sheet_prints_what_stands_against_it(shop: Path) -> None:
    """Untried, tried and not signed for, signed for, and changed since: each in its words on the sheet."""
    path = shop / MAINS
    texts = [path.read_text()]
    texts.append(texts[0].replace("revision: 1\n", "revision: 1\nverification: table-top\n"))
    approve(shop, "fit-mains", "R. Tate", DAY, "table-top")
    texts.append(path.read_text())
    texts.append(texts[2].replace("do: Bore the metal.", "do: Bore it out."))

    assert [printed(shop, text) for text in texts] == [
        ("UNVERIFIED.", "Nobody has tried these steps yet, not even at the table.", "not approved"),
        ("NOT APPROVED.", TALKED, "not approved"),
        ("", "", "R. Tate, 2026-03-02"),
        (
            "NOT APPROVED.",
            "R. Tate approved an earlier wording on 2026-03-02; it has changed since.",
            "R. Tate, 2026-03-02, in an earlier wording",
        ),
    ]


def printed(shop: Path, text: str) -> tuple[str, str, str]:
    """What the sheet of a procedure with this text says of its approval."""
    (shop / MAINS).write_text(text)
    (checklist,) = checklists(load(shop)[0])
    return (*unproved(checklist), approval_words(checklist.procedure))

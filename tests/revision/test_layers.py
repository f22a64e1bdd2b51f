"""Revisions of a shop that extends a base: approvals, tidying, what changed, and what jobs do again."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from builder.checklist import checklists
from builder.edition import edition, stands_approved
from builder.manual import load
from builder.revision.added import with_history
from builder.revision.approve import approve
from builder.revision.report import changes_since
from builder.revision.tidy import tidy
from builder.revision.words import lines

HERE = Path(__file__).parent
FAMILY = "specs/engines/tallow-four.yaml"
MAINS = "procedures/crank/fit-mains.yaml"
DAY = date(2026, 3, 20)

Edit = tuple[str, str, str]
Edited = Callable[[Path, Edit], None]
Git = Callable[..., str]
Commit = Callable[[Path, str, str, str], str]

needs_git = pytest.mark.skipif(shutil.which("git") is None, reason="no git here")

OLD_CHALK = "Chalk the number of each cap on the block."
NEW_CHALK = "Scratch the number of each cap on the block."
FOR_THE_MARKS = """\
  - add:
      supplies: [chalk]
      tools: [file]
    by: L.M.
    on: 2026-03-08
    why: For the marks.
"""
LEFT_OUT = """\
  - leave_out:
      step: tighten
      was: Tighten the nuts to {main_cap.torque}, in the order and rounds shown.
    by: L.M.
    on: 2026-03-11
    why: It is done in another procedure.
"""
BOOK = "The book was printed again"
FIVE: tuple[tuple[str, str, str, str, Edit], ...] = (
    ("shop", "R. Tate", "2026-03-01", "Narrower", ("family", "to 0.0017 in [b", "to 0.0016 in [b")),
    ("shared", "K. Oakes", "2026-03-02", BOOK, ("family", "0.0040 in max", "0.0035 in max")),
    ("shop", "L. Marr", "2026-03-03", "Paint again", ("mains", OLD_CHALK, NEW_CHALK)),
    ("shared", "K. Oakes", "2026-03-04", "Slack nuts", ("mains", "and each bore.", "and each bore twice.")),
    ("shop", "L. Marr", "2026-03-05", "Caps come tight from P14", ("mains", FOR_THE_MARKS, LEFT_OUT)),
)
"""Five changes, in the shop's own folder and in its base."""


@pytest.fixture
def pair(tmp_path: Path) -> Path:
    """A folder that holds the base as `shared` and the shop as `shop`."""
    shutil.copytree(HERE.parent / "rules" / "base", tmp_path / "shared")
    shutil.copytree(HERE.parent / "layers" / "shop", tmp_path / "shop")
    return tmp_path


def bytes_of(folder: Path) -> dict[Path, bytes]:
    """Every file of a folder."""
    return {path: path.read_bytes() for path in folder.rglob("*.yaml")}


def test_approval_is_written_into_the_shops_own_file(pair: Path) -> None:
    """The base's file stays; the shop's own words are what is approved, and only they."""
    before = bytes_of(pair)

    done = approve(pair / "shop", "P16", "R. Tate", DAY, "table-top")

    changed = [path for path, old in before.items() if path.read_bytes() != old]
    manual, faults = load(pair / "shop")
    assert changed == [pair / "shop" / MAINS]
    assert done.path == MAINS
    assert (
        (pair / "shop" / MAINS)
        .read_text("utf-8")
        .startswith(
            "extends: fit-mains\n"
            f"approved:\n  by: R. Tate\n  on: 2026-03-20\n  wording: {done.wording}\n"
            "verification: table-top\nchanges:\n"
        )
    )
    assert faults == ()
    assert stands_approved(manual.procedures["fit-mains"])
    assert not stands_approved(load(pair / "shared")[0].procedures["fit-mains"])


def test_approval_of_the_bases_own_words_gets_a_file_in_the_shop(pair: Path) -> None:
    """Where the shop changes nothing, a file is made that holds its approval alone."""
    (pair / "shop" / MAINS).unlink()
    (pair / "shop" / "procedures" / "holds.yaml").unlink()
    before = bytes_of(pair / "shared")

    done = approve(pair / "shop", "fit-mains", "R. Tate", DAY)

    assert (pair / "shop" / MAINS).read_text("utf-8") == (
        f"extends: fit-mains\napproved:\n  by: R. Tate\n  on: 2026-03-20\n  wording: {done.wording}\n"
    )
    assert bytes_of(pair / "shared") == before
    assert stands_approved(load(pair / "shop")[0].procedures["fit-mains"])


def test_approval_of_the_base_is_not_one_of_the_shops_words(pair: Path) -> None:
    """What the base approved are other words as soon as the shop changes any."""
    approve(pair / "shared", "P16", "S. Base", DAY, "on-engine")

    procedure = load(pair / "shop")[0].procedures["fit-mains"]

    assert (procedure.approved, str(procedure.verification)) == (None, "unverified")


def test_only_the_shops_own_files_are_tidied(pair: Path) -> None:
    """The base is laid out by those who keep it."""
    before = bytes_of(pair / "shared")

    told = tidy(pair / "shop", write=True)

    assert bytes_of(pair / "shared") == before
    assert [one.path for one in told if one.refused] == []
    assert [one.path for one in told] != []
    assert tidy(pair / "shop", write=True) == ()
    assert load(pair / "shop")[1] == ()


def begun(pair: Path, git: Git, commit: Commit, *, together: bool) -> None:
    """Both folders in one repository, or each in its own."""
    for folder in (pair,) if together else (pair / "shared", pair / "shop"):
        git(folder, "init", "--quiet", "--initial-branch", "main")
        commit(folder, "R. Tate", "2026-02-01", "As it was")


@needs_git
@pytest.mark.parametrize("together", [True, False], ids=["one repository", "two repositories"])
def test_changes_of_both_folders_are_told_with_their_reasons(
    pair: Path, edited: Edited, git: Git, commit: Commit, request: pytest.FixtureRequest, *, together: bool
) -> None:
    """The shop's own decisions in the words of its files, those of the base in the words of its commits."""
    begun(pair, git, commit, together=together)
    shop = pair / "shop"
    start = git(shop, "rev-parse", "HEAD")
    (old,) = [edition(one) for one in checklists(load(shop)[0]) if one.procedure.code == "P16"]
    for folder, by, on, subject, edit in FIVE:
        edited(pair / folder, edit)
        commit(pair if together else pair / folder, by, on, subject)
    (new,) = [edition(one) for one in checklists(load(shop)[0]) if one.procedure.code == "P16"]

    told = "\n".join(lines(changes_since(shop, start))) + "\n"

    told = told.replace(start[:8], "{start}").replace(old, "{old}").replace(new, "{new}")
    expected = HERE / "expected" / "changes-over-a-base.txt"
    if request.config.getoption("--update"):
        expected.write_text(told, encoding="utf-8")
    assert told == expected.read_text(encoding="utf-8")


@needs_git
@pytest.mark.parametrize("together", [True, False], ids=["one repository", "two repositories"])
def test_job_on_an_edition_before_the_base_changed_does_again_what_it_must(
    pair: Path, edited: Edited, git: Git, commit: Commit, *, together: bool
) -> None:
    """A sheet filled in between two changes of the base is found again in the history of both folders."""
    begun(pair, git, commit, together=together)
    shop = pair / "shop"
    start = git(shop, "rev-parse", "HEAD")
    (shop / "jobs" / "T-1" / "sheets").mkdir(parents=True)
    (shop / "jobs" / "T-1" / "job.yaml").write_text(
        "number: T-1\nengine: tallow-four\nbasis: rebuilt\npeople: {R.T.: {role: builder}}\n", "utf-8"
    )
    for number, (folder, by, on, subject, edit) in enumerate(FIVE[1::2]):
        edited(pair / folder, edit)
        commit(pair if together else pair / folder, by, on, subject)
        if not number:
            now = next(edition(one) for one in checklists(load(shop)[0]) if one.procedure.code == "P16")
            ticks = [{"step": step, "by": "R.T.", "when": "2026-03-03"} for step in ("tighten", "measure")]
            sheet = {"sheet": 1, "job": "T-1", "engine": "tallow-four", "procedure": "fit-mains"}
            filled = sheet | {"run": "final", "edition": now, "ticks": ticks}
            (shop / "jobs" / "T-1" / "sheets" / "P16.json").write_text(json.dumps(filled), "utf-8")

    (job,) = changes_since(shop, start).jobs

    (pinned,) = job.sheets
    assert pinned.unknown == ""
    assert [(one.order, one.step) for one in pinned.again] == [("repeat", "5 (measure)")]


@needs_git
def test_what_the_shop_added_whole_has_its_reason_from_the_history(
    pair: Path, git: Git, commit: Commit
) -> None:
    """Who committed it, when and why; what is not committed has none, and what gives its own keeps it."""
    begun(pair, git, commit, together=False)
    shop = pair / "shop"
    (shop / "specs" / "terms.yaml").write_text(
        "terms:\n  leaf:\n    meaning: A thin shim.\n", encoding="utf-8"
    )

    told = {one.name: one for one in with_history(shop, load(shop)[0]).differences}

    hazard, term, row = told["hot_oil"], told["leaf"], told["main.shim_stack"]
    assert (hazard.by, hazard.on, hazard.why) == ("R. Tate", "2026-02-01", "As it was")
    assert (term.by, term.on, term.why) == ("", "", "")
    assert (row.by, row.on, row.why) == ("R.T.", "2026-03-07", "A high stack lets the cap rock.")

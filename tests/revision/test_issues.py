"""The editions that a checklist has had: who made each, why, and what was new in it."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from builder.checklist import checklists
from builder.cli import main
from builder.edition import edition
from builder.manual import load
from builder.revision.earlier import Earlier, State
from builder.revision.history import History
from builder.revision.issues import issues, lines
from builder.revision.pinned import resolved

pytestmark = pytest.mark.skipif(shutil.which("git") is None, reason="no git here")

ROOT = Path(__file__).parents[2]

Edit = tuple[str, str, str]
Edited = Callable[[Path, Edit], None]
Git = Callable[..., str]
Commit = Callable[[Path, str, str, str], str]

AIM = "Main bearing oil clearance (CRK-09), aim: 0.0015 to 0.0018 in → 0.0014 to 0.0018 in"
BORE = "step 2 (bore), do: “Bore the metal.” → “Bore the metal in two cuts.”"


@pytest.fixture
def kept(shop: Path, edited: Edited, git: Git, commit: Commit) -> Path:
    """A shop with three commits, the second of which changes no checklist, and a change that is none yet."""
    (shop / "mkdocs.yml").write_text("site_name: Small shop (invented)\n", encoding="utf-8")
    git(shop, "init", "--quiet", "--initial-branch", "main")
    commit(shop, "R. Tate", "2026-03-01", "As it was")
    edited(shop, ("specs/terms.yaml", "Tin or lead alloy", "Tin or lead"))
    commit(shop, "L. Marr", "2026-03-02", "Say it shorter")
    edited(shop, ("family", "aim: 0.0015 to 0.0018 in", "aim: 0.0014 to 0.0018 in"))
    commit(shop, "K. Oakes", "2026-03-03", "The rear main ran dry")
    edited(shop, ("mains", "do: Bore the metal.", "do: Bore the metal in two cuts."))
    return shop


def present(shop: Path) -> str:
    """The edition of the small shop's one checklist."""
    (checklist,) = checklists(load(shop)[0])
    return edition(checklist)


def test_editions_are_listed_with_reason_and_changes(kept: Path) -> None:
    """The newest first; what changes no checklist makes no edition; the first has none before it."""
    (checklist,) = checklists(load(kept)[0])
    found = issues(kept, checklist, 10)

    assert list(lines(checklist, found)) == [
        "P16 Fit the main bearings, Tallow Four (invented)",
        f"{present(kept)}  not committed yet",
        f"  {BORE}",
        f"{found[1].edition}  The rear main ran dry (K. Oakes, 2026-03-03)",
        f"  {AIM}",
        "38bca034  As it was (R. Tate, 2026-03-01)",
    ]
    assert issues(kept, checklist, 1) == found[:1]
    assert issues(kept, checklist, 2) == found[:2]


def run(shop: Path, monkeypatch: pytest.MonkeyPatch, *words: str) -> Result:
    """Run the command in a shop."""
    monkeypatch.chdir(shop)
    return CliRunner().invoke(main, ["editions", "tallow-four", "P16", *words])


def test_two_editions_are_told_apart_in_words(kept: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An old one and the present one, two old ones, one and itself, and one that nobody knows."""
    (checklist,) = checklists(load(kept)[0])
    middle = issues(kept, checklist, 2)[1].edition

    assert run(kept, monkeypatch, "38bca034").output == f"{BORE}\n{AIM}\n"
    assert run(kept, monkeypatch, "38bca034", middle).output == f"{AIM}\n"
    assert run(kept, monkeypatch, middle, middle).output == "they say the same\n"
    strange = run(kept, monkeypatch, "ffffffff")
    assert strange.exit_code == 2
    assert "the shop's history has no edition `ffffffff` of P16" in strange.output


def test_few_files_give_the_edition_of_the_whole_manual() -> None:
    """What the search reads of a state is all that an edition depends on; on the demonstration shop."""
    try:
        history = History.of(ROOT)
        commit = history.commit("HEAD")
    except ValueError:
        pytest.skip("no history here")
    earlier, state = Earlier(history, load(ROOT)[0]), State(commit.number, commit.moment)
    every = list(checklists(earlier.manual(state)[0]))[::12]

    for one in every:
        family, name = str(one.engine.engine), str(one.procedure.procedure)
        few = resolved(earlier.of_checklist(state, family, name), family, name)
        assert few is not None
        assert edition(few) == edition(one)
    assert len(every) > 15

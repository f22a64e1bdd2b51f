"""The three commands: what they print, and how they end."""

from __future__ import annotations

import json
import re
import subprocess
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from builder.cli import main

MAINS = "procedures/crank/fit-mains.yaml"
REPORT = {
    "changes": 1,
    "told": [],
    "editions": [],
    "jobs": [],
    "unread": [],
}


@pytest.fixture
def standing(shop: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A shop with its `mkdocs.yml`, in which the commands stand."""
    (shop / "mkdocs.yml").write_text("site_name: Small shop (invented)\n", encoding="utf-8")
    monkeypatch.chdir(shop)
    return shop


def run(*words: str) -> Result:
    """Run the command."""
    return CliRunner().invoke(main, list(words))


def test_approve_says_what_it_wrote(standing: Path) -> None:
    """Who, when and which wording; and what the sheets still say against it."""
    done = run("approve", "P16", "--by", "R. Tate")
    tried = run("approve", "P16", "--by", "R. Tate", "--how", "on-engine")

    day = re.search(r"on (\d{4}-\d\d-\d\d)", done.output)
    assert day is not None
    assert done.output == (
        f"P16 fit-mains: wording 02363ca6 approved by R. Tate on {day.group(1)}\n"
        "its sheets still say UNVERIFIED: add `--how table-top` or `--how on-engine` once it is tried\n"
    )
    assert (
        tried.output
        == f"P16 fit-mains: wording 02363ca6 approved by R. Tate on {day.group(1)}, tried on-engine\n"
    )
    assert f"  on: {day.group(1)}\n" in (standing / MAINS).read_text()
    assert (done.exit_code, tried.exit_code) == (0, 0)


@pytest.mark.usefixtures("standing")
def test_unknown_procedure_is_a_misuse() -> None:
    """The nearest known one is offered."""
    done = run("approve", "P17", "--by", "R. Tate")

    assert done.exit_code == 2
    assert done.output.endswith("Error: there is no procedure `P17`; did you mean `P16`\n")


@pytest.mark.usefixtures("standing")
def test_tidy_checks_then_lays_out_then_has_nothing_to_do() -> None:
    """`--check` exits 1 and changes nothing; the second time there is nothing left."""
    checked, done, again = run("tidy", "--check"), run("tidy"), run("tidy", "--check")

    assert checked.output.splitlines()[0] == "would lay out: specs/engines/tallow-four.yaml, 35 lines new"
    assert done.output == checked.output.replace("would lay out", "laid out")
    assert again.output == "every file is laid out already\n"
    assert (checked.exit_code, done.exit_code, again.exit_code) == (1, 0, 0)


def test_file_that_does_not_read_is_left(standing: Path) -> None:
    """It is named with its first fault, and the command ends with 1."""
    run("tidy")
    (standing / MAINS).write_text("steps: [\n", encoding="utf-8")
    done = run("tidy")

    assert done.exit_code == 1
    assert done.output.startswith(f"left: {MAINS}: it does not read: {MAINS}:2:1 the YAML breaks here")


def test_changes_without_a_history_are_a_misuse(standing: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A shop that is not in git is told so."""
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(standing.parent))
    done = run("changes", "--since", "HEAD")

    assert done.exit_code == 2
    assert done.output.endswith(
        "Error: this shop has no history; keep its folder in git: `git init`, then commit it\n"
    )


def test_changes_are_told_as_text_and_as_json(standing: Path) -> None:
    """Both forms from the command line."""
    who = ["-c", "user.name=R. Tate", "-c", "user.email=", "-c", "commit.gpgsign=false"]
    for words in (["init", "--quiet"], ["add", "--all"], ["commit", "--quiet", "--message", "Begin"]):
        subprocess.run(["git", *who, *words], cwd=standing, check=True)

    text, data = run("changes", "--since", "HEAD"), run("changes", "--since", "HEAD", "--format", "json")

    assert text.output.endswith("Begin:\n\nnothing has changed\n")
    found = json.loads(data.output)
    assert found.pop("since")["by"] == "R. Tate"
    assert found == REPORT

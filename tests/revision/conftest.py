"""The small clean shop, and what it becomes when words of its files are changed."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from builder.manual import Manual, load

BASE = Path(__file__).parents[1] / "rules" / "base"

Edit = tuple[str, str, str]
"""A file, words that stand in it, and what stands there instead, everywhere in it."""

FILES = {
    "family": "specs/engines/tallow-four.yaml",
    "mains": "procedures/crank/fit-mains.yaml",
    "holds": "procedures/holds.yaml",
    "hazards": "specs/hazards.yaml",
    "instruments": "specs/instruments.yaml",
    "redo": "procedures/redo.yaml",
    "planned": "procedures/planned.yaml",
}


@pytest.fixture(scope="session")
def base() -> Manual:
    """The manual of the small clean shop."""
    return read(BASE)


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A copy of the small clean shop."""
    return Path(shutil.copytree(BASE, tmp_path / "shop"))


@pytest.fixture
def changed(shop: Path) -> Callable[..., Manual]:
    """The manual of the small shop after edits; further calls go on from there."""

    def change(*edits: Edit) -> Manual:
        for edit in edits:
            apply_edit(shop, edit)
        return read(shop)

    return change


@pytest.fixture(scope="session")
def edited() -> Callable[[Path, Edit], None]:
    """The function that changes words in one file of a shop."""
    return apply_edit


@pytest.fixture(scope="session")
def git() -> Callable[..., str]:
    """The function that runs git in a shop as a person on a day."""
    return run_git


def run_git(shop: Path, *words: str, by: str = "R. Tate", on: str = "2026-02-01") -> str:
    """Run git; what it answers, without the blanks round it."""
    who = {
        "GIT_AUTHOR_NAME": by,
        "GIT_AUTHOR_EMAIL": "",
        "GIT_AUTHOR_DATE": f"{on}T12:00:00Z",
        "GIT_COMMITTER_NAME": by,
        "GIT_COMMITTER_EMAIL": "",
        "GIT_COMMITTER_DATE": f"{on}T12:00:00Z",
        "GIT_CONFIG_GLOBAL": os.devnull,
        "GIT_CONFIG_SYSTEM": os.devnull,
    }
    done = subprocess.run(
        ["git", *words], cwd=shop, env=os.environ | who, capture_output=True, text=True, check=True
    )
    return done.stdout.strip()


@pytest.fixture(scope="session")
def commit() -> Callable[[Path, str, str, str], str]:
    """The function that commits all files of a shop, by a person on a day, and returns the number."""

    def commit_all(shop: Path, by: str, on: str, subject: str) -> str:
        run_git(shop, "add", "--all")
        run_git(shop, "commit", "--quiet", "--message", subject, by=by, on=on)
        return run_git(shop, "rev-parse", "HEAD")

    return commit_all


def apply_edit(shop: Path, edit: Edit) -> None:
    """Put words in the place of others, which must stand there."""
    name, old, new = edit
    path = shop / FILES.get(name, name)
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def read(shop: Path) -> Manual:
    """The manual of a shop in which everything reads."""
    manual, faults = load(shop)
    assert faults == ()
    return manual

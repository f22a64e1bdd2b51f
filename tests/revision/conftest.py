"""The small clean shop, and what it becomes when words of its files are changed."""

from __future__ import annotations

import shutil
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

"""The small clean shop as a base, and a shop's own folder that extends it, side by side."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from builder.manual import Manual, load

HERE = Path(__file__).parent
BASE = HERE.parent / "rules" / "base"


def side_by_side(folder: Path) -> Path:
    """A copy of the base as `shared`, of the shop's own folder as `shop`; returns the latter."""
    shutil.copytree(BASE, folder / "shared")
    return Path(shutil.copytree(HERE / "shop", folder / "shop"))


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """The shop's own folder, with its base beside it."""
    return side_by_side(tmp_path)


@pytest.fixture(scope="session")
def manual(tmp_path_factory: pytest.TempPathFactory) -> Manual:
    """The manual of the shop over its base."""
    manual, faults = load(side_by_side(tmp_path_factory.mktemp("layers")))
    assert faults == ()
    return manual

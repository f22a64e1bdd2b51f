"""A small invented shop with a row, a step and a page of every sort, and the comparison with golden files."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from builder.manual import Manual, load

HERE = Path(__file__).parent
GOLDEN = HERE / "golden"

Compare = Callable[[str, str], None]


@pytest.fixture(scope="session")
def small() -> Manual:
    """The small shop's manual."""
    manual, faults = load(HERE / "shop")
    assert not faults
    return manual


@pytest.fixture
def same_as_golden(request: pytest.FixtureRequest) -> Compare:
    """Compare a finished page with the golden file of that name, or write it under `--update`."""

    def compare(name: str, html: str) -> None:
        golden = GOLDEN / name
        if request.config.getoption("--update"):
            golden.write_text(html, encoding="utf-8", newline="\n")
        assert golden.read_text("utf-8") == html

    return compare

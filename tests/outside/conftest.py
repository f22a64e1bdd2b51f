"""Worksheets of the demonstration shop as plain functions, to hold them against other libraries."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

from builder.manual import load
from builder.model.worksheet import Worksheet
from builder.worksheet import work

ROOT = Path(__file__).parents[2]

WorkOut = Callable[..., dict[str, float]]


@pytest.fixture(scope="session")
def worksheets() -> Mapping[str, Worksheet]:
    """Every worksheet by its id."""
    return load(ROOT)[0].worksheets


@pytest.fixture(scope="session")
def work_out(worksheets: Mapping[str, Worksheet]) -> WorkOut:
    """Work a worksheet out from texts; results by name in the units in which they are shown."""

    def worked(worksheet: str, **given: str) -> dict[str, float]:
        done = work(worksheets[worksheet], given)
        assert done.strange == ()
        assert [line.why for line in done.lines if line.value is None] == []
        return {line.name: float(line.value) for line in done.lines if line.value is not None}

    return worked


@pytest.fixture(scope="session")
def published() -> dict[str, Any]:
    """Rows of published tables, each with its source."""
    text = (ROOT / "tests" / "vectors" / "outside" / "tables.json").read_text(encoding="utf-8")
    rows: dict[str, Any] = json.loads(text)
    return rows

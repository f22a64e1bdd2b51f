"""The browser's evaluator, under the name that the tests of formulas use."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest


@pytest.fixture(scope="session")
def browser(formula_browser: Callable[[dict[str, Any]], Any]) -> Callable[[dict[str, Any]], Any]:
    """Ask the browser's scripts one question; see tests/js/answer.cjs."""
    return formula_browser

"""The browser's scripts behind a pipe: one node process for all tests that compare it with Python."""

from __future__ import annotations

import json
import shutil
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from builder.formula import export_units

ANSWER = Path(__file__).parents[1] / "js" / "answer.cjs"


@pytest.fixture(scope="session")
def browser() -> Iterator[Callable[[dict[str, Any]], Any]]:
    """Ask the browser's scripts one question; see tests/js/answer.cjs."""
    node = shutil.which("node")
    if node is None:
        pytest.skip("NOT COMPARED: node is not installed, so the browser's evaluator was not run at all")
    with subprocess.Popen(
        [node, str(ANSWER)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, encoding="utf-8"
    ) as process:
        assert process.stdin
        assert process.stdout
        questions, answers = process.stdin, process.stdout

        def ask(question: dict[str, Any]) -> Any:  # noqa: ANN401 - JSON of any shape
            questions.write(json.dumps(question) + "\n")
            questions.flush()
            line = answers.readline()
            assert line, "the browser's scripts stopped"
            return json.loads(line)

        ask({"units": export_units()})
        yield ask
        questions.close()

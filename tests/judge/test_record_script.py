"""The record as the page writes it: the script's own tests, run by node."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

SCRIPT = Path(__file__).parents[1] / "js" / "judge_record.test.cjs"


def test_record_script_passes_its_own_tests() -> None:
    """Corrections, tries, signatures, holds and files: each sentence of the script's tests holds."""
    node = shutil.which("node")
    if node is None:
        pytest.skip("NOT RUN: node is not installed, so the record's script was not tried at all")

    done = subprocess.run([node, "--test", str(SCRIPT)], capture_output=True, text=True, check=False)

    assert done.returncode == 0, done.stdout

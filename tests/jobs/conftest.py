"""The two demonstration jobs, to be copied, altered and checked again."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from builder.jobs import CheckedJob, Finding, Kind, Plans, check_job, read_job
from builder.manual import Manual, load

ROOT = Path(__file__).parents[2]
DEMONSTRATION = ROOT / "tests" / "data" / "jobs"
"""The jobs of the demonstration; T-0217 as it stood with nine sheets filed, the rest on paper."""

Json = dict[str, Any]


@dataclass(frozen=True)
class Copy:
    """A copy of a job folder that may be altered."""

    folder: Path
    plans: Plans

    def path(self, code: str) -> Path:
        """The file of a sheet by its procedure's code."""
        return next((self.folder / "sheets").glob(f"{code}-*.json"))

    def edit(self, code: str, change: Callable[[Json], None]) -> None:
        """Change a sheet as plain data."""
        path = self.path(code)
        sheet = json.loads(path.read_text("utf-8"))
        change(sheet)
        path.write_text(json.dumps(sheet), "utf-8")

    def job(self, old: str, new: str) -> None:
        """Put one text of `job.yaml` in the place of another that stands there once."""
        path = self.folder / "job.yaml"
        text = path.read_text("utf-8")
        assert text.count(old) == 1, f"{old!r} stands there {text.count(old)} times"
        path.write_text(text.replace(old, new), "utf-8")

    def add(self, text: str) -> None:
        """Add lines to the end of `job.yaml`."""
        path = self.folder / "job.yaml"
        path.write_text(f"{path.read_text('utf-8')}{text}\n", "utf-8")

    def check(self) -> CheckedJob:
        """Read and check it."""
        return check_job(self.plans.manual, read_job(self.folder), self.plans)

    def found(self) -> list[Finding]:
        """The findings; that the release is signed although they stand open goes without saying here."""
        return [one for one in self.check().findings if one.kind is not Kind.RELEASED]


@pytest.fixture(scope="session")
def manual() -> Manual:
    """The manual of the demonstration shop."""
    found, faults = load(ROOT)
    assert faults == ()
    return found


@pytest.fixture(scope="session")
def plans(manual: Manual) -> Plans:
    """The checklists of the demonstration shop, each laid out once for all tests."""
    return Plans(manual)


@pytest.fixture
def clean(tmp_path: Path, plans: Plans) -> Copy:
    """A copy of the clean job T-0217."""
    return Copy(Path(shutil.copytree(DEMONSTRATION / "T-0217", tmp_path / "T-0217")), plans)


@pytest.fixture
def faulty(tmp_path: Path, plans: Plans) -> Copy:
    """A copy of the faulty job P-0331."""
    return Copy(Path(shutil.copytree(DEMONSTRATION / "P-0331", tmp_path / "P-0331")), plans)

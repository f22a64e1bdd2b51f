"""The branch shop of the demonstration: a folder of its own over the whole manual of the first one."""

from __future__ import annotations

from pathlib import Path

from builder.diagnostic_formats import as_lines
from builder.diagnostics import Severity
from builder.edition import edition
from builder.manual import Manual, load
from builder.revision.pinned import resolved
from builder.rules import check_shop

ROOT = Path(__file__).parents[2]
BRANCH = ROOT / "site_demo" / "branch"
FAMILY = "pellbrook-35-eight"


def edition_of(manual: Manual, procedure: str) -> str:
    """The edition of a checklist of the family that the branch changes."""
    found = resolved(manual, FAMILY, procedure)
    assert found is not None
    return edition(found)


def test_branch_shop_has_no_errors_and_a_reason_for_everything() -> None:
    """It has all of the base, and each of its differences says who, when and why."""
    manual, diagnostics = check_shop(BRANCH)
    base = load(ROOT)[0]

    assert as_lines([one for one in diagnostics if one.severity is Severity.ERROR]) == ""
    assert set(manual.engines) == set(base.engines)
    assert set(manual.procedures) == set(base.procedures)
    assert manual.differences
    assert all(one.by and one.on and one.why for one in manual.differences)


def test_only_the_sheets_that_the_branch_changes_are_other_editions() -> None:
    """The mains have an aim and a step of their own; the bores are as in the base."""
    manual, base = load(BRANCH)[0], load(ROOT)[0]

    assert edition_of(manual, "fit-poured-mains") != edition_of(base, "fit-poured-mains")
    assert edition_of(manual, "bore-and-hone") == edition_of(base, "bore-and-hone")

"""Build a shop's site: the whole way from its files to finished pages, step by step, for both entrances."""

from __future__ import annotations

from pathlib import Path

from builder import rules
from builder.diagnostics import Diagnostic, Severity
from builder.manual import FOLDERS, Manual, load
from builder.render.pages import assets, pages
from builder.render.shell import Site


def check(shop: Path) -> tuple[Manual, tuple[Diagnostic, ...]]:
    """Read a shop's files and check them; every fault of every file comes in one go, in the order of the files."""
    manual, faults = load(shop)
    found = tuple(rules.check(manual))
    return manual, tuple(sorted({*faults, *found}))


def build(shop: Path) -> Site:
    """Check a shop's manual and, unless it has errors, render all of its pages and files."""
    manual, diagnostics = check(shop)
    watch = tuple(shop / folder for folder in FOLDERS)
    if has_errors(diagnostics):
        return Site((), (), diagnostics, watch)
    return Site(tuple(pages(manual)), tuple(assets(manual)), diagnostics, watch)


def has_errors(diagnostics: tuple[Diagnostic, ...]) -> bool:
    """Whether anything stands in the way of a build."""
    return any(found.severity is Severity.ERROR for found in diagnostics)

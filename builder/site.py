"""Build a shop's site: the whole way from its files to finished pages, step by step, for both entrances."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from builder import rules
from builder.diagnostics import Diagnostic, Severity
from builder.manual import FOLDERS, Manual, load
from builder.render.bench import bench_assets, bench_pages
from builder.render.find import find_page, lookup_assets
from builder.render.pages import reference_pages
from builder.render.shell import Asset, Page, Site


def check(shop: Path) -> tuple[Manual, tuple[Diagnostic, ...]]:
    """Read a shop's files and check them; all faults come in one go, in the order of the files."""
    manual, faults = load(shop)
    found = tuple(rules.check(manual))
    return manual, tuple(sorted({*faults, *found}))


def build(shop: Path) -> Site:
    """Check a shop's manual and, unless it has errors, render all of its pages and files."""
    manual, diagnostics = check(shop)
    watch = tuple(shop / folder for folder in FOLDERS)
    if has_errors(diagnostics):
        return Site((), (), diagnostics, watch)
    return Site(tuple(_pages(manual)), tuple(_assets(manual)), diagnostics, watch)


def _pages(manual: Manual) -> Iterator[Page]:
    yield find_page(manual)
    yield from reference_pages(manual)
    yield from bench_pages(manual)


def _assets(manual: Manual) -> Iterator[Asset]:
    yield from lookup_assets(manual)
    yield from bench_assets(manual)


def has_errors(diagnostics: tuple[Diagnostic, ...]) -> bool:
    """Whether anything stands in the way of a build."""
    return any(found.severity is Severity.ERROR for found in diagnostics)

"""Build a shop's site: the whole way from its files to finished pages, step by step, for both entrances."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from builder import collector
from builder.diagnostics import Fault
from builder.jobs import CheckedJob, Plans, check_jobs
from builder.jobs.start import JOBS
from builder.layers import layers_of
from builder.manual import FOLDERS, Manual
from builder.render.bench import bench_assets, bench_pages
from builder.render.changes import changes_page, older_sheets
from builder.render.find import find_page, lookup_assets
from builder.render.find_job import OnJob, ready
from builder.render.home import home_page
from builder.render.one_file import one_files
from builder.render.pages import reference_pages
from builder.render.shell import Asset, Page, Site
from builder.render.wall_cards import wall_cards
from builder.render.worksheets import worksheet_pages
from builder.revision.report import changes_since
from builder.rules import check_shop, has_errors


def build(shop: Path, served_at: str = "", jobs: str = JOBS, *, job_pages: bool = False) -> Site:
    """Check a shop's manual and, unless it has errors, render all of its pages and files.

    Where the site is served at an address, each sheet carries the way to its page as a QR code. `jobs` is the
    folder of the shop's jobs inside the shop: those that read can be chosen in the look-up. With `job_pages`
    each of them gets a page and its build record.
    """
    checked, diagnostics = check_shop(shop)
    manual = replace(checked, served_at=served_at)
    watch = (
        *(layer.folder / folder for layer in layers_of(shop)[0] for folder in FOLDERS),
        *_kept(shop / jobs),
    )
    if has_errors(diagnostics):
        return Site((), (), diagnostics, watch)
    with collector.still():
        plans, checked_jobs = check_jobs(manual, shop / jobs)
        pages, assets = tuple(_pages(manual)), tuple(_assets(manual, ready(manual, checked_jobs)))
        of_jobs, records = _jobs(plans, checked_jobs) if job_pages else ((), ())
        every = (*assets, *one_files(pages, assets))
        return Site((*pages, *of_jobs), (*every, *records), diagnostics, watch, home_page(manual))


def _kept(jobs: Path) -> tuple[Path, ...]:
    """The folder of the jobs where the shop has one."""
    return (jobs,) if jobs.is_dir() else ()


def with_changes(site: Site, shop: Path, since: str) -> Site:
    """The site with one page more, which tells what changed since a revision of the shop's history.

    Where there is no git or no such revision, the site stays as it is.
    """
    try:
        report = changes_since(shop, since)
    except Fault:
        return site
    assets = (*site.assets, *older_sheets(report))
    return replace(site, pages=(*site.pages, changes_page(report)), assets=assets)


def _pages(manual: Manual) -> Iterator[Page]:
    yield find_page(manual)
    yield from reference_pages(manual)
    yield from bench_pages(manual)
    yield from worksheet_pages(manual)


def _jobs(plans: Plans, jobs: tuple[CheckedJob, ...]) -> tuple[tuple[Page, ...], tuple[Asset, ...]]:
    """The pages of a shop's jobs, and their build records."""
    from builder.render.job_pages import job_pages, job_records  # noqa: PLC0415 - statistics load for them alone

    return tuple(job_pages(plans, jobs)), tuple(job_records(jobs))


def _assets(manual: Manual, jobs: tuple[OnJob, ...]) -> Iterator[Asset]:
    yield from lookup_assets(manual, jobs)
    yield from bench_assets(manual)
    yield from wall_cards(manual)

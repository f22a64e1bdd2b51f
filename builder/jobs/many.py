"""Several jobs checked at once, on as many cores as there are."""

from __future__ import annotations

import gc
import os
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import cache
from multiprocessing import get_all_start_methods, get_context
from pathlib import Path

from builder.diagnostics import Diagnostic
from builder.jobs.check import check_job
from builder.jobs.folder import read_job
from builder.jobs.pins import Earlier
from builder.jobs.plan import Plans
from builder.jobs.words import job_lines
from builder.manual import Manual

WORTH_SHARING = 4
"""Jobs from which on a second process pays for its start."""


@dataclass(frozen=True)
class Outcome:
    """What the check of one folder came to: its lines, the faults of its files, whether it may go."""

    folder: Path
    lines: tuple[str, ...]
    faults: tuple[Diagnostic, ...]
    may_be_released: bool


def check_folders(
    manual: Manual,
    folders: Sequence[Path],
    *,
    values: bool,
    workers: int | None = None,
    earlier: Earlier | None = None,
) -> Iterator[Outcome]:
    """Check job folders in their order; `values` asks for every value of every sheet as well.

    With what knows `earlier` editions, each sheet is held against the edition that it is on.
    """
    number = min(workers or os.cpu_count() or 1, len(folders))
    if number < 2 or len(folders) < WORTH_SHARING or "fork" not in get_all_start_methods():  # noqa: PLR2004
        plans = Plans(manual, earlier)
        yield from (_outcome(plans, folder, values) for folder in folders)
        return
    with ProcessPoolExecutor(number, get_context("fork"), _ready, (manual, values, earlier)) as pool:
        yield from pool.map(_shared, folders, chunksize=max(1, len(folders) // (number * 8)))


def _outcome(plans: Plans, folder: Path, values: bool) -> Outcome:
    record = read_job(folder)
    checked = check_job(plans.manual, record, plans)
    lines = tuple(job_lines(checked, values=values))
    return Outcome(folder, lines, checked.faults, checked.may_be_released)


# In the worker processes


@cache
def _desk() -> list[tuple[Plans, bool]]:
    """What a worker process works with, put here when it starts."""
    return []


def _ready(manual: Manual, values: bool, earlier: Earlier | None) -> None:
    gc.disable()  # records make no rings, and the process ends with the last of them
    _desk().append((Plans(manual, earlier), values))


def _shared(folder: Path) -> Outcome:
    plans, values = _desk()[-1]
    return _outcome(plans, folder, values)

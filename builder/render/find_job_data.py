"""A job for *Find a value* in the browser: what its rows say beyond those of its family, in finished words.

Each job has a file of its own that the page loads when the job is chosen, so that a shop of many jobs opens
as quickly as one of none. `assets/js/lookup-job.js` reads this. Equal jobs give equal bytes.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, Final

from builder.lookup import Lookup
from builder.manual import Manual
from builder.render.find_data import Shared, measure_data, value_data
from builder.render.find_job import OnJob, on_job
from builder.render.find_rows import ReadingLine, ReadingsView, RowView
from builder.render.job_values import KIND as JOB
from builder.render.job_values import job_line
from builder.render.shell import Asset

VERSION: Final = 1
LIST: Final = "assets/lookup-jobs.js"
_UNSAFE: Final = re.compile(r"[^A-Za-z0-9-]+")


def job_assets(lookup: Lookup, jobs: tuple[OnJob, ...]) -> Iterator[Asset]:
    """The list of the jobs to choose from, and a file for each of them."""
    listed = []
    for number, job in enumerate(jobs, 1):
        path = f"assets/jobs/{number}-{_slug(job)}.js"
        listed.append([str(job.job.number), str(job.answers.engine.engine), path])
        yield Asset(path, f"Gaugeleaf.lookupJob({_json(job_data(lookup, job))});\n")
    yield Asset(LIST, f"Gaugeleaf.lookupJobs = {_json(listed)};\n")


def job_file(manual: Manual, folder: Path) -> tuple[str, str]:
    """The name and the text of a job's file, which the page opens.

    Raises:
        Fault: the job does not read.
    """
    job = on_job(manual, folder)
    return f"{_slug(job)}.look-up.json", f"{_json(job_data(Lookup(manual), job))}\n"


def _slug(job: OnJob) -> str:
    """A job's number as a part of a file's name."""
    return _UNSAFE.sub("-", str(job.job.number)).strip("-")


def job_data(lookup: Lookup, job: OnJob) -> Mapping[str, Any]:
    """A job as plain data: its rows by characteristic, each with what only the job says of it."""
    shared = Shared()
    rows = dict(_rows(lookup, job, shared))
    return {
        "lookup": VERSION,
        "number": str(job.job.number),
        "engine": str(job.answers.engine.engine),
        "said": job_line(job.job),
        "until": job.until,
        "rows": rows,
        "strings": list(shared.strings),
        "steps": [list(step) for step in shared.steps],
    }


def _json(value: object) -> str:
    """JSON that may stand inside a script."""
    return json.dumps(value, separators=(",", ":"), ensure_ascii=True)


def _rows(lookup: Lookup, job: OnJob, shared: Shared) -> Iterator[tuple[str, list[Any]]]:
    engine = job.answers.engine
    for name in map(str, engine.specs):
        entry = lookup.entry(engine, name)
        if entry is None:
            continue
        view = job.view(entry)
        if view.readings or any(value.kind == JOB for value in view.values):
            yield name, _row(view, shared)


def _row(view: RowView, shared: Shared) -> list[Any]:
    """The values, each with its label behind it, then what was read."""
    return [
        [[*value_data(value, shared), shared.number(value.label)] for value in view.values],
        [_readings(found, shared) for found in view.readings],
    ]


def _readings(found: ReadingsView, shared: Shared) -> list[Any]:
    """Stage, name, step, then a line for each thing."""
    lines = [_line(line, shared) for line in found.lines]
    return [shared.number(found.stage), shared.number(found.name), shared.step(found.step), lines]


def _line(line: ReadingLine, shared: Shared) -> list[Any]:
    """Where, the measure and the other system's, the verdict, whether it is bad."""
    return [
        shared.number(line.where),
        measure_data(line.shown, shared) if line.shown else 0,
        measure_data(line.partner, shared) if line.partner else 0,
        shared.number(line.verdict),
        int(line.is_bad),
    ]

"""Measure formulas and verdicts in Python and in the browser's own code (under node).

    python tests/bench/formula_speed.py [--seconds 3]

The formula is the least clearance of poured mains over a whole sheet: 5 mains, 2 planes, 50 readings. The
sheet is the faulty demonstration job's, judged from nothing each time.
"""

from __future__ import annotations

import argparse
import json
import subprocess
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from builder.checklist import Checklist, resolve
from builder.formula import Scope, evaluate, export, export_scope, readings
from builder.jobs.folder import read_job
from builder.judge import judge
from builder.judge.program import program, shared
from builder.judge.sheet import dims_of
from builder.judge.taken import take
from builder.manual import load
from builder.model.job import Job
from builder.model.record import Sheet

SHOP = Path(__file__).parents[2]
SPEED = SHOP / "tests" / "js" / "speed.cjs"
STAGE = "final"


def rate(once: Callable[[], object], seconds: float) -> float:
    """How many times a second something can be done."""
    once()
    end, times = time.perf_counter() + seconds, 0
    while time.perf_counter() < end:
        once()
        times += 1
    return times / seconds


def scope_of(checklist: Checklist, sheet: Sheet, job: Job) -> Scope:
    """The sheet's readings laid out for formulas."""
    taken = take(checklist, sheet, job, STAGE)
    grids = {one.grid.name: one.grid for one in taken}
    return Scope(
        values={
            name: readings(
                name,
                dims_of(grid),
                [one.quantity.base if one.quantity else None for one in taken if one.grid is grid],
            )
            for name, grid in grids.items()
        }
    )


def page_job(job: Job) -> dict[str, object]:
    """A job as the page keeps it: what bears on judging."""
    return {
        "basis": str(job.basis),
        "sizes": {str(name): str(next(iter(size.values())).text) for name, size in job.sizes.items()},
        "gauges": {
            str(name): {
                "instrument": str(one.instrument),
                "due": str(one.due),
                "set_to": str(one.set_to or ""),
            }
            for name, one in job.gauges.items()
        },
    }


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--seconds", type=float, default=3.0)
    seconds = parser.parse_args().seconds
    manual, _ = load(SHOP)
    record = read_job(SHOP / "site_demo" / "jobs" / "P-0331")
    sheet = next(one.sheet for one in record.sheets if one.sheet.procedure == "fit-poured-mains")
    engine, procedure = manual.engines[str(sheet.engine)], manual.procedures[str(sheet.procedure)]
    checklist = resolve(manual, engine, procedure)
    least = next(
        out for step in checklist.steps for name, out in step.work_outs.items() if name == "clearance"
    ).least
    if record.job is None or least is None:
        raise SystemExit("the demonstration job P-0331 does not read")
    scope = scope_of(checklist, sheet, record.job)
    print(f"Python:  {rate(lambda: evaluate(least.node, scope), seconds):8.0f} formulas a second")
    spent = 1000 / rate(lambda: judge(checklist, sheet, record.job, STAGE), seconds)
    print(f"Python:  {spent:8.1f} ms to judge a full mains sheet")
    case_sheet = SHOP / "site_demo" / "jobs" / "P-0331" / "sheets" / "P16-fit-poured-mains.json"
    with tempfile.TemporaryDirectory() as folder:
        case = Path(folder, "case.json")
        case.write_text(
            json.dumps(
                {
                    "exported": export(least.node),
                    "scope": export_scope(scope),
                    "shared": shared(manual),
                    "program": program(checklist),
                    "sheet": json.loads(case_sheet.read_text("utf-8")),
                    "job": page_job(record.job),
                    "stage": STAGE,
                    "seconds": seconds,
                }
            ),
            encoding="utf-8",
        )
        said = json.loads(subprocess.check_output(["node", str(SPEED), str(case)]))
    print(f"Browser: {said['formulas']:8.0f} formulas a second")
    print(f"Browser: {1000 / said['sheets']:8.1f} ms to judge a full mains sheet")


if __name__ == "__main__":
    main()

"""Measure the check of 200 jobs of 40 sheets.

    python tests/bench/jobs_speed.py [--jobs 200] [--sheets 40] [--workers 2] [--faulty 10] [--times 3]

The jobs are made up from the demonstration's families: every checklist filled in, the digits varied, the
record of each job whole, so that it may be released; in every `--faulty`th one main is slack and a hold is
unsigned. Printed are the time by the clock and the time of the processors, from opening the first file to the
last finding; reading the manual once is not counted.
"""

from __future__ import annotations

import argparse
import os
import resource
import sys
import tempfile
import time
from datetime import date, timedelta
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent))

from filled_jobs import JOB, Filler, job_data, write_job

from builder.jobs import Plans, SheetPlan
from builder.jobs.many import check_folders
from builder.manual import Manual, load

SHOP = Path(__file__).parents[2]
FAMILIES = ("tarnwick-222h-six", "pellbrook-35-eight")
SIZES: tuple[dict[str, str], ...] = (
    {},
    {"main_undersize": "0.010 in", "pin_undersize": "0.010 in"},
    {"bore_oversize": "0.020 in"},
)
FIRST = date(2026, 3, 2)
SLACK = "9.9999"


def main() -> None:
    """Make the jobs, check them, print."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--jobs", type=int, default=200)
    parser.add_argument("--sheets", type=int, default=40)
    parser.add_argument("--workers", type=int, default=os.cpu_count())
    parser.add_argument("--faulty", type=int, default=10)
    parser.add_argument("--times", type=int, default=3)
    asked = parser.parse_args()
    manual = load(SHOP)[0]
    with tempfile.TemporaryDirectory() as made:
        started = time.perf_counter()
        folders, sheets, readings = make(manual, Path(made), asked)
        made_in = time.perf_counter() - started
        say(f"{len(folders)} jobs, {sheets} sheets, {readings} readings, made in {made_in:.0f} s")
        for _ in range(asked.times):
            measure(manual, folders, asked.workers)


def measure(manual: Manual, folders: list[Path], workers: int) -> None:
    """Check the folders and print how long it took."""
    clock, processors = time.perf_counter(), used()
    outcomes = list(check_folders(manual, folders, values=False, workers=workers))
    clock, processors = time.perf_counter() - clock, used() - processors
    released = sum(outcome.may_be_released for outcome in outcomes)
    say(f"{released} of {len(outcomes)} may be released")
    say(f"checked in {clock:.1f} s by the clock with {workers} processes, {processors:.1f} s of processor")


def say(line: str) -> None:
    """Tell one line."""
    sys.stdout.write(f"{line}\n")


def used() -> float:
    """Seconds of processor that this process and its finished children have used."""
    usages = (resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    return sum(usage.ru_utime + usage.ru_stime for usage in usages)


def make(manual: Manual, folder: Path, asked: argparse.Namespace) -> tuple[list[Path], int, int]:
    """Write the jobs; give their folders, the number of sheets and of readings."""
    kinds = [Kind(manual, engine, sizes, asked.sheets) for engine in FAMILIES for sizes in SIZES]
    folders, sheets, readings = [], 0, 0
    for number in range(asked.jobs):
        path = folder / f"J-{number:04}"
        written = kinds[number % len(kinds)].write(path, is_faulty=number % asked.faulty == asked.faulty - 1)
        folders.append(path)
        sheets += len(written)
        readings += sum(len(sheet["readings"]) for _, sheet in written)
    return folders, sheets, readings


class Kind:
    """Jobs of one family and one set of sizes."""

    def __init__(self, manual: Manual, engine: str, sizes: dict[str, str], most: int) -> None:
        self.data = job_data("J", engine, sizes)
        self.filler = Filler(Plans(manual), JOB.validate_python(self.data))
        route = in_order([plan for plan in self.filler.plans.route(engine) if plan.name != "liners"])
        self.plans, self.paper = route[:most], route[most:]
        self.typed = {plan.name: self.filler.values(plan) for plan in self.plans}

    def write(self, folder: Path, *, is_faulty: bool) -> list[tuple[str, dict[str, Any]]]:
        """Write one job."""
        sheets = [self.sheet(plan, place, folder.name) for place, plan in enumerate(self.plans)]
        if is_faulty:
            spoil(sheets)
        write_job(folder, {**self.data, "number": folder.name, **self.papers()}, sheets)
        return sheets

    def sheet(self, plan: SheetPlan, place: int, number: str) -> tuple[str, dict[str, Any]]:
        """One sheet, filled in on its day."""
        typed = self.filler.varied(plan, self.typed[plan.name])
        day = (FIRST + timedelta(days=place)).isoformat()
        return plan.code, {**self.filler.sheet(plan, typed, day), "job": number}

    def papers(self) -> dict[str, Any]:
        """What else a job accounts for."""
        parts = {name: {"fitted": [{"state": "new"}]} for plan in self.plans for name in plan.parts}
        last = (FIRST + timedelta(days=len(self.plans))).isoformat()
        paper = {plan.name: {"by": "R.S.", "on": last} for plan in self.paper}
        skipped = [{"procedure": "liners", "reason": "the bores clean up", "by": "R.S."}]
        return {"parts": parts, "paper": paper, "skipped": skipped}


def in_order(route: list[SheetPlan]) -> list[SheetPlan]:
    """The route in an order in which everything comes after what it needs."""
    holds = route[0].checklist.manual.holds
    signed = {hold: plan.name for plan in route for hold in plan.holds if holds[hold].covers}
    before = {
        plan.name: {
            *plan.needs,
            *(signed[hold] for hold in plan.needs_holds if hold in signed),
            *(signed[hold] for hold in signed if plan.name in holds[hold].before),
        }
        for plan in route
    }
    placed: list[SheetPlan] = []
    while len(placed) < len(route):
        names = {plan.name for plan in placed}
        left = [plan for plan in route if plan.name not in names]
        free = [plan for plan in left if before[plan.name] & {one.name for one in left} <= {plan.name}]
        placed += free or left
    return placed


def spoil(sheets: list[tuple[str, dict[str, Any]]]) -> None:
    """Make one bore slack, and leave a hold unsigned."""
    of = next(sheet for code, sheet in sheets if code in {"P16", "P18"})
    next(one for one in of["readings"] if one["name"] == "bore")["typed"] = SLACK
    of["holds"] = [one for one in of["holds"] if one["hold"] != "bearings-witnessed"]


if __name__ == "__main__":
    main()

"""Measure a checklist in Chromium, from a disk, with the processor slowed down: a reading, and the opening.

    python tests/bench/checklist_speed.py [--slower 4] [--times 3]

The sheet is filled in reading by reading. Printed is what lies between the last digit of a reading and its
verdict (the page's work, its style and its layout), and what lies between opening the page and the first box
that takes a reading, with the record of a whole sheet in the browser; by the clock, which means something
only on a machine with nothing else to do, and a reading also as time of the page's thread.
"""

from __future__ import annotations

import argparse
import json
import os
import statistics
import sys
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, BrowserContext, CDPSession, Page, sync_playwright

sys.path.insert(0, str(Path(__file__).parents[1]))

from conftest import build_into
from filled_jobs import SIGNERS, filled

from builder.jobs import SheetPlan
from builder.judge.program import holds_needed, shared
from builder.manual import Manual, load
from builder.render.bench import SHARED, checklist_page, program_asset, script
from builder.render.shell import Asset, Site

Json = dict[str, Any]

SHOP = Path(__file__).parents[2]
CHROMIUM = os.environ.get("CHROMIUM", "/usr/bin/chromium")
QUIET = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
)
SHEETS = (
    ("tarnwick-222h-six", "bore-and-hone"),
    ("pellbrook-35-eight", "fit-poured-mains"),
    ("tarnwick-222h-six", "fit-shell-bearings"),
)
WHEN = "2026-03-19T10:00:00Z"
FRAME = 16.0
"""Milliseconds of one frame."""

READINGS = """async (typed) => {
  const frame = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
  const boxes = [...document.querySelectorAll(".gl-reading")];
  const times = [];
  for (const [index, text] of typed.entries()) {
    const box = boxes[index];
    box.focus();
    await frame();
    box.value = text;
    const start = performance.now();
    box.dispatchEvent(new Event("input", { bubbles: true }));
    document.body.getBoundingClientRect();
    times.push(performance.now() - start);
    await frame();
    box.dispatchEvent(new Event("change", { bubbles: true }));
  }
  return times;
}"""
USABLE = """
new MutationObserver((_, observer) => {
  const box = document.querySelector(".gl-reading");
  if (!globalThis.Gaugeleaf || !Gaugeleaf.page || !box || box.disabled) return;
  document.body.getBoundingClientRect();
  window.usable = performance.now();
  observer.disconnect();
}).observe(document, { childList: true, subtree: true, attributes: true });"""


@dataclass
class Measured:
    """Times in milliseconds: readings by the clock and by the page's thread, openings by the clock."""

    readings: list[float] = field(default_factory=list)
    thread: list[float] = field(default_factory=list)
    openings: list[float] = field(default_factory=list)


@dataclass(frozen=True)
class Case:
    """A checklist with a job and a filled sheet."""

    plan: SheetPlan
    job: Json
    sheet: Json

    @property
    def name(self) -> str:
        """Its family and procedure."""
        return f"{self.sheet['engine']}/{self.sheet['procedure']}"

    @property
    def typed(self) -> list[str]:
        """What is typed into the boxes, in the order of the page."""
        return [one["typed"] for one in self.sheet["readings"]]


def cases(manual: Manual) -> Iterator[Case]:
    """The sheets, each filled with values that are in."""
    for engine, procedure in SHEETS:
        filler, job = filled(manual, engine, "M-1", {})
        plan = filler.plans.plan(engine, procedure)
        if plan is None:
            raise AssertionError
        sheet = filler.sheet(plan, filler.values(plan), WHEN)
        sheet["holds"] += signed_before(plan)
        yield Case(plan, job, sheet)


def signed_before(plan: SheetPlan) -> list[Json]:
    """The holds that must stand signed before the first step."""
    return [
        {"hold": name, "role": str(role), "by": SIGNERS[str(role)], "when": WHEN}
        for name, hold in holds_needed(plan.checklist).items()
        for role in hold.by
    ]


def built(manual: Manual, found: Sequence[Case], folder: Path) -> Path:
    """The pages of the checklists, built through MkDocs."""
    checklists = [case.plan.checklist for case in found]
    assets = (Asset(SHARED, script("shared", shared(manual))), *map(program_asset, checklists))
    return build_into(Site(tuple(map(checklist_page, checklists)), assets, (), ()), folder, strict=False)


def put(page: Page, name: str, data: Json) -> None:
    """Open a job or a record from a file."""
    file = {"name": name, "mimeType": "application/json", "buffer": json.dumps(data).encode()}
    page.locator("#gl-open").set_input_files([file])
    page.locator("#gl-message").wait_for()
    page.locator("#gl-message button").click()


def measure(browser: Browser, site: Path, case: Case, slower: int, times: int) -> Measured:
    """Fill the sheet in and open the page, so many times."""
    found = Measured()
    for _ in range(times):
        context = browser.new_context(viewport={"width": 800, "height": 1200}, offline=True)
        page = context.new_page()
        session = slowed(context, page, slower)
        page.goto((site / "checklists" / f"{case.name}.html").as_uri())
        put(page, "job.json", case.job)
        put(page, "sheet.json", {**case.sheet, "readings": [], "ticks": []})
        page.wait_for_timeout(500)
        before = busy(session)
        found.readings += page.evaluate(READINGS, case.typed)
        found.thread.append((busy(session) - before) / len(case.typed))
        found.openings.append(opened(context, page, slower))
        context.close()
    return found


def opened(context: BrowserContext, before: Page, slower: int) -> float:
    """How long the page takes until a box takes a reading, with the whole record in the browser."""
    page = context.new_page()
    page.add_init_script(USABLE)
    slowed(context, page, slower)
    page.goto(before.url)
    return float(page.evaluate("window.usable"))


def slowed(context: BrowserContext, page: Page, slower: int) -> CDPSession:
    """A session in which the processor is so many times slower."""
    session = context.new_cdp_session(page)
    session.send("Emulation.setCPUThrottlingRate", {"rate": slower})
    session.send("Performance.enable", {"timeDomain": "threadTicks"})
    return session


def busy(session: CDPSession) -> float:
    """How long the page's thread has worked on script, style and layout, in milliseconds."""
    metrics = {each["name"]: each["value"] for each in session.send("Performance.getMetrics")["metrics"]}
    return 1000 * sum(metrics[f"{name}Duration"] for name in ("Script", "RecalcStyle", "Layout"))


def report(slower: int, found: Measured) -> str:
    """What was measured, in words."""
    times = sorted(found.readings)
    late = sum(time > FRAME for time in times)
    return (
        f"  processor {slower} x slower: reading to verdict median {statistics.median(times):.1f} ms, "
        f"95 % under {times[len(times) * 95 // 100]:.1f} ms, most {times[-1]:.1f} ms, "
        f"{late} of {len(times)} over {FRAME:.0f} ms (thread time {statistics.median(found.thread):.1f} ms "
        f"with what follows); usable after {statistics.median(found.openings):.0f} ms\n"
    )


def main() -> None:
    """Build, measure, print."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--slower", type=int, default=4, help="how many times slower the processor is made")
    parser.add_argument("--times", type=int, default=3, help="how often each sheet is filled in")
    asked = parser.parse_args()
    manual, _ = load(SHOP)
    found = tuple(cases(manual))
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as player:
        site = built(manual, found, Path(folder))
        browser = player.chromium.launch(executable_path=CHROMIUM, args=list(QUIET))
        for case in found:
            sys.stdout.write(f"{case.name}: {len(case.typed)} readings\n")
            for slower in sorted({1, asked.slower}):
                sys.stdout.write(report(slower, measure(browser, site, case, slower, asked.times)))
        browser.close()


if __name__ == "__main__":
    main()

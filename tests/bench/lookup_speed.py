"""Measure *Find a value* with 20,000 rows in Chromium, from a disk, with the processor slowed down.

    python tests/bench/lookup_speed.py [--rows 20000] [--slower 4] [--times 5]

Two made-up manuals are built from the demonstration's rows: `families` spreads the rows over many families
that share their ids, `ids` gives every row an id and a name of its own (harder for the index). Printed are a
keystroke (the page's work, its style and its layout) and the first result after opening: by the clock, which
means something only on a machine with nothing else to do; a keystroke also as time of the page's thread.
"""

from __future__ import annotations

import argparse
import os
import statistics
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from itertools import cycle, islice, product
from pathlib import Path

from playwright.sync_api import Browser, CDPSession, sync_playwright

sys.path.insert(0, str(Path(__file__).parents[1]))

from conftest import build_into

from builder.manual import Manual, load
from builder.model.engine import Engine
from builder.render.find import find_page, lookup_assets
from builder.render.shell import Page, Site

SHOP = Path(__file__).parents[2]
CHROMIUM = os.environ.get("CHROMIUM", "/usr/bin/chromium")
QUIET = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
)
TYPED = (
    "end play", "main clearance", "babbit", "carburetor", "crk-09", "piston pin fit", "big end",
    "oil pressure", "spring load closed", "head torque order", "clearence", "jurnal", "torqe", "valve",
    "bore out of round",
)  # fmt: skip
SYLLABLES = (
    "bar",
    "den",
    "fol",
    "gim",
    "hus",
    "kel",
    "lon",
    "mur",
    "nep",
    "pir",
    "rud",
    "sto",
    "tav",
    "wex",
    "yol",
)

KEYSTROKES = """(typed) => {
  const box = document.getElementById("find-words");
  const times = [];
  for (const text of typed) {
    for (let end = 1; end <= text.length; end += 1) {
      const start = performance.now();
      box.value = text.slice(0, end);
      box.dispatchEvent(new Event("input"));
      document.body.getBoundingClientRect();
      times.push(performance.now() - start);
    }
  }
  return times;
}"""
FIRST = """
new MutationObserver((_, observer) => {
  if (!document.querySelector("#find-results .gl-find-answer")) return;
  window.firstResult = performance.now();
  observer.disconnect();
}).observe(document, { childList: true, subtree: true });"""


def over_families(manual: Manual, rows: int) -> Manual:
    """The demonstration's families over and over under new names, until there are so many rows."""
    engines: dict[str, Engine] = {}
    total = 0
    for number, engine in enumerate(cycle(manual.engines.values()), 1):
        specs = dict(islice(engine.specs.items(), rows - total))
        name = f"{engine.engine}-{number}"
        renamed = {"engine": name, "title": f"{engine.title} {number}", "specs": specs}
        engines[name] = engine.model_copy(update=renamed)
        total += len(specs)
        if total >= rows:
            return replace(manual, engines=engines)
    raise AssertionError


def over_ids(manual: Manual, rows: int, each: int = 1000) -> Manual:
    """Families with a thousand rows each, every row with an id and a name that no other has."""
    words = made_up_words()
    pool = [(name, row) for engine in manual.engines.values() for name, row in engine.specs.items()]
    first = next(iter(manual.engines.values()))
    engines: dict[str, Engine] = {}
    for number in range(-(-rows // each)):
        specs = {}
        for place in range(min(each, rows - number * each)):
            name, row = pool[(number * each + place) % len(pool)]
            word = next(words)
            specs[f"{name}_{word}"] = row.model_copy(update={"title": f"{row.title} {word}", "follows": None})
        renamed = {"engine": f"family-{number}", "title": f"Family {number}", "specs": specs}
        engines[f"family-{number}"] = first.model_copy(update=renamed)
    return replace(manual, engines=engines)


def made_up_words() -> Iterator[str]:
    """Words that no manual holds."""
    for parts in product(SYLLABLES, repeat=4):
        yield "".join(parts)


@dataclass
class Measured:
    """Times in milliseconds: keystrokes and first results by the clock, a keystroke by the page's thread."""

    keystrokes: list[float] = field(default_factory=list)
    firsts: list[float] = field(default_factory=list)
    thread: list[float] = field(default_factory=list)


def measure(browser: Browser, page: Path, slower: int, times: int) -> Measured:
    """Open the page so many times and type."""
    found = Measured()
    for _ in range(times):
        context = browser.new_context(viewport={"width": 800, "height": 1200}, offline=True)
        tab = context.new_page()
        tab.add_init_script(FIRST)
        session = context.new_cdp_session(tab)
        session.send("Emulation.setCPUThrottlingRate", {"rate": slower})
        session.send("Performance.enable", {"timeDomain": "threadTicks"})
        tab.goto(f"{page.as_uri()}#q=end+play")
        tab.wait_for_selector("#find-results .gl-find-answer")
        tab.wait_for_timeout(1000)
        found.firsts.append(tab.evaluate("window.firstResult"))
        before = busy(session)
        strokes = tab.evaluate(KEYSTROKES, list(TYPED))
        found.thread.append((busy(session) - before) / len(strokes))
        found.keystrokes += strokes
        context.close()
    return found


def busy(session: CDPSession) -> float:
    """How long the page's thread has worked on script, style and layout, in milliseconds."""
    metrics = {each["name"]: each["value"] for each in session.send("Performance.getMetrics")["metrics"]}
    return 1000 * sum(metrics[f"{name}Duration"] for name in ("Script", "RecalcStyle", "Layout"))


def built(manual: Manual, folder: Path) -> Path:
    """The page of a manual, built through MkDocs."""
    home = Page("index.html", "Home", '<h1 id="home">Measured</h1>', (), ())
    site = Site((home, find_page(manual)), tuple(lookup_assets(manual)), (), ())
    return build_into(site, folder, strict=False) / "find.html"


def report(name: str, found: Measured) -> str:
    """What was measured, in words."""
    strokes = sorted(found.keystrokes)
    return (
        f"  {name}: keystroke median {statistics.median(strokes):.1f} ms, "
        f"95 % under {strokes[len(strokes) * 95 // 100]:.1f} ms, most {strokes[-1]:.1f} ms "
        f"({len(strokes)} keystrokes; thread time {statistics.median(found.thread):.1f} ms on average); "
        f"first result median {statistics.median(found.firsts):.0f} ms, most {max(found.firsts):.0f} ms\n"
    )


def main() -> None:
    """Build, measure, print."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--rows", type=int, default=20_000)
    parser.add_argument("--slower", type=int, default=4, help="how many times slower the processor is made")
    parser.add_argument("--times", type=int, default=5, help="how often the page is opened")
    asked = parser.parse_args()
    manual, _ = load(SHOP)
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as player:
        browser = player.chromium.launch(executable_path=CHROMIUM, args=list(QUIET))
        for name, make in (("families", over_families), ("ids", over_ids)):
            start = time.perf_counter()
            page = built(make(manual, asked.rows), Path(folder) / name)
            took = time.perf_counter() - start
            size = (page.parent / "assets" / "lookup-data.js").stat().st_size / 1e6
            sys.stdout.write(f"{name}: {asked.rows} rows, data {size:.1f} MB, built in {took:.1f} s\n")
            for slower in sorted({1, asked.slower}):
                sys.stdout.write(
                    report(f"processor {slower} x slower", measure(browser, page, slower, asked.times))
                )
        browser.close()


if __name__ == "__main__":
    main()

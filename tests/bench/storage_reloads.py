"""Count how often a page from a disk is without what it kept, asking at once and asking after an answer.

    python tests/bench/storage_reloads.py [--loads 300]

One page asks for its storage before any script of its own, as early as can be; the other waits for
`assets/js/opened.js`. Printed is how many of the reloads of each found nothing or something old.
"""

from __future__ import annotations

import argparse
import os
import tempfile
from pathlib import Path

from playwright.sync_api import BrowserContext, sync_playwright

from builder.render.shell import ASSETS

CHROMIUM = os.environ.get("CHROMIUM", "/usr/bin/chromium")
QUIET = ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking"]
RELOADS = 5
"""Of a page before the next is opened."""

READ = "window.found = kept.getItem('sheet') || ''"
AT_ONCE = f"<script>const kept = localStorage; {READ}</script>"
AFTER = f"<script>Gaugeleaf.whenOpened((kept) => {{ {READ} }})</script>"


def lost(context: BrowserContext, path: Path, before: str, loads: int) -> int:
    """How many of so many reloads were without what had just been kept."""
    missing = 0
    for turn in range(loads // RELOADS):
        page, sheet = context.new_page(), f"{turn} " + "x" * 8000
        page.add_init_script(before)
        page.goto(path.as_uri())
        page.wait_for_function("window.found !== undefined")
        page.evaluate("sheet => localStorage.setItem('sheet', sheet)", sheet)
        page.wait_for_timeout(200)
        for _ in range(RELOADS):
            page.reload()
            page.wait_for_function("window.found !== undefined")
            missing += page.evaluate("window.found") != sheet
        page.close()
    return missing


def main() -> None:
    """Print both counts."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--loads", type=int, default=300)
    loads = asked.parse_args().loads
    opened = (ASSETS / "js/opened.js").read_text("utf-8")
    ways = {"at once": (AT_ONCE, "localStorage.length"), "after an answer": (AFTER, opened)}
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as player:
        context = player.chromium.launch_persistent_context(
            f"{folder}/profile", executable_path=CHROMIUM, args=QUIET
        )
        for name, (head, before) in ways.items():
            path = Path(folder, f"{name}.html")
            path.write_text(f"<!doctype html><title>{name}</title>{head}" + "<p>text</p>" * 2000, "utf-8")
            print(
                f"asked {name}: {lost(context, path, before, loads)} of {loads} loads without what was kept"
            )
        context.close()


if __name__ == "__main__":
    main()

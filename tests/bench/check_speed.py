"""Measure `gaugeleaf check` on 20,000 characteristics beside libyaml's own parse of the same files.

    python tests/bench/check_speed.py [--rows 20000] [--times 3]

The rows are those of the two large demonstration families, given out under as many family names as it takes.
The check is the whole command in a process of its own, start of Python and all rules included; the parse is
libyaml's composing of nodes, in this process.
"""

from __future__ import annotations

import argparse
import shutil
import tempfile
import time
from pathlib import Path

import yaml
from build_speed import seconds

from builder.manual import load

SHOP = Path(__file__).parents[2]
FAMILIES = ("tarnwick-222h-six", "pellbrook-35-eight")


def make_shop(folder: Path, rows: int) -> int:
    """The demonstration shop with its two large families given out again until there are so many rows."""
    for part in ("procedures", "specs"):
        shutil.copytree(SHOP / part, folder / part)
    shutil.copy(SHOP / "mkdocs.yml", folder)
    manual, _ = load(SHOP)
    made, number = sum(len(engine.specs) for engine in manual.engines.values()), 0
    while made < rows:
        family = FAMILIES[number % len(FAMILIES)]
        name = f"family-{number:03}"
        text = (SHOP / "specs" / "engines" / f"{family}.yaml").read_text("utf-8")
        (folder / "specs" / "engines" / f"{name}.yaml").write_text(text.replace(family, name), "utf-8")
        made += len(next(one for one in manual.engines.values() if str(one.engine) == family).specs)
        number += 1
    return made


def parse_seconds(folder: Path) -> float:
    """How long libyaml takes to compose every file of the shop."""
    started = time.perf_counter()
    for file in folder.rglob("*.yaml"):
        yaml.compose(file.read_bytes(), Loader=yaml.CBaseLoader)
    return time.perf_counter() - started


def main() -> None:
    """Make the shop, check it, print."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--rows", type=int, default=20_000)
    parser.add_argument("--times", type=int, default=3)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        rows = make_shop(folder, asked.rows)
        size = sum(file.stat().st_size for file in folder.rglob("*.yaml")) / 1e6
        parsed = min(parse_seconds(folder) for _ in range(asked.times))
        checked = min(seconds("gaugeleaf check", folder) for _ in range(asked.times))
        print(f"{rows} characteristics, {size:.1f} MB of YAML: libyaml's parse {parsed:.2f} s")
        print(f"gaugeleaf check {checked:.2f} s, {checked / parsed:.1f} times as long")


if __name__ == "__main__":
    main()

"""Measure the build of a site beside the same checklists written as Markdown.

    python tests/bench/build_speed.py [--pages 400] [--without-markdown]

The checklists are those of one demonstration family, given out under as many family names as it takes. Ours
is the whole command, `gaugeleaf build`: every rule checked, and of each checklist the page to fill in, the
printed sheet, the one-file sheet and its data, besides the spec tables and everything else. The Markdown site
has only the text, lists and tables of the pages to fill in, through the same theme with its search. Each is
run once in a process of its own; printed are clock times.
"""

from __future__ import annotations

import argparse
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from html.parser import HTMLParser
from pathlib import Path

from builder.manual import load
from builder.render.bench import bench_pages

SHOP = Path(__file__).parents[2]
FAMILY = "tarnwick-222h-six"
CONFIG = "site_name: Bench\ndocs_dir: docs\nsite_dir: site\ntheme: {name: material}\n"
HEADS = {"h1": "# ", "h2": "## ", "h3": "### ", "h4": "#### ", "li": "- ", "p": "", "dt": "", "dd": ": "}
SKIPPED = {"script", "style", "svg"}


class MarkdownWriter(HTMLParser):
    """The headings, paragraphs, lists and tables of a page as Markdown."""

    def __init__(self) -> None:
        super().__init__()
        self.lines: list[str] = []
        self.text: list[str] = []
        self.skipped = 0
        self.rows = 0

    def handle_starttag(self, tag: str, attrs: Sequence[tuple[str, str | None]]) -> None:
        """Begin a line, a row or a cell."""
        del attrs
        self.skipped += tag in SKIPPED
        if tag in HEADS:
            self.end_line()
            self.text.append(HEADS[tag])
        elif tag == "table":
            self.end_line()
            self.rows = 0
        elif tag in {"td", "th"}:
            self.text.append("| ")

    def handle_endtag(self, tag: str) -> None:
        """End a line or a row; the first row of a table has a rule below it."""
        self.skipped -= tag in SKIPPED
        if tag == "tr":
            cells = sum(part == "| " for part in self.text)
            self.lines.append(" ".join(self.text))
            self.text = []
            self.rows += 1
            if self.rows == 1:
                self.lines.append("|---" * cells + "|")
        elif tag in HEADS or tag == "table":
            self.end_line()

    def handle_data(self, data: str) -> None:
        """Text, its blanks run together."""
        if not self.skipped and data.strip():
            self.text.append(" ".join(data.split()))

    def end_line(self) -> None:
        """A line of text and an empty one."""
        if any(self.text):
            self.lines += [" ".join(self.text), ""]
        self.text = []


def as_markdown(html: str) -> str:
    """A page's content as Markdown."""
    writer = MarkdownWriter()
    writer.feed(html)
    writer.end_line()
    return "\n".join(writer.lines)


def make_shop(folder: Path, families: int) -> None:
    """A shop with as many families as asked for, alike but for their names."""
    shutil.copytree(SHOP / "procedures", folder / "procedures")
    shutil.copytree(SHOP / "specs", folder / "specs", ignore=shutil.ignore_patterns("engines"))
    (folder / "specs" / "engines").mkdir()
    text = (SHOP / "specs" / "engines" / f"{FAMILY}.yaml").read_text("utf-8")
    for number in range(families):
        name = f"family-{number:03}"
        (folder / "specs" / "engines" / f"{name}.yaml").write_text(text.replace(FAMILY, name), "utf-8")
    (folder / "docs").mkdir()
    (folder / "mkdocs.yml").write_text(CONFIG + "plugins: [gaugeleaf]\n", "utf-8")


def markdown_pages(shop: Path) -> Iterator[tuple[str, str]]:
    """Path and text of the Markdown page of each checklist."""
    manual, _ = load(shop)
    for page in bench_pages(manual):
        yield page.path.replace(".html", ".md"), as_markdown(page.html)


def make_markdown(shop: Path, folder: Path) -> int:
    """The same checklists as a site of Markdown pages; returns their number."""
    pages = list(markdown_pages(shop))
    for path, text in pages:
        file = folder / "docs" / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, "utf-8")
    (folder / "docs" / "index.md").write_text("# Bench\n", "utf-8")
    (folder / "mkdocs.yml").write_text(f"{CONFIG}markdown_extensions: [tables, def_list]\n", "utf-8")
    return len(pages)


def seconds(command: str, folder: Path) -> float:
    """How long a command of this environment takes in a folder."""
    environment = {**os.environ, "SOURCE_DATE_EPOCH": "0", "NO_MKDOCS_2_WARNING": "1"}
    program, *arguments = command.split()
    started = time.perf_counter()
    subprocess.run(
        [Path(sys.executable).parent / program, *arguments],
        cwd=folder,
        env=environment,
        check=True,
        capture_output=True,
    )
    return time.perf_counter() - started


def main() -> None:
    """Make both, build both, print."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--pages", type=int, default=400)
    parser.add_argument("--without-markdown", action="store_true")
    asked = parser.parse_args()
    each = sum(str(page.path).startswith(f"checklists/{FAMILY}/") for page in bench_pages(load(SHOP)[0]))
    with tempfile.TemporaryDirectory() as made:
        ours, theirs = Path(made, "ours"), Path(made, "markdown")
        make_shop(ours, -(-asked.pages // each))
        pages = make_markdown(ours, theirs)
        taken = seconds("gaugeleaf build", ours)
        files = sum(1 for _ in (ours / "site").rglob("*.html"))
        print(f"{pages} checklists, {files} HTML files: gaugeleaf build {taken:.1f} s")
        if not asked.without_markdown:
            beside = seconds("mkdocs build", theirs)
            print(f"the same as Markdown: mkdocs build {beside:.1f} s, {beside / taken:.1f} times as long")


if __name__ == "__main__":
    main()

"""A checklist in one file: style, scripts and data inlined, so that it opens anywhere and asks for nothing.

It is made from the finished page of the checklist. What led to other pages of the site is words alone; the
content policy allows the file's own scripts and styles by their hashes and nothing else.
"""

from __future__ import annotations

import re
from base64 import b64encode
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from hashlib import sha256
from typing import Final

from markupsafe import Markup

from builder.render.bench import SCRIPTS
from builder.render.environment import render
from builder.render.shell import ASSETS, Asset, Page

CHECKLISTS: Final = "checklists/"
SHARED: Final = "checklists/shared.js"
FOLDER: Final = "onefile/"

STYLES: Final = (
    "styles/paper.css",
    "styles/type.css",
    "styles/frame.css",
    "styles/blocks.css",
    "styles/bench.css",
    "styles/drawings.css",
    "css/reference.css",
    "css/checklist.css",
    "styles/one-file.css",
)
"""The parts of the site's style that a checklist needs."""

ON_EVERY_PAGE: Final = ("opened", "shade")
"""The scripts in the head of every page, in their order."""

AWAY: Final = re.compile(r'<a (?:[^>]* )?href="(?!#)[^"]*"[^>]*>(.*?)</a>', re.DOTALL)
ASKED: Final = re.compile(r'<link rel="stylesheet"[^>]*>\n?|<script src="[^"]*"></script>\n?')
MARGINS: Final = re.compile(r"<style>(.*?)</style>", re.DOTALL)
ALSO: Final = re.compile(r'<p class="gl-also">.*?</p>\n?', re.DOTALL)
REMARK: Final = re.compile(r"^\s*/\*.*?\*/\s*?\n|^\s*//.*?\n", re.DOTALL | re.MULTILINE)
INDENT: Final = re.compile(r"\n\s+")


@dataclass(frozen=True, slots=True)
class OneFileView:
    """A checklist with all that it needs."""

    title: str
    policy: str
    styles: tuple[tuple[Markup, str], ...]
    scripts: tuple[Markup, ...]
    body: Markup


def one_files(pages: Sequence[Page], assets: Sequence[Asset]) -> Iterator[Asset]:
    """The one-file of every checklist among a site's pages; the assets hold what the checklists judge by."""
    programs = {asset.path: str(asset.content) for asset in assets if asset.path.startswith(CHECKLISTS)}
    for page in pages:
        if page.path.startswith(CHECKLISTS):
            yield Asset(path_of(page.path), one_file(page, programs))


def path_of(checklist: str) -> str:
    """Where the one-file of the checklist on this page is."""
    return FOLDER + checklist.removeprefix(CHECKLISTS)


def one_file(page: Page, programs: Mapping[str, str]) -> str:
    """The page of a checklist as one file; `programs` holds the scripts of the checklists' data by path."""
    program = programs[page.path.removesuffix(".html") + ".js"]
    margins = "".join(MARGINS.findall(page.html))
    styles = ((_style(), ""), (_printed(), "print"), (margins, ""))
    scripts = (_library(programs[SHARED]), program, _slim_file("js/checklist.js"))
    view = OneFileView(
        title=page.title,
        policy=policy(scripts, [text for text, _ in styles]),
        styles=tuple((Markup(text), media) for text, media in styles),  # noqa: S704 - our own files
        scripts=tuple(map(Markup, scripts)),
        body=Markup(body(page.html)),  # noqa: S704 - a finished page
    )
    return render("one_file.html", view)


def body(html: str) -> str:
    """A checklist's page without what it loads, and with words in place of links to other pages."""
    own = ASKED.sub("", MARGINS.sub("", ALSO.sub("", html)))
    return INDENT.sub("\n", AWAY.sub(r"<span>\1</span>", own))


def policy(scripts: Sequence[str], styles: Sequence[str]) -> str:
    """The Content-Security-Policy that lets these scripts and styles run and nothing else."""
    run, drawn = (" ".join(map(_allowed, texts)) for texts in (scripts, styles))
    rest = "img-src data: blob:; base-uri 'none'; form-action 'none'"
    return f"default-src 'none'; script-src {run}; style-src {drawn}; {rest}"


@cache
def _allowed(text: str) -> str:
    return f"'sha256-{b64encode(sha256(text.encode()).digest()).decode()}'"


@cache
def _style() -> str:
    return slim("".join((ASSETS / name).read_text("utf-8") for name in STYLES))


@cache
def _printed() -> str:
    return _slim_file("print.css")


@cache
def _slim_file(name: str) -> str:
    return slim((ASSETS / name).read_text("utf-8"))


@cache
def scripts_in_one(*names: str) -> str:
    """Scripts of ours one after another, without what only a reader of them needs."""
    return "".join(_slim_file(f"js/{name}.js") for name in names)


def _library(shared: str) -> str:
    """What every checklist runs on: the shade, the evaluator, the judge, the parts, the shared data."""
    return scripts_in_one(*ON_EVERY_PAGE, *SCRIPTS) + shared


def slim(text: str) -> str:
    """A style sheet or a script without the remarks that fill lines, and without its indents."""
    return INDENT.sub("\n", REMARK.sub("", text)).lstrip()

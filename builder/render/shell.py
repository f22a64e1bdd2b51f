"""The site as data: finished pages and files, and what stands round each page.

The shell knows nothing of the program that writes the site out. It takes finished pages (`Page.html`) and
says, in plain values, what to draw round each, so that another site generator can take its place.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from posixpath import dirname, relpath

from builder.diagnostics import Diagnostic
from builder.render.site_index import HOME, Entry, Index, Stop

FIND = "find.html"
SEARCH_WORKER = "assets/search-worker.js"
ASSETS = Path(__file__).parent / "assets"
THEME = ASSETS / "theme"

STYLES = (
    "paper.css",
    "type.css",
    "index.css",
    "frame.css",
    "search.css",
    "blocks.css",
    "bench.css",
    "drawings.css",
)
"""The parts of `assets/site.css` in the order in which they are joined."""

POLICY = (
    "default-src 'none'; script-src 'self' file: blob:; worker-src 'self' file: blob:; "
    "style-src 'self' file: 'unsafe-inline'; "  # a drawing's own style attributes
    "img-src 'self' file: data: blob:; connect-src 'self'; base-uri 'none'; form-action 'none'"
)
"""The Content-Security-Policy of every page: nothing from outside, no inline script."""


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading inside a page: its level (1 to 6), the id that a link names, its words without markup."""

    level: int
    id: str
    text: str


@dataclass(frozen=True, slots=True)
class Page:
    """One finished page. `path` is relative to the site and ends in `.html`.

    `html` begins with the page's one `<h1>`. `section` names the shelves of the index on which it stands, the
    outermost first; the home page stands on none. `template` is "" (index and contents beside the page),
    "wide" (index only) or "bare" (the page alone).
    """

    path: str
    title: str
    html: str
    headings: tuple[Heading, ...]
    section: tuple[str, ...]
    searchable: bool = True
    template: str = ""


@dataclass(frozen=True, slots=True)
class Asset:
    """A file of the site that is not a page; `path` is relative to the site."""

    path: str
    content: str | bytes


@dataclass(frozen=True, slots=True)
class Site:
    """All that a shop's files make: pages, other files, what is wrong, and the paths to watch for changes."""

    pages: tuple[Page, ...]
    assets: tuple[Asset, ...]
    diagnostics: tuple[Diagnostic, ...]
    watch: tuple[Path, ...]
    home: Page | None = None
    """The first page, for a shop that has written none of its own."""


def relative(here: str, there: str) -> str:
    """Return the link that leads from the page `here` to the file `there`, both relative to the site."""
    return relpath(there, dirname(here) or ".")


def root_of(path: str) -> str:
    """Return what leads from the page `path` to the root of the site: "" or "../" as often as needed."""
    return "../" * path.count("/")


@dataclass(frozen=True, slots=True)
class Frame:
    """What the shell draws round one page; every path in it is relative to the site, `root` leads there."""

    path: str
    root: str
    stops: tuple[Stop, ...]
    trail: tuple[Stop, ...]
    contents: tuple[Heading, ...]
    before: Entry | None
    after: Entry | None
    find: str
    policy: str
    bundle: str
    settings: str

    @property
    def home(self) -> bool:
        """Whether the page is the first of the site."""
        return self.path == HOME


@dataclass(frozen=True, slots=True)
class Surround:
    """What is the same round every page: its content policy and the theme's script for the search field."""

    policy: str = POLICY
    bundle: str = ""


def frame(index: Index, path: str, headings: tuple[Heading, ...], surround: Surround) -> Frame:
    """Return what stands round the page `path`, which has these `headings`."""
    before, after = index.order.get(path, (None, None))
    contents = tuple(heading for heading in headings if heading.level in (2, 3))
    return Frame(
        path=path,
        root=root_of(path),
        stops=index.stops(path),
        trail=index.trail(path),
        contents=contents,
        before=before,
        after=after,
        find=FIND if FIND in index.by_path else "",
        policy=surround.policy,
        bundle=surround.bundle,
        settings=_settings(root_of(path)),
    )


def _settings(root: str) -> str:
    """Return what the theme's script reads of its page: where the site begins, and the words it shows."""
    words = {
        "search.result.placeholder": "Type a word, a code or a value",
        "search.result.none": "Nothing found",
        "search.result.one": "1 page",
        "search.result.other": "# pages",
        "search.result.more.one": "1 more place on this page",
        "search.result.more.other": "# more places on this page",
        "search.result.term.missing": "Without",
    }
    places = {"base": root or ".", "search": f"{root}{SEARCH_WORKER}"}
    unused: dict[str, object] = {"features": [], "annotate": None, "tags": None, "version": None}
    return json.dumps({**places, **unused, "translations": words})


# The files of the shell


def stylesheet() -> str:
    """Return the whole of `assets/site.css`, for a page that must carry its own style as well."""
    return "\n".join((ASSETS / "styles" / name).read_text("utf-8") for name in STYLES)


def shell_assets() -> tuple[Asset, ...]:
    """Return the files that every page may name: the style sheets and all scripts, under `assets/`."""
    files = [Asset("assets/site.css", stylesheet())]
    for file in sorted(ASSETS.rglob("*.*")):
        place = file.relative_to(ASSETS)
        if place.parts[0] not in ("theme", "styles", "workers") and file.is_file():
            files.append(Asset(f"assets/{place.as_posix()}", file.read_bytes()))
    return tuple(files)

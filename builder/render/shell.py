"""What stands round every page: the page itself as data, the index of the site, what search reads, the files.

The shell knows nothing of the program that writes the site out. It takes finished pages (`Page.html`) and says,
in plain values, what to draw round each of them, so that another site generator can take its place.
"""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from functools import cached_property
from html import escape
from pathlib import Path
from posixpath import dirname, relpath

from builder.diagnostics import Diagnostic

HOME = "index.html"
FIND = "find.html"
ASSETS = Path(__file__).parent / "assets"
THEME = ASSETS / "theme"

STYLES = ("paper.css", "type.css", "frame.css", "search.css", "blocks.css", "bench.css", "drawings.css")
"""The parts of `assets/site.css` in the order in which they are joined."""

POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self' file: blob:",
        "worker-src 'self' file: blob:",
        "style-src 'self' file: 'unsafe-inline'",  # a drawing's own style attributes
        "img-src 'self' file: data: blob:",
        "connect-src 'self'",
        "base-uri 'none'",
        "form-action 'none'",
    )
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
    outermost first; the home page stands on none. `template` is "" (index and contents beside the page), "wide"
    (index only) or "bare" (the page alone).
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


def relative(here: str, there: str) -> str:
    """Return the link that leads from the page `here` to the file `there`, both relative to the site."""
    return relpath(there, dirname(here) or ".")


def root_of(path: str) -> str:
    """Return what leads from the page `path` to the root of the site: "" or "../" as often as needed."""
    return "../" * path.count("/")


# The index of the site


@dataclass(frozen=True, slots=True)
class Entry:
    """What the index needs to know of a page."""

    path: str
    title: str
    section: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Stop:
    """One line of the index as seen from a page; `stops` are filled only on the way to that page."""

    title: str
    path: str
    here: bool = False
    open: bool = False
    stops: tuple[Stop, ...] = ()
    unseen: int = 0
    """How many neighbours the index leaves out on this shelf; 0 for all but the last line."""


@dataclass(frozen=True)
class Shelf:
    """A section of the site: its name and, in the order of the site, its pages and inner shelves."""

    title: str
    items: tuple[Shelf | Entry, ...]

    @cached_property
    def front(self) -> str:
        """The path of the page that stands for the shelf: the first one found in it."""
        first = self.items[0]
        return first.front if isinstance(first, Shelf) else first.path

    @cached_property
    def lines(self) -> tuple[Shelf | Entry, ...]:
        """The items that get a line of their own: the shelf's own line already leads to an `index.html`."""
        return tuple(item for item in self.items if isinstance(item, Shelf) or not _is_own_front(item, self))

    @cached_property
    def places(self) -> dict[str, int]:
        """The position in `lines` of each inner shelf by its title and each page by its path."""
        return {_name_of(item): number for number, item in enumerate(self.lines)}


def _is_own_front(entry: Entry, shelf: Shelf) -> bool:
    return bool(shelf.title) and entry.path == shelf.front and entry.path.endswith("/" + HOME)


def _name_of(item: Shelf | Entry) -> str:
    return f"shelf {item.title}" if isinstance(item, Shelf) else item.path


WINDOW = 24
"""How many neighbours before and after a page its index shows; the rest are reached through the shelf's front."""


@dataclass(frozen=True)
class Index:
    """The whole site by sections. What one page shows of it does not grow with the site."""

    shelf: Shelf
    by_path: dict[str, Entry]

    @classmethod
    def of(cls, entries: tuple[Entry, ...]) -> Index:
        """Shelve `entries`; sections stand in the order in which they are first named."""
        return cls(_shelve("", entries, 0), {entry.path: entry for entry in entries})

    def stops(self, path: str) -> tuple[Stop, ...]:
        """Return the lines of the index as the page `path` shows them, open on the way to it."""
        entry = self.by_path.get(path, Entry(path, ""))
        return _stops(self.shelf, entry, 0)

    def trail(self, path: str) -> tuple[Stop, ...]:
        """Return the shelves that lead to the page `path`, the outermost first, without the page itself."""
        shelf, trail = self.shelf, []
        for title in self.by_path[path].section if path in self.by_path else ():
            inner = shelf.lines[shelf.places[f"shelf {title}"]]
            if not isinstance(inner, Shelf):
                break
            shelf = inner
            if shelf.front != path:
                trail.append(Stop(title, shelf.front))
        return tuple(trail)

    @cached_property
    def order(self) -> dict[str, tuple[Entry | None, Entry | None]]:
        """The page before and the page after each one on the same shelf."""
        return dict(_neighbours(self.shelf))


def _shelve(title: str, entries: tuple[Entry, ...], depth: int) -> Shelf:
    groups: dict[str, list[Entry]] = {}
    for entry in entries:
        name = f"shelf {entry.section[depth]}" if len(entry.section) > depth else entry.path
        groups.setdefault(name, []).append(entry)
    items = (
        _shelve(group[0].section[depth], tuple(group), depth + 1) if name.startswith("shelf ") else group[0]
        for name, group in groups.items()
    )
    return Shelf(title, tuple(items))


def _stops(shelf: Shelf, entry: Entry, depth: int) -> tuple[Stop, ...]:
    name = f"shelf {entry.section[depth]}" if len(entry.section) > depth else entry.path
    place = shelf.places.get(name, 0)
    start, end = max(place - WINDOW, 0), place + WINDOW + 1
    stops = [_stop(item, entry, depth, name) for item in shelf.lines[start:end]]
    unseen = len(shelf.lines) - len(stops)
    if unseen:
        stops.append(Stop(f"{unseen} more", shelf.front, unseen=unseen))
    return tuple(stops)


def _stop(item: Shelf | Entry, entry: Entry, depth: int, name: str) -> Stop:
    if isinstance(item, Entry):
        return Stop(item.title, item.path, here=item.path == entry.path)
    if _name_of(item) != name:
        return Stop(item.title, item.front)
    inside = _stops(item, entry, depth + 1)
    here = item.front == entry.path and not any(stop.here for stop in inside)
    return Stop(item.title, item.front, here=here, open=True, stops=inside)


def _neighbours(shelf: Shelf) -> list[tuple[str, tuple[Entry | None, Entry | None]]]:
    pages = [item for item in shelf.items if isinstance(item, Entry)]
    around = [None, *pages, None]
    found = [(page.path, (around[n], around[n + 2])) for n, page in enumerate(pages)]
    for item in shelf.items:
        if isinstance(item, Shelf):
            found += _neighbours(item)
    return found


@dataclass(frozen=True, slots=True)
class Frame:
    """What the shell draws round one page; every path in it is relative to the site, `root` leads there."""

    root: str
    stops: tuple[Stop, ...]
    trail: tuple[Stop, ...]
    contents: tuple[Heading, ...]
    before: Entry | None
    after: Entry | None
    find: str
    policy: str


def frame(index: Index, path: str, headings: tuple[Heading, ...], policy: str) -> Frame:
    """Return what stands round the page `path`, which has these `headings`."""
    before, after = index.order.get(path, (None, None))
    contents = tuple(heading for heading in headings if heading.level in (2, 3))
    return Frame(
        root=root_of(path),
        stops=index.stops(path),
        trail=index.trail(path),
        contents=contents,
        before=before,
        after=after,
        find=FIND if FIND in index.by_path else "",
        policy=policy,
    )


# What search reads

SEARCH_LEVEL = 2
"""The deepest heading that is a search result of its own; what stands deeper is found under that heading."""

_UNREAD = re.compile(
    r"<(script|style|svg|template|select|button)\b.*?</\1>|<(\w+)\b[^>]*\sdata-search-exclude\b[^>]*>.*?</\2>|<[^>]*>",
    re.DOTALL,
)
_SPACE = re.compile(r"\s+")
_HEADING = re.compile(r"<h([1-6])\b[^>]*\bid=\"([^\"]+)\"[^>]*>.*?</h\1>", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that search can lead to: where it is, its title, and its text with markup signs escaped."""

    location: str
    title: str
    text: str


def findings(page: Page) -> tuple[Finding, ...]:
    """Return what search may find in `page`: the page, and each of its headings down to `SEARCH_LEVEL`."""
    if not page.searchable:
        return ()
    titles = {heading.id: heading.text for heading in page.headings if 1 < heading.level <= SEARCH_LEVEL}
    marks = [mark for mark in _HEADING.finditer(page.html) if mark[2] in titles]
    ends = [mark.start() for mark in marks] + [len(page.html)]
    found = [Finding(page.path, escape(page.title, quote=False), _words(page.html[: ends[0]]))]
    for mark, end in zip(marks, ends[1:], strict=True):
        title = escape(titles[mark[2]], quote=False)
        found.append(Finding(f"{page.path}#{mark[2]}", title, _words(page.html[mark.end() : end])))
    return tuple(found)


def _words(html: str) -> str:
    return _SPACE.sub(" ", _UNREAD.sub(" ", html)).strip()


# The files of the shell


def stylesheet() -> str:
    """Return the whole of `assets/site.css`, for a page that must carry its own style as well."""
    return "\n".join((ASSETS / "styles" / name).read_text("utf-8") for name in STYLES)


def shell_assets() -> tuple[Asset, ...]:
    """Return the files that every page may name: the style sheets and all scripts, under `assets/`."""
    files = [Asset("assets/site.css", stylesheet())]
    for file in sorted(ASSETS.rglob("*.*")):
        place = file.relative_to(ASSETS)
        if place.parts[0] not in ("theme", "styles") and file.is_file():
            files.append(Asset(f"assets/{place.as_posix()}", file.read_bytes()))
    return tuple(files)


def search_worker(text: str) -> Asset:
    """Return the script that hands the search worker's `text` to a page, which cannot read it from a disk."""
    return Asset("assets/search-worker.js", f"Gaugeleaf.searchWorker({_as_script(text)});\n")


def search_index(index: str) -> Asset:
    """Return the script that hands over the search `index` (JSON with `config` and `docs`).

    The entries stay one text: the page passes it on unread and the worker takes it apart, so that a large index
    never holds the page up.
    """
    data = json.loads(index)
    docs = json.dumps(data["docs"], separators=(",", ":"), ensure_ascii=False)
    script = f"var __index={{config:{json.dumps(data['config'])},docs:{_as_script(docs)}}};\n"
    return Asset("search/search_index.js", script)


def _as_script(text: str) -> str:
    return json.dumps(text, ensure_ascii=False).replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")

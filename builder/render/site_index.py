"""The index of the site: every page on its shelf, and what one page shows of all that.

What a page shows does not grow with the site: the shelves on the way to it, on each of them its neighbours.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

HOME = "index.html"


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
"""How many neighbours before and after a page its index shows; the shelf's front leads to the rest."""


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
    here = item.front == entry.path and not _leads_here(inside)
    return Stop(item.title, item.front, here=here, open=True, stops=inside)


def _leads_here(stops: tuple[Stop, ...]) -> bool:
    return any(stop.here or _leads_here(stop.stops) for stop in stops)


def _neighbours(shelf: Shelf) -> list[tuple[str, tuple[Entry | None, Entry | None]]]:
    pages = [item for item in shelf.items if isinstance(item, Entry)]
    around = [None, *pages, None]
    found = [(page.path, (around[n], around[n + 2])) for n, page in enumerate(pages)]
    for item in shelf.items:
        if isinstance(item, Shelf):
            found += _neighbours(item)
    return found

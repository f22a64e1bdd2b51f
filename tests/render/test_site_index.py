"""The index of the site: shelves, what one page shows of them, and that it does not grow with the site."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from builder.render.site_index import WINDOW, Entry, Index, Stop

ENTRIES = (
    Entry("index.html", "Home"),
    Entry("find.html", "Find a value"),
    Entry("engines/tallow/index.html", "Overview", ("Engines", "Tallow Four")),
    Entry("engines/tallow/specs.html", "Spec tables", ("Engines", "Tallow Four")),
    Entry("engines/birch/index.html", "Overview", ("Engines", "Birch Six")),
    Entry("hazards.html", "Hazards", ("Safety",)),
)


def test_page_sees_the_shelves_on_its_way_open_and_the_others_shut() -> None:
    """Only the way to the page is open; a shelf leads to its front, which then needs no second line."""
    assert Index.of(ENTRIES).stops("engines/tallow/specs.html") == (
        Stop("Home", "index.html"),
        Stop("Find a value", "find.html"),
        Stop("Engines", "engines/tallow/index.html", open=True, stops=(
            Stop("Tallow Four", "engines/tallow/index.html", open=True, stops=(
                Stop("Spec tables", "engines/tallow/specs.html", here=True),
            )),
            Stop("Birch Six", "engines/birch/index.html"),
        )),
        Stop("Safety", "hazards.html"),
    )  # fmt: skip


def test_front_of_a_shelf_is_marked_on_the_innermost_shelf_alone() -> None:
    """The page that stands for a shelf marks that shelf's line, not each shelf round it."""
    engines = Index.of(ENTRIES).stops("engines/tallow/index.html")[2]

    assert (engines.here, engines.stops[0].here, engines.stops[0].title) == (False, True, "Tallow Four")


def test_trail_names_the_shelves_that_lead_to_a_page() -> None:
    """The trail has no link to the page itself: a shelf's front does not name that shelf."""
    index = Index.of(ENTRIES)

    assert index.trail("engines/tallow/specs.html") == (
        Stop("Engines", "engines/tallow/index.html"),
        Stop("Tallow Four", "engines/tallow/index.html"),
    )
    assert index.trail("engines/tallow/index.html") == ()
    assert index.trail("index.html") == ()


def test_page_before_and_after_stand_on_the_same_shelf() -> None:
    """Turning the page does not lead from one family into another."""
    order = Index.of(ENTRIES).order

    assert order["engines/tallow/specs.html"] == (ENTRIES[2], None)
    assert order["engines/birch/index.html"] == (None, None)
    assert order["index.html"] == (None, ENTRIES[1])


def test_long_shelf_shows_the_neighbours_of_a_page_and_counts_the_rest() -> None:
    """Of a thousand pages on one shelf a page shows at most a window round itself."""
    pages = tuple(Entry(f"p/{number}.html", f"Page {number}", ("All",)) for number in range(1000))

    shown = Index.of(pages).stops("p/500.html")[0].stops

    assert [stop.title for stop in shown[:-1]] == [f"Page {n}" for n in range(500 - WINDOW, 500 + WINDOW + 1)]
    assert shown[-1] == Stop("951 more", "p/0.html", unseen=951)


sections = st.lists(st.sampled_from(["A", "B", "C"]), max_size=3).map(tuple)


@given(st.lists(sections, min_size=1, max_size=40))
def test_every_page_finds_itself_once_in_its_own_index(shelves: list[tuple[str, ...]]) -> None:
    """Whatever the sections, a page is marked exactly once in what it shows."""
    entries = tuple(Entry(f"{n}.html", f"Page {n}", section) for n, section in enumerate(shelves))
    index = Index.of(entries)

    for entry in entries:
        assert _marked(index.stops(entry.path)) == [entry.path]


def _marked(stops: tuple[Stop, ...]) -> list[str]:
    return [path for stop in stops for path in ([stop.path] if stop.here else []) + _marked(stop.stops)]

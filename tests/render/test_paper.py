"""Sheets as documents for paper: one sheet, a family's pack, tables that fit the page."""

from __future__ import annotations

import re
from collections.abc import Iterator

from hypothesis import given
from hypothesis import strategies as st

from builder.checklist import Checklist, checklists
from builder.manual import Manual
from builder.render import paper
from builder.render.sheets import SheetRow, SheetTable, folded, narrowed, together


def words(html: str) -> str:
    """What a reader sees of a document: its text without styles and elements."""
    text = re.sub(r"<(style|title)>.*?</\1>", " ", html, flags=re.DOTALL)
    return " ".join(re.sub(r"<[^>]+>", " ", text).split())


def only(manual: Manual) -> Checklist:
    """The small shop's one checklist."""
    return next(checklists(manual))


def test_sheet_needs_nothing_beside_itself(small: Manual) -> None:
    """No link, script, picture or style sheet is asked for; what a style draws is inside the style."""
    html = paper.sheet(only(small))

    assert re.findall(r'(?:src|href)="[^"]*"', html) == []
    assert "<script" not in html
    assert [
        found for found in re.findall(r'url\("?([^)]{0,30})', html) if not found.startswith("data:")
    ] == []


def test_size_of_paper_is_the_one_asked_for_or_the_printers(small: Manual) -> None:
    """Without a size the style names none, so that the printer's paper holds."""
    assert "@page { size: A4; }" in paper.sheet(only(small), "a4")
    assert "@page { size: letter; }" in paper.sheet(only(small), "letter")
    assert "size:" not in re.sub(r"font-size:|grid-size:", "", paper.sheet(only(small)))


def test_foot_of_every_page_tells_revision_and_edition(small: Manual) -> None:
    """The margin box takes its words from the sheet's own style, in which no sign can end the string."""
    (foot,) = re.findall(r"--gl-foot: (\"[^\n]*\");", paper.sheet(only(small)))

    assert re.fullmatch(r'"revision 3, edition [0-9a-f]{8}\. Check that this is the current issue\."', foot)


def test_pack_lists_every_sheet_and_numbers_them(small: Manual) -> None:
    """The contents lead to each sheet; each sheet says which of how many it is; each is told of once."""
    one = only(small)
    told: list[str] = []

    html = paper.pack((one, one), "a4", told.append)

    assert html.count('<a href="#sheet-P16">') == 2
    assert html.count('id="sheet-P16"') == 2
    assert "sheet 1 of 2" in words(html)
    assert "sheet 2 of 2" in words(html)
    assert told == [f"{number} of 2: P16 {one.procedure.title}" for number in (1, 2)]
    assert "@page P16 { @bottom-left" in html


def test_contents_tell_the_pages_of_each_sheet(small: Manual) -> None:
    """Once the sheets are set, their pages are known; the contents alone carry them."""
    text = words(paper.contents((only(small),), (17,)))

    assert text.startswith("Sheets for Tallow Four (invented)")
    assert "sheet procedure pages holds done by, date 1 P16 Fit poured main bearings 17 H11" in text


def test_progress_names_sheet_and_pages(small: Manual) -> None:
    """One page is not called pages."""
    one = only(small)

    assert paper.progress(1, (one,), 1) == f"1 of 1: P16 {one.procedure.title}, 1 page"
    assert paper.progress(1, (one,), 9) == f"1 of 1: P16 {one.procedure.title}, 9 pages"


def test_every_checklist_has_a_sheet_on_the_site(small: Manual) -> None:
    """Its address is the one to which the checklist's page links."""
    assets = list(paper.sheet_assets(small))

    assert [asset.path for asset in assets] == ["sheets/tallow-four/fit-poured-mains.html"]
    assert assets[0].content == paper.sheet(only(small))


Widths = st.lists(st.integers(1, 8), max_size=12)


@given(Widths, st.integers(1, 8))
def test_neighbours_stand_together_in_order_and_never_too_wide(widths: list[int], most: int) -> None:
    """Every item comes once, in order; a group is wider than the page only when one item alone is."""
    groups = list(together(widths, lambda _: (), lambda width: width, most))

    assert [width for group in groups for width in group] == widths
    assert all(sum(group) <= most or len(group) == 1 for group in groups)


@given(Widths, st.integers(1, 4))
def test_items_over_other_rows_stand_apart(widths: list[int], most: int) -> None:
    """A group holds only items over the same rows."""
    groups = together(widths, lambda width: (str(width % 2),), lambda _: 1, most)

    assert all(len({width % 2 for width in group}) == 1 for group in groups)


def blocks(rows: int, columns: int, most: int) -> Iterator[int]:
    """How many rows each block has."""
    yield from map(len, folded(tuple(range(rows)), columns, most))


@given(st.integers(1, 60), st.integers(1, 6), st.integers(0, 3))
def test_folded_rows_are_the_same_rows(rows: int, columns: int, most: int) -> None:
    """A table is one block, or two of which the first has at most one row more; no row is lost."""
    counts = list(blocks(rows, columns, most))

    assert [row for block in folded(tuple(range(rows)), columns, most) for row in block] == list(range(rows))
    assert len(counts) == 1 or (len(counts) == 2 and counts[0] - counts[1] in (0, 1))
    assert (len(counts) == 2) == (rows >= 8 and columns <= most)


@given(columns=st.integers(1, 30), most=st.integers(1, 8), rows=st.integers(1, 3))
def test_table_that_is_too_wide_is_split_by_its_columns(columns: int, most: int, rows: int) -> None:
    """Every blank once and in order, no part wider than the page, each under the title and beside its row."""
    row = tuple((f"code {number}", "") for number in range(columns))
    block = tuple(SheetRow(f"row {number}", row) for number in range(rows))
    names = tuple(f"column {number}" for number in range(columns))
    table = SheetTable((("Backlash, in", columns),), names, "Place", (block,))

    parts = list(narrowed(table, most))

    assert [name for part in parts for name in part.columns] == list(names)
    assert max(len(part.columns) for part in parts) <= most
    assert all(part.heads == (("Backlash, in", len(part.columns)),) for part in parts)
    for number in range(rows):
        assert [blank for part in parts for blank in part.blocks[0][number].blanks] == list(row)

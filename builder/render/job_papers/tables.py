"""Tables for paper: cells with finished words, rows that stay together, drawings in cells."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from markupsafe import Markup

NOTHING: Final = Markup()

DAY: Final = re.compile(r"\d{4}-\d\d-\d\d( \d\d:\d\d)?")
"""A day or a moment, which is not broken over two lines."""


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell. `look` is a word for the style sheet: out, suspect, number, words; `drawing` stands in it."""

    text: str = ""
    look: str = ""
    rows: int = 1
    columns: int = 1
    is_head: bool = False
    drawing: Markup = NOTHING


@dataclass(frozen=True, slots=True)
class Table:
    """A table: the rows of its head, and groups of rows that no page break comes between."""

    head: tuple[tuple[Cell, ...], ...]
    groups: tuple[tuple[tuple[Cell, ...], ...], ...]
    look: str = ""


def plain_table(head: Iterable[str], rows: Iterable[Iterable[str]], look: str = "words") -> Table:
    """A table of words, each row by itself; the first cell of a row names it."""
    first = tuple(Cell(text, is_head=True) for text in head)
    body = tuple((tuple(_plain(text, place) for place, text in enumerate(row)),) for row in rows)
    return Table((first,), body, look)


def _plain(text: str, place: int) -> Cell:
    return Cell(text, "day" if DAY.fullmatch(text) else "", is_head=place == 0)

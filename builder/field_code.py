"""The short codes beside the boxes of a printed sheet, by which a sheet of paper is typed in later.

`CRK-09 M3 F V` is the box of characteristic CRK-09 at main 3, front plane, axis V. What no characteristic is
held against takes the procedure's code and the step's number: `P16-3`. Where one code would stand twice on a
sheet, the second measurement says so: `P16-3/2`.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from itertools import count

from builder.checklist import Blank, Checklist, Grid, Side
from builder.manual import row

PLACES = ("plane", "axis", "point")
"""The sides of a grid that are places on one thing; the others are things."""


@dataclass(frozen=True)
class Field:
    """One box of a sheet: its code and where it stands."""

    code: str
    grid: Grid
    blank: Blank


def fields(checklist: Checklist) -> Mapping[str, Field]:
    """Every box of a checklist's sheet by its code, in the order of the sheet."""
    found: dict[str, Field] = {}
    for step in checklist.steps:
        for grid in step.grids:
            found.update(_numbered(checklist, step.number, grid, found))
    return found


def codes(checklist: Checklist) -> Mapping[tuple[str, str, tuple[str, ...]], str]:
    """The code of every box by its step, measurement and labels."""
    return {
        (str(field.grid.step), str(field.grid.name), tuple(field.blank.at.values())): code
        for code, field in fields(checklist).items()
    }


def _numbered(checklist: Checklist, number: int, grid: Grid, taken: Mapping[str, Field]) -> dict[str, Field]:
    """The boxes of a grid under the first number that makes none of them the double of another."""
    for turn in count(1):
        codes = {code: blank for blank, code in _codes(checklist, number, grid, turn)}
        if not taken.keys() & codes.keys():
            break
    return {code: Field(code, grid, blank) for code, blank in codes.items()}


def _codes(checklist: Checklist, number: int, grid: Grid, turn: int) -> Iterator[tuple[Blank, str]]:
    spare = f"{checklist.procedure.code}-{number}"
    common = next((blank.against for blank in grid.blanks if blank.against), None)
    short = {side.name: shortened(side) for side in grid.sides}
    for blank in grid.blanks:
        of = row(checklist.engine, blank.against or common)
        base = str(of.code or spare) if of is not None else spare
        where = (short[side][label] for side, label in blank.at.items())
        yield blank, " ".join([base if turn == 1 else f"{base}/{turn}", *where])


def shortened(side: Side) -> Mapping[str, str]:
    """The labels of a side in their shortest words: `M3` for main 3, `F` for the front plane, `L45`."""
    if side.name == "axis":
        return {label: label for label in side.labels}
    if side.name not in PLACES:
        return {label: _thing(side.name, label) for label in side.labels}
    initials = {label: "".join(word[0] for word in label.split("_")).upper() for label in side.labels}
    if len(set(initials.values())) == len(initials):
        return initials
    plain = {label: label.replace("_", "").upper() for label in side.labels}
    return {label: _prefix(word, set(plain.values()) - {word}) for label, word in plain.items()}


def _thing(name: str, label: str) -> str:
    return label if label[0].isalpha() and label[0].isupper() else f"{name[0].upper()}{label}"


def _prefix(word: str, others: Collection[str]) -> str:
    """The shortest beginning, of two letters or more, that none of the others has."""
    lengths = range(2, len(word) + 1)
    return next(
        (word[:size] for size in lengths if not any(other.startswith(word[:size]) for other in others)), word
    )

"""How an engine lies in a drawing seen from above: which end is the front, which bank is the upper one."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Final

from builder.manual import row as row_of
from builder.model.engine import Engine
from builder.model.spec import TextRow

REAR_ENDS: Final = frozenset({"rear", "flywheel", "clutch"})
"""Words for the end of the engine that is not the front."""

FRONT_ENDS: Final = frozenset({"front", "radiator", "fan"})

Row = tuple[str, ...]


def told(engine: Engine, name: str) -> str:
    """What a row in words says; empty where there is none."""
    row = row_of(engine, name)
    stated = row.new or row.shop or row.supplier if isinstance(row, TextRow) else None
    cited = stated.at() if stated else None
    return cited.body if cited else ""


def front(engine: Engine) -> str:
    """`left` or `right`: where the front is when No. 1 stands at the left; empty when no one says."""
    said = set(re.findall(r"\w+", told(engine, "engine.number_one").lower()))
    if said & FRONT_ENDS:
        return "left"
    return "right" if said & REAR_ENDS else ""


def letter(name: str) -> str:
    """The letter of the bank to which a name belongs; empty for a bare number."""
    return name.rstrip("0123456789")


def banks(names: Iterable[str]) -> Iterator[Row]:
    """Names by the letter of their bank."""
    every = tuple(names)
    for one in dict.fromkeys(map(letter, every)):
        yield tuple(name for name in every if letter(name) == one)


def from_above(engine: Engine, rows: Iterable[Row]) -> tuple[Row, ...]:
    """Rows as they lie seen from above: those of the right bank first where the left one is the lower."""
    every = tuple(rows)
    if not left_is_lower(engine):
        return every
    return tuple(sorted(every, key=lambda row: letter(row[0]).startswith("L")))


def left_is_lower(engine: Engine) -> bool:
    """Whether the bank called left is the lower one when the engine is seen from above, No. 1 at the left.

    Who looks from the flywheel looks from the right of the drawing, and has the lower bank at the left hand.
    """
    seen_from = re.search(r"seen from the (\w+)", told(engine, "engine.numbering").lower())
    if seen_from is None:
        return False
    return (seen_from[1] in REAR_ENDS) != (front(engine) == "right")

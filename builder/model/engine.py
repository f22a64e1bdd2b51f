"""An engine family: its traits, what is counted on it, its sources and its spec table."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from itertools import groupby
from typing import Annotated

from pydantic import Field, PlainValidator, WithJsonSchema

from builder.diagnostics import Fault
from builder.model.base import StrictModel, Text, Word, items_of, word_of, words_of
from builder.model.layout import LayoutField, PlacedFault
from builder.model.spec import Row

MOST_OF_ONE_FEATURE = 200
STANDING = (Text("rows"), Text("abreast"), Text("first_row"))
KNOWN_HERE = "a feature has `names`, `of`, `on`, `rows` or `abreast`, and `first_row`"
SOURCE_KINDS = ("maker", "supplier", "shop", "standard", "handbook", "practice")


@dataclass(frozen=True)
class Feature:
    """Something counted, named and measured.

    `of` is the feature that each of these belongs to (rings of a cylinder); `on` tells which of another
    feature each one sits on (rods on crankpins); `rows` holds the names as they stand from the front to the
    rear, row by row, the first row on the side that `first_row` names.
    """

    names: tuple[Text, ...]
    of: Text | None = None
    on: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    on_same: Text | None = None
    rows: tuple[tuple[str, ...], ...] = ()
    first_row: str = ""


def feature_of(tree: object) -> Feature:
    """Read a count, or `{names: […], of: …, on: …, rows: …}`."""
    if isinstance(tree, str):
        return Feature(_counted(word_of(tree)))
    known = dict(items_of(tree))
    names = known.pop(Text("names"), None)
    of, on = known.pop(Text("of"), None), known.pop(Text("on"), None)
    standing = {key: word_of(known.pop(key)) for key in STANDING if key in known}
    if known:
        key = next(iter(known))
        raise PlacedFault(f"`{key}` is not known here", KNOWN_HERE, key)
    if names is None:
        raise Fault("the feature has no names", 'write a count, or `names: ["1", "2"]`')
    words = _counted(word_of(names)) if isinstance(names, str) else words_of(names)
    feature = Feature(words, word_of(of) if of is not None else None)
    return _standing(feature if on is None else _seated(feature, on), standing)


def _standing(feature: Feature, how: Mapping[Text, Text]) -> Feature:
    """Read `rows: 3` (counted row by row along the engine) or `abreast: 2` (counted across, pair by pair)."""
    rows, abreast = how.get(Text("rows")), how.get(Text("abreast"))
    count = rows or abreast
    if count is None:
        return feature
    if rows and abreast:
        raise PlacedFault(
            "`rows` and `abreast` are both given", "write `rows` where they are counted along", rows
        )
    banks = [tuple(bank) for _, bank in groupby(map(str, feature.names), _letter)]
    number = int(count) if count.isdigit() else 0
    if number < 1 or any(len(bank) % number for bank in banks):
        raise PlacedFault(
            f"`{count}` does not divide the names", "write how many rows there are, all as long", count
        )
    cut = _along if rows else _across
    laid = tuple(row for bank in banks for row in cut(bank, number))
    return replace(feature, rows=laid, first_row=str(how.get(Text("first_row"), "")))


def _letter(name: str) -> str:
    """The letter of the bank to which a name belongs."""
    return name.rstrip("0123456789")


def _along(names: tuple[str, ...], rows: int) -> Iterator[tuple[str, ...]]:
    """Names counted row after row."""
    length = len(names) // rows
    return (names[start : start + length] for start in range(0, len(names), length))


def _across(names: tuple[str, ...], abreast: int) -> Iterator[tuple[str, ...]]:
    """Names counted from side to side, then on."""
    return (names[side::abreast] for side in range(abreast))


def _counted(count: Text) -> tuple[Text, ...]:
    if not count.isdigit() or not 0 < int(count) <= MOST_OF_ONE_FEATURE:
        raise PlacedFault(
            f"`{count}` is not a count", f"write a whole number from 1 to {MOST_OF_ONE_FEATURE}", count
        )
    return tuple(Text(str(number), count.span) for number in range(1, int(count) + 1))


def _seated(feature: Feature, on: object) -> Feature:
    """Read `on: crankpin` (same names) or `on: {crankpin: {"1": [L1, R1]}}`."""
    if isinstance(on, str):
        seat = word_of(on)
        return Feature(feature.names, feature.of, {seat: {name: name for name in feature.names}}, seat)
    seats = {seat: _seats(feature, places) for seat, places in items_of(on)}
    return Feature(feature.names, feature.of, {str(seat): places for seat, places in seats.items()})


def _seats(feature: Feature, places: object) -> Mapping[str, str]:
    seats: dict[str, str] = {}
    for place, names in items_of(places):
        for name in words_of(names):
            if name not in feature.names or name in seats:
                fault = "is no name of this feature" if name not in feature.names else "sits in two places"
                raise PlacedFault(f"`{name}` {fault}", "name each one once", name)
            seats[name] = str(place)
    for name in feature.names:
        if name not in seats:
            raise PlacedFault(f"`{name}` sits nowhere", "put each one on some place", name)
    return seats


FeatureField = Annotated[
    Feature,
    PlainValidator(feature_of),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": ["integer", "string"]},
                {
                    "type": "object",
                    "properties": {
                        "names": {"type": ["array", "integer", "string"]},
                        "of": {"type": "string"},
                        "on": {"type": ["string", "object"]},
                        "rows": {"type": ["integer", "string"]},
                        "abreast": {"type": ["integer", "string"]},
                        "first_row": {"type": "string"},
                    },
                    "additionalProperties": False,
                },
            ],
        }
    ),
]


class Source(StrictModel):
    """A book, sheet or list that values are cited from."""

    title: Word
    """Its title; an invented one says so."""
    kind: Word
    """Whose it is: maker, supplier, shop, standard, handbook or practice."""
    publisher: Word | None = None
    """Who printed it."""
    edition: Word | None = None
    """Which edition, so that a page number means something."""
    note: Word | None = None
    """What to know when using it."""


class Engine(StrictModel):
    """An engine family: engines that share one spec table."""

    engine: Word
    """The id; equals the file name."""
    title: Word
    """What people call it."""
    made: Word | None = None
    """The years it was made."""
    about: Word | None = None
    """A line or two about it."""
    layout: LayoutField
    """Its traits."""
    features: dict[Word, FeatureField]
    """What is counted and named on it."""
    sources: dict[Word, Source] = Field(default_factory=dict)
    """The books that its values are cited from."""
    specs: dict[Word, Row]
    """Its characteristics by id."""

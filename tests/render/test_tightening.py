"""The order of nuts, drawn where they stand."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.manual import Manual, load
from builder.model.base import Text
from builder.model.spec import LimitRow
from builder.render.lines import Drawing
from builder.render.tightening import tightening, turns_of

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def shop() -> Manual:
    """The demonstration shop's manual."""
    manual, faults = load(ROOT)
    assert faults == ()
    return manual


def drawn(manual: Manual, family: str, name: str) -> Drawing:
    """The drawing of a torque of a family."""
    engine = manual.engines[family]
    row = engine.specs[Text(name)]
    assert isinstance(row, LimitRow)
    drawing = tightening(engine, row)
    assert drawing is not None
    return drawing


def rows_in(drawing: Drawing, size: int) -> list[list[str]]:
    """The words of one size of letters, row by row from the top, each row from the left."""
    root = ET.fromstring(drawing.svg)  # noqa: S314 - our own drawing
    rows: dict[float, list[tuple[float, str]]] = {}
    for part in root.iter("text"):
        if part.get("font-size") == str(size):
            rows.setdefault(float(part.get("y", "")), []).append((float(part.get("x", "")), part.text or ""))
    return [[word for _, word in sorted(rows[height])] for height in sorted(rows)]


def test_mains_stand_in_line(small: Manual) -> None:
    """Each box shows its turn, its number stands below it; an order of what has no place is not drawn."""
    engine = small.engines["tallow-four"]
    row = engine.specs[Text("main_cap.torque")]
    assert isinstance(row, LimitRow)
    drawing = tightening(engine, row)

    assert drawing is not None
    assert rows_in(drawing, 22) == [["2", "1", "3"]]
    assert rows_in(drawing, 13) == [["1", "2", "3"]]
    assert tightening(engine, row.model_copy(update={"each": Text("head_nut")})) is None
    assert tightening(engine, row.model_copy(update={"order": None})) is None


def test_head_nuts_stand_in_their_rows(shop: Manual) -> None:
    """Two rows of seven (invented): the middle of the push-rod side comes first, the rear corner last."""
    drawing = drawn(shop, "tarnwick-222h-six", "head.torque")

    assert rows_in(drawing, 13) == [[str(number) for number in range(first, first + 7)] for first in (1, 8)]
    assert rows_in(drawing, 22) == [
        ["11", "7", "3", "1", "4", "8", "12"],
        ["13", "9", "5", "2", "6", "10", "14"],
    ]
    assert rows_in(drawing, 14) == [["push-rod side"], ["front"]]
    assert drawing.caption == (
        "Head nut order, front at the left, push-rod side above: "
        "4 - 11 - 3 - 5 - 10 - 12 - 2 - 6 - 9 - 13 - 1 - 7 - 8 - 14. "
        "In each box its turn, below it its number. Not to scale."
    )


def test_nuts_counted_abreast_stand_in_two_rows(shop: Manual) -> None:
    """Ten nuts counted two abreast (invented): odd ones on the intake side, even ones on the other."""
    drawing = drawn(shop, "veltmoor-twelve-four", "head.torque")

    assert rows_in(drawing, 13) == [["1", "3", "5", "7", "9"], ["2", "4", "6", "8", "10"]]
    assert rows_in(drawing, 22) == [["9", "5", "1", "4", "8"], ["7", "3", "2", "6", "10"]]


def test_heads_of_a_vee_lie_as_seen_from_above(shop: Manual) -> None:
    """Its banks are named as seen from the flywheel, so the left one lies below; a gap parts the heads."""
    drawing = drawn(shop, "ulverham-310-v8", "head.torque")
    root = ET.fromstring(drawing.svg)  # noqa: S314 - our own drawing
    tops = sorted({float(part.get("y", "")) for part in root.iter("rect")})

    assert [row[0] for row in rows_in(drawing, 13)] == ["R1", "R2", "L1", "L2"]
    assert tops[2] - tops[1] > tops[1] - tops[0] == tops[3] - tops[2]


def test_any_order_shows_places_without_turns(shop: Manual) -> None:
    """Where the order is any, each box holds its own number."""
    drawing = drawn(shop, "pellbrook-35-eight", "big_end.torque")

    assert rows_in(drawing, 22) == []
    assert rows_in(drawing, 18) == [[str(number) for number in range(1, 9)]]
    assert drawing.caption == "Rod order, front at the left: any. Not to scale."


def test_every_order_that_names_each_nut_is_drawn(shop: Manual) -> None:
    """No family lists an order, number by number, that its drawing does not show."""
    listed = [
        (engine, row)
        for engine in shop.engines.values()
        for row in engine.specs.values()
        if isinstance(row, LimitRow) and row.order and re.fullmatch(r"\w+(-\w+)+", row.order.body)
    ]

    assert len(listed) > 8
    assert [row.code for engine, row in listed if tightening(engine, row) is None] == []


@given(st.permutations([str(number) for number in range(1, 15)]))
def test_listed_order_gives_each_nut_its_place_in_the_list(order: list[str]) -> None:
    """The first one listed has turn 1, and so on; rows do not matter."""
    rows = (tuple(map(str, range(1, 8))), tuple(map(str, range(8, 15))))

    turns = turns_of("-".join(order), rows)

    assert turns is not None
    assert sorted(order, key=lambda name: turns[name]) == order


@given(st.integers(1, 20))
def test_middle_outward_comes_from_the_middle(count: int) -> None:
    """Turns rise from the middle to both ends alike, with none left out."""
    names = tuple(map(str, range(count)))
    turns = turns_of("from the middle outward", (names,))
    assert turns is not None
    found = [turns[name] for name in names]

    assert found == found[::-1]
    assert set(found) == set(range(1, (count + 1) // 2 + 1))
    assert found[: (count + 1) // 2] == sorted(found[: (count + 1) // 2], reverse=True)


def test_words_that_give_no_order_give_no_turns() -> None:
    """An order of other nuts, or words for a circle of bolts, is not guessed at."""
    assert turns_of("each bolt and then the one opposite", (("1", "2"),)) is None
    assert turns_of("1-2-3", (("1", "2"),)) is None

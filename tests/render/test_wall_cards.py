"""Wall cards: what is marked for the wall, orders as drawings, when to stop."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from builder.manual import Manual, load
from builder.model.base import Text
from builder.render.wall_cards import card_view, wall_card, wall_cards

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def shop() -> Manual:
    """The demonstration shop's manual."""
    manual, faults = load(ROOT)
    assert faults == ()
    return manual


def test_card_holds_what_is_marked_for_the_wall(shop: Manual) -> None:
    """Every row with `wall_card: true` stands on it once, torques in their table; nothing else does."""
    for engine in shop.engines.values():
        view = card_view(shop, engine)
        marked = sorted(str(row.title) for row in engine.specs.values() if row.wall_card)

        assert sorted([*(one.title.text for one in (*view.torques, *view.wall))]) == marked


def test_order_is_drawn_where_it_is_known_and_said_where_not(shop: Manual) -> None:
    """Mains and head of the eight are drawn; any order is not."""
    view = card_view(shop, shop.engines["pellbrook-35-eight"])

    assert [title for title, _ in view.drawings] == ["Main cap nuts", "Cylinder head nuts or bolts"]
    assert 'width="122.04mm"' in view.drawings[1][1]


def test_card_says_when_the_engine_is_stopped(shop: Manual) -> None:
    """Each rule that begins with the word stop, with the limits that are broken then (values invented)."""
    stops = card_view(shop, shop.engines["pellbrook-35-eight"]).stops

    assert all(one.do.startswith("Stop") for one in stops)
    assert (
        "P40",
        (("Oil pressure under load, floor", "20 psi min"),),
        "Stop the engine at once. Find the cause before it turns again.",
    ) in [(one.code, one.limits, one.do) for one in stops]


def test_card_lists_the_holds_of_its_engine_only(shop: Manual) -> None:
    """White metal has its holds on poured bearings and not on shells."""
    poured, shells = (
        {one.code for one in card_view(shop, shop.engines[family]).holds}
        for family in ("pellbrook-35-eight", "tarnwick-222h-six")
    )

    assert {"H08", "H09"} <= poured
    assert not {"H08", "H09"} & shells
    assert ("H02", "F C") in [
        (one.code, one.by) for one in card_view(shop, shop.engines["tarnwick-222h-six"]).holds
    ]


def test_changed_value_changes_the_number_of_the_card(small: Manual) -> None:
    """An old card on the wall can be told from a new one; the same manual gives the same number."""
    engine = small.engines["tallow-four"]
    row = engine.specs[Text("main_cap.torque")].model_copy(update={"wall_card": True, "threads": Text("dry")})
    changed = engine.model_copy(update={"specs": {**engine.specs, Text("main_cap.torque"): row}})

    def number(html: str) -> str:
        return re.findall(r"Wall card ([0-9a-f]{8})\.", html)[0]

    assert number(wall_card(small, engine)) == number(wall_card(small, engine))
    assert number(wall_card(small, engine)) != number(wall_card(small, changed))


def test_card_needs_nothing_beside_itself(small: Manual) -> None:
    """No link, script or picture is asked for."""
    (asset,) = wall_cards(small)

    assert asset.path == "wallcards/tallow-four.html"
    assert re.findall(r'(?:src|href)="|<script|url\(', str(asset.content)) == []

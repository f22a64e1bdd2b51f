"""Torque cards."""

from __future__ import annotations

from builder.manual import Manual
from builder.model.base import Text
from builder.render.torque_cards import torque_page


def test_torque_that_the_engine_gives_is_no_fastener(small: Manual) -> None:
    """A row of kind torque with no threads and no code of a fastener stays off the card."""
    engine = small.engines["tallow-four"]
    fastener = engine.specs[Text("main_cap.torque")]
    given = fastener.model_copy(update={"code": Text("RUN-04"), "threads": None, "order": None})
    both = engine.model_copy(update={"specs": {**engine.specs, Text("engine.torque"): given}})

    html = torque_page(small, both).html

    assert 'id="main_cap.torque"' in html
    assert 'id="engine.torque"' not in html


def test_count_beside_a_torque_has_its_code_but_for_the_last_letter(small: Manual) -> None:
    """FAS-01b counts what FAS-01a tightens."""
    assert "6 of them" in torque_page(small, small.engines["tallow-four"]).html

"""Routes of families."""

from __future__ import annotations

from builder.manual import Manual
from builder.model.base import Text
from builder.render.routes import Router


def test_hold_that_must_be_signed_first_is_not_named_twice(small: Manual) -> None:
    """A need that is also a guard stands with the guards alone."""
    stop = Router(small, "x.html", small.engines["tallow-four"]).stop(small.procedures["fit-poured-mains"])

    assert [need.text for need in stop.needs] == ["P15 Pour white metal"]
    assert [guard.text for guard in stop.guards] == ["H09 White metal bonded"]
    assert [hold.text for hold in stop.holds] == ["H11 Bearings witnessed"]
    assert [link.text for link in stop.links] == ["Checklist", "Printed sheet"]


def test_what_does_not_apply_to_a_family_is_not_on_its_route(small: Manual) -> None:
    """A shell engine needs no white metal: the procedure and the hold are gone."""
    engine = small.engines["tallow-four"]
    shells = engine.model_copy(update={"layout": {**engine.layout, "main_bearings": Text("shell")}})

    phases = tuple(Router(small, "x.html", shells).phases())

    assert [stop.code for phase in phases for stop in phase.stops] == ["P15"]
    assert [guard for phase in phases for stop in phase.stops for guard in stop.guards] == []

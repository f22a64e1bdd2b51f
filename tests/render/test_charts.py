"""Charts of a family's values."""

from __future__ import annotations

from xml.etree import ElementTree as ET

from builder.manual import Manual
from builder.model.base import Text
from builder.model.spec import LimitRow, ScheduleRow
from builder.render import charts
from builder.render.lines import Drawing


def words_in(drawing: Drawing | None) -> list[str]:
    """The words of a drawing in the order in which they stand in it."""
    assert drawing is not None
    root = ET.fromstring(drawing.svg)  # noqa: S314 - our own drawing
    return [part.text or "" for part in root.iter("text")]


def test_stages_stand_over_their_time(small: Manual) -> None:
    """Every column but the time is a lane; each value stands over its stage, the time under it."""
    row = small.engines["tallow-four"].specs[Text("run_in.stages")]
    assert isinstance(row, ScheduleRow)

    drawing = charts.schedule(row)

    assert words_in(drawing) == ["speed, rpm", "1000", "1200", "30 min", "45"]
    assert drawing is not None
    assert drawing.caption == "Stages: 1000 rpm, 30 min; 1200 rpm, 45 min."
    assert 'd="M12 86 V47.6667 H164 V40 H392 V86"' in drawing.svg


def test_schedule_without_a_time_is_not_drawn(small: Manual) -> None:
    """Nor is one whose row leaves a column out."""
    row = small.engines["tallow-four"].specs[Text("run_in.stages")]
    assert isinstance(row, ScheduleRow)

    assert charts.schedule(row.model_copy(update={"columns": {Text("speed"): Text("rpm")}})) is None
    assert charts.schedule(row.model_copy(update={"rows": (Text("1000, -"),)})) is None


def test_valves_open_and_close_round_the_crank(small: Manual) -> None:
    """An angle before a dead centre lies before it, clockwise; the middle of a band is drawn."""
    engine = small.engines["tallow-four"]
    printed = {
        "cam.intake_opens": "90 deg BTDC exact [manual p. 1]",
        "cam.intake_closes": "0 deg ABDC exact [manual p. 1]",
        "cam.exhaust_opens": "10 ± 2 deg BBDC [manual p. 1]",
        "cam.exhaust_closes": "8 to 12 deg ATDC [manual p. 1]",
    }
    rows = {
        Text(name): LimitRow.model_validate({"kind": Text("angle"), "title": Text(name), "new": Text(value)})
        for name, value in printed.items()
    }

    drawing = charts.valve_timing(engine.model_copy(update={"specs": rows}))

    assert words_in(drawing) == ["TDC", "BDC", "IO", "IC", "EO", "EC"]
    assert drawing is not None
    assert '<path class="gl-line" d="M92.0 150.0 A78 78 0 1 1 170.0 228.0"/>' in drawing.svg
    assert drawing.caption == (
        "Valve timing, clockwise from top dead centre: inlet opens 90° BTDC; inlet closes 0° ABDC; "
        "exhaust opens 10 ± 2° BBDC; exhaust closes 8 to 12° ATDC. Outer arc inlet, inner arc exhaust."
    )
    assert charts.valve_timing(engine) is None

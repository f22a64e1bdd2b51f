"""Drawings made from the manual."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from builder.manual import Manual, load
from builder.model.base import Text
from builder.model.engine import Feature
from builder.model.written import stated
from builder.render import diagrams


def words_in(drawing: diagrams.Drawing | None) -> list[str]:
    """The words of a drawing in the order in which they stand in it."""
    assert drawing is not None
    root = ET.fromstring(drawing.svg)  # noqa: S314 - our own drawing
    return [part.text or "" for part in root.iter("text")]


def test_cylinders_stand_from_the_front_with_their_turn_to_fire(small: Manual) -> None:
    """Under each cylinder stands when it fires; mains stand between the cylinders, the front is marked."""
    drawing = diagrams.numbering(small.engines["tallow-four"])

    assert words_in(drawing) == [
        "1", "1st", "2", "2nd", "3", "4th", "4", "3rd", "1", "2", "3", "front", "rear",
    ]  # fmt: skip
    assert drawing is not None
    assert drawing.caption == (
        "4 cylinders; No. 1 at the front; they fire 1-2-4-3; 3 mains on the crank line. "
        "Seen from above, not to scale."
    )
    assert f'aria-label="{drawing.caption}"' in drawing.svg


def test_banks_of_a_vee_engine_stand_apart(small: Manual) -> None:
    """Cylinders whose names begin with different letters stand in two rows."""
    engine = small.engines["tallow-four"]
    names = tuple(map(Text, ("L1", "L2", "R1", "R2")))
    vee = engine.model_copy(
        update={
            "layout": {**engine.layout, "arrangement": Text("vee")},
            "features": {**engine.features, Text("cylinder"): Feature(names)},
        }
    )

    standing = diagrams.cylinders(vee)

    assert standing is not None
    assert standing.banks == (("L1", "L2"), ("R1", "R2"))
    assert words_in(diagrams.numbering(vee))[:4] == ["L1", "L2", "R1", "R2"]


@pytest.mark.parametrize(
    ("numbering", "number_one", "upper"),
    [
        ("L and R as seen from the flywheel", "Front", "R"),
        ("L and R as seen from the front", "Front", "L"),
        ("L and R as seen from the flywheel", "Flywheel end", "L"),
        ("", "Front", "L"),
    ],
)
def test_left_bank_lies_where_who_looks_has_the_left_hand(
    small: Manual, numbering: str, number_one: str, upper: str
) -> None:
    """Seen from above with the front at the left, who looks from the flywheel has the left bank below."""
    engine = small.engines["tallow-four"]
    told = engine.specs[Text("engine.number_one")]
    words = {"engine.numbering": numbering, "engine.number_one": number_one}
    rows = {
        Text(name): told.model_copy(update={"new": stated(str, Text(f"{text} [manual p. 3]"))})
        for name, text in words.items()
        if text
    }
    names = tuple(map(Text, ("L1", "L2", "R1", "R2")))
    vee = engine.model_copy(
        update={
            "layout": {**engine.layout, "arrangement": Text("vee")},
            "features": {**engine.features, Text("cylinder"): Feature(names)},
            "specs": rows,
        }
    )

    standing = diagrams.cylinders(vee)

    assert standing is not None
    assert standing.banks[0] == (f"{upper}1", f"{upper}2")


def test_family_that_says_nothing_of_its_cylinders_has_no_drawing(small: Manual) -> None:
    """Without the feature nothing is drawn; without the end of No. 1 neither end is named."""
    engine = small.engines["tallow-four"]
    silent = engine.model_copy(update={"specs": {}})

    assert diagrams.numbering(engine.model_copy(update={"features": {}})) is None
    assert words_in(diagrams.numbering(silent)) == ["1", "2", "3", "4", "1", "2", "3"]


@pytest.mark.parametrize("subject", ["bore", "journal", "bearing", "piston"])
def test_planes_and_axes_are_drawn_and_said(subject: str) -> None:
    """Every letter in the drawing is explained in its line of words."""
    drawing = diagrams.planes(subject)

    assert drawing is not None
    for word in words_in(drawing):
        assert re.search(rf"\b{word[:3]}", drawing.caption)


def test_figure_that_nobody_draws_is_none(small: Manual) -> None:
    """A step may name a drawing that is not there yet."""
    assert diagrams.figure(None, "planes camshaft") is None
    assert diagrams.figure(None, "tightening main_cap.torque") is None
    assert diagrams.figure(small.engines["tallow-four"], "tightening main_cap.torque") is not None


def test_words_in_a_drawing_are_escaped() -> None:
    """A name with markup in it comes out as text."""
    drawn = diagrams.text(0, 0, '<b>"&', "gl-text", 12)

    assert "<b>" not in drawn
    assert ET.fromstring(drawn).text == '<b>"&'  # noqa: S314 - our own drawing


@pytest.mark.parametrize(
    ("number", "word"), [(1, "1st"), (2, "2nd"), (3, "3rd"), (11, "11th"), (21, "21st"), (112, "112th")]
)
def test_ordinals(number: int, word: str) -> None:
    """Teens take th, whatever they end in."""
    assert diagrams.ordinal(number) == word


def test_drawing_is_a_value() -> None:
    """A drawing can be compared and copied; it holds no reference to the manual."""
    drawing = diagrams.planes("bore")

    assert drawing is not None
    assert replace(drawing) == drawing


def test_single_is_told_in_the_singular() -> None:
    """One cylinder has no end of its own and no firing order; nuts of one place have none to follow."""
    manual, _ = load(Path(__file__).parents[2])
    single = manual.engines[Text("varnock-five-single")]
    drawing = diagrams.numbering(single)

    assert drawing is not None
    assert drawing.caption == (
        "1 cylinder; 2 mains on the crank line; T marks the thrust at main 1. Seen from above, not to scale."
    )
    assert "1st" not in words_in(drawing)
    assert diagrams.figure(single, "tightening big_end.torque") is None

"""Kit lists: every part and tool of a family's procedures, with counts from its features."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.checklist import checklists, number_of
from builder.manual import Manual, load
from builder.render.kits import Lister, counted, kit_page, tools_of
from builder.render.paper import of_family

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def shop() -> Manual:
    """The demonstration shop's manual."""
    manual, faults = load(ROOT)
    assert faults == ()
    return manual


def lister(manual: Manual, family: str) -> Lister:
    """What lists the kit of a family."""
    return Lister(manual, "engines/x/kit.html", of_family(manual, manual.engines[family]))


def test_count_follows_from_the_features(shop: Manual) -> None:
    """Two nuts to each of five mains are ten, on an engine of three mains six."""
    for family in ("pellbrook-35-eight", "veltmoor-twelve-four"):
        mains = number_of(shop.engines[family], "main")
        (nuts,) = (one for one in lister(shop, family).parts() if one.name == "Main cap nut")

        assert nuts.number == 2 * mains
        assert {use.text.partition(": ")[2] for use in nuts.uses} == {str(2 * mains)}


def test_every_part_and_tool_of_every_procedure_is_listed(shop: Manual) -> None:
    """What procedures and steps ask for is all there, and nothing else is."""
    for family, engine in shop.engines.items():
        found = lister(shop, family)
        every = of_family(shop, engine)

        assert {use.text for one in found.tools() for use in one.uses} == {
            str(one.procedure.code) for one in every if tools_of(one)
        }
        assert sum(len(one.uses) for one in found.tools()) == sum(len(tools_of(one)) for one in every)
        assert sum(len(one.uses) for one in found.parts()) == sum(len(counted(one)) for one in every)


def test_steps_own_parts_are_counted_too(small: Manual) -> None:
    """A part that only a step names is on the list; one that both name stands there once."""
    checklist = next(checklists(small))

    assert {name: part.number for name, part in counted(checklist).items()} == {
        "main_cap_nut": 6,
        "shim_pack": 6,
    }


def test_page_has_two_boxes_for_each_part_and_one_for_each_tool(small: Manual) -> None:
    """Parts are counted before and after; a tool is there or it is not."""
    html = kit_page(small, small.engines["tallow-four"]).html

    assert html.count('aria-label="to tick before"') == html.count('aria-label="to tick after"') == 4
    assert html.count('aria-label="to tick when it is here"') == 6

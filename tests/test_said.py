"""What changed between two editions of a checklist, from a filled sheet and the checklist of today alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.checklist import Checklist, resolve
from builder.manual import load
from builder.model.base import Text
from builder.model.record import Said
from builder.said import changes, in_short

BASE = Path(__file__).parent / "rules" / "base"


@pytest.fixture(scope="module")
def checklist() -> Checklist:
    """The mains of the small clean shop."""
    manual, faults = load(BASE)
    assert faults == ()
    return resolve(manual, manual.engines[Text("tallow-four")], manual.procedures[Text("fit-mains")])


def test_same_edition_has_changed_in_nothing(checklist: Checklist) -> None:
    """And of a sheet that does not say what its edition said, nothing is told."""
    assert list(changes(in_short(checklist), checklist)) == []
    assert list(changes(Said(), checklist)) == []


def test_every_sort_of_change_is_told_in_words(checklist: Checklist) -> None:
    """Steps by number, limits before and now, other parts by what they are."""
    now = in_short(checklist)
    _, second, *others = now.steps
    clearance = now.limits[Text("main.clearance")]
    before = Said(
        steps={Text("old-step"): Text("1"), second: Text("2"), **{name: now.steps[name] for name in others}},
        limits={
            **now.limits,
            Text("main.clearance"): Text("new 0.0010 to 0.0020 in"),
            Text("gone.row"): Text("x"),
        },
        rest={**now.rest, Text("holds"): Text("3")},
    )

    assert list(changes(before, checklist)) == [
        "Step 1 is new.",
        "Step 2 reads otherwise.",
        "Step `old-step` is gone.",
        f"Main bearing oil clearance: new 0.0010 to 0.0020 in before, {clearance} now.",
        "gone.row: x before, gone now.",
        "A hold reads otherwise.",
    ]


def test_steps_that_were_moved_are_told(checklist: Checklist) -> None:
    """The same steps in another order."""
    now = in_short(checklist)
    turned = Said(steps=dict(reversed(now.steps.items())), limits=now.limits, rest=now.rest)

    assert list(changes(turned, checklist)) == ["The steps stand in another order."]

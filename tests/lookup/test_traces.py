"""Where a characteristic turns up in the work."""

from __future__ import annotations

import pytest

from builder.formula import parse
from builder.lookup import Lookup
from builder.lookup.traces import sides_of


@pytest.mark.parametrize(
    ("test", "sides"),
    [
        ("least(c) < low(main.clearance)", {"main.clearance": "under"}),
        ("low(main.clearance) > least(c)", {"main.clearance": "under"}),
        ("most(c) > high(main.clearance)", {"main.clearance": "over"}),
        ("least(c) < low(a.b) and least(c) >= low(a.b) - 0.0005 * inch", {"a.b": "under"}),
        ("most(c) > high(a.b) and most(c) <= high(a.b) + 0.002 * inch", {"a.b": "over"}),
        ("t < low(a.b) or t > high(a.b)", {"a.b": "out"}),
        ("t > high(a.b) or u > high(c.d)", {"a.b": "over", "c.d": "over"}),
        ("abs(error) > mid(a.b) / 2", {"a.b": "over"}),
        ("t == a.b", {"a.b": "out"}),
        ("t < 3 * inch", {}),
    ],
)
def test_a_test_tells_on_which_side_a_value_lies(test: str, sides: dict[str, str]) -> None:
    """Less than the low end is under, more than the high end over; from the inner side it only narrows."""
    assert sides_of(parse(test)) == sides


def test_a_fit_is_traced_to_its_step_and_to_what_is_done_when_it_is_out(lookup: Lookup) -> None:
    """The poured mains: measured in the boring procedure, with two remedies for each side."""
    trace = lookup.traces["pellbrook-35-eight", "main.clearance"]

    assert ("P16", "measure") in [
        (str(place.procedure.code), str(place.step.step.id)) for place in trace.read_in
    ]
    remedies = [remedy for remedy in trace.remedies if remedy.place.procedure.code == "P16"]
    assert [(remedy.side, str(remedy.rule.then)) for remedy in remedies] == [
        ("under", "finish"),
        ("under", "wash"),
        ("over", "shims"),
        ("over", "stop"),
    ]
    onward = [remedy.then and str(remedy.then.step.step.id) for remedy in remedies]
    assert onward == ["finish", "wash", "shims", None]


def test_a_step_that_reads_a_value_is_not_named_again_as_one_that_uses_it(lookup: Lookup) -> None:
    """A torque that a step both measures and writes in its sentence stands once."""
    for trace in lookup.traces.values():
        read = {(place.procedure.code, place.step.number) for place in trace.read_in}
        assert not read & {(place.procedure.code, place.step.number) for place in trace.named_in}

"""What was measured, one characteristic after another: found, machined, left, after the run, mock-up."""

from __future__ import annotations

import json
from typing import Any

from builder.jobs.measured import count, found, left, measured

Copy = Any  # of conftest.py, which is no module to import from


def part(copy: Copy, characteristic: str) -> Any:  # noqa: ANN401 - a `Measured`
    """What was read of a characteristic."""
    return next(one for one in measured(copy.check()) if one.characteristic == characteristic)


def test_as_found_stands_beside_as_left_at_the_same_points(clean: Copy) -> None:
    """The survey and the hone read the same 36 points of the bores."""
    bores = part(clean, "bore.size")

    assert [(one.code, one.stage) for one in bores.readings] == [("P06", "as_found"), ("P12", "final")]
    assert (len(bores.things), len(bores.columns), len(bores.values)) == (6, 6, 12)


def test_every_value_of_every_sheet_is_told_once(clean: Copy) -> None:
    """Nothing is lost where two sheets, or two measurements of one sheet, read the same characteristic."""
    checked = clean.check()
    judged = [one for worked in checked.sheets for sheet in worked.judged for one in sheet.judgements]

    told = [one for of in measured(checked) for one in of.every]
    assert len(told) == len(judged)
    assert {id(one) for one in told} == {id(one) for one in judged}


def test_mock_up_is_told_and_is_not_how_the_engine_leaves(clean: Copy) -> None:
    """The readings of a mock-up stand apart and before those of the final run."""
    sheet = json.loads(clean.path("P12").read_text("utf-8")) | {"run": "mock_up", "holds": []}
    (clean.folder / "sheets" / "P12-bore-and-hone-mock_up.json").write_text(json.dumps(sheet), "utf-8")

    bores = part(clean, "bore.size")
    assert [(one.run, one.stage, one.leaves) for one in bores.readings] == [
        ("final", "as_found", False),
        ("mock_up", "final", False),
        ("final", "final", True),
    ]
    last, _ = bores.last(bores.things[0])
    assert (last.code, last.run) == ("P12", "final")


def test_counts_tell_found_from_left(faulty: Copy) -> None:
    """What was out as found does not count against how the engine leaves."""
    every = measured(faulty.check())
    out = [one for worked in faulty.check().sheets for sheet in worked.judged for one in sheet.judgements]

    assert count(found(every)).out + count(left(every)).out == sum(str(one.verdict) == "out" for one in out)
    assert count(left(every)).suspect == 152

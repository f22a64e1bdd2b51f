"""Faults that stand in published tables, copied into the small clean shop: all are found."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from builder.manual import load
from builder.rules import check

BASE = Path(__file__).parent / "base"
ENGINE = "specs/engines/tallow-four.yaml"
SIX = {
    "cylinder: 4": "cylinder: 6",
    "crankpin: 4": "crankpin: 6",
    'names: ["1", "2", "3", "4"]': 'names: ["1", "2", "3", "4", "5", "6"]',
}


def row(title: str, kind: str, limits: str) -> dict[str, str]:
    """A row of the spec table, put before the run-in oil."""
    return {
        "  oil.run_in:\n": f"  copied.row:\n    {{title: {title}, kind: {kind}, {limits}}}\n  oil.run_in:\n"
    }


PUBLISHED = {
    # TM 10-4320-315-24 Table 3-3: the firing order of six cylinders, cut short
    "order cut short": (SIX | {"new: 1-2-4-3 [manual p. 3]": "new: 1-5-3-6 [manual p. 3]"}, {"GL-225"}),
    # the same table, as it should be
    "order whole": (SIX | {"new: 1-2-4-3 [manual p. 3]": "new: 1-5-3-6-2-4 [manual p. 3]"}, set()),
    # TM 10-4320-315-24 Table 3-3: valve clearance "005 in (0.15 mm)"
    "point lost": (row("Valve lash", "clearance", 'new: "005 in max (0.15 mm) [manual p. 3]"'), {"GL-104"}),
    "point found": (row("Valve lash", "clearance", 'new: "0.006 in max (0.15 mm) [manual p. 3]"'), set()),
    # TM 5-6115-593-34 Table 1-2, rod length: 304.80 mm is 12.000 in
    "rod length": (
        row("Rod length", "length", 'new: "11.998 to 12.050 in (304.75 to 304.80 mm) [manual p. 3]"'),
        {"GL-210"},
    ),
    "rod length mended": (
        row("Rod length", "length", 'new: "11.998 to 12.000 in (304.75 to 304.80 mm) [manual p. 3]"'),
        set(),
    ),
    # TM 9-6115-604-34 table 1-4, a web transcription: 0.010 in is 0.254 mm, ten times less
    "ten times out": (row("Play", "clearance", 'new: "0.010 in max (2.54 mm) [manual p. 3]"'), {"GL-210"}),
    # TM 5-6115-400-35 Table 1: the smallest undersize is .010
    "nought lost": (
        {"supplier: 0.010, 0.020, 0.030 in [list]": "supplier: .10, .020, .030, .040 in [list]"},
        {"GL-104"},
    ),
    # TM 5-6115-584-34 table 1-2: one column holds sizes (1.0455) and amounts of wear (0.001)
    "wear as a size": (
        row("Bush", "bore", 'new: "1.0435 to 1.0445 in [manual p. 3]", wear: "0.001 in max [manual p. 3]"'),
        {"GL-209"},
    ),
    "size as a size": (
        row("Bush", "bore", 'new: "1.0435 to 1.0445 in [manual p. 3]", wear: "1.0455 in max [manual p. 3]"'),
        set(),
    ),
    # TM 9-2815-225-34&P appendix F: 6.5615 and 6.6255 in one row, among rows 0.001 to 0.002 apart
    "digit wrong": (row("Counterbore", "bore", 'new: "6.5615 to 6.6255 in [manual p. 3]"'), {"GL-238"}),
    "digit right": (row("Counterbore", "bore", 'new: "6.5615 to 6.5625 in [manual p. 3]"'), set()),
}


@pytest.mark.parametrize("name", PUBLISHED)
def test_published_fault_is_found(name: str, tmp_path: Path) -> None:
    """What a publication has wrong gives its diagnostics; what it should say gives none."""
    changes, codes = PUBLISHED[name]
    shop = Path(shutil.copytree(BASE, tmp_path / "shop"))
    text = (shop / ENGINE).read_text(encoding="utf-8")
    for old, new in changes.items():
        assert text.count(old) == 1
        text = text.replace(old, new)
    (shop / ENGINE).write_text(text, encoding="utf-8")

    manual, unread = load(shop)

    assert {one.code for one in (*unread, *check(manual)) if one.code != "GL-309"} == codes

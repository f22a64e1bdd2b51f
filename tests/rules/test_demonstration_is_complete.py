"""What the demonstration's tables hold: every row of the trade's list in both families, each gauge described.

The list of 139 rows is the shop's own inventory of what an engine book should give (common practice).
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from builder.manual import Manual, load
from builder.model.spec import LimitRow

SHOP = Path(__file__).parents[2]
LISTED = {
    "GEN": 8, "BLK": 18, "CRK": 16, "ROD": 9, "PIS": 15, "CAM": 12, "VLV": 22, "TAP": 6, "OIL": 6, "COO": 4,
    "FUE": 4, "IGN": 5, "FAS": 6, "RUN": 6, "FLU": 2,
}  # fmt: skip
NOT_THERE = {
    "pellbrook-35-eight": {"BLK-11", "TAP-05", "TAP-06", "VLV-20", "VLV-21"},
    "tarnwick-222h-six": {"TAP-04"},
}
"""Poured mains have no shell housing, a side-valve engine no rockers, hydraulic tappets no cold lash."""
SHOWS = {"vee_blocks", "blueing", "crush_strip", "magnetic_particle", "penetrant"}
"""Instruments that show or hold and read no number."""


@pytest.fixture(scope="module")
def manual() -> Manual:
    """The manual of the demonstration shop."""
    return load(SHOP)[0]


@pytest.mark.parametrize("family", NOT_THERE)
def test_every_listed_row_is_in_the_table(manual: Manual, family: str) -> None:
    """139 codes, less those that this kind of engine has not."""
    listed = {f"{group}-{number:02}" for group, count in LISTED.items() for number in range(1, count + 1)}
    codes = (re.match(r"[A-Z]+-\d\d", str(row.code)) for row in manual.engines[family].specs.values())
    have = {code[0] for code in codes if code}

    assert len(listed) == 139
    assert listed - have == NOT_THERE[family]


@pytest.mark.parametrize("family", NOT_THERE)
def test_fits_and_sizes_say_at_what_temperature_they_hold(manual: Manual, family: str) -> None:
    """A tenth of a thou in three inches is four degrees of iron: no such row stands without its condition."""
    fine = ("bore", "shaft", "clearance", "interference")
    rows = (
        (str(name), row) for name, row in manual.engines[family].specs.items() if isinstance(row, LimitRow)
    )
    bare = [name for name, row in rows if row.kind in fine and row.condition is None and row.unknown is None]

    assert bare == []


def test_every_instrument_says_what_it_reads_how_well_how_set_and_how_misused(manual: Manual) -> None:
    """Resolution and uncertainty for all that read; setting and misuse for every one."""
    reading = {name: one for name, one in manual.instruments.items() if name not in SHOWS}

    assert [name for name, one in reading.items() if one.reads is None or one.uncertainty is None] == []
    assert [name for name, one in manual.instruments.items() if not one.setting or not one.misuse] == []
    assert len(manual.instruments) >= 56

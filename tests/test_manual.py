"""The manual: everything by id, and the order of the work."""

from __future__ import annotations

from pathlib import Path

from builder.manual import load

SHOP = Path(__file__).parents[1]


def test_a_code_with_a_letter_stands_after_its_number() -> None:
    """The camshaft in the head is timed (P32b) between P32 and P33; ball races come between P18 and P19."""
    codes = [str(procedure.code) for procedure in load(SHOP)[0].route]

    assert codes[codes.index("P32") : codes.index("P33") + 1] == ["P32", "P32b", "P33"]
    assert codes[codes.index("P18") : codes.index("P19") + 1] == ["P18", "P18b", "P19"]
    assert (codes[0], codes[-1]) == ("P01", "P44")

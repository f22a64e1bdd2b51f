"""A worksheet's page gives what the command line gives: every value, every sentence, every line of text."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builder.manual import Manual
from builder.model.worksheet import Worksheet
from builder.worksheet import Worked, work
from builder.worksheet.words import answer_lines

FILES = sorted((Path(__file__).parents[2] / "specs" / "worksheets").glob("*.yaml"))
Ask = Callable[[Worksheet, dict[str, str]], dict[str, Any]]

TYPED = st.one_of(
    st.sampled_from([
        "", " ", "0", "1", "3.5", "3 1/2", "2½", "-2", "0.0045 in", "75 mm", "15 tenths", "1 1/2 thou",
        "30 deg", "10 BTDC", "5 ATDC", "-5 BTDC", "45 deg ABDC", "68 degF", "20 degC", "18 Fdeg", "300 K",
        "1,5", "2.", "0.010, 0.020, 0.030", "0.010, 0.020 in", "0.25, 0.50 mm", "1,,2", ",", "12 lb",
        "12 lbf", "abc", "1 mmm", "999999999", "0.000000001", "+2", "25 %", "0.25 ratio", "BTDC",
        "9 BTDC BTDC",
    ]),
    st.text("0123456789./, -+½inmthoudegFCBTA°%", max_size=12),
)  # fmt: skip


def _ours(shop: Manual, worked: Worked) -> dict[str, Any]:
    """What Python gives, in the form of the answer."""
    return {
        "entries": [
            {
                "name": entry.name,
                "typed": entry.typed,
                "byDefault": entry.by_default,
                "why": entry.why,
                "hint": entry.hint,
                "read": [[str(one.number.value), one.number.text, one.unit.symbol] for one in entry.read],
            }
            for entry in worked.entries
        ],
        "lines": [
            {
                "name": line.name,
                "value": None if line.value is None else str(line.value),
                "text": line.text,
                "partner": line.partner,
                "why": line.why,
                "approximate": line.approximate,
            }
            for line in worked.lines
        ],
        "text": list(answer_lines(shop, worked)),
    }


@pytest.mark.parametrize("name", [file.stem for file in FILES])
def test_every_example_is_the_same_in_the_browser(name: str, shop: Manual, browser: Ask) -> None:
    """Each worked example of each worksheet, found by listing, gives the same to the last digit in both."""
    worksheet = shop.worksheets[name]
    for example in worksheet.examples:
        if example.holds_in != "python":
            typed = {str(key): str(text) for key, text in example.given.items()}
            assert browser(worksheet, typed) == _ours(shop, work(worksheet, typed))


def test_odd_input_is_the_same_in_the_browser(shop: Manual, odd: tuple[Worksheet, ...], browser: Ask) -> None:
    """Whatever is typed into any box, both say the same and neither stops."""
    sheets = [*shop.worksheets.values(), *odd]

    @settings(deadline=None, database=None, max_examples=500, suppress_health_check=list(HealthCheck))
    @given(st.data())
    def agree(data: st.DataObject) -> None:
        worksheet = data.draw(st.sampled_from(sheets))
        typed = {str(name): data.draw(TYPED) for name in worksheet.inputs}
        assert browser(worksheet, typed) == _ours(shop, work(worksheet, typed))

    agree()

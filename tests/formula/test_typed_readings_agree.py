"""A box on a page accepts and refuses what is typed exactly as the command line does, word for word."""

from __future__ import annotations

from collections.abc import Callable
from time import monotonic
from typing import Any

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from builder.diagnostics import Fault
from builder.number import LONGEST
from builder.quantity import DATUMS, read_quantity, read_reading
from builder.unit_table import ROWS
from builder.units import unit

Ask = Callable[[dict[str, Any]], Any]

SPELLINGS = [spelling for row in ROWS for spelling in (row.symbol, *row.spellings)]
ODD_UNITS = [
    "qt", "pt", "gal", "F", "C", '"', "'", "Ra", "lb  ft", "lbft", "inchs", "MM", "tousand", "º", "xyz",
    "psig", "lbs/ft", "in (2 mm)", "deg BTDC", "BTDC", "ATDC", "kg.m", "2 mm", "milimetre", "foots",
    "thous.", "Degrees",
]  # fmt: skip
NUMBERS = [
    "2.4998", ".0015", "0.0015", "15", "1 1/2", "0.038", "2½", "½", "2 ½", "3/8", "1 3/4", "5/4", "1 5/4",
    "12", "2,4272", "2.4.2", "1,250.5", "1,250", "12,5", "005", "00.5", "01.5", "2.", "2O.5", "l.5", "1e-3",
    "3/0", "0", "1234567890", "0.1234567890", "1-1/2", "10oC", "", "-", "+", "0012", "0/4", "1  1/2",
    "1\u00a01/2", "999999999", "1,2,345", "..5", "2.49 98", "4F",
]  # fmt: skip
SIGNS = ["", "", "", "+", "-", "− ", "+ ", "−"]
typed = st.one_of(
    st.builds(
        "{}{}{}{}".format,
        st.sampled_from(SIGNS),
        st.one_of(st.sampled_from(NUMBERS), st.decimals(0, 30, places=4).map(str)),
        st.sampled_from(["", " ", "  "]),
        st.one_of(st.just(""), st.sampled_from(SPELLINGS), st.sampled_from(ODD_UNITS)),
    ),
    st.text("0123456789.,/-+½¾ inmthoude−TBDC()lOo\t\u00a0", max_size=12),
)
own_units = st.sampled_from(["in", "mm", "deg", "lb-ft", "degF", "thou", "count", "psi"])
set_sizes = st.sampled_from(
    ["", "", "", "2.5000 in", "1 1/2 in", "63.500 mm", "0.5 in", "12 lb-ft", "no size", "2.5"]
)
datums = st.sampled_from(["", "", "", *DATUMS])


def _ours(text: str, own: str, setting: str, datum: str) -> dict[str, object]:
    """What the command line makes of it, in the form of tests/js/answer.cjs."""
    try:
        read = read_reading(text, unit(own), read_quantity(setting) if setting else None, datum)
    except Fault as fault:
        return {"refused": fault.message, "hint": fault.hint}
    number = read.number
    return {
        "base": str(read.base),
        "text": number.text,
        "decimals": number.decimals,
        "unit": read.unit.symbol,
    }


def _theirs(browser: Ask, text: str, own: str, setting: str, datum: str) -> dict[str, object]:
    answer: dict[str, object] = browser({"typed": text, "unit": own, "setting": setting, "datum": datum})
    return {name: value for name, value in answer.items() if name not in ("start", "end")}


@settings(deadline=None, database=None, max_examples=1000, suppress_health_check=list(HealthCheck))
@given(text=typed, own=own_units, setting=set_sizes, datum=datums)
@example("2,4272", "in", "", "")
@example("+2½", "in", "2.5000 in", "")
@example("+2½", "in", "", "")
@example("15 tenths", "in", "", "")
@example("1 1/2 thou", "mm", "", "")
@example("12 deg BTDC", "deg", "", "BTDC")
@example("0.038 psi", "in", "", "")
@example("+0.01", "mm", "63.500 mm", "")
@example("-2.25", "in", "2.5000 in", "")
def test_anything_typed_is_read_or_refused_alike(
    browser: Ask, text: str, own: str, setting: str, datum: str
) -> None:
    """Value, unit, digits and, where refused, message and hint are the same on the page and at the desk."""
    assert _theirs(browser, text, own, setting, datum) == _ours(text, own, setting, datum)


@pytest.mark.parametrize("word", [*SPELLINGS, *ODD_UNITS])
def test_every_unit_and_every_wrong_one_is_taken_alike(browser: Ask, word: str) -> None:
    """Each spelling of each unit, and each wrong one with the nearest right spelling."""
    for own in ("in", "lb-ft", "degF", "deg"):
        text = f"12.5 {word}"
        assert _theirs(browser, text, own, "", "") == _ours(text, own, "", "")


@pytest.mark.parametrize(
    "text",
    [
        "9" * 300,
        "9" * 301,
        "9" * 20000 + " in",
        "1 in" + " " * 20000 + "x",
        "1/" * 9999,
        "(" * 5000,
        "🔧" * 200,
    ],
    ids=["just short enough", "a digit more", "digits", "blanks", "fractions", "brackets", "pictures"],
)
def test_text_without_end_is_refused_alike_and_at_once(browser: Ask, text: str) -> None:
    """Twenty thousand characters in a box are refused, not searched for seconds; 300 are enough."""
    start = monotonic()

    ours, theirs = _ours(text, "in", "", ""), _theirs(browser, text, "in", "", "")

    assert theirs == ours
    assert ("too long" in str(ours["refused"])) == (len(text) > LONGEST)
    assert monotonic() - start < 1

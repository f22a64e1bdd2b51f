"""Limits of the sheet in a box, as a job's file writes them: the page reads them as the command line does."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from builder.citation import split_citations
from builder.limit import Form, read_limit
from builder.manual import Manual
from builder.model.spec import LIMIT_KINDS

Ask = Callable[[dict[str, Any]], Any]

LEFT_TO_THE_COMMAND_LINE = (
    "1 3/4 to 2 in",
    "2 to 1 in",
    "12 ± 2 deg BTDC",
    "same as new",
    "fit only",
    "0.0015",
    "0.0010 to 0.0020 inn",
    "2,4272 in max",
)


def here(text: str) -> dict[str, str | None]:
    """The bounds of a limit in base units, as the command line reads them."""
    limit = read_limit(split_citations(text)[0])
    low, high = (None if end is None else str(end) for end in (limit.low_base, limit.high_base))
    return {"low": low, "high": high}


@pytest.mark.parametrize(
    "text",
    [
        "0.0010 to 0.0020 in [shells sheet 1]",
        ".0010 to .0020 in",
        "2.500 ± 0.001 in [sheet p. 4] [bulletin 7]",
        "1.8750 +0.0000 -0.0005 in",
        "0.004 in max",
        "60 lbf min",
        "0.012 in exact",
        "70 to 75 lb-ft (95 to 101 N·m) [sheet 2]",
        "150 to 170 degF",
        "-0.002 to 0.004 in",
        "5 US gal/min min",
    ],
)
def test_usual_forms_are_read_alike(text: str, node: Ask) -> None:
    """A range, a tolerance, a maximum, a minimum, an exact size: the same bounds in page and command line."""
    assert node({"limit": text}) == here(text)


@pytest.mark.parametrize("text", LEFT_TO_THE_COMMAND_LINE)
def test_rare_and_faulty_forms_are_not_guessed(text: str, node: Ask) -> None:
    """What is not one of the usual forms is left to the command line: the page makes nothing of it."""
    assert node({"limit": text}) in (None, {"low": None, "high": None})


def test_nine_in_ten_printed_limits_are_of_a_usual_form(manual: Manual, node: Ask) -> None:
    """Of all limits of both families the page reads nine in ten, and none otherwise than they are."""
    texts = {
        str(cited.text)
        for _, _, row in manual.limit_rows()
        for kind in LIMIT_KINDS
        if (stated := getattr(row, kind)) is not None
        for cited in stated.every()
        if cited.value.form is not Form.NOMINAL
    }
    read = {text: found for text in sorted(texts) if (found := node({"limit": text})) is not None}

    assert {text: found for text, found in read.items() if found != here(text)} == {}
    assert len(read) >= 0.9 * len(texts)

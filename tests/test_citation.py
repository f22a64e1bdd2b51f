"""Citations at the end of a value."""

from __future__ import annotations

import pytest

from builder.citation import Citation, split_citations
from builder.diagnostics import Fault


@pytest.mark.parametrize(
    ("text", "body", "citations"),
    [
        ("0.0012 to 0.0022 in [manual p. 22]", "0.0012 to 0.0022 in", (Citation("manual", "p. 22", 20, 34),)),
        ("SAE 20 mineral [notes 2]", "SAE 20 mineral", (Citation("notes", "2", 15, 24),)),
        ("2-1-3 [m 3][notes 4] ", "2-1-3", (Citation("m", "3", 6, 11), Citation("notes", "4", 11, 20))),
        ("1 in [list]", "1 in", (Citation("list", "", 5, 11),)),
        ("0.00005 in [common practice]", "0.00005 in", (Citation("common practice", "", 11, 28),)),
        ("1 in [common practice, no source]", "1 in", (Citation("common practice", "no source", 5, 33),)),
        ("2 in (50.8 mm) [m 13, table 2]", "2 in (50.8 mm)", (Citation("m", "13, table 2", 15, 30),)),
        ("[notes 9]", "", (Citation("notes", "9", 0, 9),)),
        ("0.004 in max ", "0.004 in max", ()),
    ],
)
def test_citations_are_split_off(text: str, body: str, citations: tuple[Citation, ...]) -> None:
    """The value keeps its offsets; each citation knows its source, its place in it, and where it stands."""
    assert split_citations(text) == (body, citations)


@pytest.mark.parametrize(
    ("text", "message", "hint", "wrong"),
    [
        (
            "1 in [manual p. 41",
            "a citation's bracket has no partner",
            "close it, for example `[manual p. 41]`",
            "[manual p. 41",
        ),
        (
            "1 in manual p. 41]",
            "a citation's bracket has no partner",
            "close it, for example `[manual p. 41]`",
            "]",
        ),
        (
            "1 in []",
            "`[]` cites nothing",
            "write the source and the place, for example `[manual p. 41]`",
            "[]",
        ),
        ("1 [m 2] in", "`[m 2]` stands before the end of the value", "write the citation last", "[m 2]"),
        (
            "1 [m 2] in [m 3]",
            "`[m 2]` stands before the end of the value",
            "write the citation last",
            "[m 2]",
        ),
    ],
)
def test_misplaced_bracket_is_refused(text: str, message: str, hint: str, wrong: str) -> None:
    """A bracket that is open, empty or in the middle is a fault at its place."""
    with pytest.raises(Fault) as caught:
        split_citations(text)

    fault = caught.value
    assert (fault.message, fault.hint, text[fault.start : fault.end]) == (message, hint, wrong)


@pytest.mark.parametrize("text", ["1 in [manual p. 41]", "1 in [list]", "1 in [common practice]"])
def test_citation_is_shown_as_typed(text: str) -> None:
    """A citation prints as its brackets."""
    body, citations = split_citations(text)

    assert f"{body} {citations[0]}" == text

"""Diagnostics as text with excerpts, as lines, as JSON and as annotations; whole outputs are compared."""

from __future__ import annotations

import json
from textwrap import dedent

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.diagnostic_formats import (
    FORMATS,
    WIDEST,
    as_github,
    as_json,
    as_lines,
    as_text,
    lines_of,
    summary,
    written,
)
from builder.diagnostics import Diagnostic, Severity, Span

FILES = {
    "specs/engines/four.yaml": (
        "engine: four\n"
        "specs:\n"
        "  main.clearance:\n"
        "    kind: clearance\n"
        "    wear: 0.0010 in max [manual p. 22]\n"
    ),
    "procedures/crank/fit.yaml": "procedure: fit\nsteps:\n  - id: one\n    do: The nut is tightened.\n",
}
WEAR = Diagnostic(
    Span("specs/engines/four.yaml", 5, 11, 5, 24),
    "GL-215",
    "the wear limit `0.0010 in max` lies inside the new limit",
    hint="look at both values again",
)
VERB = Diagnostic(
    Span("procedures/crank/fit.yaml", 4, 9, 4, 12),
    "GL-701",
    "`The` is not what is to be done",
    Severity.WARNING,
    "begin with the verb",
)


def lines(path: str) -> list[str]:
    """The lines of an invented file; none of one that is not there."""
    return lines_of(FILES[path]) if path in FILES else []


def test_text_shows_the_lines_and_carets_under_the_words() -> None:
    """Two lines stand above the fault, a caret under each of its columns, and the hint beside them."""
    assert as_text([VERB, WEAR], lines) == dedent("""\
        warning[GL-701]: `The` is not what is to be done
         --> procedures/crank/fit.yaml:4:9
          |
        2 | steps:
        3 |   - id: one
        4 |     do: The nut is tightened.
          |         ^^^ begin with the verb

        error[GL-215]: the wear limit `0.0010 in max` lies inside the new limit
         --> specs/engines/four.yaml:5:11
          |
        3 |   main.clearance:
        4 |     kind: clearance
        5 |     wear: 0.0010 in max [manual p. 22]
          |           ^^^^^^^^^^^^^ look at both values again

        1 error and 1 warning in 2 files
    """)


def test_lines_hold_place_code_message_and_hint() -> None:
    """The short form is one line for each diagnostic and one for its hint."""
    assert as_lines([VERB, WEAR]) == dedent("""\
        procedures/crank/fit.yaml:4:9: GL-701 `The` is not what is to be done
            begin with the verb
        specs/engines/four.yaml:5:11: GL-215 the wear limit `0.0010 in max` lies inside the new limit
            look at both values again
    """)


def test_json_holds_everything_a_program_needs() -> None:
    """The counts and the whole span of every diagnostic are there."""
    said = json.loads(as_json([VERB, WEAR]))

    assert {key: said[key] for key in ("errors", "warnings")} == {"errors": 1, "warnings": 1}
    assert said["diagnostics"][1] == {
        "path": "specs/engines/four.yaml",
        "line": 5,
        "column": 11,
        "end_line": 5,
        "end_column": 24,
        "code": "GL-215",
        "severity": "error",
        "message": "the wear limit `0.0010 in max` lies inside the new limit",
        "hint": "look at both values again",
    }


def test_github_form_is_one_annotation_a_line() -> None:
    """A code host shows each diagnostic beside its line."""
    assert as_github([VERB]) == (
        "::warning file=procedures/crank/fit.yaml,line=4,col=9,endLine=4,endColumn=12,title=GL-701"
        "::`The` is not what is to be done; begin with the verb\n"
    )


def test_github_form_escapes_what_would_end_it() -> None:
    """Per cents, line ends, colons and commas of a path or a message do not end the annotation."""
    odd = Diagnostic(Span("a,b:c.yaml", 1, 1, 2, 1), "GL-104", "`5 %\n` is odd")

    assert as_github([odd]) == (
        "::error file=a%2Cb%3Ac.yaml,line=1,col=1,endLine=2,title=GL-104::`5 %25%0A` is odd\n"
    )


def test_fault_over_several_lines_is_marked_on_its_first() -> None:
    """The carets run to the end of the first line of the fault."""
    long = Diagnostic(Span("procedures/crank/fit.yaml", 2, 1, 4, 3), "GL-103", "`steps`: a list belongs here")

    assert as_text([long], lines) == dedent("""\
        error[GL-103]: `steps`: a list belongs here
         --> procedures/crank/fit.yaml:2:1
          |
        1 | procedure: fit
        2 | steps:
          | ^^^^^^

        1 error in 1 file
    """)


def test_fault_of_a_file_that_cannot_be_read_has_no_excerpt() -> None:
    """Where there are no lines to show, place and hint are still there."""
    place = Span("specs/gone.yaml", 1, 1, 1, 2)
    gone = Diagnostic(place, "GL-001", "`specs/gone.yaml` cannot be opened", hint="look")

    assert as_text([gone], lines) == dedent("""\
        error[GL-001]: `specs/gone.yaml` cannot be opened
          --> specs/gone.yaml:1:1
           = look

        1 error in 1 file
    """)


def test_long_line_is_cut_round_the_fault() -> None:
    """Of a line that fits no screen the part with the fault is shown."""
    far = Diagnostic(Span("long.yaml", 1, 1001, 1, 1005), "GL-104", "`here` is odd")
    row = "x" * 1000 + "here" + "y" * 1000

    shown = as_text([far], lambda _: [row]).splitlines()

    assert len(shown[3]) <= WIDEST + len("1 | ")
    assert shown[3][shown[4].index("^") : shown[4].rindex("^") + 1] == "here"


def test_control_characters_reach_no_terminal() -> None:
    """A character that would move the cursor is shown as a blank and keeps its column."""
    odd = Diagnostic(Span("odd.yaml", 1, 4, 1, 5), "GL-104", "odd")

    assert as_text([odd], lambda _: ["a\x1b[2J\tb"]).splitlines()[3] == "1 | a [2J b"


@pytest.mark.parametrize(
    ("diagnostics", "words"),
    [
        ([], "no faults found"),
        ([WEAR], "1 error in 1 file"),
        ([WEAR, WEAR], "2 errors in 1 file"),
        ([VERB], "1 warning in 1 file"),
        ([WEAR, VERB, VERB], "1 error and 2 warnings in 2 files"),
    ],
)
def test_summary_counts_in_one_line(diagnostics: list[Diagnostic], words: str) -> None:
    """The last line counts errors, warnings and files."""
    assert summary(diagnostics) == words


def test_nothing_wrong_is_said_in_text_and_by_silence_elsewhere() -> None:
    """A clean manual gives one friendly line, no lines, an empty list and no annotations."""
    assert as_text([], lines) == "no faults found\n"
    assert as_lines([]) == ""
    assert as_github([]) == ""
    assert json.loads(as_json([])) == {"errors": 0, "warnings": 0, "diagnostics": []}


@pytest.mark.parametrize("form", FORMATS)
def test_every_form_can_be_asked_for_by_name(form: str) -> None:
    """The names that the command line offers all write the diagnostic's code."""
    assert "GL-215" in written([WEAR], form, lines)


def test_lines_end_where_yaml_ends_them() -> None:
    """A next-line sign and a line separator end a line, so that numbers agree with the reader's."""
    assert lines_of("\ufeffa\r\nb\rc\nd\x85e\u2028f") == ["a", "b", "c", "d", "e", "f"]


@given(
    text=st.text(max_size=400),
    line=st.integers(0, 40),
    column=st.integers(1, 500),
    width=st.integers(0, 500),
    tall=st.integers(0, 3),
)
def test_any_span_over_any_text_is_written(text: str, line: int, column: int, width: int, tall: int) -> None:
    """No place and no text makes any of the forms fail, and the text form keeps one caret line at most."""
    one = Diagnostic(Span("f.yaml", line, column, line + tall, column + width), "GL-104", "odd", hint="look")

    for form in FORMATS:
        assert written([one], form, lambda _: lines_of(text))

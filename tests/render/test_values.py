"""Values as pages show them."""

from __future__ import annotations

import pytest

from builder.citation import COMMON_PRACTICE, Citation
from builder.limit import read_limit
from builder.manual import Manual
from builder.model.base import Text
from builder.quantity import read_quantity
from builder.render.values import (
    Cite,
    Measure,
    Shower,
    Value,
    citations,
    cite,
    measure,
    other,
    printed,
    quantity,
    rows_by_group,
)

HERE = "engines/tallow-four/specs.html"


def values(small: Manual, name: str) -> tuple[Value, ...]:
    """What a row of the small shop's family states."""
    engine = small.engines["tallow-four"]
    return Shower(small, engine, HERE).values(engine.specs[Text(name)])


def said(value: Value) -> str:
    """A value in one line: whose, where, both systems, remark."""
    parts = (value.label, value.place, str(value.shown), str(value.partner or ""), value.remark)
    return " | ".join(part for part in parts if part)


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("0.0015 to 0.0025 in", Measure("0.0015 to 0.0025", "in")),
        ("1.8750 +0.0000 -0.0005 in", Measure("1.8750 +0.0000 -0.0005", "in")),
        ("0.004 in max", Measure("0.004", "in", "max")),
        ("12 ± 2 deg BTDC", Measure("12 ± 2°", "", "BTDC")),
        ("10 deg BTDC max", Measure("10°", "", "BTDC max")),
        ("8 deg BTDC to 4 deg ATDC", Measure("8° BTDC to 4° ATDC", worded=True)),
        ("15 Fdeg max", Measure("15", "°F", "max")),
        ("2.0 inH2O max", Measure("2.0", "inH2O", "max")),
        ("6.00 ± 0.15 ratio", Measure("6.00 ± 0.15", ": 1")),
        ("10 count exact", Measure("10")),
        ("1 3/4 in exact", Measure("1 3/4", "in")),
        ("2½ thou", Measure("2½", "thou")),
        ("16 microinch max", Measure("16", "µin", "max")),
        ("-0.0005 to 0.0005 in", Measure("-0.0005 to 0.0005", "in")),
        ("7.4915 to 7.4935 in (190.284 to 190.335 mm)", Measure("7.4915 to 7.4935", "in")),
        ("same as new", Measure("same as new", worded=True)),
    ],
)
def test_value_as_typed_comes_apart_into_number_unit_and_bound(text: str, shown: Measure) -> None:
    """Digits stay as typed; the unit is printed as pages print it; `exact` goes without saying."""
    assert measure(text) == shown


def test_printed_metric_stands_before_a_converted_one() -> None:
    """Where a book prints both systems its own second value is shown; else the limit is converted inward."""
    assert str(other(read_limit("7.4915 to 7.4935 in (190.284 to 190.335 mm)"))) == "190.284 to 190.335 mm"
    assert str(other(read_limit("0.004 in max"))) == "0.10 mm max"
    assert other(read_limit("8 count exact")) is None


def test_unit_symbols_inside_words_are_printed_as_labels() -> None:
    """A condition says °F, not the symbol that files hold; other words stay as typed."""
    assert printed("68 degF, a turn of 90 deg, degFoo") == "68 °F, a turn of 90°, degFoo"


def test_quantity_is_told_in_both_systems() -> None:
    """A height at which a load is read has its partner in brackets; a speed has none."""
    assert quantity(read_quantity("1.750 in")) == "1.750 in (44.45 mm)"
    assert quantity(read_quantity("1400 rpm")) == "1400 rpm"


def test_limits_of_a_row_stand_in_the_order_in_which_they_count(small: Manual) -> None:
    """What decides comes first, the aim after it, the wear limit last with its warning."""
    shown = values(small, "main.clearance")

    assert [said(value) for value in shown] == [
        "new | 0.0012 to 0.0022 in | 0.031 to 0.055 mm",
        "aim | 0.0015 to 0.0018 in | 0.039 to 0.045 mm",
        "wear limit | 0.0040 in max | 0.101 mm max | only for a part left untouched",
    ]
    assert [value.decides for value in shown] == [True, False, False]


@pytest.mark.parametrize(
    ("name", "lines"),
    [
        (
            "main.bore",
            [
                "new | 1.8757 to 1.8762 in | 47.643 to 47.655 mm",
                (
                    "new | 1.8756 to 1.8762 in | 47.641 to 47.655 mm"
                    " | another source prints this; the first is in force"
                ),
            ],
        ),
        (
            "bore.size",
            [
                "new | grade a | 3.1560 to 3.1565 in | 80.163 to 80.175 mm",
                "new | grade b | 3.1565 to 3.1570 in | 80.176 to 80.187 mm",
            ],
        ),
        (
            "cam.journal",
            [
                "new | main 1 | 2.1235 to 2.1245 in | 53.937 to 53.962 mm",
                "new | main 2 | 2.0925 to 2.0935 in | 53.150 to 53.174 mm",
            ],
        ),
        ("engine.firing_order", ["new | 1-2-4-3"]),
        ("bore.oversizes", ["supplier | 0.010, 0.020 in | 0.25, 0.51 mm"]),
        ("spark.advance", ["new | 0° at 700 rpm, 8° at 1400 rpm"]),
        ("run_in.stages", ["stage 1 | 1000 rpm, 30 min", "stage 2 | 1200 rpm, 45 min"]),
        ("bore.crosshatch", ["Lines cross at 40 to 50°"]),
        ("oil.run_in", ["shop | SAE 20 mineral"]),
        ("cam.end_float", []),
    ],
)
def test_every_sort_of_row_says_what_it_states(small: Manual, name: str, lines: list[str]) -> None:
    """Sources that disagree, grades, positions, orders, steps, curves, stages, things seen, words."""
    assert [said(value) for value in values(small, name)] == lines


def test_citation_leads_to_its_source(small: Manual) -> None:
    """A family's own source stands on its list, a shared one and common practice on the shared list."""
    engine = small.engines["tallow-four"]

    assert cite(small, engine, Citation("manual", "p. 22", 0, 0), HERE) == Cite(
        "manual p.\u00a022", "Tallow Four instruction book (invented), 1930, p. 22", "sources.html#manual"
    )
    assert (
        cite(small, engine, Citation("safety", "lead rule", 0, 0), HERE).href == "../../sources.html#safety"
    )
    assert cite(small, engine, Citation(COMMON_PRACTICE, "", 0, 0), HERE) == Cite(
        "common practice", "Common practice, no source", "../../sources.html#common-practice"
    )


def test_citations_of_a_row_say_what_is_cited(small: Manual) -> None:
    """A torque cites its value, its order and its rounds."""
    row = small.engines["tallow-four"].specs[Text("main_cap.torque")]

    found = [(cited_as, citation.locator) for cited_as, citation in citations(row)]

    assert found == [("new", "p. 24"), ("order", "p. 24"), ("rounds", "p. 24")]


def test_rows_stand_in_the_groups_of_their_codes(small: Manual) -> None:
    """Groups have the order of the trade; a row with a code of no group stands at the end."""
    groups = {prefix: len(rows) for prefix, rows in rows_by_group(small.engines["tallow-four"])}

    assert list(groups) == ["GEN", "BLK", "CRK", "PIS", "CAM", "VLV", "IGN", "FAS", "RUN", ""]
    assert list(groups.values()) == [2, 3, 3, 1, 2, 1, 1, 2, 1, 1]

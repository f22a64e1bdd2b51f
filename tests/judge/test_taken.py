"""Readings in their blanks: what was typed, its gauge, its uncertainty."""

from __future__ import annotations

import json
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from builder.judge import JudgedSheet
from builder.judge.taken import uncertainty
from builder.manual import Manual
from builder.units import UNITS

Json = dict[str, Any]
Judge = Callable[[Json, Json | None, str], JudgedSheet]

CLEAN = Path(__file__).parents[1] / "vectors" / "judge" / "mains-clean.json"
INCH = UNITS["in"].factor


@pytest.fixture
def case() -> Json:
    """The clean job with nothing but its first journal reading."""
    found: Json = json.loads(CLEAN.read_text("utf-8"))
    found["sheet"]["readings"] = found["sheet"]["readings"][:1]
    return found


def first(judged: Judge, case: Json, **changed: str) -> tuple[str, list[str], tuple[str, ...]]:
    """The first reading, changed, as it is judged: verdict, flags, reasons."""
    case["sheet"]["readings"][0].update(changed)
    of = judged(case["sheet"], case["job"], "final")
    one = next(one for one in of.judgements if one.name == "journal")
    return str(one.verdict), [str(flag) for flag in one.flags], one.reasons


@pytest.mark.parametrize(
    ("typed", "unit", "setting"),
    [
        ("2.6138", "in", ""),
        ("2.6138 in", "in", ""),
        ("66.39 mm", "in", ""),
        ("66.39", "mm", ""),
        ("+8", "in", "2.6130 in"),
        ("+7½", "in", "2.6130 in"),
    ],
)
def test_reading_is_read_in_any_form_of_the_trade(
    typed: str, unit: str, setting: str, judged: Judge, case: Json
) -> None:
    """Inches, millimetres, tenths over a set size: each stands for the same journal."""
    assert first(judged, case, typed=typed, unit=unit, setting=setting) == ("in", [], ())


@pytest.mark.parametrize(
    ("typed", "reason"),
    [
        ("2,6138", "`2,6138` has a comma for a decimal point"),
        ("2.6138 lb-ft", "`lb-ft` is a unit of torque but length is read here"),
        ("+8", "`+8` counts from a set size, but the gauge has no setting"),
        ("tight", "`tight` is not a number"),
    ],
)
def test_what_cannot_be_read_is_not_read_and_says_why(
    typed: str, reason: str, judged: Judge, case: Json
) -> None:
    """A refused entry is no pass: not read, with the words of the refusal."""
    assert first(judged, case, typed=typed) == ("not read", [], (reason,))


@pytest.mark.parametrize(
    ("day", "flags"), [("2026-09-30", []), ("2026-10-01", ["suspect"]), ("2026-09-29", [])]
)
def test_gauge_is_in_date_on_its_due_day(day: str, flags: list[str], judged: Judge, case: Json) -> None:
    """A gauge may be used up to and on the day it is due."""
    assert first(judged, case, when=f"{day}T23:59:00Z")[1] == flags


def test_gauge_set_by_a_stale_one_is_suspect(judged: Judge, case: Json) -> None:
    """The chain of settings is followed: a gauge is as good as what it was set to."""
    case["job"]["gauges"] = {
        "OM-9": {"instrument": "outside_micrometer", "due": "2027-01-01", "set_to": "STD-4"},
        "STD-4": {"instrument": "outside_micrometer", "due": "2026-01-01"},
    }

    _, flags, reasons = first(judged, case, gauge="OM-9")

    assert flags == ["suspect"]
    assert reasons == ("STD-4, which set OM-9, was due on 2026-01-01 and was used on 2026-03-16",)


def test_gauges_that_set_one_another_end(judged: Judge, case: Json) -> None:
    """Two gauges written down as set by each other are followed once round."""
    case["job"]["gauges"] = {
        "A": {"instrument": "outside_micrometer", "due": "2027-01-01", "set_to": "B"},
        "B": {"instrument": "outside_micrometer", "due": "2027-01-01", "set_to": "A"},
    }

    assert first(judged, case, gauge="A") == ("in", [], ())


def test_uncertainty_is_the_instruments_own(manual: Manual) -> None:
    """U stands in the instrument's unit; one that states none has none."""
    assert uncertainty(manual, "outside_micrometer", INCH) == Fraction("0.00005") * INCH
    assert uncertainty(manual, "vee_blocks", INCH) == 0
    assert uncertainty(manual, "no such thing", INCH) == 0


def test_uncertainty_of_a_clearance_is_the_root_of_the_squares(judged: Judge) -> None:
    """Bore 0.00007 in and journal 0.00005 in together: U squared is 0.00007² + 0.00005² in²."""
    found: Json = json.loads(CLEAN.read_text("utf-8"))

    of = judged(found["sheet"], found["job"], "final")

    least = next(one for one in of.judgements if one.end == "least" and one.at["main"] == "1")
    assert least.spread == (Fraction("0.00007") ** 2 + Fraction("0.00005") ** 2) * INCH**2

"""The mains of two printed jobs (invented): every clearance, verdict and flag as the record prints it."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from builder.judge import JudgedSheet
from builder.number import show_number
from builder.units import UNITS

Json = dict[str, Any]
Judge = Callable[[Json, Json | None, str], JudgedSheet]

VECTORS = Path(__file__).parents[1] / "vectors" / "judge"
NAMES = (("clearance", "least"), ("clearance", "most"), ("out_of_round", ""), ("taper", ""))


def printed(name: str) -> Json:
    """A printed job as its file holds it."""
    case: Json = json.loads((VECTORS / f"{name}.json").read_text("utf-8"))
    return case


def inches(value: Fraction | None) -> str | None:
    """A length as the record prints it."""
    return None if value is None else show_number(UNITS["in"].from_base(value), 4)


def rows(of: JudgedSheet) -> Iterator[list[str | None]]:
    """Each main: least and most clearance, out-of-round, taper, and the worst verdict in one word."""
    mains = sorted({str(one.at["main"]) for one in of.judgements if one.name == "clearance"})
    for main in mains:
        found = [
            next(one for one in of.judgements if (one.name, one.end) == name and one.at.get("main") == main)
            for name in NAMES
        ]
        verdicts = [str(one.verdict) for one in found]
        worst = next((verdict for verdict in ("out", "not read") if verdict in verdicts), "in")
        yield [main, *(inches(one.value) for one in found), "suspect" if worst == "not read" else worst]


@pytest.mark.parametrize("name", ["mains-clean", "mains-faulty"])
def test_every_clearance_and_verdict_is_the_printed_one(name: str, judged: Judge) -> None:
    """Clearance, out-of-round, taper and verdict of each main are those that the record prints."""
    case = printed(name)

    of = judged(case["sheet"], case["job"], case["stage"])

    assert list(rows(of)) == case["expected"]


def test_clean_mains_carry_no_flag(judged: Judge) -> None:
    """Nothing of the clean job is out, suspect, near an edge or beside its aim."""
    case = printed("mains-clean")

    of = judged(case["sheet"], case["job"], case["stage"])

    flagged = [one for one in of.judgements if one.value is not None and (one.flags or one.verdict == "out")]
    assert (flagged, of.corrections) == ([], ())


def test_wear_limit_does_not_save_a_rebuilt_main(judged: Judge) -> None:
    """Main 3 at 0.0036 in is over 0.0025 new; that it is under the wear limit of 0.0045 changes nothing."""
    case = printed("mains-faulty")

    of = judged(case["sheet"], case["job"], case["stage"])

    most = next(one for one in of.judgements if one.end == "most" and one.at["main"] == "3")
    assert (str(most.verdict), most.decision.by.kind if most.decision.by else "") == ("out", "new")


def test_reading_a_size_step_off_is_named_and_worked_into_nothing(judged: Judge) -> None:
    """Main 4 reads 0.0200 in over its mates: suspect by that step, and no clearance is made of it."""
    case = printed("mains-faulty")

    of = judged(case["sheet"], case["job"], case["stage"])

    slips = [one for one in of.judgements if any("size step" in reason for reason in one.reasons)]
    reading, *worked = slips
    assert (inches(reading.value), reading.at["main"], reading.at["axis"]) == ("2.4998", "4", "A")
    assert reading.reasons[0] == "it is exactly the size step 0.020 in over its mates"
    assert {one.value for one in worked} == {None}
    assert {one.at["main"] for one in worked} == {"4"}


def test_gauge_past_its_date_makes_every_reading_suspect(judged: Judge) -> None:
    """Due on 12 March, used on the 19th: what it read is suspect, and what the gauge it set read."""
    case = printed("mains-faulty")

    of = judged(case["sheet"], case["job"], case["stage"])

    read = [one for one in of.judgements if one.value is not None]
    assert {tuple(map(str, one.flags)) for one in read} == {("suspect",)}
    late = "was due on 2026-03-12 and was used on 2026-03-19"
    assert {reason for one in read for reason in one.reasons if "due" in reason} == {
        f"OM-23 {late}",
        f"OM-23, which set BG-08, {late}",
    }


def test_no_amount_is_told_from_suspect_readings(judged: Judge) -> None:
    """Main 3 has its correction, one leaf out of each side, and no amount while its gauge is not trusted."""
    case = printed("mains-faulty")

    (found,) = judged(case["sheet"], case["job"], case["stage"]).corrections

    assert (dict(found.at), found.amount) == ({"main": "3"}, None)


def test_amount_is_told_once_the_gauge_is_in_date(judged: Judge) -> None:
    """With the gauge in date on its due day the same main is told its leaf of 0.002 in."""
    case = printed("mains-faulty")
    case["job"]["gauges"]["OM-23"]["due"] = "2026-03-19"

    (found,) = judged(case["sheet"], case["job"], case["stage"]).corrections

    assert inches(found.amount) == "0.0020"


def test_order_of_the_readings_does_not_matter(judged: Judge) -> None:
    """A sheet typed in backwards is judged the same."""
    case = printed("mains-faulty")
    backwards = {**case["sheet"], "readings": case["sheet"]["readings"][::-1]}

    ways = [judged(sheet, case["job"], case["stage"]).judgements for sheet in (case["sheet"], backwards)]

    assert ways[0] == ways[1]


def test_later_try_stands_and_the_earlier_one_stays_out_of_it(judged: Judge) -> None:
    """A reading taken again after work is judged by its latest try."""
    case = printed("mains-faulty")
    again = {**case["sheet"]["readings"][13], "try": 2, "typed": "2.4798"}
    case["sheet"]["readings"].append(again)

    of = judged(case["sheet"], case["job"], case["stage"])

    most = next(one for one in of.judgements if one.end == "most" and one.at["main"] == "4")
    assert (inches(most.value), str(most.verdict)) == ("0.0021", "in")


def test_reading_as_found_takes_no_size_step(judged: Judge) -> None:
    """As found the journals are held against the standard size, whatever the job will be ground to."""
    case = printed("mains-clean")
    for reading in case["sheet"]["readings"]:
        reading["stage"] = "as_found"

    of = judged(case["sheet"], case["job"], "as_found")

    journal = next(one for one in of.judgements if one.name == "journal" and one.value is not None)
    low = journal.decision.by.low if journal.decision.by else None
    assert (inches(low), str(journal.verdict)) == ("2.6235", "out")

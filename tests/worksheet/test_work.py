"""What is typed into a worksheet and what comes out: exact values, or a sentence that says why not."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builder.model.worksheet import Shown, Worksheet
from builder.units import UNITS
from builder.worksheet import work, written
from builder.worksheet.work import decimals_of, partner_decimals


def _outcome(worksheet: Worksheet, **given: str) -> list[str]:
    """Every step as text."""
    return [line.text for line in work(worksheet, given).lines]


def test_steps_follow_one_another(sample: Worksheet) -> None:
    """Each step uses the ones before, in any unit that measures the same; a blank input takes its default."""
    assert _outcome(sample, bore="3 1/2", stroke="114.3 mm") == ["709.48 cc", "11.007"]
    assert _outcome(sample, bore="3.5 in", stroke="4.5", clearance="") == ["709.48 cc", "11.007"]


def test_answer_is_the_last_step_in_both_systems(sample: Worksheet) -> None:
    """709.48 cc is 43.295 cubic inches; a ratio has no other system."""
    worked = work(sample, {"bore": "3.5", "stroke": "4.5"})

    assert [(line.name, line.partner) for line in worked.lines] == [("swept", "43.295 cu in"), ("ratio", "")]
    assert worked.answer == worked.lines[-1]


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ({}, "`bore` is not typed yet"),
        ({"bore": " ", "stroke": "4"}, "`bore` is not typed yet"),
        ({"bore": "3,5", "stroke": "4"}, "`bore`: `3,5` has a comma for a decimal point"),
        ({"bore": "3.5", "stroke": "4 lb"}, "`stroke`: `lb` is a unit of mass but length is read here"),
        (
            {"bore": "3.5", "stroke": "4", "clearance": "0"},
            "`(swept + clearance) / clearance` divides by zero",
        ),
        (
            {"bore": "3.5", "stroke": "4 ATDC"},
            "`stroke`: `ATDC` says from where, but here only the degrees count",
        ),
        (
            {"bore": "999999999", "stroke": "999999999"},
            "`swept` comes out too large to be true: look at what was typed",
        ),
    ],
)
def test_what_has_no_answer_says_why(sample: Worksheet, typed: dict[str, str], why: str) -> None:
    """Nothing is raised at the bench: the first thing that is wrong is said, with every later step too."""
    worked = work(sample, typed)

    assert (worked.answer.value, worked.answer.text) == (None, why)


def test_unknown_names_are_handed_back(sample: Worksheet) -> None:
    """A name that the worksheet has not is neither used nor lost."""
    assert work(sample, {"bor": "3.5"}).strange == ("bor",)


def test_list_is_in_the_unit_of_its_last(odd: tuple[Worksheet, ...]) -> None:
    """`0.25, 0.50 mm` are millimetres; a list is looked up in, or gathered over its items."""
    sizes = odd[0]
    worked = work(
        sizes, {"largest": "3.1992 in", "offered": "0.25, 0.50 mm", "readings": "1.000, 1.002, 1.001"}
    )

    assert [line.text for line in worked.lines] == [
        "0.0217 in",
        "`first_at_least(offered, needed)` finds no listed size large enough",
        "0.0197 in",
        "2.00 thou",
        "0.2 %",
    ]


def test_angle_is_told_from_its_own_dead_centre(odd: tuple[Worksheet, ...]) -> None:
    """A valve that opens 5 degrees after the centre opens -5 before it; the duration is shorter for it."""
    angles = odd[1]
    rest = {"swing": "30", "cold": "68", "rise": "18"}

    assert _outcome(angles, opens="10", closes="50", **rest)[0] == "240.0°"
    assert _outcome(angles, opens="10 BTDC", closes="50 deg ABDC", **rest)[0] == "240.0°"
    assert _outcome(angles, opens="5 ATDC", closes="50", **rest)[0] == "225.0°"
    assert work(angles, {"opens": "5 ATDC"}).entries[0].read[0].text == "-5 deg"


def test_temperature_is_not_a_difference(odd: tuple[Worksheet, ...]) -> None:
    """68 °F and 18 degrees of rise are 86 °F; one typed for the other is refused, kelvin is either."""
    angles = odd[1]
    rest = {"opens": "1", "closes": "1", "swing": "30"}

    assert _outcome(angles, cold="68", rise="18", **rest)[1:3] == ["86 °F", "18 °F"]
    assert _outcome(angles, cold="20 degC", rise="10 Cdeg", **rest)[1:3] == ["86 °F", "18 °F"]
    assert _outcome(angles, cold="68", rise="18 degF", **rest)[1] == (
        "`rise`: `degF` is a temperature but a difference of temperatures is wanted"
    )
    assert _outcome(angles, cold="68 Fdeg", rise="18", **rest)[1] == (
        "`cold`: `Fdeg` is a difference of temperatures but a temperature is wanted"
    )
    assert _outcome(angles, cold="300 K", rise="0 K", **rest)[1] == "80 °F"


def test_root_and_sine_are_marked(odd: tuple[Worksheet, ...]) -> None:
    """What a sine lies behind says so; what is exact does not."""
    worked = work(odd[1], {"opens": "1", "closes": "1", "swing": "30", "cold": "68", "rise": "1"})

    assert [line.approximate for line in worked.lines] == [False, False, False, True, False]
    assert worked.lines[3].text == "0.500000000"
    assert worked.answer.text == "`steep` comes out too large to be true: look at what was typed"


@pytest.mark.parametrize(
    ("unit", "decimals"),
    [("in", 4), ("mm", 3), ("thou", 1), ("cc", 2), ("lb-ft", 1), ("psi", 1), ("ratio", 3), ("percent", 1),
     ("deg", 1), ("rpm", 0), ("ft/min", 0), ("count", 0), ("ohm", 3)],
)  # fmt: skip
def test_result_has_the_digits_that_a_shop_cares_about(unit: str, decimals: int) -> None:
    """A tenth of a thou, a tenth of a pound-foot; what the worksheet says itself comes first."""
    assert decimals_of(Shown(UNITS[unit])) == decimals
    assert decimals_of(Shown(UNITS[unit], 7)) == 7


@pytest.mark.parametrize(
    ("unit", "decimals", "other", "places"),
    [
        ("in", 4, "mm", 3),
        ("mm", 3, "in", 4),
        ("cc", 2, "cu in", 3),
        ("psi", 1, "kPa", 0),
        ("lb-ft", 1, "N·m", 1),
    ],
)
def test_other_system_shows_no_more_than_is_known(unit: str, decimals: int, other: str, places: int) -> None:
    """Four decimals of an inch are three of a millimetre."""
    assert partner_decimals(Shown(UNITS[unit], decimals), UNITS[other]) == places


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [("1/500", "in", "0.0020 in"), ("73", "deg", "73.0000°"), ("8.5756", "ratio", "8.5756"),
     ("4", "count", "4.0000"), ("25", "percent", "25.0000 %"), ("68", "degF", "68.0000 °F")],
)  # fmt: skip
def test_value_is_written_as_a_page_prints_it(value: str, unit: str, text: str) -> None:
    """A ratio and a count stand alone, degrees touch their number."""
    assert written(Fraction(value), UNITS[unit], 4) == text


def test_no_text_stops_a_worksheet(sample: Worksheet, odd: tuple[Worksheet, ...]) -> None:
    """Whatever is typed, every step has a value or a reason."""

    @settings(deadline=None, max_examples=300, suppress_health_check=list(HealthCheck))
    @given(st.data())
    def holds(data: st.DataObject) -> None:
        worksheet = data.draw(st.sampled_from([sample, *odd]))
        typed = {str(name): data.draw(st.text(max_size=20)) for name in worksheet.inputs}
        for line in work(worksheet, typed).lines:
            assert (line.value is None) == bool(line.why)
            assert line.text

    holds()

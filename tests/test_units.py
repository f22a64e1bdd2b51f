"""Units: exact factors held against published ones and against pint, and the spellings people type."""

from __future__ import annotations

import subprocess
import sys
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

import builder
from builder import dimension as dim
from builder.diagnostics import Fault
from builder.dimension import Dimension
from builder.unit_table import ROWS
from builder.units import IDENTIFIERS, SPELLINGS, UNITS, compare_with_pint, main, partner, unit

SP811 = {
    # NIST SP 811 (2008), Appendix B.8 and B.9, factors as printed, to seven figures
    "lbf": "4.448222",
    "psi": "6.894757E+03",
    "inHg": "3.386389E+03",
    "mmHg": "1.333224E+02",
    "inH2O": "2.490889E+02",
    "hp": "7.456999E+02",
    "PS": "7.354988E+02",
    "kgf": "9.80665",
    "ozf": "2.780139E-01",
    "oz": "2.834952E-02",
    "lb": "4.535924E-01",
    "US gal": "3.785412E-03",
    "UK gal": "4.54609E-03",
    "thou": "2.54E-05",
    "microinch": "2.54E-08",
}


def half_of_last_place(printed: str) -> Fraction:
    """What a printed number may be off by rounding alone."""
    exponent = Decimal(printed).as_tuple().exponent
    return Fraction(10) ** int(exponent) / 2


@pytest.mark.parametrize(("symbol", "printed"), SP811.items())
def test_factor_is_the_published_one(symbol: str, printed: str) -> None:
    """Rounded to the figures that NIST SP 811 prints, each factor is the one that it prints."""
    assert abs(UNITS[symbol].factor - Fraction(printed)) <= half_of_last_place(printed)


@pytest.mark.parametrize(
    ("many", "one", "factor"),
    [
        ("lb-ft", "N·m", "1.3558179483314"),  # computed with pint 0.25.3
        ("lb-in", "N·m", "0.1129848290276167"),  # computed with pint 0.25.3
        ("lbf/in", "N/mm", "0.175126835246"),  # computed with pint 0.25.3
        ("oz-in", "g-mm", "720.077887375"),  # computed with pint 0.25.3
        ("kgf-m", "lb-ft", "7.2330138512"),  # computed with pint 0.25.3
        ("lb/hp-h", "g/kW-h", "608.27738784"),  # computed with pint 0.25.3
        ("cu in", "cc", "16.387064"),  # exact by definition of the inch
        ("ozf-in", "N·m", "0.007061552"),  # from memory
        ("um", "microinch", "39.37008"),  # ISO 1302 tables, 1 µm = 39.37008 microinch
    ],
)
def test_factor_between_units_is_the_computed_one(many: str, one: str, factor: str) -> None:
    """The ratio of two factors agrees with the one computed elsewhere, to its last figure."""
    ratio = UNITS[many].factor / UNITS[one].factor

    assert abs(ratio - Fraction(factor)) <= Fraction(1, 10 ** len(factor.split(".")[1]))


def test_every_factor_agrees_with_pint() -> None:
    """Worked out by pint in exact rationals, no factor and no offset differs."""
    assert compare_with_pint() == []


def test_table_check_reports_and_exits_clean(capsys: pytest.CaptureFixture[str]) -> None:
    """`python -m builder.units` says how many units it compared."""
    assert main() == 0
    assert capsys.readouterr().out == f"{len(UNITS)} units, 0 differ\n"


def test_pint_is_not_loaded_to_look_a_unit_up() -> None:
    """Pint is slow to load, so looking a unit up does without it."""
    code = "import sys, builder.limit, builder.conversion; sys.exit('pint' in sys.modules)"
    root = Path(builder.__file__).parent.parent

    assert subprocess.run([sys.executable, "-c", code], cwd=root, check=False).returncode == 0


@pytest.mark.parametrize(
    ("reading", "symbol", "kelvin"),
    [("77", "degF", "298.15"), ("25", "degC", "298.15"), ("32", "degF", "273.15"), ("-40", "degF", "233.15")],
)
def test_temperature_has_an_offset(reading: str, symbol: str, kelvin: str) -> None:
    """77 °F is 25 °C is 298.15 K (computed with pint 0.25.3)."""
    assert UNITS[symbol].to_base(Fraction(reading)) == Fraction(kelvin)
    assert UNITS[symbol].from_base(Fraction(kelvin)) == Fraction(reading)


def test_temperature_difference_has_no_offset() -> None:
    """A difference of 18 °F is one of 10 °C: never through the offset."""
    assert UNITS["Fdeg"].to_base(Fraction(18)) == UNITS["Cdeg"].to_base(Fraction(10))


@pytest.mark.parametrize(
    ("typed", "symbol"),
    [
        ("inch", "in"), ("inches", "in"), ("tenths", "tenth"), ("mil", "thou"), ("µin", "microinch"),
        ("µm", "um"), ("μm", "um"), ("micron", "um"), ("N-m", "N·m"), ("Nm", "N·m"), ("ft-lb", "lb-ft"),
        ("lbf-ft", "lb-ft"), ("°F", "degF"), ("°", "deg"), ("%", "percent"), ("Ω", "ohm"), ("µF", "uF"),
        ("cm3", "cc"), ("cu cm", "cc"), ("in³", "cu in"), ("lb/sq in", "psi"), ("lbs", "lb"), ("hours", "h"),
    ],
)  # fmt: skip
def test_spelling_finds_its_unit(typed: str, symbol: str) -> None:
    """What people type finds the unit of the list."""
    assert unit(typed) is UNITS[symbol]


@pytest.mark.parametrize(
    ("typed", "message", "hint"),
    [
        ("PSI", "`PSI` is not a unit of the list", "write `psi`"),
        ("inn", "`inn` is not a unit of the list", "write `in`"),
        ("lbs-ft", "`lbs-ft` is not a unit of the list", "write `lb-ft`"),
        ("degf", "`degf` is not a unit of the list", "write `degF`"),
        ("newtons", "`newtons` is not a unit of the list",
         "write a unit such as `in`, `mm`, `lb-ft` or `psi`"),
        ("qt", "`qt` may mean more than one unit", "write `US qt` or `UK qt`"),
        ("F", "`F` may mean more than one unit",
         "write `degF` for a temperature, `Fdeg` for a difference, `uF` for a capacitance"),
        ("cu  in", "`cu  in` has blanks where a unit has none", "write `cu in`"),
        ('"', '`"` may mean more than one unit', "write `in`"),
        ("", "`` is not a unit of the list", "write a unit such as `in`, `mm`, `lb-ft` or `psi`"),
    ],
)  # fmt: skip
def test_unknown_unit_names_the_nearest(typed: str, message: str, hint: str) -> None:
    """A unit outside the list is refused with the right spelling of the nearest."""
    with pytest.raises(Fault) as caught:
        unit(typed)

    assert (caught.value.message, caught.value.hint) == (message, hint)


@pytest.mark.parametrize(
    ("typed", "dimension"),
    [
        ("cu in", dim.VOLUME), ("lb", dim.MASS), ("lbf", dim.FORCE), ("oz-in", dim.UNBALANCE),
        ("ozf-in", dim.TORQUE), ("rpm", dim.TURNING_SPEED), ("deg", dim.ANGLE), ("count", dim.COUNT),
        ("percent", dim.RATIO), ("min", dim.TIME), ("lbf/in", dim.SPRING_RATE), ("uF", dim.CAPACITANCE),
        ("V", dim.VOLTAGE), ("1/Fdeg", dim.EXPANSION), ("BTU/lb", dim.HEAT_VALUE),
    ],
)  # fmt: skip
def test_unit_measures_what_the_trade_means(typed: str, dimension: Dimension) -> None:
    """A pound is a mass, a pound-force a force, an ounce-inch an unbalance, an ounce-force-inch a torque."""
    assert unit(typed).dimension == dimension


def test_spelling_belongs_to_one_unit() -> None:
    """No spelling stands for two units."""
    assert len(SPELLINGS) == sum(len({row.symbol, *row.spellings}) for row in ROWS)


@pytest.mark.parametrize(
    ("own", "other"),
    [
        ("in", "mm"), ("lb-ft", "N·m"), ("psi", "kPa"), ("lbf", "N"), ("degF", "degC"), ("cu in", "cc"),
        ("microinch", "um"), ("lb", "kg"), ("US qt", "L"), ("lbf/in", "N/mm"), ("oz-in", "g-mm"),
        ("hp", "kW"), ("Fdeg", "Cdeg"), ("ft", "m"),
    ],
)  # fmt: skip
def test_partners_show_each_other(own: str, other: str) -> None:
    """Beside an inch unit a shop shows the metric one, and the other way round."""
    assert partner(UNITS[own]) is UNITS[other]
    assert partner(UNITS[other]) is UNITS[own]


def test_every_unit_of_one_system_has_a_partner() -> None:
    """Only units that both systems share stand alone; a partner measures the same in the other system."""
    alone = {symbol for symbol, own in UNITS.items() if partner(own) is None}
    pairs = [(own, other) for own in UNITS.values() if (other := partner(own))]

    assert alone == {symbol for symbol, own in UNITS.items() if own.system == "both"}
    assert all(own.dimension == other.dimension and own.system != other.system for own, other in pairs)


@pytest.mark.parametrize(
    ("name", "symbol"),
    [
        ("inch", "in"), ("mm", "mm"), ("lb_ft", "lb-ft"), ("N_m", "N·m"), ("lbf_per_in", "lbf/in"),
        ("minute", "min"), ("per_Fdeg", "1/Fdeg"), ("cu_in", "cu in"), ("US_gal_per_min", "US gal/min"),
    ],
)  # fmt: skip
def test_formula_has_a_name_for_a_unit(name: str, symbol: str) -> None:
    """A formula writes units as names; the words `in`, `min` and `count` it needs otherwise."""
    assert IDENTIFIERS[name] is UNITS[symbol]
    assert {"in", "min", "count"}.isdisjoint(IDENTIFIERS)


def test_every_unit_but_a_count_can_be_named_in_a_formula() -> None:
    """No unit is out of a formula's reach, except pieces, whose name is a function there."""
    assert {own.symbol for own in UNITS.values()} - {own.symbol for own in IDENTIFIERS.values()} <= {"count"}

"""Units against published values that the test of the table itself does not hold."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pint
import pytest

from builder.quantity import read_quantity
from builder.units import UNITS


@pytest.mark.parametrize(
    ("typed", "other", "printed"),
    [
        ("1013.25 hPa", "inHg", "29.92125558"),  # computed with pint 0.25.3
        ("60 degF", "degC", "15.5556"),  # computed with pint 0.25.3
        ("60 degF", "K", "288.7056"),  # computed with pint 0.25.3
        ("1 lbf", "N", "4.4482216"),  # computed with pint 0.25.3
        ("1 psi", "Pa", "6894.757293"),  # computed with pint 0.25.3
        ("1 hp", "W", "745.699872"),  # computed with pint 0.25.3
        ("1 hp", "W", "745.6999"),  # NIST SP 811 (2008) App. B.9, horsepower (550 ft·lbf/s)
        ("1 PS", "W", "735.4988"),  # NIST SP 811 (2008) App. B.9, horsepower (metric)
        ("1 BTU/lb", "kJ/kg", "2.326"),  # NIST SP 811 (2008) App. B.9, Btu (IT) per pound
        ("0.0016 in", "mm", "0.041"),  # TM 9-2815-260-24 p. 5-65, oil clearance
        ("0.0043 in", "mm", "0.109"),  # TM 9-2815-260-24 p. 5-65, oil clearance
        ("0.0016 in", "mm", "0.04064"),  # arithmetic
        ("0.0043 in", "mm", "0.10922"),  # arithmetic
        ("63 microinch", "um", "1.6002"),  # computed with pint 0.25.3
    ],
)
def test_quantity_in_another_unit_is_the_published_one(typed: str, other: str, printed: str) -> None:
    """To the printed digits."""
    value = UNITS[other].from_base(read_quantity(typed).base)
    exponent = int(Decimal(printed).as_tuple().exponent)

    assert abs(value - Fraction(printed)) <= Fraction(10) ** exponent / 2


@pytest.mark.parametrize(
    ("typed", "other", "misprint"),
    [
        ("0.010 in", "mm", "2.54"),  # TM 9-6115-604-34 table 1-4, a web transcription; ten times out
        ("0.6250 in", "mm", "18.875"),  # TM 9-6115-604-34 table 1-4, a web transcription; is 15.875
        ("12.050 in", "mm", "304.80"),  # TM 5-6115-593-34 Table 1-2, rod length; 304.80 mm is 12.000 in
        ("0.005 in", "mm", "0.15"),  # TM 10-4320-315-24 Table 3-3, valve clearance; 0.15 mm is 0.006 in
    ],
)
def test_published_misprint_does_not_agree(typed: str, other: str, misprint: str) -> None:
    """What the publication prints beside it is off by more than its rounding and that of the inches."""
    read = read_quantity(typed)
    low, high = (
        UNITS[other].from_base(read.base + sign * read.unit.factor / (2 * 10 ** (read.number.decimals or 0)))
        for sign in (-1, 1)
    )
    printed = Fraction(misprint)
    half = Fraction(10) ** int(Decimal(misprint).as_tuple().exponent) / 2

    assert not low - half <= printed <= high + half


def test_temperature_difference_agrees_with_pint_at_every_step() -> None:
    """From -40 to 400 °F, readings go through the offset and differences do not."""
    registry = pint.UnitRegistry(non_int_type=Fraction)
    for degrees in range(-40, 401, 8):
        reading = registry.Quantity(Fraction(degrees), "degF").to("kelvin").magnitude
        difference = registry.Quantity(Fraction(degrees), "delta_degF").to("kelvin").magnitude
        assert UNITS["degF"].to_base(Fraction(degrees)) == reading
        assert UNITS["Fdeg"].to_base(Fraction(degrees)) == difference

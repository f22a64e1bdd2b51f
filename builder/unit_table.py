"""The closed list of units: exact factors, the spellings that the trade types, and who stands beside whom.

Every factor follows from definitions that are exact in NIST SP 811 (2008), Appendix B: the inch 25.4 mm, the
pound 0.45359237 kg, standard gravity 9.80665 m/s², the US gallon 231 cubic inches, the UK gallon 4.54609 L,
the conventional millimetre of mercury 13.5951 × 9.80665 Pa and of water 9.80665 Pa, the IT Btu.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Final, Literal, NamedTuple

from builder import dimension as dim
from builder.dimension import Dimension

System = Literal["inch", "metric", "both"]


class Row(NamedTuple):
    """One unit: base value = value × factor + offset, in m, kg, s, K, A, degrees and pieces."""

    symbol: str
    dimension: Dimension
    factor: Fraction
    system: System
    spellings: tuple[str, ...] = ()  # typed as well
    pint: str = ""  # the same unit in pint's words; empty where pint has no like of it
    offset: Fraction = Fraction(0)
    label: str = ""  # as a page prints it, where that differs from the symbol


F = Fraction
ONE: Final = F(1)
MILLI: Final = F(1, 1000)
MICRO: Final = F(1, 1000000)
INCH: Final = F("0.0254")
FOOT: Final = 12 * INCH
POUND: Final = F("0.45359237")
OUNCE: Final = POUND / 16
GRAVITY: Final = F("9.80665")
LBF: Final = POUND * GRAVITY
PSI: Final = LBF / INCH**2
GALLON: Final = 231 * INCH**3
UK_GALLON: Final = F("4.54609") * MILLI
HORSEPOWER: Final = 550 * FOOT * LBF
METRIC_HORSEPOWER: Final = 75 * GRAVITY
MMHG: Final = F("13.5951") * GRAVITY
BTU: Final = F("1055.05585262")
HOUR: Final = F(3600)

ROWS: Final[tuple[Row, ...]] = (
    Row("in", dim.LENGTH, INCH, "inch", ("inch", "inches"), "inch"),
    Row("thou", dim.LENGTH, INCH / 1000, "inch", ("thous", "mil", "mils"), "thou"),
    Row("tenth", dim.LENGTH, INCH / 10000, "inch", ("tenths",), "inch/10000"),
    Row(
        "microinch",
        dim.LENGTH,
        INCH / 10**6,
        "inch",
        ("microinches", "uin", "µin", "μin"),
        "microinch",
        label="µin",
    ),
    Row("ft", dim.LENGTH, FOOT, "inch", ("foot", "feet"), "foot"),
    Row("mm", dim.LENGTH, MILLI, "metric", (), "mm"),
    Row("cm", dim.LENGTH, F(1, 100), "metric", (), "cm"),
    Row("m", dim.LENGTH, ONE, "metric", ("metre", "metres"), "m"),
    Row("um", dim.LENGTH, MICRO, "metric", ("µm", "μm", "micron", "microns"), "um", label="µm"),
    Row("sq in", dim.AREA, INCH**2, "inch", ("in2", "in²"), "inch**2"),
    Row("sq cm", dim.AREA, F(1, 10000), "metric", ("cm2", "cm²"), "cm**2"),
    Row("sq mm", dim.AREA, MICRO, "metric", ("mm2", "mm²"), "mm**2"),
    Row("cu in", dim.VOLUME, INCH**3, "inch", ("cuin", "in3", "in³"), "inch**3"),
    Row("cc", dim.VOLUME, MICRO, "metric", ("cu cm", "cm3", "cm³", "ml", "mL"), "cm**3"),
    Row("L", dim.VOLUME, MILLI, "metric", ("l", "litre", "litres", "liter", "liters"), "liter"),
    Row("US pt", dim.VOLUME, GALLON / 8, "inch", (), "pint"),
    Row("US qt", dim.VOLUME, GALLON / 4, "inch", (), "quart"),
    Row("US gal", dim.VOLUME, GALLON, "inch", (), "gallon"),
    Row("UK pt", dim.VOLUME, UK_GALLON / 8, "inch", ("imp pt",), "imperial_pint"),
    Row("UK qt", dim.VOLUME, UK_GALLON / 4, "inch", ("imp qt",), "imperial_quart"),
    Row("UK gal", dim.VOLUME, UK_GALLON, "inch", ("imp gal",), "imperial_gallon"),
    Row("lb", dim.MASS, POUND, "inch", ("lbs",), "pound"),
    Row("oz", dim.MASS, OUNCE, "inch", (), "ounce"),
    Row("g", dim.MASS, MILLI, "metric", ("gram", "grams"), "gram"),
    Row("slug", dim.MASS, LBF / FOOT, "inch", ("slugs",), "slug"),
    Row("kg", dim.MASS, ONE, "metric", (), "kg"),
    Row("lbf", dim.FORCE, LBF, "inch", (), "lbf"),
    Row("ozf", dim.FORCE, LBF / 16, "inch", (), "lbf/16"),
    Row("N", dim.FORCE, ONE, "metric", (), "newton"),
    Row("kN", dim.FORCE, F(1000), "metric", (), "kN"),
    Row("kgf", dim.FORCE, GRAVITY, "metric", (), "kgf"),
    Row(
        "lb-ft",
        dim.TORQUE,
        LBF * FOOT,
        "inch",
        ("lbf-ft", "ft-lb", "ft-lbf", "lb·ft", "lbf·ft", "lb ft", "lbf ft", "ft lb", "ft lbf"),
        "lbf*foot",
    ),
    Row(
        "lb-in",
        dim.TORQUE,
        LBF * INCH,
        "inch",
        ("lbf-in", "in-lb", "in-lbf", "lb·in", "lbf·in", "lb in", "lbf in"),
        "lbf*inch",
    ),
    Row("ozf-in", dim.TORQUE, LBF * INCH / 16, "inch", (), "lbf*inch/16"),
    Row("N·m", dim.TORQUE, ONE, "metric", ("N-m", "Nm", "N.m", "N m", "N⋅m"), "newton*m"),
    Row("kgf-m", dim.TORQUE, GRAVITY, "metric", ("kgf·m", "m-kgf", "kgf m"), "kgf*m"),
    Row("psi", dim.PRESSURE, PSI, "inch", ("lb/sq in", "lbf/sq in"), "psi"),
    Row("ksi", dim.PRESSURE, 1000 * PSI, "inch", (), "ksi"),
    Row("inHg", dim.PRESSURE, F("25.4") * MMHG, "inch", ("in Hg", "inhg"), "inHg"),
    Row("inH2O", dim.PRESSURE, F("25.4") * GRAVITY, "inch", ("in H2O",), "inch_H2O"),
    Row("mmHg", dim.PRESSURE, MMHG, "metric", ("mm Hg",), "mmHg"),
    Row("Pa", dim.PRESSURE, ONE, "metric", (), "pascal"),
    Row("hPa", dim.PRESSURE, F(100), "metric", ("mbar",), "hPa"),
    Row("kPa", dim.PRESSURE, F(1000), "metric", (), "kPa"),
    Row("bar", dim.PRESSURE, F(100000), "metric", (), "bar"),
    Row("MPa", dim.PRESSURE, F(10**6), "metric", (), "MPa"),
    Row("GPa", dim.PRESSURE, F(10**9), "metric", (), "GPa"),
    Row("kgf/sq cm", dim.PRESSURE, 10000 * GRAVITY, "metric", ("kgf/cm2", "kgf/cm²"), "kgf/cm**2"),
    Row("degF", dim.TEMPERATURE, F(5, 9), "inch", ("°F", "deg F"), "degF", F("459.67") * F(5, 9), "°F"),
    Row("degC", dim.TEMPERATURE, ONE, "metric", ("°C", "deg C"), "degC", F("273.15"), "°C"),
    Row("K", dim.TEMPERATURE, ONE, "metric", (), "kelvin"),
    Row("Fdeg", dim.TEMPERATURE, F(5, 9), "inch", (), "delta_degF", label="°F"),
    Row("Cdeg", dim.TEMPERATURE, ONE, "metric", (), "delta_degC", label="°C"),
    Row("1/Fdeg", dim.EXPANSION, F(9, 5), "inch", (), "1/delta_degF", label="per °F"),
    Row("1/Cdeg", dim.EXPANSION, ONE, "metric", (), "1/delta_degC", label="per °C"),
    Row("deg", dim.ANGLE, ONE, "both", ("°", "degree", "degrees"), label="°"),
    Row("s", dim.TIME, ONE, "both", ("sec", "second", "seconds"), "second"),
    Row("min", dim.TIME, F(60), "both", ("minute", "minutes"), "minute"),
    Row("h", dim.TIME, HOUR, "both", ("hr", "hour", "hours"), "hour"),
    Row("rpm", dim.TURNING_SPEED, F(1, 60), "both", ("rev/min", "r/min"), "1/minute"),
    Row("ft/min", dim.SPEED, FOOT / 60, "inch", (), "foot/minute"),
    Row("ft/s", dim.SPEED, FOOT, "inch", (), "foot/second"),
    Row("in/s", dim.SPEED, INCH, "inch", (), "inch/second"),
    Row("m/s", dim.SPEED, ONE, "metric", (), "m/second"),
    Row("m/min", dim.SPEED, F(1, 60), "metric", (), "m/minute"),
    Row("mm/s", dim.SPEED, MILLI, "metric", (), "mm/second"),
    Row("lbf/in", dim.SPRING_RATE, LBF / INCH, "inch", (), "lbf/inch"),
    Row("N/mm", dim.SPRING_RATE, F(1000), "metric", (), "newton/mm"),
    Row("oz-in", dim.UNBALANCE, OUNCE * INCH, "inch", ("oz·in", "oz in", "in-oz"), "ounce*inch"),
    Row("g-mm", dim.UNBALANCE, MICRO, "metric", ("g·mm", "g mm"), "gram*mm"),
    Row("g-cm", dim.UNBALANCE, F(1, 100000), "metric", ("g·cm", "g cm"), "gram*cm"),
    Row("hp", dim.POWER, HORSEPOWER, "inch", ("HP", "bhp", "UK hp"), "horsepower"),
    Row("PS", dim.POWER, METRIC_HORSEPOWER, "metric", (), "metric_horsepower"),
    Row("W", dim.POWER, ONE, "both", (), "watt"),
    Row("kW", dim.POWER, F(1000), "metric", (), "kW"),
    Row("V", dim.VOLTAGE, ONE, "both", ("volt", "volts"), "volt"),
    Row("A", dim.CURRENT, ONE, "both", ("amp", "amps"), "ampere"),
    Row("mA", dim.CURRENT, MILLI, "both", (), "mA"),
    Row("ohm", dim.RESISTANCE, ONE, "both", ("ohms", "Ω", "Ω"), "ohm", label="Ω"),
    Row("kohm", dim.RESISTANCE, F(1000), "both", ("kΩ", "kΩ"), "kohm", label="kΩ"),
    Row("uF", dim.CAPACITANCE, MICRO, "both", ("µF", "μF", "mfd"), "uF", label="µF"),
    Row("cu ft/min", dim.FLOW, FOOT**3 / 60, "inch", ("cfm",), "foot**3/minute"),
    Row("US gal/min", dim.FLOW, GALLON / 60, "inch", (), "gallon/minute"),
    Row("UK gal/min", dim.FLOW, UK_GALLON / 60, "inch", (), "imperial_gallon/minute"),
    Row("L/min", dim.FLOW, MILLI / 60, "metric", ("l/min",), "liter/minute"),
    Row("cc/min", dim.FLOW, MICRO / 60, "metric", ("ml/min", "mL/min"), "cm**3/minute"),
    Row("lb/h", dim.FUEL_RATE, POUND / HOUR, "inch", ("lb/hr",), "pound/hour"),
    Row("kg/h", dim.FUEL_RATE, ONE / HOUR, "metric", ("kg/hr",), "kg/hour"),
    Row("g/s", dim.FUEL_RATE, MILLI, "metric", (), "gram/second"),
    Row(
        "lb/hp-h",
        dim.FUEL_CONSUMPTION,
        POUND / (HORSEPOWER * HOUR),
        "inch",
        ("lb/(hp·h)", "lb/hp-hr"),
        "pound/(horsepower*hour)",
    ),
    Row(
        "g/kW-h",
        dim.FUEL_CONSUMPTION,
        MILLI / (1000 * HOUR),
        "metric",
        ("g/(kW·h)", "g/kWh"),
        "gram/(kW*hour)",
    ),
    Row("BTU/lb", dim.HEAT_VALUE, BTU / POUND, "inch", ("Btu/lb",), "Btu_it/pound"),
    Row("kJ/kg", dim.HEAT_VALUE, F(1000), "metric", (), "kJ/kg"),
    Row("lb/cu in", dim.DENSITY, POUND / INCH**3, "inch", (), "pound/inch**3"),
    Row("lb/US gal", dim.DENSITY, POUND / GALLON, "inch", (), "pound/gallon"),
    Row("kg/L", dim.DENSITY, F(1000), "metric", ("g/cc", "kg/l"), "kg/liter"),
    Row("count", dim.COUNT, ONE, "both", ("pieces", "off")),
    Row("ratio", dim.RATIO, ONE, "both", (), "dimensionless"),
    Row("percent", dim.RATIO, F(1, 100), "both", ("%",), "percent", label="%"),
)

PARTNERS: Final[tuple[tuple[str, str], ...]] = (  # each shows the other; a unit's first pair is the one used
    ("in", "mm"),
    ("thou", "mm"),
    ("microinch", "um"),
    ("tenth", "um"),
    ("ft", "m"),
    ("in", "cm"),
    ("sq in", "sq cm"),
    ("sq in", "sq mm"),
    ("cu in", "cc"),
    ("US qt", "L"),
    ("US pt", "L"),
    ("US gal", "L"),
    ("UK gal", "L"),
    ("UK qt", "L"),
    ("UK pt", "L"),
    ("lb", "kg"),
    ("slug", "kg"),
    ("oz", "g"),
    ("lbf", "N"),
    ("ozf", "N"),
    ("lbf", "kgf"),
    ("lbf", "kN"),
    ("lb-ft", "N·m"),
    ("lb-in", "N·m"),
    ("ozf-in", "N·m"),
    ("lb-ft", "kgf-m"),
    ("psi", "kPa"),
    ("psi", "bar"),
    ("ksi", "MPa"),
    ("ksi", "GPa"),
    ("inHg", "kPa"),
    ("inH2O", "kPa"),
    ("inHg", "mmHg"),
    ("inHg", "hPa"),
    ("psi", "kgf/sq cm"),
    ("psi", "Pa"),
    ("degF", "degC"),
    ("degF", "K"),
    ("Fdeg", "Cdeg"),
    ("1/Fdeg", "1/Cdeg"),
    ("ft/min", "m/min"),
    ("ft/s", "m/s"),
    ("in/s", "mm/s"),
    ("lbf/in", "N/mm"),
    ("oz-in", "g-mm"),
    ("oz-in", "g-cm"),
    ("hp", "kW"),
    ("hp", "PS"),
    ("US gal/min", "L/min"),
    ("UK gal/min", "L/min"),
    ("cu ft/min", "L/min"),
    ("US gal/min", "cc/min"),
    ("lb/h", "kg/h"),
    ("lb/h", "g/s"),
    ("lb/hp-h", "g/kW-h"),
    ("BTU/lb", "kJ/kg"),
    ("lb/US gal", "kg/L"),
    ("lb/cu in", "kg/L"),
)

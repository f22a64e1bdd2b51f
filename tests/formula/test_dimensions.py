"""What formulas measure, and the faults found before any number is known, in full words at their place."""

from __future__ import annotations

import pytest

from builder.diagnostics import Fault
from builder.dimension import (
    ANGLE,
    AREA,
    FORCE,
    LENGTH,
    RATIO,
    SPRING_RATE,
    TEMPERATURE,
    TORQUE,
    TURNING_SPEED,
)
from builder.formula import Holds, Shape, dimension_of, kind_of, parse
from builder.units import IDENTIFIERS, UNITS

PLANES, BORE_AXES, JOURNAL_AXES = ("front", "rear"), ("V", "L45", "R45"), ("T", "A")
EACH = ("main", "plane", "axis")
NAMES = {
    "bore": Shape(LENGTH, EACH, labels={"plane": PLANES, "axis": BORE_AXES}),
    "journal": Shape(LENGTH, EACH, labels={"plane": PLANES, "axis": JOURNAL_AXES}),
    "size": Shape(LENGTH, ("cylinder",)),
    "rod_bore": Shape(LENGTH, ("rod",)),
    "pin": Shape(LENGTH, ("crankpin", "plane")),
    "torque": Shape(TORQUE),
    "load": Shape(FORCE),
    "air": Shape(TEMPERATURE),
    "speed": Shape(TURNING_SPEED),
    "tilt": Shape(ANGLE),
    "share": Shape(RATIO),
    "area": Shape(AREA),
    "clearance": Shape(LENGTH, ("main",), Holds.PAIR),
    "main.clearance": Shape(LENGTH, ("main",), Holds.LIMIT),
    "crank.stroke": Shape(LENGTH, (), Holds.EXACT),
    "bore.oversizes": Shape(LENGTH, (), Holds.STEPS),
}
ON = {"rod": "crankpin"}


def _shape(text: str) -> tuple[str, tuple[str, ...], Holds]:
    shape = dimension_of(parse(text), NAMES, ON)
    return str(shape.dimension), shape.dims, shape.holds


@pytest.mark.parametrize(
    ("text", "dimension", "dims"),
    [
        ("min(pick(bore, axis, V) - max(journal, axis), plane)", "length", ("main",)),
        ("max(spread(journal, axis), plane)", "length", ("main",)),
        ("bore * bore / bore", "length", EACH),
        ("pick(bore, axis, L45, R45)", "length", EACH),
        ("mean(pick(bore, axis, L45, R45), axis)", "length", ("main", "plane")),
        ("rod_bore - max(pin, plane)", "length", ("rod",)),
        ("max(pin, plane) - rod_bore", "length", ("rod",)),
        ("pi / 4 * size ** 2", "area", ("cylinder",)),
        ("sqrt(area)", "length", ()),
        ("area ** (1 / 2)", "length", ()),
        ("area ** -1", "1/length^2", ()),
        ("(size / mm) ** 0.34", "ratio", ("cylinder",)),
        ("share ** share", "ratio", ()),
        ("load / (2 * inch)", "spring rate", ()),
        ("torque * speed / hp", "ratio", ()),
        ("sin(tilt) + cos(30 * deg)", "ratio", ()),
        ("asin(share)", "angle", ()),
        ("exp(log(share))", "ratio", ()),
        ("air - degF(68)", "temperature", ()),
        ("18 * Fdeg", "temperature", ()),
        ("max(0, size)", "length", ("cylinder",)),
        ("0 - size", "length", ("cylinder",)),
        ("mid_aim(main.clearance) - least(clearance)", "length", ("main",)),
        ("crank.stroke + low(crank.stroke)", "length", ()),
        ("first_at_least(bore.oversizes, size - 3 * inch)", "length", ("cylinder",)),
        ("nearest([1 * mm, 2 * mm], size)", "length", ("cylinder",)),
        ("count(size > 3 * inch, cylinder)", "ratio", ()),
        ("count(size, cylinder)", "ratio", ()),
        ("neighbour(size, cylinder)", "length", ("cylinder",)),
        ("-size", "length", ("cylinder",)),
        ("min(size, 2 * inch, high(crank.stroke))", "length", ("cylinder",)),
    ],
)
def test_formula_measures(text: str, dimension: str, dims: tuple[str, ...]) -> None:
    """The dimension and the named dimensions of a sound formula."""
    assert _shape(text) == (dimension, dims, Holds.VALUE)


@pytest.mark.parametrize(
    "text",
    [
        "size < 3 * inch",
        "0 < size <= 3 * inch",
        "not size < 0",
        "least(clearance) < low(main.clearance) or share > 1",
    ],
)
def test_question_is_yes_or_no(text: str) -> None:
    """Comparisons, `and`, `or` and `not` give a truth."""
    assert dimension_of(parse(text), NAMES, ON).holds is Holds.TRUTH


FAULTS = [
    ("bore - torque", "bore - torque", "`bore - torque`: a length minus a torque", ""),
    ("size + 3", "size + 3", "`size + 3`: a length plus a plain number",
     "give the plain number a unit, for example `0.002 * inch`"),
    ("1 * inch < tilt", "1 * inch < tilt", "`1 * inch < tilt`: a length compared with an angle", ""),
    ("min(size, load)", "min(size, load)", "`min(size, load)`: a length beside a force", ""),
    ("2 * (size - load)", "size - load", "`size - load`: a length minus a force", ""),
    ("jurnal - bore", "jurnal", "`jurnal` is no reading, characteristic or unit here",
     "did you mean `journal`"),
    ("zzz", "zzz", "`zzz` is no reading, characteristic or unit here",
     "name a reading, a characteristic or a unit"),
    ("load / min", "min", "`min` is no reading, characteristic or unit here", "did you mean `minute`"),
    ("bore - journal", "bore - journal",
     "`bore - journal`: the axis is V, L45, R45 in one and T, A in another",
     "pick or reduce one of them first"),
    ("size - max(pin, plane)", "size - max(pin, plane)",
     "`size - max(pin, plane)`: one is by cylinder, another by crankpin, and nothing links the two",
     "pick or reduce one of them first, or say in `features` what sits on what"),
    ("max(bore)", "max(bore)", "`max(bore)` does not say what it runs over",
     "name the dimensions; `bore` runs over main, plane, axis"),
    ("max(bore, plain)", "plain", "`plain` is neither a dimension nor a value here",
     "`bore` runs over main, plane, axis"),
    ("max(load, plane)", "plane", "`plane` is neither a dimension nor a value here",
     "`load` is one value, not several"),
    ("max(bore, axis, size)", "max(bore, axis, size)", "`max(bore, axis, size)` mixes dimensions with values",
     "do one after the other"),
    ("pick(bore, axis, T)", "T", "`T` is no axis of `bore`", "they are V, L45, R45"),
    ("pick(size, axis, T)", "axis", "`axis` is no dimension of `size`", "it runs over cylinder"),
    ("neighbour(load, cylinder)", "cylinder", "`cylinder` is no dimension of `load`", "it is one value"),
    ("clearance > 0", "clearance", "`clearance` has a least and a most",
     "write `least(clearance)` or `most(clearance)`"),
    ("main.clearance > 0", "main.clearance", "`main.clearance` has limits, not one value",
     "write `low(main.clearance)`, `high(main.clearance)` or `mid(main.clearance)`"),
    ("bore.oversizes + 1 * mm", "bore.oversizes", "`bore.oversizes` is a list of sizes",
     "write `nearest(bore.oversizes, …)` or `first_at_least(bore.oversizes, …)`"),
    ("low(bore)", "bore", "`bore` has no limits", "write it like `low(main.clearance)`"),
    ("high(clearance)", "clearance", "`clearance` has a least and a most, no limits",
     "write it like `high(main.clearance)`"),
    ("low(main.clearanse)", "main.clearanse", "`main.clearanse` is no reading, characteristic or unit here",
     "did you mean `main.clearance`"),
    ("nearest(size, size)", "size", "`size` lists no sizes",
     "write it like `nearest(bore.oversizes, needed)`"),
    ("nearest(bore.oversizes, load)", "nearest(bore.oversizes, load)",
     "`nearest(bore.oversizes, load)`: a force in a list where each is a length",
     "list and value must measure the same"),
    ("(size > 0) + 1", "size > 0", "`size > 0` is yes or no, where a number is wanted",
     "leave the comparison out here"),
    ("size > 0 and size", "size", "`size` is a number, where yes or no is wanted",
     "compare it with something"),
    ("size ** load", "size ** load", "`size ** load`: a power that is a force",
     "make the power a plain number"),
    ("size ** share", "size ** share", "`size ** share`: a length to a power that is not written out",
     "write the power as a number"),
    ("size ** 0.5", "size ** 0.5", "`size ** 0.5`: no measure is a length to this power",
     "divide by a unit first"),
    ("sqrt(size)", "sqrt(size)", "`sqrt(size)`: no measure is the root of a length",
     "check what stands under the root"),
    ("sin(share)", "sin(share)", "`sin(share)`: a plain number where an angle is wanted",
     "write it like `sin(angle)`"),
    ("log(size)", "log(size)", "`log(size)`: a length where a plain number is wanted",
     "write it like `log(ratio)`"),
    ("air - 68 * degF", "degF", "`degF` alone is neither a temperature nor a difference",
     "write `degF(68)` for a temperature, `18 * Fdeg` for a difference"),
    ("[1 * mm, 2 * psi]", "[1 * mm, 2 * psi]", "`[1 * mm, 2 * psi]`: a length beside a pressure", ""),
]  # fmt: skip


@pytest.mark.parametrize(("text", "part", "message", "hint"), FAULTS)
def test_mismatch_is_a_fault_at_its_place(text: str, part: str, message: str, hint: str) -> None:
    """The fault names the part of the formula, what is wrong with it, and what to write instead."""
    with pytest.raises(Fault) as caught:
        dimension_of(parse(text), NAMES, ON)

    fault = caught.value
    assert (text[fault.start : fault.end], fault.message, fault.hint) == (part, message, hint)


def test_what_a_characteristic_follows_may_name_ranges_bare() -> None:
    """For `follows` the caller gives characteristics as exact, and the bare names are sound."""
    names = {
        "main.bore": Shape(LENGTH, ("main",), Holds.EXACT),
        "main.journal": Shape(LENGTH, ("main",), Holds.EXACT),
    }

    assert dimension_of(parse("main.bore - main.journal"), names) == Shape(LENGTH, ("main",))


@pytest.mark.parametrize("name", sorted(IDENTIFIERS))
def test_every_unit_may_be_written_as_a_factor(name: str) -> None:
    """Each unit's name has its dimension; only the scale of a thermometer is no factor."""
    if IDENTIFIERS[name].offset:
        with pytest.raises(Fault):
            dimension_of(parse(f"2 * {name}"), {})
    else:
        assert dimension_of(parse(f"2 * {name}"), {}).dimension == IDENTIFIERS[name].dimension


def test_dimensions_are_named_as_the_trade_speaks() -> None:
    """With the right article, and a ratio is a plain number."""
    named = [kind_of(UNITS[symbol].dimension) for symbol in ("in", "deg", "oz-in", "ratio", "lbf/in")]

    assert named == ["a length", "an angle", "an unbalance", "a plain number", "a spring rate"]
    assert kind_of(SPRING_RATE * LENGTH**3) == "a length^3·mass/time^2"

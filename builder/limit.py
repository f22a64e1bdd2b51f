"""Limits in the trade's notation: `0.0015 to 0.0025 in`, `1.8750 +0.0000 -0.0005 in`, `0.004 in max`.

The usual forms go through one pattern; everything else, and every fault, through `limit_grammar`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction
from functools import cached_property, lru_cache
from typing import Final

from builder.diagnostics import Fault
from builder.dimension import ANGLE, COUNT
from builder.limit_grammar import Parts, parts_of
from builder.number import DECIMAL, TENS, Number, exact, read_number, scaled, show_number
from builder.quantity import DATUMS
from builder.units import NO_UNIT, UNITS, Unit

MAX_LENGTH: Final = 200
MOST_DIFFERENT_PLACES: Final = 2
WORDS: Final = {"same as new": "same_as_new", "fit only": "fit_only"}


class Form(StrEnum):
    """How a limit was written."""

    RANGE = "range"
    TOLERANCE = "tolerance"
    MAX = "max"
    MIN = "min"
    EXACT = "exact"
    NOMINAL = "nominal"
    SAME_AS_NEW = "same_as_new"
    FIT_ONLY = "fit_only"


FORMS: Final = {None: Form.NOMINAL, "max": Form.MAX, "min": Form.MIN, "exact": Form.EXACT}
"""The form of a limit of one number, by the word after it."""


@dataclass(frozen=True)
class Limit:
    """A lower and an upper bound in `unit`, either of which may be missing; equality is inside.

    `text` is as typed. `decimals` is the most places that a number shows, None where one is a fraction. An
    angle told from dead centre is signed, after it positive, and keeps its `datum` as typed (a range from one
    side to the other: `TDC` or `BDC`). `second` is the same limit as the source prints it in another unit.
    A bare value (form `nominal`) and the worded forms have no bounds.
    """

    text: str
    form: Form
    unit: Unit
    low: Fraction | None
    high: Fraction | None
    nominal: Fraction | None
    decimals: int | None
    datum: str = ""
    second: Limit | None = None

    @cached_property
    def low_base(self) -> Fraction | None:
        """The lower bound in base units."""
        return None if self.low is None else self.unit.to_base(self.low)

    @cached_property
    def high_base(self) -> Fraction | None:
        """The upper bound in base units."""
        return None if self.high is None else self.unit.to_base(self.high)

    @cached_property
    def width_base(self) -> Fraction | None:
        """How far the bounds are apart in base units; None where one is missing."""
        low, high = self.low_base, self.high_base
        return None if low is None or high is None else high - low

    @property
    def bounded(self) -> bool:
        """Whether there is a bound to judge by."""
        return self.low is not None or self.high is not None

    def admits(self, base: Fraction) -> bool:
        """Whether a value in base units is inside; a limit without bounds admits nothing."""
        low, high = self.low_base, self.high_base
        return self.bounded and (low is None or low <= base) and (high is None or base <= high)

    def __str__(self) -> str:
        return self.text


_USUAL = re.compile(
    rf"(-?{DECIMAL})(?: to (-?{DECIMAL})| ± ({DECIMAL})| (\+{DECIMAL}) (-{DECIMAL}))?"
    r" ((?:cu |sq |US )?[A-Za-zµ%][A-Za-zµ·/-]*)(?: (max|min|exact))?",
    re.ASCII,
)


def read_limit(text: str) -> Limit:
    """The limit that a text states, citations taken off before; a Fault with offsets where it states none."""
    return _read(str(text))


@lru_cache(maxsize=1 << 16)
def _read(text: str) -> Limit:
    if text[-1:] != ")":
        return _usual(text, text) or _read_unusual(text)
    first, _, second = text[:-1].partition(" (")
    one, two = _usual(text, first), _usual(second, second)
    if one is None or two is None or one.form is not two.form:
        return _read_unusual(text)
    return _with_second(one, two)


def _usual(text: str, own: str) -> Limit | None:
    """The limit that `own` states in a usual form, without fault; None leaves it to the whole grammar."""
    found = _USUAL.fullmatch(own)
    if found is None:
        return None
    first, last, both, over, under, name, bound = found.groups()
    unit = UNITS.get(name)
    if unit is None or unit.dimension is COUNT:
        return None
    if last is not None:
        return None if bound else _usual_range(text, unit, first, last)
    if both is over:  # neither is there
        value, places = exact(first)
        return _single(text, FORMS[bound], unit, value, places)
    return None if bound else _usual_tolerance(text, unit, first, over or both, under or both)


def _usual_range(text: str, unit: Unit, first: str, last: str) -> Limit | None:
    """A range that grows and shows much the same decimals at both ends."""
    low, places = scaled(first)
    high, more = scaled(last)
    if low * TENS[more] > high * TENS[places] or abs(places - more) > MOST_DIFFERENT_PLACES:
        return None
    ends = Fraction(low, TENS[places]), Fraction(high, TENS[more])
    return Limit(text, Form.RANGE, unit, *ends, None, max(places, more))


def _usual_tolerance(text: str, unit: Unit, *pieces: str) -> Limit | None:
    """A size, what it may be over and what it may be under, all with the same decimals, not both nought."""
    (size, places), (over, more), (under, less) = (scaled(piece) for piece in pieces)
    if not places == more == less or not (over or under):
        return None
    ten = TENS[places]
    ends = Fraction(size - abs(under), ten), Fraction(size + over, ten)
    return Limit(text, Form.TOLERANCE, unit, *ends, Fraction(size, ten), places)


def _single(text: str, form: Form, own: Unit, value: Fraction, places: int | None) -> Limit:
    """A limit of one number: a maximum, a minimum, an exact value or a bare one."""
    if form is Form.MAX:
        return Limit(text, form, own, None, value, None, places)
    if form is Form.MIN:
        return Limit(text, form, own, value, None, None, places)
    bound = value if form is Form.EXACT else None
    return Limit(text, form, own, bound, bound, value, places)


def _read_unusual(text: str) -> Limit:
    """Any form of the notation, with the second unit that a source prints in brackets."""
    words = WORDS.get(" ".join(text.split()))
    if words:
        return Limit(text, Form(words), NO_UNIT, None, None, None, None)
    if len(text) > MAX_LENGTH:
        raise Fault("a limit this long cannot be read", "write one limit, and the rest under `condition:`")
    first, second = parts_of(text)
    limit = _built(text, first)
    return limit if second is None else _with_second(limit, _built(second.text, second))


def _with_second(first: Limit, second: Limit) -> Limit:
    """The limit and the same limit as printed in another unit, once both say the same sort of thing."""
    if first.unit.dimension != second.unit.dimension:
        raise Fault(
            f"`{second.text}` is a {second.unit.dimension} but `{first.unit}` a {first.unit.dimension}",
            "write the same limit in its other unit",
            first.text.find("("),
        )
    if (first.low is None, first.high is None) != (second.low is None, second.high is None):
        raise Fault(
            f"`{second.text}` is not bounded on the same sides as the limit before it",
            "write both in the same form",
            first.text.find("("),
        )
    ends = first.low, first.high, first.nominal
    return Limit(first.text, first.form, first.unit, *ends, first.decimals, first.datum, second)


def _built(text: str, parts: Parts) -> Limit:
    """The limit that some pieces make."""
    if parts["datum"] and parts.unit.dimension != ANGLE:
        raise parts.fault(
            "datum", f"`{parts['datum']}` stands after `{parts.unit}`", f"write `deg {parts['datum']}`"
        )
    if parts["bound"] and (parts["last"] or parts["both"] or parts["one"]):
        raise parts.fault(
            "bound", f"`{parts['bound']}` stands after two bounds", f"leave out `{parts['bound']}`"
        )
    if parts["last"]:
        return _range(text, parts)
    if parts["both"] or parts["one"]:
        return _tolerance(text, parts)
    number = _number(parts, "first")
    bare = Form.EXACT if parts.unit.dimension is COUNT else Form.NOMINAL
    form = FORMS[parts["bound"]] if parts["bound"] else bare
    limit = _single(text, form, parts.unit, number.value, number.decimals)
    return _from_centre(limit, parts["datum"])


def _number(parts: Parts, name: str) -> Number:
    """The number at a piece; its Fault stands there."""
    try:
        return read_number(parts[name])
    except Fault as fault:
        raise parts.fault(name, fault.message, fault.hint) from None


def _most_places(*numbers: Number) -> int | None:
    """The most decimals that any of the numbers shows; None where one is a fraction."""
    places = [number.decimals for number in numbers if number.decimals is not None]
    return max(places) if len(places) == len(numbers) else None


def _range(text: str, parts: Parts) -> Limit:
    """Two ends with `to` between."""
    first, last = _number(parts, "first"), _number(parts, "last")
    places = _most_places(first, last)
    if parts["first_datum"]:
        return _across_centre(text, parts, first, last)
    if first.value > last.value:
        raise parts.fault(
            "first",
            f"`{first.text}` is more than `{last.text}`",
            f"write `{last.text} to {first.text} {parts.unit} {parts['datum']}".rstrip() + "`",
        )
    _refuse_lost_digits(parts, first, last)
    limit = Limit(text, Form.RANGE, parts.unit, first.value, last.value, None, places)
    return _from_centre(limit, parts["datum"])


def _refuse_lost_digits(parts: Parts, first: Number, last: Number) -> None:
    """Ends that show very different numbers of decimals have most likely lost some."""
    if first.decimals is None or last.decimals is None or 0 in (first.value, last.value):
        return
    if abs(first.decimals - last.decimals) > MOST_DIFFERENT_PLACES:
        short, name = (first, "first") if first.decimals < last.decimals else (last, "last")
        places = max(first.decimals, last.decimals)
        raise parts.fault(
            name,
            f"`{short.text}` shows far fewer decimals than the other end",
            f"write `{show_number(short.value, places)}` if that is meant",
        )


def _across_centre(text: str, parts: Parts, first: Number, last: Number) -> Limit:
    """A range whose ends both name their datum, as the crank turns: `5 deg BTDC to 2 deg ATDC`."""
    one, other = parts["first_datum"], parts["datum"] or parts["first_datum"]
    (centre, sign), (other_centre, other_sign) = DATUMS[one], DATUMS[other]
    if centre != other_centre:
        raise parts.fault(
            "datum",
            f"`{one}` and `{other}` are told from two dead centres",
            "tell both ends from the same one",
        )
    low, high = first.value * sign, last.value * other_sign
    if low > high:
        raise parts.fault("first", "the range runs backwards", "write the earlier angle first")
    datum = one if one == other else centre
    return Limit(text, Form.RANGE, parts.unit, low, high, None, _most_places(first, last), datum)


def _tolerance(text: str, parts: Parts) -> Limit:
    """A size with what it may be over and under."""
    size = _number(parts, "first")
    names = ("both",) if parts["both"] else ("one", "other")
    numbers = [_number(parts, name) for name in names]
    offsets = [number.value for number in numbers] if parts["one"] else [numbers[0].value, -numbers[0].value]
    low, high = sorted(size.value + offset for offset in offsets)
    places = _most_places(size, *numbers)
    if low == high:
        raise parts.fault(names[0], "the tolerance is nought", f"write `{size.text} {parts.unit} exact`")
    if min(offsets) > 0 or max(offsets) < 0:
        ends = " to ".join(show_number(end, places or 0) for end in (low, high))
        raise parts.fault(
            "one",
            "both tolerances lie on the same side of the size",
            f"write `{ends} {parts.unit}` if that is meant",
        )
    limit = Limit(text, Form.TOLERANCE, parts.unit, low, high, size.value, places)
    return _from_centre(limit, parts["datum"])


def _from_centre(limit: Limit, datum: str) -> Limit:
    """The limit as an angle told from dead centre: turned over where it is told backwards."""
    if not datum:
        return limit
    if DATUMS[datum][1] > 0:
        return replace(limit, datum=datum)
    low, high, nominal = (None if end is None else -end for end in (limit.high, limit.low, limit.nominal))
    return replace(limit, low=low, high=high, nominal=nominal, datum=datum)

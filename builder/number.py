"""Numbers as a shop writes them: `0.0015`, `.0015`, `-2`, `1 3/4`, `3/8`, `2½`; exact, digits remembered."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from builder.diagnostics import Fault

MAX_DIGITS: Final = 9

VULGAR: Final = {
    "½": Fraction(1, 2),
    "¼": Fraction(1, 4),
    "¾": Fraction(3, 4),
    "⅓": Fraction(1, 3),
    "⅔": Fraction(2, 3),
    "⅛": Fraction(1, 8),
    "⅜": Fraction(3, 8),
    "⅝": Fraction(5, 8),
    "⅞": Fraction(7, 8),
}

DECIMAL: Final = (
    rf"(?:(?:0|[1-9][0-9]{{0,{MAX_DIGITS - 1}}})(?:\.[0-9]{{1,{MAX_DIGITS}}})?|\.[0-9]{{1,{MAX_DIGITS}}})"
)
"""A pattern for an unsigned decimal number: no lost point (`005`), no bare point (`2.`)."""

_SIGNS: Final = f"[{''.join(VULGAR)}]"
_SMALL: Final = "[1-9][0-9]{0,3}"
FRACTION: Final = rf"(?:(?:{_SMALL}\s+)?{_SMALL}/{_SMALL}|(?:{_SMALL}\s?)?{_SIGNS})"
"""A pattern for a fraction, alone or after a whole number."""

UNSIGNED: Final = rf"(?:{FRACTION}|{DECIMAL})(?![0-9.]|/[0-9A-Za-z])"
"""A pattern for a whole unsigned number inside a longer text."""

_DECIMAL_ONLY = re.compile(rf"[+-]?\s?{DECIMAL}", re.ASCII)
_FRACTION_ONLY = re.compile(
    rf"(?P<sign>[+-]?)\s?(?:(?:(?P<whole>{_SMALL})\s+)?(?P<above>{_SMALL})/(?P<below>{_SMALL})"
    rf"|(?:(?P<units>{_SMALL})\s?)?(?P<vulgar>{_SIGNS}))",
    re.ASCII,
)
TENS: Final = tuple(10**power for power in range(2 * MAX_DIGITS + 1))


@dataclass(frozen=True, slots=True)
class Number:
    """An exact value, the text that it was read from, and its places after the point; None for a fraction."""

    value: Fraction
    text: str
    decimals: int | None


def scaled(text: str) -> tuple[int, int]:
    """The digits and the places after the point of a text that fits `DECIMAL`, with or without sign."""
    point = text.find(".")
    if point < 0:
        return int(text), 0
    return int(text.replace(".", "")), len(text) - point - 1


def exact(text: str) -> tuple[Fraction, int]:
    """The value and the places after the point of a text that fits `DECIMAL`, with or without sign."""
    digits, places = scaled(text)
    return Fraction(digits, TENS[places]), places


def read_number(text: str) -> Number:
    """The number that a text holds and nothing else; a Fault says what to write instead."""
    plain = " ".join(text.split()).replace("−", "-")
    if _DECIMAL_ONLY.fullmatch(plain):
        value, places = exact(plain.replace(" ", ""))
        return Number(value, plain, places)
    found = _FRACTION_ONLY.fullmatch(plain)
    if found is None:
        raise number_fault(text)
    return Number(_mixed(found, text), plain, None)


def _mixed(found: re.Match[str], text: str) -> Fraction:
    """A whole number and a fraction together, such as `1 3/4` or `2½`."""
    sign, above, below, vulgar = found.group("sign", "above", "below", "vulgar")
    part = VULGAR[vulgar] if vulgar else Fraction(int(above), int(below))
    whole = found["whole"] or found["units"]
    if whole and part >= 1:
        raise Fault(
            f"`{text.strip()}` has a fraction of one or more", "write it as one fraction or a decimal"
        )
    value = int(whole or 0) + part
    return -value if sign == "-" else value


def places_of(value: Fraction) -> int:
    """How many decimals show a value in full; `MAX_DIGITS` where it does not end by then."""
    return next((places for places in range(MAX_DIGITS) if not TENS[places] % value.denominator), MAX_DIGITS)


def show_number(value: Fraction, decimals: int) -> str:
    """A value with that many places after the point, rounded half to even, trailing zeros kept."""
    scaled = round(value * TENS[decimals] if decimals else value)
    sign, digits = ("-" if scaled < 0 else ""), str(abs(scaled)).rjust(decimals + 1, "0")
    return f"{sign}{digits[:-decimals]}.{digits[-decimals:]}" if decimals else f"{sign}{digits}"


@dataclass(frozen=True, slots=True)
class _Slip:
    """A way in which numbers go wrong: how it looks, what to say of it, and the right form by replacement."""

    pattern: re.Pattern[str]
    says: str
    hint: str


def _slip(pattern: str, says: str, hint: str) -> _Slip:
    return _Slip(re.compile(pattern, re.ASCII), says, hint)


_SLIPS: Final = (
    _slip(
        r"(?<![0-9.,])([0-9]{1,3}),([0-9]{3})(?![0-9.,])",
        "has a comma, which may stand for a point or for thousands",
        r"write `\1.\2` or `\1\2`",
    ),
    _slip(r"(?<![0-9.,])([0-9]{1,3}),([0-9]{3}\.[0-9]+)", "has a comma between thousands", r"write `\1\2`"),
    _slip(r"(?<![0-9.,])([0-9]*),([0-9]+)(?![0-9.,])", "has a comma for a decimal point", r"write `\1.\2`"),
    _slip(
        r"(?<![0-9.,])([0-9]+[0-9,]*,[0-9]{3})(?![0-9])",
        "has commas between thousands",
        "write the digits without commas",
    ),
    _slip(
        r"(?<![0-9.A-Za-z])(0+([1-9][0-9]*|0))(?![0-9./])",
        "has lost its decimal point",
        r"write `0.\1`, or `\2` if that is meant",
    ),
    _slip(r"(?<![0-9.A-Za-z])0+([1-9][0-9]*[./][0-9]+)", "begins with a needless nought", r"write `\1`"),
    _slip(r"(?<![0-9.A-Za-z])00+(\.[0-9]+)", "begins with needless noughts", r"write `0\1`"),
    _slip(r"([0-9]+)[Oo]([CF])(?![A-Za-z])", "has a letter for the degree sign", r"write `\1 deg\2`"),
    _slip(r"[0-9]*\.[0-9]*\.[0-9.]*", "has two decimal points", "write one point"),
    _slip(
        r"(?<![0-9./])([0-9]+)-([0-9]+/[0-9]+)",
        "joins the whole number and the fraction by a dash",
        r"write `\1 \2`",
    ),
    _slip(r"(?<![0-9.])([0-9]+)\.(?![0-9])", "ends in a point", r"write `\1` or `\1.0`"),
    _slip(r"(?<![0-9.])[0-9]+/0+(?![0-9.])", "divides by nought", "write a fraction such as `3/4`"),
    _slip(
        r"[0-9.]+[eE][+-]?[0-9]+", "is written in powers of ten", "write all the digits, for example `0.0015`"
    ),
    _slip(
        rf"[0-9]{{{MAX_DIGITS + 1},}}",
        "has more digits than any gauge reads",
        f"write at most {MAX_DIGITS} digits",
    ),
)

_LETTERS = re.compile(
    r"(?<![A-Za-z0-9])[-+]?(?=[0-9.OoQlI]*[0-9.])(?=[0-9.]*[OoQlI])[0-9.OoQlI]+(?![A-Za-z0-9])"
)
_DIGIT_FOR: Final = str.maketrans("OoQlI", "00011")


LONGEST: Final = 300
"""Characters of a text in which a number is looked for; beyond, looking takes seconds and finds none."""


def slip_in(text: str) -> Fault | None:
    """The first thing in a text that looks like a number gone wrong, with its place, or None."""
    if len(text) > LONGEST:
        return Fault("this text is too long for a number", "write one number, for example `0.0015`")
    letters = _LETTERS.search(text)
    if letters:
        right = letters[0].translate(_DIGIT_FOR)
        return Fault(f"`{letters[0]}` has a letter among its digits", f"write `{right}`", *letters.span())
    for slip in _SLIPS:
        found = slip.pattern.search(text)
        if found:
            return Fault(f"`{found[0]}` {slip.says}", found.expand(slip.hint), *found.span())
    return None


def number_fault(text: str) -> Fault:
    """Why a text is not a number."""
    if not text.strip():
        return Fault("a number is missing", "write digits, for example `0.0015`")
    return slip_in(text) or Fault(
        f"`{text.strip()}` is not a number", "write digits, for example `0.0015`, `.0015` or `1 3/4`"
    )

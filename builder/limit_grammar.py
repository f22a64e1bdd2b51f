"""The pieces of a limit as written, with their places, and the words for every way of writing one wrongly."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from builder.diagnostics import Fault
from builder.number import UNSIGNED, slip_in
from builder.quantity import DATUMS, UNIT
from builder.units import Unit, unit

SIGN: Final = "[+−-]"
DATUM: Final = "|".join(DATUMS)

_LIMIT = re.compile(
    rf"\s*(?P<first>{SIGN}?\s?{UNSIGNED})(?:\s*(?P<first_unit>{UNIT})(?:\s+(?P<first_datum>{DATUM}))?(?=\s*(?:\sto\s|±|\+)))?"
    rf"(?:\s+to\s+(?P<last>{SIGN}?\s?{UNSIGNED})"
    rf"|\s*(?:±|\+\s?/\s?[−-]|\+[−-])\s*(?P<both>{UNSIGNED})"
    rf"|\s*(?P<one>{SIGN}\s?{UNSIGNED})\s*[/,]?\s*(?P<other>{SIGN}\s?{UNSIGNED}))?"
    rf"\s*(?P<unit>{UNIT})(?:\s+(?P<datum>{DATUM}))?(?:\s+(?P<bound>max|min|exact))?\s*",
    re.ASCII,
)
_BRACKETED = re.compile(r"[^()]*\((?P<inside>[^()]*)\)(?P<after>[^()]*)")


@dataclass(frozen=True, slots=True)
class Parts:
    """What a limit is made of: its unit, and the pieces of the match by name with their places."""

    found: re.Match[str]
    unit: Unit

    @property
    def text(self) -> str:
        """The limit as typed, blanks around it dropped."""
        return self.found.string.strip()

    def __getitem__(self, name: str) -> str:
        return self.found[name] or ""

    def fault(self, name: str, message: str, hint: str) -> Fault:
        """A fault that stands at the named piece."""
        return Fault(message, hint, *self.found.span(name))


def parts_of(text: str) -> tuple[Parts, Parts | None]:
    """The pieces of a limit, and of the second one in brackets where a source prints both units."""
    if "(" not in text and ")" not in text:
        return _parts(text), None
    found = _BRACKETED.fullmatch(text)
    if found is None:
        raise Fault(
            "the brackets are not one pair around the limit in its other unit",
            "write it like `2.500 to 2.502 in (63.50 to 63.55 mm)`",
            max(text.find("("), 0),
        )
    start, end = found.span("inside")
    first = _parts(text[: start - 1] + " " * (end - start + 2) + found["after"])
    return first, _second_parts(" " * start + found["inside"], first)


def _second_parts(text: str, first: Parts) -> Parts:
    """The pieces inside the brackets; a `max`, `min`, `exact` or datum outside them goes for both."""
    inside = text.strip()
    if not re.search("[0-9]", inside):
        raise Fault(
            f"`({inside})` is not the limit in its other unit",
            "write remarks under `condition:`",
            text.find(inside),
            len(text),
        )
    bound = re.search(r"\s(max|min|exact)\s*\Z", text)
    return _parts(text if bound or not first["bound"] else f"{text} {first['bound']}")


def _parts(text: str) -> Parts:
    found = _LIMIT.fullmatch(text)
    if found is None:
        raise explain(text)
    own = _unit_at(found, "unit")
    if found["first_unit"] and _unit_at(found, "first_unit") != own:
        raise Fault(
            f"`{found['first_unit']}` and `{found['unit']}` are two units in one limit",
            "write one unit, at the end",
            *found.span("first_unit"),
        )
    return Parts(found, own)


def _unit_at(found: re.Match[str], name: str) -> Unit:
    """The unit at a piece; where there is none of that name, what is wrong with the text or the name."""
    try:
        return unit(found[name])
    except Fault as fault:
        known = _known_fault(found.string)
        if known:
            raise known from None
        raise Fault(fault.message, fault.hint, *found.span(name)) from None


@dataclass(frozen=True, slots=True)
class _Slip:
    """A wrong way of writing a limit: how it looks, what to say, the right form by replacement."""

    pattern: re.Pattern[str]
    says: str
    hint: str


def _slip(pattern: str, says: str, hint: str) -> _Slip:
    return _Slip(re.compile(pattern, re.ASCII | re.IGNORECASE), says, hint)


_N: Final = rf"{SIGN}?{UNSIGNED}"
_SLIPS: Final = (
    _slip(
        r"(?P<a>[0-9]*\.[0-9]+)\s*/\s*(?P<b>[0-9]*\.[0-9]+)(?P<u>\s*[A-Za-zµ°%].*|)",
        "is a range without `to`",
        r"write `\g<a> to \g<b>\g<u>`",
    ),
    _slip(
        rf"{UNSIGNED}\s+{SIGN}{UNSIGNED}(?!\s*[/,]?\s*{SIGN})",
        "has one tolerance only",
        "write both, for example `2.500 +0.000 -0.001 in`",
    ),
    _slip(
        rf"(?P<a>{_N})\s*(?:[-–—~…]|\.\.+|thru|through|till|until|and)\s*(?P<b>{UNSIGNED})(?P<u>\s*[A-Za-zµ°%].*|)",
        "is a range without `to`",
        r"write `\g<a> to \g<b>\g<u>`",
    ),
    _slip(
        rf"\A\s*(?:≤|<=?|max(?:imum)?\.?|up to|not over|not more than)\s*(?P<a>{_N})\s*(?P<u>{UNIT})\s*\Z",
        "is a maximum written another way",
        r"write `\g<a> \g<u> max`",
    ),
    _slip(
        rf"\A\s*(?:≥|>=?|min(?:imum)?\.?|from|at least|not less than)\s*(?P<a>{_N})\s*(?P<u>{UNIT})\s*\Z",
        "is a minimum written another way",
        r"write `\g<a> \g<u> min`",
    ),
    _slip(
        rf"(?P<a>{_N})\s*(?P<u>{UNIT})\s+(?P<w>max|min)(?:imum|\.)\Z",
        "does not end in `max` or `min`",
        r"write `\g<a> \g<u> \g<w>`",
    ),
    _slip(
        r"\bper\b.*|/\s*[0-9.]+\s*(?:in|mm)\b.*",
        "makes this a limit per length",
        "write the limit alone and the length under `per:`, for example `per: 1 in of bore.size`",
    ),
    _slip(
        rf"(?:±|\+/-)\s*{UNSIGNED}\s*(?:%|percent)",
        "is a tolerance in percent",
        "work it out and write the lowest and highest value with `to`",
    ),
    _slip(rf"\A\s*(?:±|\+/-)\s*{UNSIGNED}.*", "is a tolerance without a size", "write the size before it"),
    _slip(
        rf"(?P<a>(?<![0-9.]){_N}(?:\s*(?:to|±|\+/-)\s*{UNSIGNED})?)\s*(?P<d>{DATUM})\b",
        "has no unit",
        r"write `\g<a> deg \g<d>`",
    ),
    _slip(
        rf"\A\s*(?P<a>{_N}(?:\s+to\s+{_N}|\s*(?:±|\+/-)\s*{UNSIGNED}|\s*{SIGN}{UNSIGNED}\s*/?\s*{SIGN}{UNSIGNED})?)"
        r"\s*(?P<w>max|exact|)\s*\Z",
        "has no unit",
        "write the unit too, for example `in`, `lb-ft` or `count`",
    ),
    _slip(
        rf"(?P<a>{_N})\s*(?:(?!to\b)[^\s,;0-9][^\s,;]*)?[\s,;]+(?P<b>{_N})\s*(?P<v>{UNIT})\s*\Z",
        "holds two values",
        "write `to` between the ends of a range, and each other value as a limit of its own",
    ),
)


def _known_fault(text: str) -> Fault | None:
    """The first known slip in a text, of a number or of the whole; None where it is none of them."""
    found = slip_in(text)
    if found:
        return found
    for slip in _SLIPS:
        match = slip.pattern.search(text)
        if match:
            return Fault(f"`{match[0].strip()}` {slip.says}", match.expand(slip.hint), *match.span())
    return None


def explain(text: str) -> Fault:
    """Why a text is not a limit, and what to write instead."""
    if not text.strip():
        return Fault(
            "a limit is missing", "write one like `0.0015 to 0.0025 in`, or `unknown:` and the reason"
        )
    if not re.search("[0-9½¼¾⅛⅜⅝⅞⅓⅔]", text):
        return Fault(f"`{text.strip()}` holds no number", "write a limit, or `unknown:` and the reason")
    return _known_fault(text) or Fault(
        f"`{text.strip()}` is not a limit",
        "write it like `0.0015 to 0.0025 in`, `2.500 ± 0.001 in` or `0.004 in max`",
    )

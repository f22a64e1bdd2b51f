"""A worksheet as plain data for its page, which works it out with the same words as the command line."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, Final

from builder.formula import Node, export, export_units, names_of
from builder.formula.notation import Notation
from builder.manual import Manual
from builder.model.base import Text
from builder.model.worksheet import Shown, Worksheet
from builder.units import UNITS, Unit, partner
from builder.worksheet.words import NOTE, head_lines
from builder.worksheet.work import decimals_of, names_in, partner_decimals, shown_as

VERSION: Final = 1
_NAMES: Final = re.compile("\x02(.)(.*?)\x03")


def exported_units() -> dict[str, Any]:
    """What all worksheets share: every unit, and how it is printed where that differs from its symbol."""
    return {
        "units": export_units(),
        "labels": {symbol: one.label for symbol, one in UNITS.items() if one.label != symbol},
    }


def exported(manual: Manual, worksheet: Worksheet) -> dict[str, Any]:
    """One worksheet: inputs, steps with exported formulas, examples, and the words round them."""
    results = list(worksheet.is_.items())
    return {
        "worksheet": VERSION,
        "head": list(head_lines(manual, worksheet)),
        "caution": str(worksheet.caution or ""),
        "note": NOTE,
        "inputs": [
            {
                "name": str(name),
                "unit": own.unit.symbol,
                "default": str(own.default or ""),
                "many": own.many,
                "datum": own.datum,
            }
            for name, own in worksheet.inputs.items()
        ],
        "lines": [_line(worksheet, name, formula.node) for name, formula in results],
        "example": _example(worksheet),
    }


def _example(worksheet: Worksheet) -> Mapping[str, str]:
    """What the first example that holds types in."""
    first = next((one for one in worksheet.examples if one.holds_in != "trap"), None)
    return {str(name): str(text) for name, text in first.given.items()} if first else {}


def _line(worksheet: Worksheet, name: Text, node: Node) -> dict[str, Any]:
    shown = shown_as(worksheet, name)
    return {
        "name": str(name),
        "unit": shown.unit.symbol,
        "decimals": decimals_of(shown),
        "partner": _partner(shown),
        "uses": list(dict.fromkeys(one.name for one in names_of(node))),
        "formula": export(node),
        "written": pieces(worksheet, node),
    }


def _partner(shown: Shown) -> dict[str, Any] | None:
    other: Unit | None = partner(shown.unit)
    return None if other is None else {"unit": other.symbol, "decimals": partner_decimals(shown, other)}


class _Marked(Notation):
    """The notation with its names marked, so that the page can put numbers in their place."""

    def name(self, name: str, *, raised: bool) -> str:
        """A marked name."""
        return f"\x02{'^' if raised else ' '}{name}\x03"


def pieces(worksheet: Worksheet, node: Node) -> list[str | list[str]]:
    """A formula in the trade's notation, taken apart: words; names as `[name]`, with `"^"` below a power."""
    found: list[str | list[str]] = []
    text, at = _Marked(names_in(worksheet)).write(node), 0
    for name in _NAMES.finditer(text):
        found += [text[at : name.start()], [name[2], "^"] if name[1] == "^" else [name[2]]]
        at = name.end()
    return [piece for piece in (*found, text[at:]) if piece]

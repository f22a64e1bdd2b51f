"""A characteristic as a page shows it: each value in both systems, whose it is, its source and page."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Final

from builder.citation import COMMON_PRACTICE, Citation
from builder.conversion import other_system
from builder.diagnostics import Fault
from builder.limit import Limit
from builder.manual import Manual
from builder.model.base import Word
from builder.model.engine import Engine
from builder.model.spec import (
    IN_FORCE,
    LIMIT_KINDS,
    BasicRow,
    CurveRow,
    LimitRow,
    OrderRow,
    ScheduleRow,
    SeenRow,
    StepsRow,
)
from builder.model.written import Cited, Exact, Stated
from builder.number import show_number
from builder.quantity import Quantity
from builder.render import addresses, decided, words
from builder.units import UNITS, Unit, partner
from builder.units import unit as unit_of

ORDER: Final = ("supplier", "new", "shop", "rule", "aim", "wear")
"""The order in which a page shows limit kinds: what decides first, what never passes a rebuilt part last."""

_LABELS: Final = {"count": "", "ratio": ": 1"}
_IN_TEXT = re.compile(r"\b(degF|degC|Fdeg|Cdeg|microinch|um)\b")
_BEFORE_UNIT = re.compile(r"(?P<number>(?:[-+−±.\s/½¼¾⅓⅔⅛⅜⅝⅞]|\bto\b|\d)*[\d½¼¾⅓⅔⅛⅜⅝⅞])\s*(?P<rest>\D.*)?")
_SECOND_END = re.compile(r"\bto\b.*\d")
_DEGREES = re.compile(r"(?<=\d) ?deg\b")
_AFTER = re.compile(r"(?:(?:^|\s+)(?:[AB]?[TB]DC|max|min|exact))+$")


@dataclass(frozen=True, slots=True)
class Measure:
    """A number as a page prints it: digits as typed, the unit, and what stands after the unit (max, BTDC).

    `worded` marks a value that is said in words and has no number of its own.
    """

    number: str
    unit: str = ""
    after: str = ""
    worded: bool = False

    def __str__(self) -> str:
        return " ".join(part for part in (self.number, self.unit, self.after) if part)


@dataclass(frozen=True, slots=True)
class Cite:
    """Where a value is printed: short beside the value, in full, and the link to the source."""

    text: str
    full: str
    href: str


@dataclass(frozen=True, slots=True)
class Value:
    """One stated value of a characteristic.

    `kind` and `label` say whose it is (both empty for rows without limit kinds), `place` the position, grade
    or stage, `partner` the other system, `remark` what to know of it. `decides` marks the limit in force.
    `because` tells who decided it against the base, when and why.
    """

    kind: str
    label: str
    place: str
    shown: Measure
    partner: Measure | None
    cites: tuple[Cite, ...]
    remark: str = ""
    decides: bool = False
    because: str = ""


def printed(text: str) -> str:
    """A text of the manual with unit symbols as a page prints them: `68 degF` is `68 °F`."""
    return _DEGREES.sub("°", _IN_TEXT.sub(lambda found: UNITS[found[0]].label, text))


@lru_cache(maxsize=1 << 14)
def measure(text: str) -> Measure:
    """Take a value as typed apart into number, unit and bound; a text in words stays whole."""
    own = text.partition("(")[0].strip()
    found = _BEFORE_UNIT.fullmatch(own)
    rest = (found["rest"] or "").strip() if found else ""
    if found is None or _SECOND_END.search(rest):
        return Measure(printed(own), worded=True)
    after = _AFTER.search(rest)
    unit = rest[: after.start()] if after else rest
    number = found["number"].strip()
    label = unit_label(unit)
    bound = after[0].replace("exact", "").strip() if after else ""
    return Measure(number + label, "", bound) if label == "°" else Measure(number, label, bound)


def unit_label(symbol: str) -> str:
    """A unit as a page prints it after a number; what is no unit stays as typed."""
    found = spelled(symbol)
    return _LABELS.get(found.symbol, found.label) if found else symbol


def spelled(symbol: str) -> Unit | None:
    """The unit that a text spells, or None."""
    try:
        return unit_of(symbol)
    except Fault:
        return None


def other(limit: Limit) -> Measure | None:
    """The same limit in the other system: as the source prints it, or else converted inward."""
    second = limit.second or other_system(limit)
    return measure(second.text) if second else None


def quantity(shown: Quantity) -> str:
    """A quantity in both systems, in one line."""
    own = str(measure(shown.text))
    converted = _converted((shown,))
    return f"{own} ({converted})" if converted else own


def _converted(quantities: tuple[Quantity, ...]) -> Measure | None:
    """Sizes in the partner's unit, one digit less than in inches where that unit is finer."""
    first = quantities[0]
    beside = partner(first.unit)
    if beside is None:
        return None
    decimals = max((number.number.decimals or 0) for number in quantities)
    numbers = (beside.from_base(each.base) for each in quantities)
    digits = _digits(first.unit.factor / beside.factor, decimals)
    return Measure(
        ", ".join(show_number(number, digits) for number in numbers),
        beside.label,
    )


def _digits(scale: Fraction, decimals: int) -> int:
    """How many decimals keep a size's last digit when its unit grows by `scale`."""
    while scale >= 10 and decimals:  # noqa: PLR2004 - ten is one decimal place
        scale, decimals = scale / 10, decimals - 1
    return decimals


# Sources


def cite(manual: Manual, engine: Engine | None, citation: Citation, here: str) -> Cite:
    """A citation resolved: the source's own words, the place in it, the link to where it is described."""
    if citation.source == COMMON_PRACTICE:
        text = f"{COMMON_PRACTICE} {citation.locator}".strip()
        return Cite(
            text, "Common practice, no source", addresses.link(here, addresses.source(COMMON_PRACTICE))
        )
    source = manual.source(engine, citation.source)
    owned = engine is not None and citation.source in engine.sources
    there = addresses.source(citation.source, str(engine.engine) if engine and owned else "")
    named = [str(source.title), str(source.edition or "")] if source else [citation.source]
    full = ", ".join(part for part in (*named, citation.locator) if part)
    short = f"{citation.source} {citation.locator}".strip().replace("p. ", "p.\u00a0")
    return Cite(short, full, addresses.link(here, there))


def citations(row: BasicRow) -> Iterator[tuple[str, Citation]]:
    """Every citation of a row with what is cited there: a limit kind, or the name of the key in words."""
    for kind in LIMIT_KINDS:
        stated: Stated[object] | None = getattr(row, kind, None)
        for cited in stated.every() if stated else ():
            yield from ((words.LIMITS[kind].label, citation) for citation in cited.citations)
    for key in ("at", "order", "rounds", "source"):
        found: Exact | Cited[str] | None = getattr(row, key, None)
        yield from ((key, citation) for citation in (found.citations if found else ()))


# The values of a row


@dataclass(frozen=True)
class Shower:
    """What it takes to show the values of a family's rows on the page `here`."""

    manual: Manual
    engine: Engine
    here: str

    def values(self, row: BasicRow) -> tuple[Value, ...]:
        """Everything that a row states, what decides first."""
        if isinstance(row, ScheduleRow):
            return self._stages(row)
        if isinstance(row, SeenRow):
            seen = Measure(printed(row.expect), worded=True)
            return (Value("", "", "", seen, None, self.cites(row.source.citations)),)
        decides = next((kind for kind in IN_FORCE if getattr(row, kind, None)), "")
        return tuple(value for kind in ORDER for value in self._stated(row, kind, decides))

    def cites(self, found: tuple[Citation, ...]) -> tuple[Cite, ...]:
        """Citations resolved for this page."""
        return tuple(cite(self.manual, self.engine, citation, self.here) for citation in found)

    def _stated(self, row: BasicRow, kind: str, decides: str) -> Iterator[Value]:
        stated: Stated[object] | None = getattr(row, kind, None)
        for position, group in stated.by.items() if stated else ():
            for number, cited in enumerate(group):
                yield self._value(row, kind, place(row, str(position)), cited, _Rank(decides, number))

    def _value(self, row: BasicRow, kind: str, where: str, cited: Cited[object], rank: _Rank) -> Value:
        shown, partner_shown = _both(row, cited)
        return Value(
            kind=kind,
            label=words.LIMITS[kind].label,
            place=where,
            shown=shown,
            partner=partner_shown,
            cites=self.cites(cited.citations),
            remark=rank.remark(kind),
            decides=kind == rank.decides and not rank.number,
            because=decided.at(self.manual, cited.text.span),
        )

    def _stages(self, row: ScheduleRow) -> tuple[Value, ...]:
        return tuple(
            Value(
                kind="",
                label="",
                place=f"stage {number}",
                shown=Measure(_stage(row, line)),
                partner=None,
                cites=self.cites(row.source.citations) if number == 1 else (),
            )
            for number, line in enumerate(row.rows, 1)
        )


@dataclass(frozen=True, slots=True)
class _Rank:
    """Which kind decides, and which of several sources a value is from (0 the first)."""

    decides: str
    number: int

    def remark(self, kind: str) -> str:
        """What to know of a value that does not decide."""
        if self.number:
            return "another source prints this; the first is in force"
        if kind == "wear":
            return words.WEAR_ONLY
        if kind in IN_FORCE and kind != self.decides:
            return f"the {words.LIMITS[self.decides].label} limit goes before it"
        return ""


def place(row: BasicRow, position: str) -> str:
    """A position or grade in words; empty where a value holds for all."""
    if not position:
        return ""
    if isinstance(row, LimitRow) and position in row.grades:
        return f"grade {position}"
    return f"{words.plain(row.each)} {position}" if row.each else position


def _both(row: BasicRow, cited: Cited[object]) -> tuple[Measure, Measure | None]:
    if isinstance(cited.value, Limit):
        return measure(cited.body), other(cited.value)
    if isinstance(row, StepsRow) and isinstance(cited.value, tuple):
        return measure_list(cited.body), _converted(cited.value) if cited.value else None
    if isinstance(row, CurveRow):
        return Measure(_curve(row, cited.body)), None
    return Measure(printed(cited.body), worded=not isinstance(row, OrderRow)), None


def measure_list(body: str) -> Measure:
    """Steps as typed, the unit apart: `0.010, 0.020 in`."""
    *most, last = body.split(",")
    ending = measure(last.strip())
    return Measure(", ".join([*(part.strip() for part in most), ending.number]), ending.unit, ending.after)


def _curve(row: CurveRow, body: str) -> str:
    """A curve's points with their units: `8° at 1400 rpm`."""
    points = [point.strip().partition(" at ") for point in body.split(",")]
    return ", ".join(
        f"{measure(f'{to} {row.to}')} at {measure(f'{over} {row.from_}')}" for to, _, over in points
    )


def _stage(row: ScheduleRow, line: str) -> str:
    """One stage in words; a column is named where its unit does not tell it from another."""
    units = list(row.columns.values())
    cells = zip((cell.strip() for cell in line.split(",")), row.columns.items(), strict=False)
    return ", ".join(
        f"{words.plain(name)} {measure(f'{cell} {unit}')}"
        if units.count(unit) > 1
        else str(measure(f"{cell} {unit}"))
        for cell, (name, unit) in cells
    )


def rows_by_group(engine: Engine) -> Iterator[tuple[str, tuple[tuple[Word, BasicRow], ...]]]:
    """A family's rows by the letters of their codes, in the order of the groups and of the file."""
    groups: dict[str, list[tuple[Word, BasicRow]]] = {prefix: [] for prefix in (*words.GROUPS, "")}
    for name, row in engine.specs.items():
        groups[prefix_of(row)].append((name, row))
    for prefix, rows in groups.items():
        if rows:
            yield prefix, tuple(rows)


def prefix_of(row: BasicRow) -> str:
    """The group of a row by its code; empty where the code names none."""
    prefix = str(row.code or "").partition("-")[0]
    return prefix if prefix in words.GROUPS else ""

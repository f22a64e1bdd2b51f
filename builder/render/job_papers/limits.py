"""Limits and values of a record in words: the words of the judge, both units, and the source."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from builder.conversion import other_system
from builder.jobs.measured import MOCK_UP, Column, Reading
from builder.judge import Judgement, Verdict
from builder.judge.bounds import Band
from builder.judge.words import band_words, places_of, value_words, verdict_words
from builder.limit import Form, Limit
from builder.render import words
from builder.render.values import printed
from builder.units import Unit

NAMED: Final = re.compile("`([^`]*)`")

STAGES: Final = {
    "as_found": "as found",
    "as_machined": "as machined",
    "final": "as left",
    "after_run": "after the run",
}
"""What an owner calls the stages of a reading."""


def limit_words(band: Band) -> str:
    """A limit with its other unit, whose it is, how far it is moved, and where it is printed."""
    bounds, _, whose = band_words(band).partition(", ")
    cites = dict.fromkeys(f" {one}" for cited in band.printed for one in cited.citations)
    return printed(f"{bounds}{other_words(band)}, {whose}{''.join(cites)}")


def other_words(band: Band) -> str:
    """A limit in the other system in brackets, rounded inwards; empty where it is printed so, or has none."""
    first = band.printed[0].value
    if first.second is not None and not band.moved:
        return ""
    own = first.unit
    low, high = (None if bound is None else own.from_base(bound) for bound in (band.low, band.high))
    form = Form.RANGE if low is not None and high is not None else Form.MAX if low is None else Form.MIN
    other = other_system(Limit("", form, own, low, high, None, places_of(band)))
    return f" ({other.text})" if other else ""


def number_words(one: Judgement, unit: Unit | None) -> str:
    """A value without its unit, which stands at the head of the table; a dash where there is none."""
    if one.value is None:
        return "–"
    shown = value_words(one)
    return printed(shown if unit is None else shown.replace(f" {unit.symbol}", "", 1))


def both_words(one: Judgement) -> str:
    """A value in its unit and in that of the other system, which goes to the nearest."""
    if one.value is None or one.unit is None:
        return printed(value_words(one))
    own = one.unit.from_base(one.value)
    other = other_system(Limit("", Form.NOMINAL, one.unit, None, None, own, one.typed_places))
    return printed(value_words(one) + (f" ({other.text})" if other is not None else ""))


def unit_words(unit: Unit | None) -> str:
    """A unit as a page prints it; empty where a value has none."""
    return "" if unit is None or unit.symbol in ("ratio", "count") else unit.label


def with_unit(number: str, unit: Unit | None) -> str:
    """A number and its unit; the sign of degrees stands close to it, before what the angle counts from."""
    label = unit_words(unit)
    first, _, rest = number.partition(" ")
    joined = f"{first}{label}" if label == "°" else f"{first} {label}".strip()
    return f"{joined} {rest}".strip()


def column_words(column: Column) -> str:
    """A place on a thing, or the end of a fit."""
    labels, end = column
    return " ".join((*labels, *filter(None, [end]))).replace("_", " ")


def reading_words(one: Reading, every: Sequence[Reading]) -> str:
    """A reading by its stage; by its procedure as well where another has the same stage."""
    own = stage_words(one)
    twins = [other for other in every if stage_words(other) == own]
    return f"{own}, {one.code}" if len(twins) > 1 else own


def plainly(sentence: str) -> str:
    """A sentence for an owner: names in backticks as plain words."""
    return NAMED.sub(lambda found: words.plain(found[1]), sentence)


def stage_words(one: Reading) -> str:
    """The stage of a reading as an owner calls it."""
    return "mock-up" if one.run == MOCK_UP else STAGES[one.stage]


def look_of(one: Judgement) -> str:
    """The word for the style sheet under which a value is set."""
    flags = [str(flag) for flag in one.flags]
    if one.verdict is Verdict.OUT:
        return "number out"
    return "number suspect" if "suspect" in flags else "number"


def line_verdict(line: Sequence[tuple[Column, Judgement]]) -> str:
    """The verdict of a line: one for all, or each with its places, the worst first."""
    by_words: dict[str, list[str]] = {}
    for column, one in line:
        by_words.setdefault(verdict_words(one), []).append(column_words(column))
    if len(by_words) == 1:
        return next(iter(by_words))
    ordered = sorted(by_words.items(), key=lambda item: _rank(item[0]))
    most = max(len(places) for places in by_words.values())
    *named, last = ordered
    told = [f"{verdict}: {', '.join(places)}" for verdict, places in named]
    rest = f"{last[0]}: the rest" if len(last[1]) == most else f"{last[0]}: {', '.join(last[1])}"
    return "; ".join([*told, rest])


def _rank(verdict: str) -> tuple[int, bool, int]:
    """The worst verdict first; of two alike, first the one that is suspect, then the one with more to say."""
    order = ("out", "not read", "in", "no limit")
    return order.index(verdict.partition(",")[0]), "suspect" not in verdict, -len(verdict)

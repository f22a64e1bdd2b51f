"""A comparison as plain data, for JSON: every value with its job, builder, day and place."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from builder.jobs.compared import Comparison, Loops, Repeats, Series
from builder.jobs.compared.words import difference_words, limit_words, sections
from builder.jobs.statistics import OneWay
from builder.units import Unit


def plain(found: Comparison) -> dict[str, Any]:
    """A comparison as JSON takes it; numbers are in the unit that stands beside them."""
    return {
        "family": str(found.engine.engine),
        "jobs": [checked.folder.name for checked in found.jobs],
        "words": {title: list(said) for title, said in sections(found)},
        "characteristics": [_series(one) for one in found.series],
        "loops": [row for loops in found.loops for row in _loops(loops)],
        "gauges": [_repeats(one) for one in found.repeats],
    }


def _number(value: Fraction, unit: Unit) -> float:
    return float(unit.from_base(value))


def _size(value: Fraction | float, unit: Unit) -> float:
    """A difference or a deviation."""
    return float(Fraction(value) / unit.factor)


def _series(series: Series) -> dict[str, Any]:
    unit = series.unit
    return {
        "characteristic": series.characteristic,
        "title": series.title,
        "procedure": series.procedure,
        "unit": unit.symbol,
        "limit": limit_words(series),
        "words": difference_words(series) if series.is_told else "",
        "builders": {name: _number(value, unit) for name, value in series.means.items()},
        "in_one_engine": _size(series.in_engine, unit),
        "uncertainty": _size(series.uncertainty, unit),
        "by_engines": _one_way(series.by_job, unit, series.chance),
        "by_places": _one_way(series.by_place, unit, None),
        "values": [
            {
                "job": one.job,
                "builder": one.builder,
                "day": one.day,
                "at": {str(side): str(label) for side, label in one.at.items()},
                "value": _number(one.value, unit),
            }
            for one in series.points
        ],
    }


def _one_way(found: OneWay, unit: Unit, chance: float | None) -> dict[str, Any]:
    square = unit.factor**2
    return {
        "between": float(found.between / square),
        "within": float(found.within / square),
        "between_free": found.between_free,
        "within_free": found.within_free,
        "ratio": found.ratio,
        "chance": chance,
    }


def _loops(loops: Loops) -> list[dict[str, Any]]:
    return [
        {
            "procedure": loops.code,
            "job": sheet.job,
            "builder": sheet.builder,
            "passes": sheet.number,
            "read_again": sheet.again,
            "corrected": sheet.corrected,
        }
        for sheet in loops.sheets
    ]


def _repeats(one: Repeats) -> dict[str, Any]:
    return {
        "job": one.job,
        "procedure": one.code,
        "title": one.title,
        "gauge": one.gauge,
        "unit": one.unit.symbol,
        "people": list(one.people),
        "places": one.study.parts,
        "repeats": one.study.repeats,
        "repeatability": _size(one.repeat, one.unit),
        "gauge_and_people": _size(one.gauge_deviation, one.unit),
        "apart": _size(one.apart, one.unit),
        "share_of_limit": one.of_band,
    }

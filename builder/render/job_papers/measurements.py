"""The measurements of a record: a table for each characteristic, with limits, verdicts and limit bars."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from markupsafe import Markup

from builder.jobs.measured import Column, Measured, Reading
from builder.jobs.plan import Thing
from builder.judge import Judgement, Verdict
from builder.judge.bounds import Band
from builder.judge.taken import position
from builder.render import words
from builder.render.job_papers.bars import bar
from builder.render.job_papers.limits import (
    column_words,
    limit_words,
    line_verdict,
    look_of,
    number_words,
    plainly,
    reading_words,
    stage_words,
    unit_words,
    with_unit,
)
from builder.render.job_papers.tables import Cell, Table
from builder.render.values import prefix_of, printed

BESIDE: Final = 2
"""Up to so many places on a thing, its readings stand side by side; of more, one below the other."""

WIDEST: Final = 7
"""Columns of figures that a page takes side by side."""


VERDICT: Final = Cell("verdict", "verdict", is_head=True)


@dataclass(frozen=True, slots=True)
class MeasuredView:
    """One characteristic: what it is, the limits by reading, its values, what to know of single ones."""

    title: str
    code: str
    limits: tuple[tuple[str, str], ...]
    table: Table
    remarks: tuple[str, ...]
    is_narrow: bool = False
    """Whether two of these have room beside each other."""


@dataclass(frozen=True, slots=True)
class GroupView:
    """The characteristics of one part of the engine."""

    id: str
    title: str
    parts: tuple[MeasuredView, ...]


def groups(parts: Sequence[Measured]) -> Iterator[GroupView]:
    """All characteristics by the part of the engine, those without a code last."""
    sorted_in: dict[str, list[Measured]] = {prefix: [] for prefix in (*words.GROUPS, "")}
    for part in parts:
        sorted_in[prefix_of(part.row) if part.row is not None else ""].append(part)
    for prefix, found in sorted_in.items():
        if found:
            title = words.GROUPS.get(prefix, "Recorded beside them")
            single = [part for part in found if _is_single(part)]
            views = [view(part) for part in found if part not in single]
            views += [_singles(single)] if single else []
            yield GroupView(f"measured-{prefix.lower() or 'other'}", title, tuple(views))


def _is_single(part: Measured) -> bool:
    """Whether it is one value of the whole engine."""
    return part.things == ((),) and part.columns == (((), ""),)


SINGLE: Final = (
    ("Value", "thing words"),
    ("Read", "stage"),
    ("Reading", "number"),
    ("Verdict", "verdict"),
    ("Limit", "words"),
    ("Between limits", "bar"),
)
"""The columns of the table of single values; without any limit it has not the last two."""


def _singles(parts: Sequence[Measured]) -> MeasuredView:
    """Values of the whole engine in one table, a line for each reading."""
    has_limits = any(one.decision.by is not None for part in parts for one in part.every)
    head = tuple(Cell(text, look, is_head=True) for text, look in SINGLE[: None if has_limits else -2])
    groups = tuple(
        tuple(_single(part, reading, has_limits=has_limits) for reading in part.readings) for part in parts
    )
    remarks = tuple(remark for part in parts for remark in _Lister(part).remarks())
    return MeasuredView("Of the whole engine", "", (), Table((head,), groups), remarks)


def _single(part: Measured, reading: Reading, *, has_limits: bool) -> tuple[Cell, ...]:
    line = part.values[(), reading]
    (one,) = line.values()
    band = one.decision.by
    code = f" ({part.row.code})" if part.row is not None and part.row.code else ""
    title = Cell(f"{part.title}{code}", "thing words", len(part.readings), is_head=True)
    limit = Cell(limit_words(band) if band is not None else "none", "words")
    return (
        *((title,) if reading is part.readings[0] else ()),
        Cell(f"{stage_words(reading)}, {reading.code}", "stage"),
        Cell(
            with_unit(number_words(one, part.unit), part.unit),
            look_of(one),
        ),
        Cell(line_verdict(list(line.items())), "verdict"),
        *((limit, Cell(drawing=_drawn(line), look="bar")) if has_limits else ()),
    )


def view(part: Measured) -> MeasuredView:
    """One characteristic in finished words."""
    lister = _Lister(part)
    return MeasuredView(
        title=part.title,
        code=str(part.row.code or part.code) if part.row is not None else part.code,
        limits=tuple(lister.limits()),
        table=lister.beside() if lister.is_beside else lister.below(),
        remarks=tuple(lister.remarks()),
        is_narrow=lister.is_narrow,
    )


@dataclass(frozen=True)
class _Lister:
    """What it takes to lay out the values of one characteristic."""

    part: Measured

    @property
    def is_beside(self) -> bool:
        """Whether the readings of a thing stand side by side."""
        columns = len(self.part.columns)
        return columns <= BESIDE and columns * len(self.part.readings) <= WIDEST

    @property
    def is_narrow(self) -> bool:
        """Whether it takes half the width of a page at most."""
        figures = len(self.part.columns) * len(self.part.readings)
        return self.is_beside and figures <= BESIDE and len(self.part.readings) == 1 and not self._own_limits

    # Limits

    def limits(self) -> Iterator[tuple[str, str]]:
        """The limits of each reading, where they are the same for every thing."""
        said: dict[str, list[str]] = {}
        for reading in self.part.readings if not self._own_limits else ():
            for band in self.part.bands(reading):
                said.setdefault(limit_words(band), []).append(self._words(reading))
        several = len(self.part.readings) > 1
        for limit, readings in said.items():
            yield (words.listed(readings) if several else "", limit)

    @property
    def _own_limits(self) -> bool:
        """Whether things have limits of their own."""
        kinds = [[band.kind for band in self.part.bands(reading)] for reading in self.part.readings]
        return any(len(set(one)) < len(one) for one in kinds)

    def _words(self, reading: Reading) -> str:
        return reading_words(reading, self.part.readings)

    # Side by side

    def beside(self) -> Table:
        """A line for each thing, its readings side by side."""
        columns, readings = self.part.columns, self.part.readings
        width, rows = len(columns) + 1, 1 if columns == (((), ""),) else 2
        heads = [
            Cell(self._words(one), "stage", columns=width if rows > 1 else 1, is_head=True)
            for one in readings
        ]
        if rows == 1:
            heads = [cell for head in heads for cell in (replace(head, look="number"), VERDICT)]
        first = (self._corner(rows), *heads, *self._bar_head(rows), *self._limit_head(rows))
        places = [*(Cell(column_words(one), "number", is_head=True) for one in columns), VERDICT]
        second = tuple(cell for _ in readings for cell in places)
        groups = tuple((self._beside(thing),) for thing in self.part.things)
        return Table((first, second) if rows > 1 else (first,), groups)

    def _beside(self, thing: Thing) -> tuple[Cell, ...]:
        cells = [self._thing(thing)]
        for reading in self.part.readings:
            line = self.part.values.get((thing, reading), {})
            cells += self._figures(line)
            cells.append(Cell(line_verdict(list(line.items())) if line else "", "verdict"))
        return (*cells, *self._bar(thing), *self._limit(thing))

    # One below the other

    def below(self) -> Table:
        """A line for each reading of each thing, things together."""
        heads = [self._corner(1), Cell("", is_head=True)]
        heads += [Cell(column_words(one), "number", is_head=True) for one in self.part.columns]
        first = (*heads, Cell("verdict", "verdict", is_head=True), *self._bar_head(1), *self._limit_head(1))
        return Table((first,), tuple(tuple(self._below(thing)) for thing in self.part.things), "below")

    def _below(self, thing: Thing) -> Iterator[tuple[Cell, ...]]:
        there = [one for one in self.part.readings if (thing, one) in self.part.values]
        for place, reading in enumerate(there):
            line = self.part.values[thing, reading]
            cells = [self._thing(thing, len(there))] if place == 0 else []
            cells.append(Cell(self._words(reading), "stage"))
            cells += self._figures(line)
            drawn = [Cell(drawing=_drawn(line), look="bar")] if self._has_bars else []
            verdict = Cell(line_verdict(list(line.items())), "verdict")
            yield (*cells, verdict, *drawn, *self._limit_of(line))

    # Cells

    def _figures(self, line: Mapping[Column, Judgement]) -> Iterator[Cell]:
        for column in self.part.columns:
            one = line.get(column)
            shown = number_words(one, self.part.unit) if one is not None else ""
            yield Cell(shown, look_of(one) if one is not None else "number")

    def _corner(self, rows: int) -> Cell:
        unit = unit_words(self.part.unit)
        sides = dict.fromkeys(tuple(side for side, _ in thing) for thing in self.part.things)
        named = ", ".join(map(words.plain, next(iter(sides)))) if len(sides) == 1 else ""
        return Cell(", ".join(filter(None, (named, unit))), "thing", rows=rows, is_head=True)

    def _thing(self, thing: Thing, rows: int = 1) -> Cell:
        sides = {tuple(side for side, _ in one) for one in self.part.things}
        shown = " ".join(label for _, label in thing) if len(sides) == 1 else position(dict(thing))
        return Cell(shown or "engine", "thing", rows=rows, is_head=True)

    # Bars and limits of single things

    @property
    def _has_bars(self) -> bool:
        return any(one.decision.by is not None and one.value is not None for one in self.part.every)

    def _bar_head(self, rows: int) -> tuple[Cell, ...]:
        return (Cell("between limits", "bar", rows=rows, is_head=True),) if self._has_bars else ()

    def _bar(self, thing: Thing) -> tuple[Cell, ...]:
        if not self._has_bars:
            return ()
        last = self.part.last(thing)
        reading, line = last or (None, {})
        band = _band(line)
        before = [
            one
            for earlier in self.part.readings
            if earlier != reading
            for one in self.part.values.get((thing, earlier), {}).values()
            if band is not None and _same(one.decision.by, band)
        ]
        return (Cell(drawing=_drawn(line, before), look="bar"),)

    def _limit_head(self, rows: int) -> tuple[Cell, ...]:
        return (Cell("limit", "words", rows=rows, is_head=True),) if self._own_limits else ()

    def _limit(self, thing: Thing) -> tuple[Cell, ...]:
        last = self.part.last(thing)
        return self._limit_of(last[1] if last else {})

    def _limit_of(self, line: Mapping[Column, Judgement]) -> tuple[Cell, ...]:
        if not self._own_limits:
            return ()
        bands = dict.fromkeys(one.decision.by for one in line.values() if one.decision.by is not None)
        return (Cell("; ".join(map(limit_words, bands)), "words"),)

    # Remarks

    def remarks(self) -> Iterator[str]:
        """Why values are suspect or missing, each reason once with its places."""
        said: dict[str, list[str]] = {}
        for (thing, _), line in self.part.values.items():
            for column, one in line.items():
                where = " ".join(filter(None, (position(dict(thing)), column_words(column))))
                for reason in one.reasons:
                    said.setdefault(reason, []).append(where)
        for reason, places in said.items():
            where = (
                f"{len(places)} values"
                if len(places) > len(self.part.things)
                else "; ".join(filter(None, places))
            )
            yield printed(plainly(f"{where}: {reason}" if where else reason))


def _band(line: Mapping[Column, Judgement]) -> Band | None:
    """The limit of a line; where a service limit passed some of its values, that one."""
    bands = [one.decision.by for one in line.values() if one.decision.by is not None]
    return next((band for band in bands if band.kind == "wear"), bands[0] if bands else None)


def _same(band: Band | None, other: Band) -> bool:
    return band is not None and (band.low, band.high) == (other.low, other.high)


def _drawn(line: Mapping[Column, Judgement], before: Sequence[Judgement] = ()) -> Markup:
    band = _band(line)
    said = [one for one in line.values() if one.verdict is not Verdict.NOT_READ]
    return bar(band, said, before) if band is not None and said else Markup()

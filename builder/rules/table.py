"""The spec tables laid out flat, once for each manual: every row, every printed limit, every cited value."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import Any, NamedTuple, TypeAlias

from builder.citation import Citation
from builder.diagnostics import Span
from builder.dimension import TEMPERATURE, Dimension
from builder.limit import Form, Limit
from builder.manual import Manual, row
from builder.model.base import Text
from builder.model.engine import Engine
from builder.model.kinds import KINDS, Kind
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
    TextRow,
)
from builder.model.written import Cited, Stated
from builder.units import UNITS

# Which limit kinds a row may state; asking a model for a field that it lacks is slow.
_STATES: dict[type[BasicRow], tuple[str, ...]] = {
    LimitRow: LIMIT_KINDS,
    OrderRow: ("new", "shop"),
    StepsRow: ("new", "supplier", "shop"),
    CurveRow: ("new", "shop"),
    TextRow: ("new", "supplier", "shop", "rule"),
}

Row: TypeAlias = "tuple[Engine, Text, BasicRow]"
Limits: TypeAlias = "tuple[Engine, Text, LimitRow]"


class Stating(NamedTuple):
    """A row with its family, its name, and what it states under each limit kind."""

    engine: Engine
    name: Text
    row: BasicRow
    said: tuple[tuple[str, Stated[Any]], ...]


class Printed(NamedTuple):
    """One printed limit: its family, its row, whose it is, its position or grade (empty for all)."""

    engine: Engine
    row: LimitRow
    whose: str
    position: Text
    cited: Cited[Limit]


class CitedValue(NamedTuple):
    """A value that needs a citation: its family, its text, the value without citations, and those."""

    engine: Engine
    text: Text
    body: str
    citations: tuple[Citation, ...]


def statements(one: BasicRow) -> Iterator[tuple[str, Stated[Any]]]:
    """Every limit kind under which a row states something."""
    for kind in _STATES.get(type(one), ()):
        found = getattr(one, kind)
        if found is not None:
            yield kind, found


def in_force(one: LimitRow) -> Stated[Limit] | None:
    """The limits that decide: the first of supplier, new, shop and rule that the row states."""
    for kind in IN_FORCE:
        found: Stated[Limit] | None = getattr(one, kind)
        if found is not None:
            return found
    return None


@lru_cache(maxsize=1)
def rows(manual: Manual) -> tuple[Row, ...]:
    """Every row of every family."""
    return tuple(manual.rows())


@lru_cache(maxsize=1)
def limit_rows(manual: Manual) -> tuple[Limits, ...]:
    """Every row that is measured against limits."""
    return tuple((engine, name, one) for engine, name, one in rows(manual) if isinstance(one, LimitRow))


@lru_cache(maxsize=1)
def stating(manual: Manual) -> tuple[Stating, ...]:
    """Every row with what it states, in the order of the files."""
    return tuple(Stating(engine, name, one, tuple(statements(one))) for engine, name, one in rows(manual))


@lru_cache(maxsize=1)
def printed(manual: Manual) -> tuple[Printed, ...]:
    """Every printed limit."""
    return tuple(
        Printed(engine, one, whose, position, cited)
        for engine, _, one, said in stating(manual)
        if isinstance(one, LimitRow)
        for whose, stated in said
        for position, group in stated.by.items()
        for cited in group
    )


@lru_cache(maxsize=1)
def stated_by_position(manual: Manual) -> tuple[tuple[Engine, LimitRow, str, tuple[Text, ...]], ...]:
    """Every value that is stated by position or grade: the family, the row, whose value, the keys."""
    return tuple(
        (engine, one, whose, tuple(key for key in stated.by if key))
        for engine, _, one, said in stating(manual)
        if isinstance(one, LimitRow)
        for whose, stated in said
        if any(stated.by)
    )


@lru_cache(maxsize=1)
def cited_values(manual: Manual) -> tuple[CitedValue, ...]:
    """Every value that needs a citation: limits and other statements, sources, orders, rounds."""
    return tuple(
        CitedValue(found.engine, one.text, one.body, one.citations)
        for found in stating(manual)
        for one in _cited(found)
    )


def _cited(found: Stating) -> Iterator[Cited[Any]]:
    for _, stated in found.said:
        for group in stated.by.values():
            yield from group
    one = found.row
    if isinstance(one, LimitRow):
        yield from (more for more in (one.order, one.rounds) if more is not None)
    elif isinstance(one, ScheduleRow | SeenRow):
        yield one.source


def place(cited: Cited[Any]) -> Span:
    """Where a value stands, without its citations."""
    return cited.text.part(0, len(cited.body))


def dimension(engine: Engine, one: LimitRow) -> Dimension | None:
    """What a row measures: as its kind says, or as the row whose wear or spread it is; else None."""
    kind = KINDS.get(one.kind)
    if kind is not None:
        return kind.dimension
    mate = row(engine, one.of) if one.of is not None else None
    mate_kind = KINDS.get(mate.kind) if isinstance(mate, LimitRow) else None
    return mate_kind.dimension if mate_kind else None


_WORDED = (Form.SAME_AS_NEW, Form.FIT_ONLY)

# As floats: plausible ranges catch slips of the pen, no verdict depends on them.
_RANGES = {name: (float(kind.least), float(kind.most)) for name, kind in KINDS.items()}
_SCALES = {symbol: (float(unit.factor), float(unit.offset)) for symbol, unit in UNITS.items()}


def plausible(kind: Kind, limit: Limit) -> bool:
    """Whether a limit's bounds lie where its kind's values lie; a difference of temperatures may be any."""
    if kind.dimension == TEMPERATURE and not limit.unit.offset:
        return True
    least, most = _RANGES[kind.name]
    factor, offset = _SCALES[limit.unit.symbol]
    for bound in (limit.low, limit.high):
        if bound is not None and not least <= bound.numerator / bound.denominator * factor + offset <= most:
            return False
    return True


@lru_cache(maxsize=1)
def unsound(manual: Manual) -> frozenset[int]:
    """The printed limits, by identity, that are not of their kind's dimension or not plausible.

    Each is reported once, and no other rule compares it with anything.
    """
    found = []
    for _, one, _, _, cited in printed(manual):
        kind, limit = KINDS.get(one.kind), cited.value
        if kind is None or limit.form in _WORDED:
            continue
        if limit.unit.dimension != kind.dimension or not plausible(kind, limit):
            found.append(id(cited))
    return frozenset(found)

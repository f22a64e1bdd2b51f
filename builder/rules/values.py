"""What a row of a spec table states: its kind, its values, their units and their citations."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from builder.citation import COMMON_PRACTICE, Citation
from builder.diagnostics import Severity, Span
from builder.dimension import FORCE, MASS, TEMPERATURE, Dimension
from builder.limit import Form, Limit
from builder.manual import Manual, row
from builder.model.base import Text
from builder.model.engine import Engine
from builder.model.kinds import KINDS, OTHER_ROWS
from builder.model.spec import (
    IN_FORCE,
    LIMIT_KINDS,
    BasicRow,
    Cited,
    Exact,
    LimitRow,
    ScheduleRow,
    SeenRow,
    Stated,
)
from builder.rules.catalogue import Finding, rule
from builder.rules.wording import nearest

_KNOWN = frozenset({*KINDS, *OTHER_ROWS})
_PUBLISHED = ("new", "wear", "supplier")
_PAGED = ("maker", "handbook", "standard")


def statements(row: BasicRow) -> Iterator[tuple[str, Stated[Any]]]:
    """Every limit kind under which a row states something."""
    for kind in LIMIT_KINDS:
        found = getattr(row, kind, None)
        if found is not None:
            yield kind, found


def limits(row: LimitRow) -> Iterator[tuple[str, Text, Cited[Limit]]]:
    """Every limit that a row prints: whose it is, its position or grade (empty for all), and the limit."""
    for kind, stated in statements(row):
        for position, group in stated.by.items():
            for cited in group:
                yield kind, position, cited


def in_force(row: LimitRow) -> Stated[Limit] | None:
    """The limits that decide: the first of supplier, new, shop and rule that the row states."""
    return next((found for kind in IN_FORCE if (found := getattr(row, kind)) is not None), None)


def place(cited: Cited[Any]) -> Span:
    """Where a value stands, without its citations."""
    return cited.text.part(0, len(cited.body))


def dimension(engine: Engine, one: LimitRow) -> Dimension | None:
    """What a row measures: as its kind says, or as the row whose wear or spread it is; None where neither is known."""
    kind = KINDS.get(one.kind)
    if kind is not None:
        return kind.dimension
    mate = row(engine, one.of) if one.of is not None else None
    mate_kind = KINDS.get(mate.kind) if isinstance(mate, LimitRow) else None
    return mate_kind.dimension if mate_kind else None


def plausible(one: LimitRow, limit: Limit) -> bool:
    """Whether a limit is of its kind's dimension and its bounds lie where that kind's values lie.

    What is not is reported once, and no rule compares it with anything.
    """
    kind = KINDS.get(one.kind)
    if kind is None or not limit.bounded:
        return True
    if kind.dimension == TEMPERATURE and not limit.unit.offset:
        return limit.unit.dimension == kind.dimension  # a difference may be of any size
    return limit.unit.dimension == kind.dimension and all(
        kind.least <= bound <= kind.most for bound in _bounds(limit)
    )


def _bounds(limit: Limit) -> Iterator[Fraction]:
    for bound in (limit.low_base, limit.high_base):
        if bound is not None:
            yield bound


@rule("GL-201")
def kind_not_known(manual: Manual) -> Iterator[Finding]:
    """A row's `kind` is not in the list of kinds.

    Why: The kind says what is measured and which way it wears. Without it no limit of the row can be checked
    and no reading judged.

    Instead: Write one of the kinds: `bore`, `shaft`, `clearance`, `end_float`, `torque`, `load`, `text` and so on.
    """
    for _, _, one in manual.rows():
        if one.kind not in _KNOWN:
            hint = nearest(one.kind, _KNOWN, "write a kind such as `bore`, `shaft`, `clearance` or `text`")
            yield Finding(one.kind.span, f"`{one.kind}` is not a kind of characteristic", hint)


@rule("GL-202")
def nothing_stated(manual: Manual) -> Iterator[Finding]:
    """A row states no value at all and does not say that nothing is published.

    Why: An empty row looks as if somebody forgot it. A builder cannot tell whether the book is silent or the
    typist was called away.

    Instead: Write the limit with its citation, or `unknown:` and where you looked.
    """
    for _, name, one in manual.rows():
        if one.unknown is None and not isinstance(one, ScheduleRow | SeenRow) and not any(statements(one)):
            hint = "write its limit with a citation, or `unknown:` with what was searched"
            yield Finding(name.span, f"`{name}` states no value", hint)


@rule("GL-203")
def stated_and_unknown(manual: Manual) -> Iterator[Finding]:
    """A row says that nothing is published and yet gives a published value.

    Why: One of the two is wrong, and the reader believes whichever stands first.

    Instead: Remove `unknown:`, or remove the value. A value of the shop's own may stand beside `unknown:`.
    """
    for _, name, one in manual.rows():
        if one.unknown is not None:
            for kind, _ in statements(one):
                if kind in _PUBLISHED:
                    yield Finding(
                        one.unknown.span,
                        f"`{name}` is called unknown, but its `{kind}` value is given",
                        f"remove `unknown`, or remove `{kind}`",
                    )
                    break


def _cited(one: BasicRow) -> Iterator[tuple[Span, tuple[Citation, ...], Text]]:
    """Every value of a row that needs a citation: where it stands, its citations, its text."""
    for _, stated in statements(one):
        for cited in stated.every():
            yield place(cited), cited.citations, cited.text
    for name in ("source", "order", "rounds"):
        more = getattr(one, name, None)
        if more is not None:
            yield more.text.span, more.citations, more.text


@rule("GL-204")
def value_without_citation(manual: Manual) -> Iterator[Finding]:
    """A value has no citation.

    Why: Nobody can look it up again, so nobody can tell a misprint from a slip of the pen.

    Instead: Write the source and the place in brackets after the value: `0.004 in max [manual p. 41]`. What
    every shop does and no book prints is `[common practice]`.
    """
    for _, _, one in manual.rows():
        for span, citations, text in _cited(one):
            if not citations:
                hint = "write the source after it, as in `[manual p. 41]`"
                yield Finding(span, f"`{text.strip()}` has no citation", hint)


def _citations(one: BasicRow) -> Iterator[tuple[Citation, Text]]:
    for _, citations, text in _cited(one):
        for citation in citations:
            yield citation, text
    for name in ("at", "within"):
        exact: Exact | None = getattr(one, name, None)
        if exact is not None:
            yield from ((citation, exact.text) for citation in exact.citations)


@rule("GL-205")
def citation_of_unknown_source(manual: Manual) -> Iterator[Finding]:
    """A citation names a source that is declared neither by the family nor for all.

    Why: A source without title and edition cannot be opened at the page.

    Instead: Declare it under `sources:` of the family or in `specs/sources.yaml`, or correct its name.
    """
    for engine, _, one in manual.rows():
        for citation, text in _citations(one):
            name = citation.source
            if name == COMMON_PRACTICE or name in manual.left_out or manual.source(engine, name):
                continue
            known = [*engine.sources, *manual.sources, COMMON_PRACTICE]
            hint = nearest(name, map(str, known), "declare it under `sources:`")
            yield Finding(text.part(citation.start, citation.end), f"`{name}` is not a declared source", hint)


@rule("GL-206", Severity.WARNING)
def citation_without_page(manual: Manual) -> Iterator[Finding]:
    """A citation of a book names no page or table.

    Why: A value that can only be found by reading the whole book will not be looked up.

    Instead: Write the place after the source: `[manual p. 41]`, `[manual table 7]`.
    """
    for engine, _, one in manual.rows():
        for citation, text in _citations(one):
            source = None if citation.locator else manual.source(engine, citation.source)
            if source is not None and source.kind in _PAGED:
                hint = f"write the page, as in `[{citation.source} p. 41]`"
                yield Finding(text.part(citation.start, citation.end), f"`{citation}` names no page", hint)


@rule("GL-207")
def bare_nominal(manual: Manual) -> Iterator[Finding]:
    """A value is given without a tolerance.

    Why: No reading equals a bare number, so each builder makes up his own tolerance.

    Instead: Write the lowest and the highest value, or a tolerance. A count or a size that is exact by design
    is marked `exact`.
    """
    for _, _, one in manual.limit_rows():
        for _, _, cited in limits(one):
            if cited.value.form is Form.NOMINAL:
                hint = f"write `… to … {cited.value.unit}` or a tolerance, or mark it `exact`"
                yield Finding(place(cited), f"`{cited.body}` has no tolerance", hint)


@rule("GL-208")
def unit_unlike_kind(manual: Manual) -> Iterator[Finding]:
    """A limit's unit does not measure what the row's kind is.

    Why: A load in pounds of mass, or a torque in psi, is a misreading of the book; the number is then wrong
    for whoever works in the other units.

    Instead: Write the unit that belongs to the kind: `lbf` for a load, `lb-ft` for a torque, `in` for a size.
    """
    for engine, _, one in manual.limit_rows():
        wanted = dimension(engine, one)
        if wanted is None:
            continue
        for _, _, cited in limits(one):
            own = cited.value.unit
            if cited.value.form not in (Form.SAME_AS_NEW, Form.FIT_ONLY) and own.dimension != wanted:
                words = one.kind.replace("_", " ")
                message = f"`{own}` is a unit of {own.dimension}, and a {words} is a {wanted}"
                yield Finding(place(cited), message, _unit_hint(own.dimension, wanted))


def _unit_hint(own: Dimension, wanted: Dimension) -> str:
    if (own, wanted) == (MASS, FORCE):
        return "write `lbf` for pounds of force"
    if (own, wanted) == (FORCE, MASS):
        return "write `lb` for pounds of mass"
    return f"write a unit of {wanted}, or another `kind`"


@rule("GL-209")
def value_not_plausible(manual: Manual) -> Iterator[Finding]:
    """A value lies far outside what its kind ever is on an engine.

    Why: A decimal point in the wrong place is the usual cause, and it turns a running clearance into a gap or
    a seized bearing.

    Instead: Look at the book again. If the value is right, the kind is not.
    """
    for _, _, one in manual.limit_rows():
        kind = KINDS.get(one.kind)
        if kind is None:
            continue
        for _, _, cited in limits(one):
            limit = cited.value
            if limit.unit.dimension == kind.dimension and not plausible(one, limit):
                hint = "look for a lost or wandered decimal point, or a wrong unit"
                yield Finding(place(cited), f"`{cited.body}` is not plausible for a {kind.words}", hint)

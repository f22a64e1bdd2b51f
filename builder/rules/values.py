"""What a row of a spec table states: its kind, its values, their units and their citations."""

from __future__ import annotations

from collections.abc import Iterator

from builder.citation import COMMON_PRACTICE, Citation
from builder.diagnostics import Severity
from builder.dimension import FORCE, MASS, Dimension
from builder.limit import Form
from builder.manual import Manual
from builder.model.base import Text
from builder.model.engine import Engine
from builder.model.kinds import KINDS, OTHER_ROWS
from builder.model.spec import CurveRow, LimitRow, ScheduleRow, SeenRow
from builder.rules.catalogue import Finding, rule
from builder.rules.references import PAGED
from builder.rules.table import cited_values, dimension, place, printed, rows, stating, unsound
from builder.rules.wording import nearest

_KNOWN = frozenset({*KINDS, *OTHER_ROWS})
_PUBLISHED = ("new", "wear", "supplier")
_WORDED = (Form.SAME_AS_NEW, Form.FIT_ONLY)


@rule("GL-201")
def kind_not_known(manual: Manual) -> Iterator[Finding]:
    """A row's `kind` is not in the list of kinds.

    Why: The kind says what is measured and which way it wears. Without it no limit of the row can be checked
    and no reading judged.

    Instead: Write one of the kinds: `bore`, `shaft`, `clearance`, `end_float`, `torque`, `load`, `text` and
    so on.
    """
    for _, _, one in rows(manual):
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
    for _, name, one, said in stating(manual):
        if not said and one.unknown is None and not isinstance(one, ScheduleRow | SeenRow):
            hint = "write its limit with a citation, or `unknown:` with what was searched"
            yield Finding(name.span, f"`{name}` states no value", hint)


@rule("GL-203")
def stated_and_unknown(manual: Manual) -> Iterator[Finding]:
    """A row says that nothing is published and yet gives a published value.

    Why: One of the two is wrong, and the reader believes whichever stands first.

    Instead: Remove `unknown:`, or remove the value. A value of the shop's own may stand beside `unknown:`.
    """
    for _, name, one, said in stating(manual):
        kind = next((kind for kind, _ in said if kind in _PUBLISHED), None)
        if one.unknown is not None and kind is not None:
            message = f"`{name}` is called unknown, but its `{kind}` value is given"
            yield Finding(one.unknown.span, message, f"remove `unknown`, or remove `{kind}`")


@rule("GL-204")
def value_without_citation(manual: Manual) -> Iterator[Finding]:
    """A value has no citation.

    Why: Nobody can look it up again, so nobody can tell a misprint from a slip of the pen.

    Instead: Write the source and the place in brackets after the value: `0.004 in max [manual p. 41]`. What
    every shop does and no book prints is `[common practice]`.
    """
    for one in cited_values(manual):
        if not one.citations:
            hint = "write the source after it, as in `[manual p. 41]`"
            yield Finding(one.text.part(0, len(one.body) or None), f"`{one.body}` has no citation", hint)


def _citations(manual: Manual) -> Iterator[tuple[Engine, Citation, Text]]:
    for one in cited_values(manual):
        for citation in one.citations:
            yield one.engine, citation, one.text
    for engine, _, row in rows(manual):
        more = row.at if isinstance(row, LimitRow) else row.within if isinstance(row, CurveRow) else None
        if more is not None:
            yield from ((engine, citation, more.text) for citation in more.citations)


@rule("GL-205")
def citation_of_unknown_source(manual: Manual) -> Iterator[Finding]:
    """A citation names a source that is declared neither by the family nor for all.

    Why: A source without title and edition cannot be opened at the page.

    Instead: Declare it under `sources:` of the family or in `specs/sources.yaml`, or correct its name.
    """
    shared = {COMMON_PRACTICE, *map(str, manual.sources), *manual.left_out}
    for engine, citation, text in _citations(manual):
        name = citation.source
        if name not in shared and name not in engine.sources:
            known = [*engine.sources, *manual.sources, COMMON_PRACTICE]
            hint = nearest(name, map(str, known), "declare it under `sources:`")
            yield Finding(text.part(citation.start, citation.end), f"`{name}` is not a declared source", hint)


@rule("GL-206", Severity.WARNING)
def citation_without_page(manual: Manual) -> Iterator[Finding]:
    """A citation of a book names no page or table.

    Why: A value that can only be found by reading the whole book will not be looked up.

    Instead: Write the place after the source: `[manual p. 41]`, `[manual table 7]`.
    """
    for engine, citation, text in _citations(manual):
        source = manual.source(engine, citation.source) if not citation.locator else None
        if source is not None and source.kind in PAGED:
            hint = f"write the page, as in `[{citation.source} p. 41]`"
            yield Finding(text.part(citation.start, citation.end), f"`{citation}` names no page", hint)


@rule("GL-207")
def bare_nominal(manual: Manual) -> Iterator[Finding]:
    """A value is given without a tolerance.

    Why: No reading equals a bare number, so each builder makes up his own tolerance.

    Instead: Write the lowest and the highest value, or a tolerance. A count or a size that is exact by design
    is marked `exact`.
    """
    for one in printed(manual):
        limit = one.cited.value
        if limit.form is Form.NOMINAL:
            hint = f"write `… to … {limit.unit}` or a tolerance, or mark it `exact`"
            yield Finding(place(one.cited), f"`{one.cited.body}` has no tolerance", hint)


@rule("GL-208")
def unit_unlike_kind(manual: Manual) -> Iterator[Finding]:
    """A limit's unit does not measure what the row's kind is.

    Why: A load in pounds of mass, or a torque in psi, is a misreading of the book; the number is then wrong
    for whoever works in the other units.

    Instead: Write the unit that belongs to the kind: `lbf` for a load, `lb-ft` for a torque, `in` for a size.
    """
    for engine, one, _, _, cited in printed(manual):
        if one.kind in KINDS and id(cited) not in unsound(manual):
            continue
        own = cited.value.unit
        wanted = dimension(engine, one)
        if wanted is not None and own.dimension != wanted and cited.value.form not in _WORDED:
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
    for _, one, _, _, cited in printed(manual):
        if id(cited) not in unsound(manual):
            continue
        kind = KINDS[one.kind]
        if cited.value.unit.dimension == kind.dimension:
            hint = "look for a lost or wandered decimal point, or a wrong unit"
            yield Finding(place(cited), f"`{cited.body}` is not plausible for a {kind.words}", hint)

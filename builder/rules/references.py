"""Names that a spec table uses: features, other rows, instruments, codes; and files that carry their name."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from pathlib import PurePosixPath
from typing import TypeVar

from builder.diagnostics import Severity
from builder.formula import Name, names_of
from builder.manual import Manual, row
from builder.model.base import Text
from builder.model.engine import SOURCE_KINDS, Engine, Feature, Source
from builder.model.spec import LimitRow, OrderRow
from builder.rules.catalogue import Finding, rule
from builder.rules.table import dimension, limit_rows, rows
from builder.rules.wording import listed, nearest
from builder.units import IDENTIFIERS

T = TypeVar("T")


PAGED = ("maker", "handbook", "standard")
"""The kinds of source that have pages or clauses, and editions in which these differ."""


def named(table: Mapping[str, T]) -> Iterator[tuple[Text, T]]:
    """The entries of a table with their names as they stand in the file."""
    for name, one in table.items():
        yield name if isinstance(name, Text) else Text(name), one


def known_name(manual: Manual, name: str, known: Iterable[str]) -> bool:
    """Whether a name is there, or stands in the files but could not be read, which is reported already."""
    return name in manual.left_out or name in known


def lost(manual: Manual, path: str, *keys: str) -> bool:
    """Whether a file could not be read, or one of these parts of it lacks something.

    A rule about something absent then keeps quiet: what it misses may be what could not be read.
    """
    return path in manual.left_out or any(f"{path}:{key}" in manual.left_out for key in keys)


def known_procedure(manual: Manual, name: str) -> bool:
    """Whether a procedure is written or planned; any may be where the list of planned ones cannot be read."""
    unread = not manual.planned and "procedures/planned.yaml" in manual.left_out
    return unread or name in manual.planned or known_name(manual, name, manual.procedures)


@rule("GL-301")
def engine_unlike_its_file(manual: Manual) -> Iterator[Finding]:
    """A family's id is not the name of its file.

    Why: Pages, jobs and links use the id; whoever looks for the file does not find it.

    Instead: Name the file after the id: `engine: tallow-four` stands in `specs/engines/tallow-four.yaml`.
    """
    yield from unlike_file(engine.engine for engine in manual.engines.values())


@rule("GL-302")
def procedure_unlike_its_file(manual: Manual) -> Iterator[Finding]:
    """A procedure's id is not the name of its file.

    Why: Other procedures refer to the id; whoever looks for the file does not find it.

    Instead: Name the file after the id: `procedure: final-wash` stands in `final-wash.yaml`.
    """
    yield from unlike_file(procedure.procedure for procedure in manual.procedures.values())


def unlike_file(names: Iterable[Text]) -> Iterator[Finding]:
    """Each id that is not the name of its file."""
    for name in names:
        stem = PurePosixPath(name.span.path).stem
        if name != stem:
            yield Finding(
                name.span, f"`{name}` is not the name of its file", f"write `{stem}`, or rename the file"
            )


def _features_named(engine: Engine) -> Iterator[Text]:
    for one in engine.features.values():
        yield from (name for name in (one.of, one.on_same or _seat(one)) if name is not None)
    for found in engine.specs.values():
        if found.each is not None:
            yield found.each
        if isinstance(found, OrderRow):
            yield found.of


def _seat(one: Feature) -> Text | None:
    return next((seat for seat in one.on if isinstance(seat, Text)), None)


@rule("GL-303")
def feature_not_known(manual: Manual) -> Iterator[Finding]:
    """A spec table speaks of a feature that its family does not have.

    Why: Nothing says how many there are and what they are called, so no boxes can be printed.

    Instead: Write one of the family's features, or add it under `features:` with its count.
    """
    for engine in manual.engines.values():
        for name in _features_named(engine):
            if not known_name(manual, name, engine.features):
                hint = nearest(name, engine.features, "add it under `features:`")
                yield Finding(name.span, f"`{name}` is no feature of this family", hint)


@rule("GL-304")
def row_not_known(manual: Manual) -> Iterator[Finding]:
    """A row refers to a characteristic that its family does not have.

    Why: A fit that follows from nothing, or a wear of nothing, cannot be checked or judged.

    Instead: Write the id of a row of the same family.
    """
    for engine, _, one in limit_rows(manual):
        if one.of is not None and not known_name(manual, one.of, engine.specs):
            yield _no_row(engine, one.of, one.of, 0)
        if one.per is not None and not known_name(manual, one.per.of, engine.specs):
            yield _no_row(engine, one.per.of, one.per.text, one.per.text.find(one.per.of))
        for name in _strange(manual, engine, one):
            assert one.follows is not None  # noqa: S101 - a strange name comes from it
            yield _no_row(engine, name.name, one.follows.text, name.start)


def _strange(manual: Manual, engine: Engine, one: LimitRow) -> Iterator[Name]:
    for name in names_of(one.follows.node) if one.follows else ():
        if (
            name.name not in IDENTIFIERS
            and name.name != "pi"
            and not known_name(manual, name.name, engine.specs)
        ):
            yield name


def _no_row(engine: Engine, name: str, text: Text, start: int) -> Finding:
    hint = nearest(name, engine.specs, "write the id of a row of this family")
    return Finding(text.part(start, start + len(name)), f"`{name}` is no row of this spec table", hint)


@rule("GL-305")
def spread_of_nothing(manual: Manual) -> Iterator[Finding]:
    """A spread or an amount of wear does not say of what, or says so where nothing of the kind is stated.

    Why: `0.0020 in` of wear is nothing until it is known on what it is counted.

    Instead: Write `of:` with the id of the row; only rows of the kinds `spread` and `wear_amount` have it.
    """
    for _, name, one in limit_rows(manual):
        needed = one.kind in {"spread", "wear_amount"}
        if needed and one.of is None:
            yield Finding(
                name.span,
                f"`{name}` does not say of what it is the {_words(one)}",
                "write `of:` with a row's id",
            )
        elif one.of is not None and not needed:
            message = f"`{name}` is no spread and no amount of wear, so it is not of `{one.of}`"
            yield Finding(one.of.span, message, "remove `of`, or write kind `spread` or `wear_amount`")


def _words(one: LimitRow) -> str:
    return "wear" if one.kind == "wear_amount" else "spread"


@rule("GL-306")
def per_what_length(manual: Manual) -> Iterator[Finding]:
    """A limit is counted per length of something that is measured otherwise.

    Why: A gap per inch of bore needs an inch of bore; per degree it means nothing.

    Instead: Write a quantity in the unit of that row: `per: 1 in of bore.size`.
    """
    for engine, _, one in limit_rows(manual):
        mate = row(engine, one.per.of) if one.per is not None else None
        wanted = dimension(engine, mate) if isinstance(mate, LimitRow) else None
        if one.per is not None and wanted is not None and one.per.quantity.unit.dimension != wanted:
            own = one.per.quantity.unit
            message = f"`{own}` is a unit of {own.dimension}, and `{one.per.of}` is a {wanted}"
            yield Finding(one.per.text.span, message, f"write a unit of {wanted}")


@rule("GL-307")
def instrument_not_known(manual: Manual) -> Iterator[Finding]:
    """A row or a measurement names an instrument that is not in the list.

    Why: What it resolves and how far it can be trusted is not known, so nobody can say whether it can judge
    the limit.

    Instead: Write the id of an instrument of `specs/instruments.yaml`, or add it there.
    """
    if not manual.instruments and "specs/instruments.yaml" in manual.left_out:
        return
    for name in _instruments_named(manual):
        if not known_name(manual, name, manual.instruments):
            hint = nearest(name, manual.instruments, "add it to `specs/instruments.yaml`")
            yield Finding(name.span, f"`{name}` is not a declared instrument", hint)


def _instruments_named(manual: Manual) -> Iterator[Text]:
    for _, _, one in rows(manual):
        if one.instrument is not None:
            yield one.instrument
    for procedure in manual.procedures.values():
        for step in procedure.steps:
            yield from (measure.tool for measure in step.measure.values() if measure.tool is not None)


@rule("GL-309", Severity.WARNING)
def code_missing(manual: Manual) -> Iterator[Finding]:
    """A measured row has no short code.

    Why: The code stands beside the box on paper; without it a filled sheet cannot be typed in by its boxes.

    Instead: Write `code:` with letters and a number that no other row of the family has, as in `CRK-09`.
    """
    for _, name, one in limit_rows(manual):
        if one.code is None:
            yield Finding(name.span, f"`{name}` has no code", "write `code:` as in `CRK-09`")


@rule("GL-310")
def code_used_twice(manual: Manual) -> Iterator[Finding]:
    """Two rows of a family, or two procedures, holds, hazards or instruments, have the same code.

    Why: The code is all that stands beside a box on paper. With two alike, a reading lands in the wrong row.

    Instead: Give one of them a code of its own.
    """
    for engine in manual.engines.values():
        yield from _twice((name, one.code) for name, one in engine.specs.items())
    yield from _twice((one.procedure, one.code) for one in manual.route)
    yield from _twice((name, one.code) for name, one in manual.holds.items())
    yield from _twice((name, one.code) for name, one in manual.hazards.items())
    yield from _twice((name, one.code) for name, one in manual.instruments.items())


def _twice(rows: Iterable[tuple[str, Text | None]]) -> Iterator[Finding]:
    seen: dict[str, str] = {}
    for name, code in rows:
        if code is None:
            continue
        if code in seen and seen[code] != name:
            yield Finding(
                code.span, f"`{code}` is the code of `{seen[code]}` already", "write a code of its own"
            )
        seen.setdefault(str(code), str(name))


@rule("GL-311")
def names_of_feature_twice(manual: Manual) -> Iterator[Finding]:
    """A feature has the same name twice.

    Why: Two boxes of one name cannot be told apart, on paper or in the record.

    Instead: Give each one a name of its own.
    """
    for engine in manual.engines.values():
        for name, one in engine.features.items():
            twice = [word for at, word in enumerate(one.names) if word in one.names[:at]]
            if twice:
                yield Finding(
                    twice[0].span, f"`{name}` has the name {listed(twice)} twice", "name each one once"
                )


@rule("GL-312")
def source_kind_not_known(manual: Manual) -> Iterator[Finding]:
    """A source's kind is not one of the list.

    Why: The kind says whose word it is; a page prints it beside every value.

    Instead: Write `maker`, `supplier`, `shop`, `standard`, `handbook` or `practice`.
    """
    tables: list[Mapping[str, Source]] = [manual.sources]
    tables += [engine.sources for engine in manual.engines.values()]  # type: ignore[misc]
    for table in tables:
        for source in table.values():
            if source.kind not in SOURCE_KINDS:
                hint = nearest(source.kind, SOURCE_KINDS, f"write one of {listed(SOURCE_KINDS, 6)}")
                yield Finding(source.kind.span, f"`{source.kind}` is not a kind of source", hint)


@rule("GL-314", Severity.WARNING)
def source_without_edition(manual: Manual) -> Iterator[Finding]:
    """A family's book is declared without its edition.

    Why: A page number belongs to one edition, and a limit may have changed in the next.

    Instead: Write `edition:` with the year or the number that stands in the book.
    """
    for engine in manual.engines.values():
        for name, source in engine.sources.items():
            if source.edition is None and source.kind in PAGED:
                yield Finding(name.span, f"`{name}` has no edition", "write `edition:` with its year")


@rule("GL-313", Severity.WARNING)
def term_leads_nowhere(manual: Manual) -> Iterator[Finding]:
    """A term of the glossary leads to a characteristic that no family has.

    Why: Whoever looks the word up is sent to a page that does not exist.

    Instead: Write the id of a row of some family.
    """
    if not manual.engines:
        return
    known = {name: one for engine in manual.engines.values() for name, one in engine.specs.items()}
    for term in manual.terms.values():
        for name in term.see:
            if not known_name(manual, name, known):
                hint = nearest(name, known, "write the id of a row")
                yield Finding(name.span, f"`{name}` is a row of no family", hint)

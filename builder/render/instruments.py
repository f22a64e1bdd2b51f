"""The page of all instruments: what each one resolves, how far to trust it, how it is set and misused."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from builder.manual import Manual
from builder.model.bench import Instrument
from builder.model.procedure import Procedure
from builder.render import addresses
from builder.render.page_parts import Head, Link, Shelf, head, page
from builder.render.shell import Heading, Page
from builder.render.values import Cite, Measure, cite, measure, quantity


@dataclass(frozen=True, slots=True)
class InstrumentView:
    """An instrument."""

    id: str
    code: str
    title: str
    reads: str
    uncertainty: Measure | None
    cites: tuple[Cite, ...]
    setting: str
    misuse: str
    also: str
    used_in: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class InstrumentsView:
    """The page of all instruments."""

    head: Head
    instruments: tuple[InstrumentView, ...]


def instruments_page(manual: Manual) -> Page:
    """The page of all instruments."""
    here = addresses.INSTRUMENTS
    views = tuple(_instrument(manual, str(name), found, here) for name, found in manual.instruments.items())
    view = InstrumentsView(
        head(
            here,
            "Instruments",
            "How far a reading can be trusted: uncertainty at k = 2, set on its standard the same day.",
            "Written from specs/instruments.yaml; the source of each uncertainty stands beside it.",
        ),
        views,
    )
    headings = tuple(Heading(2, view.id, view.title) for view in views)
    return page(Shelf(here, "Instruments", ("Reference",)), "instruments.html", view, headings)


def _instrument(manual: Manual, name: str, found: Instrument, here: str) -> InstrumentView:
    trusted = found.uncertainty
    return InstrumentView(
        id=name,
        code=str(found.code or ""),
        title=str(found.title),
        reads=quantity(found.reads.quantity) if found.reads else "",
        uncertainty=measure(trusted.body) if trusted else None,
        cites=tuple(cite(manual, None, each, here) for each in trusted.citations) if trusted else (),
        setting=str(found.setting or ""),
        misuse=str(found.misuse or ""),
        also=", ".join(found.words),
        used_in=tuple(_used_in(manual, name, here)),
    )


def _used_in(manual: Manual, name: str, here: str) -> Iterator[Link]:
    for procedure in manual.route:
        if isinstance(procedure, Procedure) and name in _tools(procedure):
            there = addresses.link(here, addresses.procedure_page(str(procedure.procedure)))
            yield Link(f"{procedure.code} {procedure.title}", there)


def _tools(procedure: Procedure) -> frozenset[str]:
    """Every tool that a procedure names, for itself, for a step or for a reading."""
    steps = [*procedure.tools]
    for step in procedure.steps:
        steps += [*step.tools, *(reading.tool for reading in step.measure.values() if reading.tool)]
    return frozenset(map(str, steps))

"""Torques, and loads that mean nothing without the height at which they are read."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache

from builder.diagnostics import Fault
from builder.dimension import TORQUE
from builder.manual import Manual, feature
from builder.model.engine import Engine
from builder.model.spec import LimitRow
from builder.rules.catalogue import Finding, rule
from builder.rules.lists import misfit
from builder.rules.table import in_force, limit_rows
from builder.sequence import read_order, read_rounds

_FASTENER = re.compile(r"\b(nut|bolt|stud|screw|plug|cap)s?\b", re.IGNORECASE)
_SEVERAL = re.compile(r"\b(nuts|bolts|studs|screws)\b", re.IGNORECASE)
_SPRING = re.compile(r"\bspring load\b", re.IGNORECASE)
_ANY = frozenset({"any", "any order"})
_ONE = frozenset({"one", "one round"})


@lru_cache(maxsize=1)
def fasteners(manual: Manual) -> tuple[tuple[Engine, LimitRow], ...]:
    """The rows that are torques of fasteners, not of the engine."""
    return tuple(
        (engine, row)
        for engine, _, row in limit_rows(manual)
        if row.kind == "torque" and (row.threads or row.order or row.rounds or _FASTENER.search(row.title))
    )


def _several(row: LimitRow) -> bool:
    return bool(_SEVERAL.search(row.title))


@rule("GL-220")
def torque_without_thread_state(manual: Manual) -> Iterator[Finding]:
    """A torque does not say whether the threads are oiled or dry.

    Why: Oil on the threads changes the pull of the same torque by about as much as its whole tolerance, so a
    torque without it cannot be used.

    Instead: Write `threads: oiled`, `threads: dry` or what the book says.
    """
    for _, row in fasteners(manual):
        if row.threads is None and row.unknown is None:
            message = f"the torque of `{row.title}` does not say how the threads are"
            yield Finding(row.title.span, message, "write `threads: oiled` or `threads: dry`")


@rule("GL-221")
def torque_without_order(manual: Manual) -> Iterator[Finding]:
    """Several fasteners have one torque and no tightening order.

    Why: Tightened from one side, a head or a cap is pulled crooked and leaks or binds.

    Instead: Write `order:` with the names in order and the citation, or `order: any [notes 3]` where it does
    not matter.
    """
    for _, row in fasteners(manual):
        if _several(row) and row.order is None and row.unknown is None:
            message = f"`{row.title}` have a torque but no tightening order"
            yield Finding(row.title.span, message, "write `order:`, or `order: any` with its citation")


@rule("GL-222")
def torque_without_rounds(manual: Manual) -> Iterator[Finding]:
    """Several fasteners have one torque and no rounds in which it is reached.

    Why: Pulled up in one go, the first nut bends the part before the last one holds it.

    Instead: Write `rounds: 30 lb-ft, 55 lb-ft, final [manual p. 24]`, or `rounds: one round [notes 3]`.
    """
    for _, row in fasteners(manual):
        if _several(row) and row.rounds is None and row.unknown is None:
            message = f"`{row.title}` have a torque but no rounds"
            hint = "write `rounds:`, or `rounds: one round` with its citation"
            yield Finding(row.title.span, message, hint)


@rule("GL-223")
def tightening_order_not_complete(manual: Manual) -> Iterator[Finding]:
    """A tightening order does not hold every fastener exactly once.

    Why: The one that is left out stays loose.

    Instead: Write every name of the feature once, in order, or `any`.
    """
    for engine, row in fasteners(manual):
        of = feature(engine, row.each) if row.each is not None else None
        if of is None or row.order is None or row.order.body in _ANY:
            continue
        wrong = _misfit(tuple(map(str, of.names)), row.order.body)
        if wrong:
            span = row.order.text.part(0, len(row.order.body))
            yield Finding(
                span, f"the order of `{row.title}` {wrong}", f"write each {row.each} once, or `any`"
            )


def _misfit(names: tuple[str, ...], body: str) -> str:
    try:
        return misfit(names, tuple(read_order(body)))
    except Fault:
        return ""  # an order in words, such as `from the middle outward`


@rule("GL-226")
def rounds_do_not_rise_to_torque(manual: Manual) -> Iterator[Finding]:
    """The rounds of a tightening cannot be read, are no torques, or go beyond the final torque.

    Why: A round above the final torque stretches the bolt before anyone notices.

    Instead: Write torques that rise, then `final`: `30 lb-ft, 55 lb-ft, final`.
    """
    for _, row in fasteners(manual):
        if row.rounds is None or row.rounds.body in _ONE:
            continue
        fault = _rounds_fault(row)
        if fault is not None:
            end = len(row.rounds.body) if fault.end is None else fault.end
            yield Finding(row.rounds.text.part(fault.start, end), fault.message, fault.hint)


def _rounds_fault(row: LimitRow) -> Fault | None:
    hint = "write torques that rise, then `final`"
    try:
        rounds = read_rounds(row.rounds.body if row.rounds else "")
    except Fault as fault:
        return fault
    base = in_force(row)
    highs = [cited.value.high_base for cited in base.every()] if base else []
    for one in rounds:
        if one is not None and one.unit.dimension != TORQUE:
            return Fault(f"`{one}` is no torque", hint)
        if one is not None and any(high is not None and one.base > high for high in highs):
            return Fault(f"the round of {one} goes beyond the final torque", hint)
    return None


@rule("GL-224")
def load_without_height(manual: Manual) -> Iterator[Finding]:
    """A spring's load does not say at which height it is read.

    Why: A spring has a different load at every height, so the number alone accepts any spring.

    Instead: Write `at: 1.750 in [manual p. 30]`.
    """
    for _, _, row in limit_rows(manual):
        if row.kind == "load" and row.at is None and row.unknown is None and _SPRING.search(row.title):
            message = f"`{row.title}` does not say at which height the load is read"
            yield Finding(row.title.span, message, "write `at:` with the height, as in `at: 1.750 in`")

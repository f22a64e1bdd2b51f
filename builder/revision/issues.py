"""The editions that a checklist has had, newest first, each with its commit and what was new in it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice, pairwise
from pathlib import Path

from builder.checklist import Checklist
from builder.diagnostics import Fault
from builder.edition import edition
from builder.revision.compare import compare
from builder.revision.earlier import Earlier
from builder.revision.history import UNCOMMITTED, Commit, History
from builder.revision.pinned import resolved
from builder.revision.pins import Pins
from builder.revision.words import because


@dataclass(frozen=True)
class Issue:
    """An edition of a checklist, the commit that it came with, and its differences from the one before."""

    edition: str
    commit: Commit
    told: tuple[str, ...]


def issues(shop: Path, present: Checklist, most: int) -> tuple[Issue, ...]:
    """The last editions of a checklist, the present one first, at most so many.

    Raises:
        Fault: there is no git, or the shop has no history.
    """
    every = list(islice(_states(History.of(shop), present), most + 1))
    told = [
        Issue(edition(now), commit, compare(before, now)) for (now, commit), (before, _) in pairwise(every)
    ]
    if len(every) <= most:  # the first one has none before it
        checklist, commit = every[-1]
        told.append(Issue(edition(checklist), commit, ()))
    return tuple(told)


def _states(history: History, present: Checklist) -> Iterator[tuple[Checklist, Commit]]:
    """Each edition with the first commit that has it, newest first; what lies in the folder before all."""
    earlier = Earlier(history, present.manual)
    commits = {one.number: one for one in history.every()}
    family, name = str(present.engine.engine), str(present.procedure.procedure)
    now, since = present, UNCOMMITTED
    for state in earlier.states():
        found = resolved(earlier.of_checklist(state, family, name), family, name)
        if found is None:
            break
        if edition(found) != edition(now):
            yield now, since
            now = found
        since = commits.get(state.number, UNCOMMITTED)
    yield now, since


def compared(shop: Path, present: Checklist, old: str, new: str = "") -> tuple[str, ...]:
    """Two editions of a checklist in words, the second one the present where none is named.

    Raises:
        Fault: the shop's history has no such edition.
    """
    pins = Pins(shop, present.manual)
    before, after = (_found(pins, present, one) for one in (old, new or edition(present)))
    return compare(before, after)


def _found(pins: Pins, present: Checklist, wanted: str) -> Checklist:
    if edition(present) == wanted:
        return present
    found = pins.found(str(present.engine.engine), str(present.procedure.procedure), wanted)
    if found is None:
        code = present.procedure.code
        raise Fault(
            f"the shop's history has no edition `{wanted}` of {code}",
            "`gaugeleaf editions` lists the last ones",
        )
    return found[0]


def lines(present: Checklist, found: tuple[Issue, ...]) -> Iterator[str]:
    """The editions for people, each with what was new in it."""
    yield f"{present.procedure.code} {present.procedure.title}, {present.engine.title}"
    for one in found:
        yield f"{one.edition}  {because(one.commit)}"
        yield from (f"  {line}" for line in one.told)

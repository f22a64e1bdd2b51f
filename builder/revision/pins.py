"""The editions that the sheets of a job are on, found again in the shop's history."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from builder.checklist import Checklist
from builder.diagnostics import Fault
from builder.jobs.pins import ToDo
from builder.manual import Manual
from builder.model.job import Job
from builder.model.record import Sheet
from builder.revision.earlier import Earlier, State
from builder.revision.history import History
from builder.revision.pinned import Again, again, resolved
from builder.revision.renames import renames
from builder.revision.words import again_line


class Pins:
    """What a shop's history knows of the editions of its sheets; nothing where it has no history."""

    def __init__(self, shop: Path, manual: Manual) -> None:
        self.shop = shop
        self.manual = manual
        self.known: dict[tuple[str, str, str], tuple[Checklist, State] | None] = {}
        self.earlier = _earlier(shop, manual)

    def found(
        self, family: str, procedure: str, edition: str, near: str = ""
    ) -> tuple[Checklist, State] | None:
        """The checklist of an older edition and the state of the shop that had it."""
        key = (family, procedure, edition)
        if key not in self.known:
            history = self.earlier
            self.known[key] = history.found(family, procedure, edition, near) if history else None
        return self.known[key]

    def checklist(self, sheet: Sheet, edition: str) -> Checklist | None:
        """The checklist of a sheet in an older edition."""
        found = self.found(str(sheet.engine), str(sheet.procedure), edition, begun(sheet))
        return found[0] if found else None

    def again(self, sheet: Sheet, edition: str, job: Job) -> tuple[ToDo, ...]:
        """What of a sheet on an older edition must be done again on the present one."""
        old = self.checklist(sheet, edition)
        new = resolved(self.manual, str(sheet.engine), str(sheet.procedure))
        if old is None or new is None:
            return ()
        names, own = renames(old.manual, self.manual), set(map(str, job.supplier))
        return tuple(map(_to_do, again(old, new, sheet, names, own)))


def _earlier(shop: Path, manual: Manual) -> Earlier | None:
    try:
        return Earlier(History.of(shop), manual)
    except Fault:
        return None


def begun(sheet: Sheet) -> str:
    """The second of the first mark on a sheet, as git counts; empty where none has a day that reads."""
    marks = [str(one.when) for one in sheet.readings] + [str(one.when) for one in sheet.ticks]
    marks += [str(one.when) for one in sheet.looks] + [str(one.when) for one in sheet.holds]
    moments = [one for one in map(_second, marks) if one is not None]
    return str(min(moments)) if moments else ""


def _second(when: str) -> int | None:
    """A moment in seconds; a day counts to its end, since the edition may be of the same day."""
    try:
        read = datetime.fromisoformat(when)
    except ValueError:
        return None
    if len(when) == len("2026-03-19"):
        read = read.replace(hour=23, minute=59)
    return int((read if read.tzinfo else read.replace(tzinfo=UTC)).timestamp())


def _to_do(one: Again) -> ToDo:
    name = f"hold {one.name}" if one.order == "sign again" else one.name
    return ToDo(name, again_line(one), one.why)

"""What is not done yet: no fault of anyone, but the engine may not go before it is."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from builder.jobs.checks.conceding import accepts
from builder.jobs.checks.holds import HoldCheck, waiting_holds
from builder.jobs.checks.values import out_groups
from builder.jobs.kinds import Subject
from builder.jobs.plan import Thing, thing_at
from builder.jobs.whole import Whole
from builder.jobs.worked import LAST_STAGES, Worked
from builder.judge import JudgedSheet
from builder.judge.taken import position
from builder.manual import row as row_of
from builder.model.procedure import STAGES
from builder.model.spec import LimitRow

Closed = Mapping[tuple[str, Thing], int]
"""The latest stage at which a characteristic was read, by the thing; for all things under an empty key."""


def waiting(whole: Whole, holds: tuple[HoldCheck, ...]) -> Iterator[str]:
    """What is still to be done before the release, a line for each sort."""
    begun = {name for name, one in whole.final.items() if one.begun}
    rest = [plan.code for plan in whole.route if plan.name not in begun and whole.paper(plan.name) is None]
    if rest:
        yield f"not begun: {', '.join(rest)}"
    for worked in whole.final.values():
        yield from _unfinished(worked)
    codes = waiting_holds(whole, holds)
    if codes:
        yield f"not signed yet: {', '.join(codes)}"
    yield from _open_outs(whole)
    for number, ticket in whole.job.tickets.items():
        if ticket.back is None and ticket.measured_by is None:
            yield f"ticket {number}, {ticket.part}, is still out at {ticket.to}"


def _unfinished(worked: Worked) -> Iterator[str]:
    steps = [str(step.number) for step in worked.unmarked if step.number > worked.last_mark]
    if steps and worked.begun:
        span = steps[0] if len(steps) == 1 else f"{steps[0]} to {steps[-1]}"
        yield f"{worked.plan.code} is not finished: step {span}"


# Outs that were found before the last stage


def _open_outs(whole: Whole) -> Iterator[str]:
    """Values that were out as found, as machined or on a mock-up and were not read again since."""
    early = [
        (worked, stage)
        for worked in whole.sheets
        for stage in worked.stages
        if not (worked.is_final and stage in LAST_STAGES) and not worked.is_clean(stage)
    ]
    closed = _closed(whole) if early else {}
    said: dict[str, dict[str, None]] = {}
    for worked, stage in early:
        for words, where in _outs(worked, stage, closed, _rank(worked, stage)):
            said.setdefault(words, {})[where] = None
    for words, places in said.items():
        where = "; ".join(filter(None, places))
        yield f"{words} and not read again since{f': {where}' if where else ''}"


def _rank(worked: Worked, stage: str) -> int:
    """How far on the way to the finished engine a reading was taken."""
    return STAGES.index(stage) if worked.is_final else min(STAGES.index(stage), STAGES.index("as_machined"))


def _outs(worked: Worked, stage: str, closed: Closed, rank: int) -> Iterator[tuple[str, str]]:
    """The characteristic in words and the position of each value that is still out."""
    judged = worked.judged_at(stage)
    for one in (one for values in out_groups(judged).values() for one in values):
        key = thing_at(one.at)
        names = _closed_by(worked, one.characteristic)
        read = max(closed.get((name, where), -1) for name in names for where in (key, ()))
        subject = Subject(worked.plan.name, one.step, one.name, one.at, run=str(worked.sheet.run))
        if read <= rank and not accepts(worked.job, subject):
            title = _title(judged, one.characteristic, one.name)
            yield f"{worked.plan.code}: {title} was out {_as(stage)}", position(dict(key))


def _closed_by(worked: Worked, characteristic: str) -> tuple[str, ...]:
    """What closes an out when it is read again: the characteristic, or what its wear or spread is of."""
    row = row_of(worked.plan.checklist.engine, characteristic)
    of = str(row.of) if isinstance(row, LimitRow) and row.of is not None else ""
    return tuple(filter(None, (characteristic, of)))


def _as(stage: str) -> str:
    return stage.replace("_", " ")


def _title(judged: JudgedSheet, characteristic: str, name: str) -> str:
    row = row_of(judged.checklist.engine, characteristic)
    return str(row.title).lower() if row is not None else name.replace("_", " ")


def _closed(whole: Whole) -> Closed:
    """The latest stage at which each characteristic was read at each thing, on sheets of the final run.

    A worked-out value counts as read for every thing once its step is marked done.
    """
    found: dict[tuple[str, Thing], int] = {}
    for worked in whole.final.values():
        for stage, readings in worked.by_stage.items():
            for key in filter(None, map(worked.plan.things.get, readings)):
                found[key] = max(found.get(key, -1), STAGES.index(stage))
        last = max((STAGES.index(stage) for stage in worked.stages), default=-1)
        for step in worked.steps:
            for out in step.work_outs.values():
                if out.against and str(step.step.id) in worked.ticks:
                    key = (str(out.against), ())
                    found[key] = max(found.get(key, -1), last)
    return found

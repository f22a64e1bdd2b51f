"""Editions on a job: which sheets stay on an older one, and what a move to another asks to be done again."""

from __future__ import annotations

from collections.abc import Iterator

from builder.jobs.checks.route import HOLD, is_signed_again
from builder.jobs.kinds import Finding, Kind, Subject
from builder.jobs.moments import later, shown
from builder.jobs.pins import pin_of
from builder.jobs.whole import Whole, hold_words
from builder.jobs.worked import Worked, latest
from builder.model.job import Moved
from builder.said import changes


def edition_remarks(whole: Whole, worked: Worked) -> Iterator[str]:
    """A sheet that is on another edition than the manual's present one."""
    pin, name = pin_of(whole.job, worked.sheet), worked.plan.name
    own = whole.plans.plan(str(whole.engine.engine), name)
    if not pin or own is None or own.edition == pin:
        return
    code = worked.plan.code
    if whole.plans.earlier is None or worked.plan is own:
        told = " ".join(changes(worked.sheet.said, own.checklist))
        editions = f"{code} was filled in on edition {pin}; the manual has {own.edition} now"
        yield f"{editions}: {told}" if told else editions
        return
    yield f"{code} stays on edition {pin} until someone moves it; the manual has {own.edition} now"
    again = whole.plans.earlier.again(worked.sheet, pin, whole.job)
    for one in again:
        yield f"{code}, once it is moved, {one.said} ({'; '.join(one.why)})"
    if not again:
        yield f"{code}, once it is moved: nothing that was done must be done again"


def moved_findings(whole: Whole) -> Iterator[Finding]:
    """What a move to another edition asked to be done again, and was not."""
    for moved in whole.job.moved:
        for worked in whole.sheets:
            if worked.plan.name == moved.procedure:
                yield from _undone(whole, worked, moved)


def _undone(whole: Whole, worked: Worked, moved: Moved) -> Iterator[Finding]:
    why = f"since it was moved to edition {moved.to} on {shown(str(moved.on))}: {moved.why}"
    for name in map(str, moved.again):
        if name.startswith(HOLD):
            hold = name.removeprefix(HOLD)
            if hold in whole.holds and not is_signed_again(whole, hold, str(moved.on)):
                what = f"{hold_words(hold, whole.holds[hold])} must be signed again {why}"
                yield Finding(Kind.REDO, worked.where(), what, "Look at it again, then sign.")
        elif name in worked.plan.steps and not later(_last(worked, name), str(moved.on)):
            step = worked.plan.steps[name]
            what = f"must be done again {why}"
            subjects = (Subject(worked.plan.name, name, run=str(worked.sheet.run)),)
            yield Finding(Kind.REDO, worked.where(name), what, str(step.step.do.text), subjects)


def _last(worked: Worked, step: str) -> str:
    """When a step was last marked, read or looked at."""
    sheet = worked.sheet
    marks = [(one.step, one.when) for one in sheet.ticks]
    marks += [(one.step, one.when) for one in sheet.readings]
    marks += [(one.step, one.when) for one in sheet.looks]
    return latest(str(when) for name, when in marks if name == step)

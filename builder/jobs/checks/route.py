"""The order of the work: what came before what it needs, and what must be done again once it was touched."""

from __future__ import annotations

from collections.abc import Iterator

from builder.jobs.kinds import Finding, Kind
from builder.jobs.kinds import Place as Where
from builder.jobs.moments import later, shown
from builder.jobs.whole import Whole, hold_words
from builder.jobs.worked import Worked, latest
from builder.model.job import Touched
from builder.model.procedure import Redo

HOLD = "hold "


def order_findings(whole: Whole) -> Iterator[Finding]:
    """Procedures that were begun before what they need was finished: one finding for each."""
    for worked in whole.final.values():
        wanting = [why for need in worked.plan.needs if (why := _wanting(whole, worked, need))]
        if worked.begun and wanting:
            what = f"{worked.plan.code} was begun on {shown(worked.begun)}, and {'; '.join(wanting)}"
            cure = "Finish these first. What was done too early is done again, or looked at again."
            yield Finding(Kind.ORDER, worked.where(), what, cure)


def _wanting(whole: Whole, worked: Worked, need: str) -> str:
    """What is wanting of a procedure that another needs; empty when nothing is."""
    plan = whole.plans.plan(str(whole.engine.engine), need)
    if plan is None or need in whole.left_out:
        return ""
    paper, done = whole.paper(need), whole.final.get(need)
    if paper is not None:
        late = later(str(paper.on), worked.begun)
        return f"{plan.code} was finished on {paper.on} only" if late else ""
    if done is None:
        return f"{plan.code} is not done"
    open_steps = [step for step in done.unmarked if step.number > done.last_mark]
    if open_steps:
        return f"{plan.code} is not finished: step {open_steps[0].number} has no mark"
    late = later(done.ended, worked.begun)
    return f"{plan.code} was worked on until {shown(done.ended)}" if late else ""


# Touch this, redo that


def redo_findings(whole: Whole, path: str) -> Iterator[Finding]:
    """What was touched again, and what of its consequences is not done again."""
    for touched in whole.job.touched:
        yield from _touched(whole, touched, path)
    for worked in whole.final.values():
        yield from _done_again(whole, worked)


def _touched(whole: Whole, touched: Touched, path: str) -> Iterator[Finding]:
    entry = next((one for one in whole.manual.redo if one.touched == touched.what), None)
    if entry is None:
        known = ", ".join(str(one.touched) for one in whole.manual.redo)
        what = f"`{touched.what}` is not in the table of what to redo"
        yield Finding(Kind.REDO, Where(path), what, f"Write one of {known}.")
        return
    due = [str(name) for name in entry.redo if not _is_redone(whole, str(name), str(touched.on))]
    if due:
        what = f"{entry.title} on {shown(str(touched.on))}. Still to be done again: {_named(whole, due)}"
        yield Finding(Kind.REDO, Where(path), what, _why(entry))


def _why(entry: Redo) -> str:
    again = "Do these again, in this order."
    return f"{again} {entry.why}" if entry.why else again


def _named(whole: Whole, names: list[str]) -> str:
    return ", ".join(_words(whole, str(name)) for name in names)


def _words(whole: Whole, name: str) -> str:
    if name.startswith(HOLD):
        hold = whole.holds[name.removeprefix(HOLD)]
        return hold_words(name.removeprefix(HOLD), hold)
    found = whole.manual.step_named(name)
    return f"{found.code} {str(found.title).lower()}" if found is not None else name


def _is_redone(whole: Whole, name: str, since: str) -> bool:
    """Whether something was done after a moment; what does not belong to this job counts as done."""
    if name.startswith(HOLD):
        return is_signed_again(whole, name.removeprefix(HOLD), since)
    plan = whole.plans.plan(str(whole.engine.engine), name)
    if plan is None or name in whole.left_out:
        return True
    return later(_last_done(whole, name), since)


def is_signed_again(whole: Whole, hold: str, since: str) -> bool:
    """Whether all who sign a hold have signed after a moment; one that the family has not counts so."""
    if hold not in whole.holds:
        return True
    roles = map(str, whole.holds[hold].by)
    return all(later(_last_signed(whole, hold, role), since) for role in roles)


def _last_signed(whole: Whole, hold: str, role: str) -> str:
    return latest(str(one.when) for _, one in whole.signatures(hold, role))


def _last_done(whole: Whole, name: str) -> str:
    """When a procedure was last worked on; empty when it was not."""
    worked, paper = whole.final.get(name), whole.paper(name)
    if worked is not None:
        return worked.ended
    return str(paper.on) if paper is not None else ""


def _done_again(whole: Whole, worked: Worked) -> Iterator[Finding]:
    """Steps that were marked done a second time after the procedures that follow from them."""
    for name, ticks in worked.ticks.items():
        step = worked.plan.steps.get(name)
        if step is None or len(ticks) == 1 or not step.step.redo:
            continue
        last, before = str(ticks[-1].when), str(ticks[-2].when)
        due = [
            str(other)
            for other in step.step.redo
            if _was_done(whole, str(other))
            and not _is_redone(whole, str(other), last if _comes_later(whole, worked, str(other)) else before)
        ]
        if due:
            what = f"step {step.number} was done again on {shown(last)}. Still to be done again: "
            where = worked.where(name)
            yield Finding(Kind.REDO, where, what + _named(whole, due), "Do these again, in this order.")


def _was_done(whole: Whole, name: str) -> bool:
    """Whether something was done at all: what is still to come needs no second time."""
    if name.startswith(HOLD):
        hold = name.removeprefix(HOLD)
        return hold in whole.holds and any(whole.signatures(hold, str(role)) for role in whole.holds[hold].by)
    return bool(_last_done(whole, name))


def _comes_later(whole: Whole, worked: Worked, name: str) -> bool:
    """Whether a procedure comes after this one on the route; a hold of it does not."""
    order = [plan.name for plan in whole.plans.route(str(whole.engine.engine))]
    return name in order and order.index(name) > order.index(worked.plan.name)

"""What was done on an engine and by whom, and what was not done, in the order of the route."""

from __future__ import annotations

from collections.abc import Iterator

from builder.jobs.check import CheckedJob
from builder.jobs.checks.skips import skip_remarks
from builder.jobs.kinds import counted
from builder.jobs.moments import day, shown
from builder.jobs.plan import SheetPlan
from builder.jobs.whole import Whole
from builder.jobs.worked import Worked
from builder.judge.taken import position
from builder.model.record import Correction
from builder.render.job_papers.documents import Block, Section, named
from builder.render.job_papers.tables import plain_table


def done(whole: Whole) -> Section:
    """The procedures that were worked through, each with its days, who did it and where its sheet is."""
    rows = [row for plan in whole.route if (row := _done(whole, plan))]
    rows += [_sheet_row(one, "mock-up, filed") for one in whole.sheets if not one.is_final]
    table = plain_table(("No.", "Procedure", "Days", "By", "Sheet"), rows)
    notes = tuple(_notes(whole))
    blocks = [Block(table=table)] + ([Block("Remarks on the sheets", listed=notes)] if notes else [])
    return Section("done", "What was done", (*blocks, *_corrections(whole)))


def _done(whole: Whole, plan: SheetPlan) -> tuple[str, ...] | None:
    worked = whole.final.get(plan.name)
    if worked is not None and worked.begun:
        return _sheet_row(worked, "filed" if worked.is_complete else "filed, not finished")
    paper = whole.paper(plan.name)
    if paper is None:
        return None
    where = f", kept {paper.where}" if paper.where else ""
    answers = f"{named(whole, str(paper.by))} answers for it"
    return (plan.code, _title(plan), str(paper.on), answers, f"on paper{where}")


def _sheet_row(worked: Worked, where: str) -> tuple[str, ...]:
    first, last = day(worked.begun), day(worked.ended)
    days = first if first == last else f"{first} to {last}"
    by = ", ".join(sorted(worked.doers))
    edition = f", edition {worked.sheet.edition}" if worked.sheet.edition else ""
    return (worked.plan.code, _title(worked.plan), days, by, f"{where}{edition}")


def _title(plan: SheetPlan) -> str:
    return str(plan.checklist.procedure.title)


def _notes(whole: Whole) -> Iterator[str]:
    for worked in whole.sheets:
        for one in worked.sheet.notes:
            by = f" ({one.by})" if one.by else ""
            yield f"{worked.plan.code}: {one.text}{by}"
        yield from skip_remarks(worked)
        for photo in worked.sheet.photos:
            yield f"{worked.plan.code}, photograph {photo.file}: {photo.caption or 'no words'}"


# Corrections


def _corrections(whole: Whole) -> Iterator[Block]:
    rows = [_corrected(worked, one) for worked in whole.sheets for one in worked.sheet.corrections]
    if rows:
        head = ("Where", "Was", "Why", "By", "When")
        yield Block(
            "Entries that were changed; the first one stays in the record", table=plain_table(head, rows)
        )
    again = [
        f"{worked.plan.code}: {counted(number, 'reading')} taken again"
        for worked in whole.sheets
        if (number := sum(one.try_ > 1 for one in worked.sheet.readings))
    ]
    if again:
        yield Block("Taken again", listed=tuple(again))


def _corrected(worked: Worked, one: Correction) -> tuple[str, ...]:
    at = position({str(side): str(label) for side, label in one.of.at.items()})
    where = ", ".join(filter(None, (worked.plan.code, str(one.of.name).replace("_", " "), at)))
    return (where, str(one.was), str(one.why) or "not said", str(one.by), shown(str(one.when)))


# What was not done


def not_done(checked: CheckedJob, whole: Whole) -> Section:
    """What was left out, skipped, not judged here or not yet done: the part that an owner must know."""
    left_out = [
        (
            _named(whole, str(one.procedure), str(one.step or "")),
            str(one.reason or "no reason given"),
            _by(whole, one.by),
            str(one.on or ""),
        )
        for one in whole.job.skipped
    ]
    blocks = []
    if left_out:
        table = plain_table(("What", "Why", "Decided by", "On"), left_out)
        blocks.append(Block("Left out by agreement", table=table))
    on_paper = [f"{plan.code} {_title(plan)}" for plan in whole.route if whole.paper(plan.name) is not None]
    if on_paper:
        words = (
            "The sheets of these procedures are kept on paper. Their values are not judged in this record."
        )
        blocks.append(Block("On paper alone", words=(words,), listed=(", ".join(on_paper),)))
    if checked.waiting:
        blocks.append(Block("Not done yet", listed=checked.waiting))
    if not blocks:
        blocks.append(Block(words=("Every procedure of the route was done and is recorded here.",)))
    return Section("not-done", "What was not done", tuple(blocks))


def _named(whole: Whole, procedure: str, step: str) -> str:
    plan = whole.plans.plan(str(whole.engine.engine), procedure)
    if plan is None:
        return procedure
    found = plan.steps.get(step)
    of_step = f", step {found.number}: {found.step.do.text}" if found is not None else ""
    return f"{plan.code} {_title(plan)}{of_step}"


def _by(whole: Whole, by: str | None) -> str:
    return named(whole, str(by)) if by else "not said"

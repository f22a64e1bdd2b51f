"""A checked job in lines of text: every judged value, then every open point."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from builder.jobs.check import CheckedJob
from builder.jobs.kinds import Finding, counted
from builder.jobs.worked import Worked
from builder.judge import RULE, JudgedSheet, Judgement, Verdict
from builder.judge.taken import position
from builder.judge.words import band_words, value_words, verdict_words
from builder.manual import row as row_of


def job_lines(checked: CheckedJob, *, values: bool = True) -> Iterator[str]:
    """A job: every value if wanted, then what is open, what is not done yet, and the outcome."""
    for worked in checked.sheets if values else ():
        yield from sheet_lines(worked)
    for number, finding in enumerate(checked.findings, 1):
        yield from finding_lines(number, finding)
    yield from (f"not done yet: {line}" for line in checked.waiting)
    yield from (f"remark: {line}" for line in checked.remarks)
    yield outcome_line(checked)
    yield rule_line()


def sheet_lines(worked: Worked) -> Iterator[str]:
    """A sheet: its head and every value that was read or worked out at each stage."""
    procedure, engine = worked.plan.checklist.procedure, worked.plan.checklist.engine
    yield f"{worked.path}: {procedure.code} {procedure.title}, {engine.title}, run {worked.sheet.run}"
    for judged in worked.judged:
        yield f"  stage {judged.stage.replace('_', ' ')}"
        yield from _values(judged)


def _values(judged: JudgedSheet) -> Iterator[str]:
    said = [
        one
        for one in judged.judgements
        if one.value is not None or one.verdict is not Verdict.NOT_READ or one.flags
    ]
    for (step, name), group in groupby(said, key=lambda one: (one.step, one.name)):
        values = list(group)
        yield f"    {step}: {_title(judged, values[0], name)}"
        for _, ends in groupby(
            sorted(values, key=lambda one: _order(values, one)), key=lambda one: tuple(one.at.items())
        ):
            yield f"      {value_line(tuple(ends))}"


def _order(values: list[Judgement], one: Judgement) -> int:
    """Both ends of a fit stand together, in the order of the first."""
    return next(place for place, other in enumerate(values) if other.at == one.at)


def _title(judged: JudgedSheet, one: Judgement, name: str) -> str:
    row = row_of(judged.checklist.engine, one.characteristic)
    return f"{row.title} ({row.code})" if row is not None and row.code else name.replace("_", " ")


def value_line(ends: tuple[Judgement, ...]) -> str:
    """One position: its values, the verdict of each end or of both, flags and reasons."""
    shown = " to ".join(value_words(one) for one in ends)
    where = position(ends[0].at) or "one"
    words = list(dict.fromkeys(verdict_words(one) for one in ends))
    reasons = "; ".join(dict.fromkeys(reason for one in ends for reason in one.reasons))
    verdict = words[0] if len(words) == 1 else ", ".join(f"{one.end} {verdict_words(one)}" for one in ends)
    limit = next((f"  ({band_words(one.decision.by)})" for one in ends if one.decision.by), "")
    return f"{where}: {shown}  {verdict}{limit}" + (f"  [{reasons}]" if reasons else "")


def finding_lines(number: int, finding: Finding) -> Iterator[str]:
    """An open point: its number, kind and place, what is wrong; and on the next line what to do."""
    place = finding.place
    step = f"step {place.number or place.step}" if place.step else ""
    where = ", ".join(filter(None, (place.code or place.path, step, place.at)))
    yield f"{number}. {finding.kind}: {where}: {finding.what}"
    if finding.cure:
        yield f"   do: {finding.cure}"


def outcome_line(checked: CheckedJob) -> str:
    """Whether the engine may be released, in one line."""
    name = checked.folder.name
    if checked.may_be_released:
        return f"{name} may be released: nothing stands open."
    counts = (
        (len(checked.faults), "fault"),
        (len(checked.findings), "open point"),
    )
    said = [counted(number, thing) for number, thing in counts if number]
    said += ["not all is done yet"] if checked.waiting else []
    return f"{name} may not be released: {', '.join(said) or 'it has no sheets'}."


def rule_line() -> str:
    """The decision rule, so that a later reader knows what `in` meant."""
    return f"Decision rule: {RULE}."

"""A checked job in lines of text: every judged value, then every open point."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from builder.jobs.check import CheckedSheet, Finding
from builder.judge import RULE, JudgedSheet, Judgement, Verdict
from builder.judge.taken import position
from builder.judge.words import band_words, value_words, verdict_words
from builder.manual import row as row_of


def sheet_lines(checked: CheckedSheet) -> Iterator[str]:
    """A sheet: its head, every value that was read or worked out at each stage, its open points."""
    procedure, engine = checked.checklist.procedure, checked.checklist.engine
    yield f"{checked.path}: {procedure.code} {procedure.title}, {engine.title}, run {checked.sheet.run}"
    for judged in checked.judged:
        yield f"  stage {judged.stage.replace('_', ' ')}"
        yield from _values(judged)
    for finding in checked.findings:
        yield f"  open: {finding_line(finding)}"


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


def finding_line(finding: Finding) -> str:
    """An open point in one line."""
    where = ", ".join(part for part in (f"step {finding.step}" if finding.step else "", finding.at) if part)
    return f"{where}: {finding.what}" if where else f"{finding.sheet}: {finding.what}"


def rule_line() -> str:
    """The decision rule, so that a later reader knows what `in` meant."""
    return f"Decision rule: {RULE}."

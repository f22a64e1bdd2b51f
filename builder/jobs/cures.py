"""What to do about a value that is out: the procedure's own correction in words, with its amount if sound."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from builder.checklist import Labels
from builder.jobs.worked import Worked
from builder.judge import Correction, JudgedSheet
from builder.judge.taken import Terms
from builder.judge.words import band_words
from builder.manual import row as row_of
from builder.model.base import Sentence
from builder.quantity import show

PLACES: Mapping[str, int] = {"in": 4, "mm": 3}
"""Decimals of an amount by its unit; one for the others."""

UNTOLD = "the amount that is told once its readings stand"
NOTHING_SAID = "Tell the foreman. The procedure does not say what to do here."


def cure_words(worked: Worked, judged: JudgedSheet, at: Labels, steps: frozenset[str]) -> str:
    """What these steps say to do at a position, each correction once."""
    said = dict.fromkeys(
        _words(worked, judged, one) for one in judged.corrections if one.step in steps and _meets(one.at, at)
    )
    return " ".join(said) or NOTHING_SAID


def _meets(one: Labels, other: Labels) -> bool:
    """Whether two positions do not contradict each other."""
    return all(other.get(side, label) == label for side, label in one.items())


def _words(worked: Worked, judged: JudgedSheet, correction: Correction) -> str:
    rule = correction.if_out
    said = sentence_words(worked, judged.stage, rule.do, _amount(correction))
    target = worked.plan.steps.get(str(rule.then))
    most = f" ({_passes(worked, correction)})" if rule.at_most is not None else ""
    return f"{said}{most} Go on from step {target.number}." if target else f"{said}{most}"


def _amount(correction: Correction) -> str:
    if correction.amount is None or correction.unit is None:
        return UNTOLD
    value = correction.unit.from_base(correction.amount)
    return show(value, correction.unit, PLACES.get(correction.unit.symbol, 1))


def _passes(worked: Worked, correction: Correction) -> str:
    made = passes_of(worked, correction.step, correction.rule, correction.at)
    most = correction.if_out.at_most
    return f"{made} of {most.number if most else 0} passes made"


def passes_of(worked: Worked, step: str, rule: int, at: Labels) -> int:
    """How many passes of one correction are recorded at a position; one without a position counts for all."""
    return sum(
        (one.step, one.rule) == (step, rule) and all(at.get(side) == label for side, label in one.at.items())
        for one in worked.sheet.passes
    )


def sentence_words(worked: Worked, stage: str, sentence: Sentence, amount: str = UNTOLD) -> str:
    """A sentence of a procedure with this job's values in place of what stands in braces."""
    return "".join(_stretches(worked, stage, sentence, amount))


def _stretches(worked: Worked, stage: str, sentence: Sentence, amount: str) -> Iterator[str]:
    place = 0
    for mention in sentence.mentions:
        yield sentence.text[place : mention.start]
        yield amount if mention.name == "amount" else _value(worked, stage, mention.name)
        place = mention.end
    yield sentence.text[place:]


def _value(worked: Worked, stage: str, name: str) -> str:
    row = row_of(worked.plan.checklist.engine, name)
    band = Terms.of(worked.job, stage).limits(row, name, {}).in_force
    if band is not None:
        return band_words(band)
    return str(row.title).lower() if row is not None else name.replace("_", " ")

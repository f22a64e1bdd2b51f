"""What a sheet leaves open: blanks, things to look at, steps without a mark, passes past their number."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence

from builder.jobs.cures import passes_of, sentence_words
from builder.jobs.kinds import Finding, Kind, Subject, counted
from builder.jobs.plan import Place
from builder.jobs.worked import Worked
from builder.judge.taken import position
from builder.model.record import Pass

FEW = 3
"""Positions that are named one by one; of more, the number is told."""


def gap_findings(worked: Worked) -> Iterator[Finding]:
    """Everything that a sheet leaves open where work has gone on."""
    yield from _no_blank(worked)
    if worked.is_final:
        yield from _not_read(worked)
        yield from _looks(worked)
        yield from _unmarked(worked)
        yield from _passes(worked)


def _no_blank(worked: Worked) -> Iterator[Finding]:
    """Readings that stand in no blank of the checklist: nothing is dropped without a word."""
    for step, name, labels in sorted(worked.read - worked.plan.blanks.keys()):
        what = f"`{name}` has no blank there in this checklist"
        cure = "Look at the edition it was filled in on, and write it where it belongs."
        yield Finding(Kind.NO_BLANK, worked.where(step, ", ".join(labels)), what, cure)


def _not_read(worked: Worked) -> Iterator[Finding]:
    """Blanks without a reading in steps that are done: marked, or gone past."""
    if worked.read >= worked.plan.blanks.keys():
        return
    for step in worked.past:
        empty = _lacking(worked, worked.plan.blanks_of.get(step, ()), worked.read)
        for name in dict.fromkeys(place[1] for place in empty):
            lacking = [place for place in empty if place[1] == name]
            what = f"`{name}` is not read {_where(worked, lacking)}"
            yield Finding(Kind.NOT_READ, worked.where(step), what, "Take the reading, or say why not.")


def _lacking(worked: Worked, places: Iterable[Place], there: Collection[Place]) -> list[Place]:
    """The places that are not there and of which nobody said why not."""
    return [place for place in places if place not in there and worked.skip_at(place) is None]


def _where(worked: Worked, places: Sequence[Place]) -> str:
    if len(places) > FEW:
        return f"at {len(places)} places"
    named = [position(worked.plan.blanks[place][1].at) for place in places]
    return "at " + "; ".join(named) if all(named) else "at all"


def _looks(worked: Worked) -> Iterator[Finding]:
    for step in worked.past if not worked.looks.keys() >= worked.plan.look_places else ():
        silent = _lacking(worked, worked.plan.looks_of.get(step, ()), worked.looks)
        for name in dict.fromkeys(place[1] for place in silent):
            number = sum(place[1] == name for place in silent)
            what = f"`{name}` is not answered at {counted(number, 'place')}"
            yield Finding(Kind.NOT_LOOKED, worked.where(step), what, "Look, and answer yes or no.")
    wrong = [place for place, answer in worked.looks.items() if answer.seen == "no"]
    for place in wrong:
        if place in worked.plan.looks_of.get(place[0], ()):
            yield _seen_wrong(worked, place)


def _seen_wrong(worked: Worked, place: Place) -> Finding:
    step, name, labels = place
    expected = sentence_words(worked, "final", worked.plan.steps[step].looks[name].see)
    what = f"`{name}` was answered no. It should be so: {expected}"
    cure = "Put it right and look again, or write a concession."
    sides = worked.plan.look_sides(step, name)
    about = Subject(worked.plan.name, step, name, dict(zip(sides, labels, strict=True)))
    return Finding(Kind.SEEN_WRONG, worked.where(step, position(about.at)), what, cure, (about,))


def _unmarked(worked: Worked) -> Iterator[Finding]:
    """Steps without a mark before a later one that has it."""
    steps = [step for step in worked.unmarked if step.number < worked.last_mark]
    if steps:
        numbers = ", ".join(str(step.number) for step in steps)
        what = f"step {numbers} has no mark and no reason, and step {worked.last_mark} is marked done"
        cure = "Do it and mark it, or write into job.yaml why it is skipped and who decided."
        yield Finding(Kind.SKIPPED, worked.where(str(steps[0].step.id)), what, cure)


def _passes(worked: Worked) -> Iterator[Finding]:
    for step, rule, labels in dict.fromkeys(map(_loop, worked.sheet.passes)):
        of, at = worked.plan.steps.get(step), dict(labels)
        if of is None or rule >= len(of.if_out):
            continue
        most, made = of.if_out[rule].at_most, passes_of(worked, step, rule, at)
        if most is not None and made > most.number:
            what = f"correction {rule + 1} was made {made} times, at most {most.number} are allowed"
            cure = "The foreman decides how to go on, and writes it down as a concession."
            about = Subject(worked.plan.name, step, at=at)
            yield Finding(Kind.PASSES, worked.where(step, position(at)), what, cure, (about,))


def _loop(one: Pass) -> tuple[str, int, tuple[tuple[str, str], ...]]:
    """What is done over and over: the step, the correction, the position."""
    at = sorted((str(side), str(label)) for side, label in one.at.items())
    return str(one.step), one.rule, tuple(at)

"""Two records of one run put together: nothing is dropped, and what does not agree is told.

Entries that both have stand once. Readings of one place under one try that differ are kept as tries in the
order of their times, so that the later one stands; a reading that a correction names as the old value stays
among the corrections alone, as on the page. The result does not depend on which of the two comes first.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

from builder.diagnostics import Fault
from builder.jobs.moments import later, moment, shown
from builder.judge.taken import position
from builder.model.base import StrictModel, Text
from builder.model.record import Correction, Looked, Note, Pass, Reading, ReadingKey, Sheet

E = TypeVar("E", bound=StrictModel)

Place = tuple[str, str, tuple[tuple[str, str], ...], str]
"""Step, measurement, position and stage of a reading, whatever the order of its labels."""

Numbers = Mapping[tuple[Place, str], int]
"""The try of every reading in the merged record, by its place and its text."""


@dataclass(frozen=True)
class Merged:
    """One record out of two, and a sentence for each thing in which they do not agree."""

    sheet: Sheet
    conflicts: tuple[str, ...] = ()


def merge(one: Sheet, other: Sheet) -> Merged:
    """Put two records of one run of one checklist together.

    Raises:
        Fault: when they are not of one job, engine, procedure and run.
    """
    for key in ("job", "engine", "procedure", "run"):
        if getattr(one, key) != getattr(other, key):
            message = f"one record is of {key} {getattr(one, key)}, the other of {getattr(other, key)}"
            raise Fault(message, "put together what belongs to one run of one checklist")
    first, second = sorted((one, other), key=_age)
    numbers, told = _tries(first, second)
    passes, passes_told = _passes(first, second)
    looks = _united(first.looks, second.looks)
    sheet = first.model_copy(
        update={
            "edition": first.edition or second.edition,
            "said": first.said if first.edition else second.said,
            "room": first.room or second.room,
            "readings": _readings(first, second, numbers),
            "ticks": _united(first.ticks, second.ticks),
            "looks": looks,
            "holds": _united(first.holds, second.holds),
            "corrections": _corrections(first, second, numbers),
            "passes": passes,
            "skipped": _united(first.skipped, second.skipped),
            "photos": _united(first.photos, second.photos),
            "notes": _united(_united(first.notes, second.notes), tuple(_head_notes(first, second))),
        }
    )
    return Merged(sheet, (*told, *_looks_told(looks), *passes_told, *_head_told(first, second)))


def _age(sheet: Sheet) -> tuple[str, str]:
    """The moment of a record's first entry, and its whole text where two began together."""
    entries = (*sheet.readings, *sheet.ticks, *sheet.looks, *sheet.holds)
    return min((_in_time(entry)[0] for entry in entries), default=""), repr(sheet)


def _united(one: Sequence[E], other: Sequence[E]) -> tuple[E, ...]:
    """The entries of both, each once, in the order of their times."""
    every = [*one, *(entry for entry in other if entry not in one)]
    return tuple(sorted(every, key=_in_time))


def _in_time(entry: StrictModel) -> tuple[str, str]:
    return moment(str(getattr(entry, "when", ""))), repr(entry)


# Readings


def place_of(reading: Reading | ReadingKey) -> Place:
    """Where a reading stands."""
    at = tuple(sorted((str(side), str(label)) for side, label in reading.at.items()))
    return str(reading.step), str(reading.name), at, str(reading.stage)


def _struck(reading: Reading, corrections: Iterable[Correction]) -> bool:
    """Whether a later correction has put this reading among the old values."""
    return any(
        place_of(correction.of) == place_of(reading)
        and correction.of.try_ == reading.try_
        and correction.was == reading.typed
        and later(str(correction.when), str(reading.when))
        for correction in corrections
    )


def _standing(first: Sheet, second: Sheet) -> dict[Place, list[tuple[Reading, set[int]]]]:
    """The readings of both by place, each once, with every try that it had; the struck ones left out."""
    corrections = (*first.corrections, *second.corrections)
    struck = {_at(one.of) for one in corrections}
    found: dict[Place, list[tuple[Reading, set[int]]]] = {}
    for reading in (*first.readings, *second.readings):
        if _at(reading) in struck and _struck(reading, corrections):
            continue
        here = found.setdefault(place_of(reading), [])
        same = next((tries for known, tries in here if _same(known, reading)), None)
        if same is None:
            here.append((reading, {reading.try_}))
        else:
            same.add(reading.try_)
    return found


def _at(of: Reading | ReadingKey) -> tuple[Place, int]:
    return place_of(of), of.try_


def _same(one: Reading, other: Reading) -> bool:
    """Whether two entries are the same reading, under whatever try each record keeps it."""
    return one == other or one.model_copy(update={"try_": other.try_}) == other


def _tries(first: Sheet, second: Sheet) -> tuple[Numbers, tuple[str, ...]]:
    """The try of every reading in the merged record, and the conflicts."""
    numbers: dict[tuple[Place, str], int] = {}
    told: list[str] = []
    for place, readings in _standing(first, second).items():
        tries = [max(tries) for _, tries in readings]
        if len(set(tries)) == len(tries):
            ordered = sorted(zip(tries, readings, strict=True), key=lambda pair: pair[0])
        else:
            by_time = sorted(readings, key=lambda pair: (moment(str(pair[0].when)), _words(pair[0])))
            ordered = list(enumerate(by_time, 1))
            told.append(_told(place, [reading for _, (reading, _) in ordered]))
        for number, (reading, _) in ordered:
            numbers[place, _words(reading)] = number
    return numbers, tuple(told)


def _words(reading: Reading) -> str:
    """A reading without its try."""
    return repr(reading.model_copy(update={"try_": 0}))


def _told(place: Place, readings: Sequence[Reading]) -> str:
    step, name, _, _ = place
    at = {str(side): str(label) for side, label in readings[0].at.items()}
    where = position(at) or f"step {step}"
    said = " and ".join(f"{one.typed} by {one.by} on {shown(str(one.when))}" for one in readings)
    return f"`{name}` at {where} is {said}: all are kept, the last one stands"


def _readings(first: Sheet, second: Sheet, numbers: Numbers) -> tuple[Reading, ...]:
    kept = [reading for here in _standing(first, second).values() for reading, _ in here]
    numbered = [
        reading.model_copy(update={"try_": numbers[place_of(reading), _words(reading)]}) for reading in kept
    ]
    return tuple(sorted(numbered, key=lambda one: (moment(str(one.when)), _words(one))))


def _corrections(first: Sheet, second: Sheet, numbers: Numbers) -> tuple[Correction, ...]:
    """The corrections of both, each pointing to the try that its reading has now."""
    return _united(tuple(_pointed(first, numbers)), tuple(_pointed(second, numbers)))


def _pointed(sheet: Sheet, numbers: Numbers) -> Iterator[Correction]:
    moved: dict[tuple[Place, int], int] = {}
    for reading in sheet.readings:
        number = numbers.get((place_of(reading), _words(reading)))
        if number is not None:
            moved[_at(reading)] = number
    for correction in sheet.corrections:
        now = moved.get(_at(correction.of), correction.of.try_)
        yield correction.model_copy(update={"of": correction.of.model_copy(update={"try_": now})})


# What else may not agree


def _passes(first: Sheet, second: Sheet) -> tuple[tuple[Pass, ...], tuple[str, ...]]:
    """The passes of both; where two have one number they are counted anew in the order of their times."""
    united = _united(first.passes, second.passes)
    loops: dict[tuple[str, int, str], list[Pass]] = {}
    for one in united:
        where = position({str(side): str(label) for side, label in sorted(one.at.items())})
        loops.setdefault((str(one.step), one.rule, where), []).append(one)
    told = []
    counted: list[Pass] = []
    for (step, _, where), passes in loops.items():
        if len({one.pass_ for one in passes}) == len(passes):
            counted += passes
        else:
            there = f" at {where}" if where else ""
            told.append(f"passes of step {step}{there} were counted twice: there are {len(passes)} of them")
            counted += [one.model_copy(update={"pass_": number}) for number, one in enumerate(passes, 1)]
    return tuple(counted), tuple(told)


def _looks_told(looks: Sequence[Looked]) -> Iterator[str]:
    seen: dict[tuple[str, str, str], Looked] = {}
    for one in looks:
        key = (str(one.step), str(one.name), position({str(k): str(v) for k, v in one.at.items()}))
        before = seen.get(key)
        if before is not None and before.seen != one.seen:
            where = key[2] or f"step {one.step}"
            answers = f"`{one.name}` at {where} was {before.seen} and is {one.seen}"
            yield f"{answers}: both are kept, the last one stands"
        seen[key] = one


def _head_told(first: Sheet, second: Sheet) -> Iterator[str]:
    for key in ("edition", "room"):
        one, other = getattr(first, key), getattr(second, key)
        if one and other and one != other:
            yield f"the {key} is {one} in one record and {other} in the other: both are kept"


def _head_notes(first: Sheet, second: Sheet) -> Iterator[Note]:
    """What the head of the merged record cannot say of both."""
    for key in ("edition", "room"):
        one, other = getattr(first, key), getattr(second, key)
        if one and other and one != other:
            yield Note(text=Text(f"Some entries were made with {key} {other}."))

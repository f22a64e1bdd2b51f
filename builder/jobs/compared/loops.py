"""How often work went round again: passes of corrections, readings taken again, entries corrected."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from builder.jobs.check import CheckedJob
from builder.jobs.compared.points import builder_of
from builder.jobs.worked import Worked


@dataclass(frozen=True)
class SheetLoops:
    """A sheet: its passes by the sentence of the correction, readings taken again, entries corrected."""

    job: str
    builder: str
    passes: tuple[tuple[str, int], ...]
    again: int
    corrected: int

    @property
    def number(self) -> int:
        """All passes of the sheet."""
        return sum(number for _, number in self.passes)


@dataclass(frozen=True)
class Loops:
    """A procedure over several jobs."""

    code: str
    title: str
    sheets: tuple[SheetLoops, ...]

    @property
    def number(self) -> int:
        """All passes."""
        return sum(one.number for one in self.sheets)


def loops_of(jobs: Sequence[CheckedJob]) -> Iterator[Loops]:
    """Each procedure of which a final sheet is filed, in the order of the route."""
    sheets: dict[tuple[str, str], list[SheetLoops]] = {}
    for checked in jobs:
        for worked in checked.sheets:
            if worked.is_final:
                key = (worked.plan.code, str(worked.plan.checklist.procedure.title))
                sheets.setdefault(key, []).append(_sheet(worked))
    for (code, title), found in sorted(sheets.items()):
        yield Loops(code, title, tuple(found))


def _sheet(worked: Worked) -> SheetLoops:
    passes = Counter(_words(worked, str(one.step), one.rule) for one in worked.sheet.passes)
    again = sum(one.try_ > 1 for one in worked.sheet.readings)
    job = str(worked.job.number)
    return SheetLoops(job, builder_of(worked), tuple(passes.items()), again, len(worked.sheet.corrections))


def _words(worked: Worked, step: str, rule: int) -> str:
    """What a correction says to do; its step where the checklist has no such correction any more."""
    found = worked.plan.steps.get(step)
    if found is None or rule >= len(found.if_out):
        return f"step {step}"
    return str(found.if_out[rule].do.text)

"""A characteristic on one job: its row as the job has it, and what was read of it on its sheets."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from pathlib import Path
from typing import Final

from builder.diagnostics import Fault
from builder.jobs import CheckedJob, Plans, Unreadable, check_job, check_jobs, read_job
from builder.jobs.moments import moment
from builder.jobs.own import Finding, findings_of, size_for
from builder.jobs.plan import Thing
from builder.judge import Flag, Judgement, Verdict
from builder.judge.words import value_words
from builder.lookup import Entry, Place
from builder.manual import Manual
from builder.model.job import Job
from builder.number import show_number
from builder.render import words
from builder.render.find_rows import Answers, ReadingLine, ReadingsView, RowView
from builder.render.job_values import KIND as JOB
from builder.render.values import Measure, measure
from builder.units import Unit, partner

STAGES: Final = {
    "after_run": "After the run",
    "final": "Final",
    "as_machined": "As machined",
    "as_found": "As found",
}
_WORST_FIRST: Final = (Verdict.OUT, Verdict.NOT_READ, Verdict.NO_LIMIT, Verdict.IN)


@dataclass(frozen=True)
class OnJob:
    """What it takes to put a family's rows into words as they stand on one of its jobs."""

    answers: Answers
    checked: CheckedJob
    job: Job

    @cached_property
    def findings(self) -> Mapping[str, tuple[Finding, ...]]:
        """What was read of each characteristic."""
        return findings_of(self.checked.sheets)

    @property
    def until(self) -> str:
        """The day of the last entry on its sheets; empty where there is none."""
        return max((one.ended for one in self.checked.sheets), key=moment, default="")[:10]

    @property
    def family(self) -> str:
        """The family, by id."""
        return str(self.answers.engine.engine)

    def view(self, entry: Entry) -> RowView:
        """A row in finished words as it stands on the job."""
        view = self.answers.view(entry)
        moved = any(value.decides and value.kind == JOB for value in view.values)
        readings = (*self._own_readings(entry.name), *self._mates_readings(entry))
        return replace(view, readings=readings, sizes=() if moved else view.sizes)

    def _own_readings(self, name: str) -> Iterator[ReadingsView]:
        for found in self.findings.get(name, ()):
            yield self.readings(found, _title(found))

    def _mates_readings(self, entry: Entry) -> Iterator[ReadingsView]:
        """The newest readings of what a fit follows from, where the fit itself was worked out or not."""
        for mate in entry.mates:
            read = [found for found in self.findings.get(mate, ()) if not _aimed(found)]
            if read:
                yield self.readings(read[0], self.answers.title_of(mate))

    # Readings

    def readings(self, found: Finding, name: str) -> ReadingsView:
        """What was read of a characteristic in one step, under a name."""
        worked = found.worked
        stage = STAGES[found.stage] if worked.is_final else f"{STAGES[found.stage]}, mock-up"
        return ReadingsView(
            stage=stage,
            name=name,
            step=self.answers.step(Place(worked.plan.checklist.procedure, found.step)),
            lines=tuple(_line(thing, values, aimed=_aimed(found)) for thing, values in found.values),
        )


def on_job(manual: Manual, folder: Path, plans: Plans | None = None) -> OnJob:
    """A job read from its folder, ready for questions; judged by the editions that `plans` know.

    Raises:
        Unreadable: a file of the job does not read.
        Fault: its family is none of this manual.
    """
    checked = check_job(manual, read_job(folder), plans)
    if checked.folder.faults:
        raise Unreadable(checked.folder.faults)
    answers = asked_of(manual, checked)
    if answers is None:
        raise Fault(f"{folder.name} is of no family of this manual", "correct `engine:` in its job.yaml")
    return answers


def jobs_in(manual: Manual, folder: Path) -> tuple[OnJob, ...]:
    """The jobs of a folder that read, by the names of their folders; none where there is no such folder."""
    return ready(manual, check_jobs(manual, folder)[1])


def ready(manual: Manual, jobs: Sequence[CheckedJob]) -> tuple[OnJob, ...]:
    """Those of some checked jobs that can be asked."""
    found = (asked_of(manual, checked) for checked in jobs)
    return tuple(one for one in found if one is not None)


def asked_of(manual: Manual, checked: CheckedJob) -> OnJob | None:
    """A checked job ready for questions; None where its family is unknown or its `job.yaml` does not read."""
    job, whole = checked.folder.job, checked.whole
    if job is None or whole is None:
        return None
    return OnJob(Answers(manual, whole.engine, job), checked, job)


def _aimed(found: Finding) -> bool:
    """Whether it is a size that was worked out to aim at, not one that was read."""
    return bool(size_for(found.step, found.name))


def _title(found: Finding) -> str:
    """What was read or worked out, by the title that its sheet gives it."""
    grid = next((grid for grid in found.step.grids if grid.name == found.name), None)
    out = found.step.work_outs.get(found.name)
    title = (grid.measure.title if grid else None) or (out.title if out else None)
    return str(title or words.plain(found.name))


def _line(thing: Thing, values: tuple[Judgement, ...], *, aimed: bool) -> ReadingLine:
    """The readings of one thing: from the least to the most, and the worst verdict with every flag."""
    where = ", ".join(f"{words.plain(side)} {label}" for side, label in thing)
    worst = min((one.verdict for one in values), key=_WORST_FIRST.index)
    flags = {flag for one in values for flag in one.flags}
    said = "to aim at" if aimed and worst is Verdict.NO_LIMIT else str(worst)
    verdict = ", ".join([said, *(str(flag) for flag in Flag if flag in flags)])
    shown, partner_shown = _measures([one for one in values if one.value is not None])
    return ReadingLine(
        where, shown, partner_shown, verdict, is_bad=worst is Verdict.OUT or Flag.SUSPECT in flags
    )


def _measures(values: list[Judgement]) -> tuple[Measure | None, Measure | None]:
    """The values from the least to the most, in their unit and in the other system's."""
    if not values:
        return None, None
    ends = sorted(values, key=lambda one: one.value or Fraction(0))
    ends = ends[:1] if ends[0].value == ends[-1].value else [ends[0], ends[-1]]
    texts = [value_words(one) for one in ends]
    if _centre(ends[0]):
        return measure(" to ".join(texts)), None
    unit = ends[0].unit
    if unit is None:
        return measure(" to ".join(texts)), None
    numbers = [text.removesuffix(f" {unit.symbol}") for text in texts]
    return measure(f"{' to '.join(numbers)} {unit.symbol}"), _partner(ends, numbers, unit)


def _centre(one: Judgement) -> str:
    """The dead centre that an angle is told from; empty where it is told from none."""
    printed = one.decision.by.printed if one.decision.by else ()
    return printed[0].value.datum[-3:] if printed else ""


def _partner(ends: list[Judgement], numbers: list[str], unit: Unit) -> Measure | None:
    beside = partner(unit)
    if beside is None:
        return None
    places = max(len(number.partition(".")[2]) for number in numbers)
    scale = unit.factor / beside.factor
    while scale >= 10 and places:  # noqa: PLR2004 - ten is one decimal place
        scale, places = scale / 10, places - 1
    shown = dict.fromkeys(show_number(beside.from_base(one.value or Fraction(0)), places) for one in ends)
    return measure(f"{' to '.join(shown)} {beside.symbol}")

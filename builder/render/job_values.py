"""Values as one job has them: what was decided for this engine beside the book, the supplier and the shop."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from builder.citation import Citation
from builder.judge.bounds import Band
from builder.judge.taken import Terms, position
from builder.judge.words import band_words
from builder.limit import read_limit
from builder.manual import feature
from builder.model.base import Text
from builder.model.job import Concession, Job
from builder.model.procedure import Procedure, Step
from builder.model.spec import BasicRow, LimitRow
from builder.model.written import Exact
from builder.render import words
from builder.render.values import Cite, Measure, Shower, Value, measure, other, place

KIND = "job"
"""The kind of a value that a job decides, beside the limit kinds."""

OUTRANKED = "what this job has goes before it"


@dataclass(frozen=True)
class JobShower(Shower):
    """What it takes to show the values of a family's rows as a job has them."""

    job: Job

    def values(self, row: BasicRow) -> tuple[Value, ...]:
        """What the job decides about a row, then everything that the row states."""
        own, name = super().values(row), self.names.get(id(row), "")
        if not isinstance(row, LimitRow) or not name:
            return own
        mine = sorted((*self._limits(row, name), *self._conceded(name)), key=lambda one: one.kind != KIND)
        if any(one.decides for one in mine):
            moved = {one.kind for one in mine}
            own = tuple(
                replace(one, decides=False, remark=one.remark or OUTRANKED) if one.decides else one
                for one in own
                if one.kind not in moved
            )
        return (*mine, *own)

    @cached_property
    def names(self) -> Mapping[int, str]:
        """The id of each row by the row itself."""
        return {id(row): str(name) for name, row in self.engine.specs.items()}

    def _limits(self, row: LimitRow, name: str) -> Iterator[Value]:
        """The sheet in the box of this job; where there is none, the limit moved by the job's sizes."""
        stated = self.job.supplier.get(Text(name))
        for at, group in stated.by.items() if stated else ():
            cited = group[0]
            yield Value(
                kind=KIND,
                label="this job, sheet in the box",
                place=place(row, str(at)),
                shown=measure(cited.body),
                partner=other(cited.value),
                cites=tuple(map(self._cite, cited.citations)),
                remark="it outranks all others on this engine",
                decides=True,
            )
        if stated is None:
            yield from self._moved(row, name)

    def _moved(self, row: LimitRow, name: str) -> Iterator[Value]:
        steps = {step: self.job.sizes[step] for step in row.moves_with if step in self.job.sizes}
        terms = Terms.of(self.job, "final")
        labels = dict.fromkeys(str(one) for sizes in steps.values() for one in sizes)
        for label in labels:
            at = {str(row.each or "place"): label or self._other(row, labels)}
            limits = terms.limits(row, name, at)
            where = place(row, label) or ("others" if len(labels) > 1 else "")
            if limits.in_force is not None and limits.in_force.moved:
                said = f"this job, {_moving(steps, label)}"
                yield replace(_at(where, limits.in_force), kind=KIND, label=said, remark="", decides=True)
                yield from (_at(where, band) for band in (limits.aim, limits.wear) if band is not None)

    def _other(self, row: LimitRow, named: Collection[str]) -> str:
        """A position that the job does not name, for what holds at all others."""
        found = feature(self.engine, row.each)
        names = map(str, found.names) if found is not None else ()
        return next((name for name in names if name not in named), "")

    def _cite(self, citation: Citation) -> Cite:
        source = self.manual.source(self.engine, citation.source)
        named = str(source.title) if source is not None else citation.source
        return Cite(
            f"{citation.source} {citation.locator}".strip(), f"{named}, {citation.locator}".strip(", "), ""
        )

    def _conceded(self, name: str) -> Iterator[Value]:
        """What was read against this row, was out, and was accepted in writing."""
        for one in self.job.concessions:
            if name in self._against(one):
                who = " ".join(str(part) for part in (one.by, one.on) if part)
                yield Value(
                    kind=KIND,
                    label="this job, conceded",
                    place=position({str(side): str(label) for side, label in one.of.at.items()}),
                    shown=Measure(str(one.reason or "no reason given"), worded=True),
                    partner=None,
                    cites=(),
                    remark=who or "nobody signed for it",
                )

    def _against(self, concession: Concession) -> set[str]:
        """The rows that a concession is about."""
        procedure = self.manual.procedures.get(str(concession.of.procedure))
        steps = _steps(procedure, concession.of.step) if procedure is not None else ()
        return {against for step in steps for against in _rows_of(step, concession.of.name)}


def _steps(procedure: Procedure, name: Text | None) -> tuple[Step, ...]:
    return tuple(step for step in procedure.steps if name in (None, step.id))


def _rows_of(step: Step, name: Text | None) -> Iterator[str]:
    """The rows against which a step holds what goes by a name; all of its rows without one."""
    for own, reading in step.measure.items():
        if name in (None, own):
            yield from map(str, (reading.against or {}).values())
    for own, out in step.work_out.items():
        if name in (None, own) and out.against is not None:
            yield str(out.against)


def _at(where: str, band: Band) -> Value:
    """A limit as it stands on a job, at a position."""
    text = band_words(band).split(", ", 1)[0]
    remark = words.WEAR_ONLY if band.kind == "wear" else ""
    label = words.LIMITS[band.kind].label
    return Value(band.kind, label, where, measure(text), other(read_limit(text)), (), remark)


def _moving(steps: Mapping[Text, Mapping[Text, Exact]], label: str) -> str:
    """The size steps that move a limit at a position: `main undersize 0.010 in`."""
    found = ((step, sizes.get(Text(label)) or sizes.get(Text(""))) for step, sizes in steps.items())
    return ", ".join(f"{words.plain(step)} {size.text}" for step, size in found if size is not None)


def skipped_lines(job: Job, procedure: Procedure) -> Iterator[str]:
    """The steps of a procedure that are not done on a job, with who, when and why."""
    numbers = {str(step.id): number for number, step in enumerate(procedure.steps, 1)}
    for one in job.skipped:
        if one.procedure == procedure.procedure:
            what = f"Step {numbers.get(str(one.step), one.step)}" if one.step else "The whole procedure"
            who = " ".join(str(part) for part in (one.by, one.on) if part)
            why = one.reason or "no reason given"
            yield f"{what} is not done on this job: {why} ({who or 'nobody signed'})"


def job_line(job: Job) -> str:
    """A job in one line: number, engine, basis, size steps."""
    number = f"engine {job.engine_number}" if job.engine_number else ""
    sizes = (
        f"{words.plain(step)} {_size_words({str(at): str(size.text) for at, size in found.items()})}"
        for step, found in job.sizes.items()
    )
    return "; ".join(filter(None, (f"Job {job.number}", number, str(job.basis), *sizes)))


def _size_words(sizes: Mapping[str, str]) -> str:
    """A size for all positions, or by the label of each; the rest last."""
    if set(sizes) == {""}:
        return sizes[""]
    named = [f"{at} {size}" for at, size in sizes.items() if at]
    rest = [f"others {sizes['']}"] if "" in sizes else []
    return ", ".join([*named, *rest])

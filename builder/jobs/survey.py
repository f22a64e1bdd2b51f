"""The survey of a stripped engine: what may stay, what is out, the sizes to choose, what goes with them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

from builder.checklist import feature_sides
from builder.formula import names_of
from builder.jobs.check import CheckedJob
from builder.jobs.measured import Column, Measured, measured, title_of
from builder.jobs.plan import Thing
from builder.jobs.whole import Whole
from builder.judge import Judgement, Verdict
from builder.judge.bounds import Limits, limits_at
from builder.judge.taken import sizes_of
from builder.manual import row as row_of
from builder.model.engine import Engine
from builder.model.procedure import WorkOut
from builder.model.spec import LimitRow, StepsRow
from builder.units import Unit

FOUND = "as_found"

Place = tuple[Thing, Column]


@dataclass(frozen=True, eq=False)
class PartFound:
    """A characteristic as it was found: every reading by its place, the worst one, how many are out."""

    part: Measured
    read: Mapping[Place, Judgement]

    @property
    def out(self) -> Mapping[Place, Judgement]:
        """The readings that are out."""
        return {place: one for place, one in self.read.items() if one.verdict is Verdict.OUT}

    @property
    def suspect(self) -> Mapping[Place, Judgement]:
        """The readings that are suspect or could not be worked out."""
        return {
            place: one
            for place, one in self.read.items()
            if one.verdict is Verdict.NOT_READ or any(str(flag) == "suspect" for flag in one.flags)
        }

    @property
    def worst(self) -> Place | None:
        """The place of the reading that lies farthest outside its limit."""
        return max(self.out, key=lambda place: _beyond(self.out[place]), default=None)


def _beyond(one: Judgement) -> Fraction:
    band = one.decision.by
    return band.beyond(one.value) if band is not None and one.value is not None else Fraction(0)


@dataclass(frozen=True, eq=False)
class MovedSize:
    """A size that goes with a size step: its row, how many there are, its limits then."""

    name: str
    row: LimitRow
    number: int
    limits: Limits


@dataclass(frozen=True, eq=False)
class SizeChoice:
    """A size step as the survey asks for it.

    `chosen` is from standard, in SI base units, and None where no listed size is enough or a reading is
    missing, which `why` says then. `agreed` is what the job says.
    """

    step: str
    title: str
    code: str
    offered: StepsRow
    chosen: Fraction | None
    unit: Unit | None
    why: str
    agreed: str
    moved: tuple[MovedSize, ...]


def parts_found(checked: CheckedJob) -> tuple[PartFound, ...]:
    """Everything with a limit that was read as found."""
    return tuple(
        PartFound(part, read)
        for part in measured(checked)
        if part.characteristic and (read := dict(_as_found(part)))
    )


def _as_found(part: Measured) -> Iterator[tuple[Place, Judgement]]:
    for (thing, reading), line in part.values.items():
        if reading.stage == FOUND:
            yield from (((thing, column), one) for column, one in line.items())


# Sizes to choose


def sizes_to_choose(checked: CheckedJob) -> tuple[SizeChoice, ...]:
    """The size steps that the procedures work out of readings as found, each from its list."""
    whole = checked.whole
    if whole is None:
        return ()
    found: dict[str, SizeChoice] = {}
    for worked in whole.sheets:
        if FOUND in worked.stages:
            judged = worked.judged_at(FOUND)
            outs = {
                (str(s.step.id), str(n)): out
                for s in judged.checklist.steps
                for n, out in s.work_outs.items()
            }
            for one in judged.judgements:
                offered = _list_of(whole.engine, outs.get((one.step, one.name)))
                if offered is not None and offered.step is not None:
                    title = title_of(judged, one)
                    found[str(offered.step)] = _choice(whole, worked.plan.code, title, offered, one)
    return tuple(found.values())


def _list_of(engine: Engine, out: WorkOut | None) -> StepsRow | None:
    """The list of sizes out of which a formula takes the first that is enough."""
    if out is None or out.is_ is None or "first_at_least" not in str(out.is_.text):
        return None
    rows = (row_of(engine, name.name) for name in names_of(out.is_.node))
    return next((row for row in rows if isinstance(row, StepsRow)), None)


def _choice(whole: Whole, code: str, title: str, offered: StepsRow, one: Judgement) -> SizeChoice:
    step = str(offered.step)
    came = whole.job.came_with.get(offered.step) if offered.step is not None else None
    before = max((size.quantity.base for size in came.values()), default=Fraction(0)) if came else Fraction(0)
    chosen = one.value + before if one.value is not None else None
    agreed = whole.job.sizes.get(offered.step) if offered.step is not None else None
    said = ", ".join(f"{label} {size.text}".strip() for label, size in agreed.items()) if agreed else ""
    moved = tuple(_moved(whole, step, chosen)) if chosen is not None else ()
    return SizeChoice(step, title, code, offered, chosen, one.unit, "; ".join(one.reasons), said, moved)


def _moved(whole: Whole, step: str, size: Fraction) -> Iterator[MovedSize]:
    """Every size that moves with a step, at the chosen one."""
    sizes = {**sizes_of(whole.job, "final"), step: size}
    for name, row in whole.engine.specs.items():
        if isinstance(row, LimitRow) and step in row.moves_with:
            number = 1
            for side in feature_sides(whole.engine, str(row.each)) if row.each else ():
                number *= len(side.labels)
            yield MovedSize(str(name), row, number, limits_at(row, {}, sizes, whole.job.supplier.get(name)))

"""A filled sheet judged as a whole: every reading, every worked-out value, every correction to make."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby

from builder.checklist import Checklist, ChecklistStep, Grid, Labels, of_run
from builder.formula import (
    Amount,
    Bounds,
    Cell,
    Link,
    Missing,
    Pair,
    Scope,
    Truth,
    Value,
    evaluate,
    names_of,
    not_read,
    readings_behind,
)
from builder.formula import Grid as Cells
from builder.formula import Reading as ReadingKey
from builder.judge.bounds import Limits
from builder.judge.taken import Taken, Terms, position, row_unit, take
from builder.judge.verdict import Decision, Flag, Verdict, decide
from builder.manual import row as row_of
from builder.model.job import Job
from builder.model.procedure import IfOut, WorkOut
from builder.model.record import Sheet
from builder.model.spec import LimitRow, StepsRow
from builder.model.written import Formula
from builder.units import Unit, unit


@dataclass(frozen=True)
class Judgement:
    """One value of a sheet with its verdict.

    `end` is `least` or `most` for the two ends of a fit, else empty. `reasons` say why it is suspect or not
    read, in sentences.
    """

    step: str
    name: str
    end: str
    at: Labels
    characteristic: str
    value: Fraction | None
    unit: Unit | None
    decision: Decision
    reasons: tuple[str, ...] = ()
    spread: Fraction = Fraction(0)
    typed_places: int | None = None
    """The decimals of a reading as typed; None for a worked-out value."""

    @property
    def verdict(self) -> Verdict:
        """The verdict."""
        return self.decision.verdict

    @property
    def flags(self) -> tuple[Flag, ...]:
        """What stands beside it."""
        return self.decision.flags


@dataclass(frozen=True)
class Correction:
    """What a step says to do at a position where a value is out, and the amount where one can be told."""

    step: str
    at: Labels
    rule: int
    if_out: IfOut
    amount: Fraction | None
    unit: Unit | None


@dataclass(frozen=True)
class JudgedSheet:
    """A sheet at one stage: its readings in their blanks, all judgements, all corrections."""

    checklist: Checklist
    stage: str
    taken: tuple[Taken, ...]
    judgements: tuple[Judgement, ...]
    corrections: tuple[Correction, ...]


def judge(checklist: Checklist, sheet: Sheet, job: Job | None, stage: str) -> JudgedSheet:
    """Judge the readings of one stage of a sheet; steps of the other run ask for nothing."""
    checklist = of_run(checklist, str(sheet.run))
    bench = _Bench(checklist, take(checklist, sheet, job, stage), job, stage)
    judgements: list[Judgement] = []
    corrections: list[Correction] = []
    for step in checklist.steps:
        judgements += bench.readings(step)
        judgements += bench.worked_out(step)
        corrections += bench.corrections(step)
    return JudgedSheet(checklist, stage, tuple(bench.by_key.values()), tuple(judgements), tuple(corrections))


@dataclass(frozen=True)
class _Proof:
    """What a worked-out value says of the readings that rely on it.

    `again` is when the readings behind it were taken once more, empty when they were not.
    """

    name: str
    at: Labels
    out: bool
    again: str

    def against(self, one: Taken) -> str:
        """Why a reading does not stand, in words; empty when it does."""
        elsewhere = any(one.blank.at.get(side, label) != label for side, label in self.at.items())
        if elsewhere or one.reading is None:
            return ""
        if self.out:
            return f"it was taken while `{self.name}` was out"
        return (
            f"it was taken before `{self.name}` was put right" if str(one.reading.when) < self.again else ""
        )


class _Bench:
    """The readings of one stage laid out, with what has been worked out of them so far."""

    def __init__(self, checklist: Checklist, taken: tuple[Taken, ...], job: Job | None, stage: str) -> None:
        self.checklist = checklist
        self.terms = Terms.of(job, stage)
        self.untouched = is_untouched(job, stage)
        self.by_key = {ReadingKey(one.grid.name, tuple(one.blank.at.values())): one for one in taken}
        self.suspect: set[str] = set()
        self.proofs: dict[str, list[_Proof]] = {}
        self.scope = Scope(
            values=dict(self._values()),
            pairs={},
            limits=dict(bounds_in(checklist, self.terms)),
            steps=dict(steps_in(checklist)),
            links=links_of(checklist),
        )

    def _values(self) -> Iterator[tuple[str, Value]]:
        for grid, group in groupby(self.by_key.values(), key=lambda one: one.grid):
            yield grid.name, Cells(dims_of(grid), tuple(self._cell(one) for one in group))

    def _cell(self, one: Taken) -> Cell:
        where = position(one.blank.at)
        if one.quantity is None:
            return Missing(one.unreadable or not_read(one.grid.name, one.blank.at))
        if one.slip:
            reason = f"`{one.grid.name}` at {where} is suspect: {one.slip}; retake it"
            self.suspect.add(reason)
            return Missing(reason)
        return Amount(
            one.quantity.base, {ReadingKey(one.grid.name, tuple(one.blank.at.values())): Fraction(1)}
        )

    def readings(self, step: ChecklistStep) -> Iterator[Judgement]:
        """Every reading of a step, judged."""
        for key, one in self.by_key.items():
            if one.grid.step == step.step.id:
                self.by_key[key] = self._doubted(one)
                yield self._reading(self.by_key[key])

    def _doubted(self, one: Taken) -> Taken:
        """A reading with what it relies on looked at."""
        for name in one.grid.measure.relies_on if one.reading is not None else ():
            for proof in self.proofs.get(str(name), ()):
                why = proof.against(one)
                if why:
                    return replace(one, doubt=why)
        return one

    def _reading(self, one: Taken) -> Judgement:
        reasons = tuple(reason for reason in (one.unreadable, one.slip, one.stale, one.doubt) if reason)
        value = one.quantity.base if one.quantity else None
        if value is None:
            decision = Decision(Verdict.NOT_READ)
        else:
            decision = decide(value, one.spread, one.limits, untouched=self.untouched)
        if value is not None and reasons:
            decision = Decision(decision.verdict, (*decision.flags, Flag.SUSPECT), decision.by)
        shown = one.quantity.unit if one.quantity else one.unit
        return Judgement(
            one.grid.step,
            one.grid.name,
            "",
            one.blank.at,
            one.row_id or "",
            value,
            shown,
            decision,
            reasons,
            one.spread,
            one.quantity.number.decimals if one.quantity else None,
        )

    def worked_out(self, step: ChecklistStep) -> Iterator[Judgement]:
        """Every value worked out in a step, judged; each is there for the next one to use."""
        for name, out in step.work_outs.items():
            values = {end: evaluate(formula.node, self.scope) for end, formula in ends_of(out)}
            self._remember(name, values)
            for end, value in values.items():
                for at, cell in value.items():
                    judged = self._worked(step, name, out, end, at, cell)
                    self.proofs.setdefault(name, []).append(self._proof(judged, cell))
                    yield judged

    def _proof(self, judged: Judgement, cell: Cell) -> _Proof:
        behind = (self.by_key[key].reading for key in readings_behind(cell) if key in self.by_key)
        again = [str(reading.when) for reading in behind if reading is not None and reading.try_ > 1]
        return _Proof(judged.name, judged.at, judged.verdict is Verdict.OUT, max(again, default=""))

    def _remember(self, name: str, values: Mapping[str, Value]) -> None:
        if "" in values:
            self.scope = _with(self.scope, values={**self.scope.values, name: values[""]})
        elif "least" in values and "most" in values:
            self.scope = _with(
                self.scope, pairs={**self.scope.pairs, name: Pair(values["least"], values["most"])}
            )

    def _worked(
        self, step: ChecklistStep, name: str, out: WorkOut, end: str, at: Labels, cell: Cell
    ) -> Judgement:
        against = str(out.against or "")
        row = row_of(self.checklist.engine, against)
        shown = unit(out.unit) if out.unit else _unit_of(row)
        if isinstance(cell, Amount):
            limits = self.terms.limits(row, against, at)
            decision, reasons, spread = self._decided(cell, limits, end)
            return Judgement(
                step.step.id, name, end, at, against, cell.value, shown, decision, reasons, spread
            )
        reason = cell.reason if isinstance(cell, Missing) else "it is an answer, not a value"
        flags = (Flag.SUSPECT,) if reason in self.suspect else ()
        return Judgement(
            step.step.id, name, end, at, against, None, shown, Decision(Verdict.NOT_READ, flags), (reason,)
        )

    def _decided(self, cell: Amount, limits: Limits, end: str) -> tuple[Decision, tuple[str, ...], Fraction]:
        """Judge an amount; its U is the root-sum-square of what each reading's U does to it."""
        behind = [(self.by_key[key], effect) for key, effect in cell.effects.items() if key in self.by_key]
        spread = sum((one.spread * effect**2 for one, effect in behind), Fraction(0))
        decision = decide(cell.value, spread, limits, untouched=self.untouched, end=end)
        reasons = tuple(dict.fromkeys(why for one, _ in behind for why in (one.stale, one.doubt) if why))
        if reasons:
            decision = Decision(decision.verdict, (*decision.flags, Flag.SUSPECT), decision.by)
        return decision, reasons, spread

    def corrections(self, step: ChecklistStep) -> Iterator[Correction]:
        """What the step says to do, at each position where its test holds."""
        for number, if_out in enumerate(step.if_out):
            for at, cell in evaluate(if_out.when.node, self.scope).items():
                if isinstance(cell, Truth) and cell.holds:
                    yield self._correction(step, number, if_out, at, cell)

    def _correction(
        self, step: ChecklistStep, number: int, if_out: IfOut, at: Labels, truth: Truth
    ) -> Correction:
        amount = None
        behind = [self.by_key[key] for key in readings_behind(truth) if key in self.by_key]
        sound = not any(one.stale or one.doubt for one in behind)
        if if_out.amount is not None and sound:
            amount = _amount_at(evaluate(if_out.amount.node, self.scope), at)
        return Correction(
            step.step.id, at, number, if_out, amount, unit(if_out.unit) if if_out.unit else None
        )


def _amount_at(value: Value, at: Labels) -> Fraction | None:
    try:
        cell = value.at(at)
    except KeyError:
        return None
    return cell.value if isinstance(cell, Amount) else None


def _with(
    scope: Scope, *, values: Mapping[str, Value] | None = None, pairs: Mapping[str, Pair] | None = None
) -> Scope:
    return Scope(values or scope.values, pairs or scope.pairs, scope.limits, scope.steps, scope.links)


def _unit_of(row: object) -> Unit | None:
    return row_unit(row) if isinstance(row, LimitRow) else None


def is_untouched(job: Job | None, stage: str) -> bool:
    """Whether parts are as they were at a stage, so that a wear limit may pass them."""
    return stage == "as_found" or (job is not None and job.basis == "overhauled" and stage == "final")


def bounds_in(checklist: Checklist, terms: Terms) -> Iterator[tuple[str, Bounds]]:
    """The limits that the formulas of a checklist name, on a job of these terms."""
    for name in sorted(named_in_formulas(checklist)):
        row = row_of(checklist.engine, name)
        if isinstance(row, LimitRow):
            yield name, _bounds_of(terms.limits(row, name, {}))


def _bounds_of(limits: Limits) -> Bounds:
    band, aim = limits.in_force, limits.aim
    return Bounds.of(
        band.low if band else None,
        band.high if band else None,
        aim.low if aim else None,
        aim.high if aim else None,
    )


def steps_in(checklist: Checklist) -> Iterator[tuple[str, tuple[Fraction, ...]]]:
    """The listed sizes of a family, in SI base units."""
    for name, row in checklist.engine.specs.items():
        stated = (row.supplier or row.new or row.shop) if isinstance(row, StepsRow) else None
        if stated is not None:
            yield str(name), tuple(step.base for step in stated.every()[0].value)


def named_in_formulas(checklist: Checklist) -> frozenset[str]:
    """Every name that a formula of the checklist uses."""
    outs = (out for step in checklist.steps for out in step.work_outs.values())
    nodes = [formula.node for out in outs for _, formula in ends_of(out)]
    tests = (one for step in checklist.steps for one in step.if_out)
    nodes += [formula.node for one in tests for formula in (one.when, one.amount) if formula is not None]
    return frozenset(name.name for node in nodes for name in names_of(node))


def ends_of(out: WorkOut) -> Iterator[tuple[str, Formula]]:
    """The formulas of a work-out by the end they give; an `is` has no end."""
    for end, formula in (("", out.is_), ("least", out.least), ("most", out.most)):
        if formula is not None:
            yield end, formula


def dims_of(grid: Grid) -> dict[str, tuple[str, ...]]:
    """The sides of a grid as dimensions of a formula."""
    return {side.name: side.labels for side in grid.sides}


def links_of(checklist: Checklist) -> dict[str, Link]:
    """What each feature of the family sits on."""
    found = {}
    for name, feature in checklist.engine.features.items():
        for seat, places in feature.on.items():
            found[str(name)] = Link(str(seat), {str(one): str(place) for one, place in places.items()})
    return found

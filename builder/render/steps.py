"""The steps of a procedure as written, before any family's values are filled in."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from builder.layers import Difference
from builder.manual import Manual
from builder.manual import row as row_of
from builder.model.base import Sentence, Text
from builder.model.engine import Engine
from builder.model.layout import Condition
from builder.model.procedure import Count, IfOut, Look, Measure, Procedure, Step, WorkOut
from builder.model.written import Formula
from builder.render import addresses, decided, diagrams, words
from builder.render.formula_words import Reader
from builder.render.hazards import SafetyBox, message_box
from builder.render.holds import HoldView, hold_view, need_link
from builder.render.lines import Drawing
from builder.render.page_parts import Link, Piece, lowered, sentence
from builder.render.spec_tables import instrument


@dataclass(frozen=True, slots=True)
class ReadingView:
    """What is read in a step: its name, of what and where, with which instrument, against which limits."""

    title: str
    where: str
    tool: Link | None
    against: tuple[Piece, ...]
    applies: str


@dataclass(frozen=True, slots=True)
class FormulaView:
    """A formula as one reads it and as it is written; `end` is the end of a fit that it gives, or empty.

    `href` leads to the worksheet where that is what works it out.
    """

    end: str
    said: str
    text: str
    href: str = ""


@dataclass(frozen=True, slots=True)
class ResultView:
    """What is worked out in a step: its name, its formulas by the end that they give, its limits."""

    title: str
    formulas: tuple[FormulaView, ...]
    against: tuple[Piece, ...]
    applies: str


@dataclass(frozen=True, slots=True)
class LookView:
    """What is looked at in a step."""

    see: tuple[Piece, ...]
    each: str
    applies: str


@dataclass(frozen=True, slots=True)
class IfOutView:
    """What to do when a value is out."""

    test: FormulaView
    do: tuple[Piece, ...]
    amount: FormulaView | None
    then: Link
    at_most: str


@dataclass(frozen=True, slots=True)
class PartView:
    """A part and how many."""

    name: str
    count: str
    applies: str


@dataclass(frozen=True, slots=True)
class StepView:
    """One step as written."""

    id: str
    number: str
    applies: str
    safety: tuple[SafetyBox, ...]
    do: tuple[Piece, ...]
    why: tuple[Piece, ...]
    expect: tuple[Piece, ...]
    mistake: tuple[Piece, ...]
    irreversible: bool
    looks: tuple[LookView, ...]
    readings: tuple[ReadingView, ...]
    results: tuple[ResultView, ...]
    if_out: tuple[IfOutView, ...]
    tools: tuple[Link, ...]
    parts: tuple[PartView, ...]
    drawing: Drawing | None
    redo: tuple[Link, ...]
    hold: HoldView | None
    decided: tuple[str, ...] = ()


def applies(when: Condition | None, unless: Condition | None = None) -> str:
    """On which engines something is done, in words; empty where it is done on all."""
    only = f"only on engines with {words.condition(when)}" if when else ""
    never = f"not on engines with {words.condition(unless)}" if unless else ""
    said = ", ".join(part for part in (only, never) if part)
    return f"{said[:1].upper()}{said[1:]}" if said else ""


MOST_COLUMNS = 4
"""How many families stand side by side; where there are more, each has its values on its checklist."""


@dataclass(frozen=True)
class Writer:
    """What it takes to write out the steps of a procedure on the page `here`."""

    manual: Manual
    procedure: Procedure
    here: str
    values: str = "part-values"
    """The anchor before the table of the families' values; `<values>-<characteristic>` is a row of it."""

    @cached_property
    def families(self) -> tuple[Engine, ...]:
        """The families that the procedure serves."""
        return self.manual.families_of(self.procedure)

    @cached_property
    def decided(self) -> tuple[Difference, ...]:
        """What the shop says against the base's procedure."""
        name = str(self.procedure.procedure)
        return tuple(one for one in self.manual.differences if one.of == name)

    @cached_property
    def worked_out(self) -> Mapping[str, str]:
        """The names worked out in the procedure, each in words."""
        return {
            str(name): str(out.title or words.plain(name))
            for step in self.procedure.steps
            for name, out in step.work_out.items()
        }

    def characteristic(self, name: str) -> Piece | None:
        """A characteristic by its title with a link to the values, None where no family has it."""
        for engine in self.families or tuple(self.manual.engines.values()):
            found = row_of(engine, name)
            if found is not None:
                return Piece(lowered(str(found.title)), self._way_to(name, str(found.title)), "value")
        return None

    @property
    def tabled(self) -> bool:
        """Whether the families' values stand side by side at the end of the page."""
        return 0 < len(self.families) <= MOST_COLUMNS

    def _way_to(self, name: str, title: str) -> str:
        there = f"{self.here}#{self.values}-{name}" if self.tabled else addresses.find(title)
        return addresses.link(self.here, there)

    def spoken(self) -> tuple[str, ...]:
        """The characteristics that the steps speak of, in order of first mention."""
        names = dict.fromkeys(name for step in self.procedure.steps for name in _spoken(step))
        return tuple(name for name in names if self.characteristic(name))

    def named(self, name: str) -> Piece:
        """What stands in braces, in words."""
        if name == "amount":
            return Piece("the amount shown")
        return self.characteristic(name) or Piece(lowered(self.worked_out.get(name, words.plain(name))))

    def sentence(self, found: Sentence | None) -> tuple[Piece, ...]:
        """A sentence with its braces put into words."""
        return sentence(found, self.named)

    def steps(self) -> tuple[StepView, ...]:
        """Every step in order."""
        return tuple(self._step(number, step) for number, step in enumerate(self.procedure.steps, 1))

    def _step(self, number: int, step: Step) -> StepView:
        hold = self.manual.holds.get(step.hold) if step.hold else None
        return StepView(
            id=str(step.id),
            number=str(number),
            applies=applies(step.when, step.unless),
            safety=tuple(self._safety(step)),
            do=self.sentence(step.do),
            why=self.sentence(step.why),
            expect=self.sentence(step.expect),
            mistake=self.sentence(step.mistake),
            irreversible=step.irreversible,
            looks=tuple(map(self._look, step.look.values())),
            readings=tuple(self._reading(str(name), each) for name, each in step.measure.items()),
            results=tuple(self._result(str(name), each) for name, each in step.work_out.items()),
            if_out=tuple(map(self._if_out, step.if_out)),
            tools=tuple(instrument(self.manual, str(tool), self.here) for tool in step.tools),
            parts=tuple(parts(step.parts)),
            drawing=diagrams.figure(None, str(step.figure)) if step.figure else None,
            redo=tuple(need_link(self.manual, str(name), self.here) for name in step.redo),
            hold=hold_view(self.manual, str(step.hold), hold, self.here) if hold else None,
            decided=tuple(decided.of_step(self.decided, str(step.id))),
        )

    def _safety(self, step: Step) -> Iterator[SafetyBox]:
        for message in step.safety:
            hazard = self.manual.hazards.get(message.hazard_id) if message.hazard_id else None
            yield message_box(message, hazard)

    def _look(self, look: Look) -> LookView:
        each = f"each {words.plain(look.each)}" if look.each else ""
        return LookView(self.sentence(look.see), each, applies(look.when, look.unless))

    def _reading(self, name: str, reading: Measure) -> ReadingView:
        return ReadingView(
            title=_titled(reading.title, name),
            where=places(reading),
            tool=instrument(self.manual, str(reading.tool), self.here) if reading.tool else None,
            against=self._against((reading.against or {}).values()),
            applies=applies(reading.when, reading.unless),
        )

    def _result(self, name: str, out: WorkOut) -> ResultView:
        return ResultView(
            title=_titled(out.title, name),
            formulas=tuple(self._formulas(out)),
            against=self._against((out.against,) if out.against else ()),
            applies=applies(out.when, out.unless),
        )

    def _formulas(self, out: WorkOut) -> Iterator[FormulaView]:
        """The formulas of a result, each with the end that it gives."""
        for end, formula in (("", out.is_), ("least", out.least), ("most", out.most)):
            if formula:
                yield self._formula(end, formula)
        if out.use:
            there = addresses.link(self.here, addresses.worksheet(str(out.use)))
            yield FormulaView("", f"by the worksheet {words.plain(out.use)}", "", there)

    def _formula(self, end: str, formula: Formula) -> FormulaView:
        return FormulaView(end, self.reader.words(formula.node), str(formula.text))

    @cached_property
    def reader(self) -> Reader:
        """Reads the procedure's formulas aloud."""
        readings = [each for step in self.procedure.steps for each in step.measure.values()]
        features = {str(each.each) for each in readings if each.each}
        return Reader(lambda name: self.named(name).text, features | {"plane", "axis", "point"})

    def _against(self, names: Iterable[Text]) -> tuple[Piece, ...]:
        every = dict.fromkeys(map(str, names))
        return tuple(self.characteristic(name) or Piece(words.plain(name)) for name in every)

    def _if_out(self, rule: IfOut) -> IfOutView:
        steps = {str(step.id): number for number, step in enumerate(self.procedure.steps, 1)}
        target = str(rule.then)
        then = Link(f"step {steps[target]}", f"#{target}") if target in steps else Link("stop")
        return IfOutView(
            test=self._formula("", rule.when),
            do=self.sentence(rule.do),
            amount=self._formula("", rule.amount) if rule.amount else None,
            then=then,
            at_most=str(rule.at_most.text) if rule.at_most else "",
        )


def _spoken(step: Step) -> Iterator[str]:
    """The names in a step's sentences, and what its readings and results are held against."""
    sentences = [step.do, step.why, step.expect, step.mistake]
    sentences += [look.see for look in step.look.values()] + [rule.do for rule in step.if_out]
    for found in sentences:
        yield from (mention.name for mention in (found.mentions if found else ()))
    for reading in step.measure.values():
        yield from map(str, (reading.against or {}).values())
    yield from (str(out.against) for out in step.work_out.values() if out.against)


def _titled(title: Text | None, name: str) -> str:
    return str(title or words.plain(name).capitalize())


def places(reading: Measure) -> str:
    """Where a reading is taken, in words."""
    said = [f"of each {words.plain(reading.each)}"] if reading.each else []
    if reading.plane:
        said.append(f"in planes {words.listed(map(_place, reading.plane))}")
    if reading.axis:
        said.append(f"on axes {words.listed(map(_place, reading.axis))}")
    if reading.point:
        said.append(f"at points {words.listed(map(_place, reading.point))}")
    return ", ".join(said)


def _place(name: str) -> str:
    return words.PLACES.get(name, words.plain(name))


def parts(found: Mapping[Text, Count]) -> Iterator[PartView]:
    """Parts with their counts in words."""
    for name, count in found.items():
        each = f" for each {words.plain(count.each)}" if count.each else ""
        yield PartView(words.plain(name), f"{count.number}{each}", applies(count.when))

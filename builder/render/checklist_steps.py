"""The steps of a checklist as its page and its printed sheet show them: words with values in place."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import product
from typing import Final

from builder.checklist import Checklist, ChecklistStep, Part, feature_sides
from builder.field_code import PLACES
from builder.judge.taken import position
from builder.manual import row as row_of
from builder.model.base import Sentence
from builder.model.procedure import Hold, IfOut, Look
from builder.model.spec import BasicRow
from builder.render import decided, diagrams, words
from builder.render.formula_words import Reader
from builder.render.grids import GridView, ResultView, Ruler
from builder.render.hazards import SafetyBox, message_box
from builder.render.holds import hold_title, need_link
from builder.render.lines import Drawing
from builder.render.page_parts import Link, raised
from builder.render.spec_tables import RowView, instrument, row_view
from builder.render.values import Shower, Value, printed
from builder.units import IDENTIFIERS

LETTERS: Final = "abcdefghijklmnopqrstuvwxyz"

LOOPS: Final = 2
"""Lines on paper for the passes of one correction, where several things may have to be put right."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of a sentence: words, a value with unit, partner and whose it is, or the amount."""

    text: str
    value: Value | None = None
    is_amount: bool = False


Words = tuple[Stretch, ...]


@dataclass(frozen=True, slots=True)
class LookRow:
    """One thing to look at: its labels joined by `|`, and in words."""

    place: str
    label: str


@dataclass(frozen=True, slots=True)
class LookView:
    """Something to look at and answer yes or no; by its code it is typed in from paper: `look 5a`."""

    name: str
    code: str
    see: Words
    rows: tuple[LookRow, ...]


@dataclass(frozen=True, slots=True)
class IfOutView:
    """What to do when a value is out: the test and the amount in words, how often, where to go on."""

    number: int
    test: str
    do: Words
    amount: str
    at_most: str
    code: str
    passes: range
    places: range
    then: Link


@dataclass(frozen=True, slots=True)
class RoleView:
    """A role that signs a hold."""

    name: str
    label: str


@dataclass(frozen=True, slots=True)
class HoldView:
    """A hold on a checklist: what must be shown, and who signs."""

    id: str
    code: str
    title: str
    check: Words
    roles: tuple[RoleView, ...]


@dataclass(frozen=True, slots=True)
class StepView:
    """One step as this family has it."""

    id: str
    number: int
    run: str
    safety: tuple[SafetyBox, ...]
    do: Words
    do_text: str
    why: Words
    expect: Words
    mistake: Words
    irreversible: bool
    values: tuple[RowView, ...]
    tools: tuple[Link, ...]
    parts: tuple[str, ...]
    drawing: Drawing | None
    looks: tuple[LookView, ...]
    grids: tuple[GridView, ...]
    results: tuple[ResultView, ...]
    if_out: tuple[IfOutView, ...]
    redo: tuple[Link, ...]
    hold: HoldView | None
    decided: tuple[str, ...] = ()


@dataclass(frozen=True)
class Writer:
    """What it takes to write out the steps of a checklist on the page `here`."""

    checklist: Checklist
    here: str
    paper: bool = True
    """Whether it is for paper, which asks for more of a grid than a screen."""
    known: Shower | None = None
    """What shows the family's values, where several pages share it."""

    @cached_property
    def shower(self) -> Shower:
        """What shows the family's values on this page."""
        return self.known or Shower(self.checklist.manual, self.checklist.engine, self.here)

    @cached_property
    def ruler(self) -> Ruler:
        """What lays out the grids."""
        return Ruler(self.checklist, self.shower, self.paper)

    @cached_property
    def numbers(self) -> Mapping[str, int]:
        """The number of every step by its id."""
        return {str(step.step.id): step.number for step in self.checklist.steps}

    def steps(self) -> tuple[StepView, ...]:
        """Every step in order."""
        return tuple(map(self.step, self.checklist.steps))

    def step(self, of: ChecklistStep) -> StepView:
        """One step."""
        step, manual = of.step, self.checklist.manual
        return StepView(
            id=str(step.id),
            number=of.number,
            run=str(step.run or ""),
            safety=tuple(message_box(message, hazard) for message, hazard in of.messages),
            do=self.sentence(step.do),
            do_text="".join(stretch.text for stretch in self.sentence(step.do)),
            why=self.sentence(step.why),
            expect=self.sentence(step.expect),
            mistake=self.sentence(step.mistake),
            irreversible=step.irreversible,
            values=tuple(self._values(of)),
            tools=tuple(instrument(manual, str(tool), self.here) for tool in step.tools),
            parts=tuple(map(part_words, of.parts)),
            drawing=diagrams.figure(self.checklist.engine, str(step.figure)) if step.figure else None,
            looks=tuple(self._look(of, *look) for look in of.looks.items()),
            grids=tuple(self.ruler.grid(grid) for grid in of.grids),
            results=tuple(self.ruler.result(of, name, out) for name, out in of.work_outs.items()),
            if_out=tuple(self._if_out(of, *rule) for rule in enumerate(of.if_out)),
            redo=tuple(need_link(manual, str(name), self.here) for name in step.redo),
            hold=self.hold(str(step.hold), of.hold) if of.hold else None,
            decided=tuple(decided.of_step(self.checklist.differences, str(step.id))),
        )

    def hold(self, name: str, hold: Hold) -> HoldView:
        """A hold with the roles that sign it."""
        return HoldView(
            id=name,
            code=str(hold.code),
            title=hold_title(name, hold),
            check=self.sentence(hold.check),
            roles=tuple(RoleView(str(role), words.ROLES.get(role, str(role))) for role in hold.by),
        )

    # Sentences

    def sentence(self, found: Sentence | None) -> Words:
        """A sentence with the family's values in place of what stands in braces."""
        if found is None:
            return ()
        said, place = [], 0
        for mention in found.mentions:
            said += [Stretch(printed(found.text[place : mention.start])), *self._mentioned(mention.name)]
            place = mention.end
        said.append(Stretch(printed(found.text[place:])))
        return tuple(stretch for stretch in said if stretch.text)

    def _mentioned(self, name: str) -> Iterator[Stretch]:
        """What stands for a name in braces: the amount, values in force, a worked-out value's title."""
        row = row_of(self.checklist.engine, name)
        if name == "amount":
            yield Stretch("the amount shown", is_amount=True)
        elif row is None:
            yield Stretch(self._called(name))
        else:
            yield from self._stated(row)

    def _stated(self, row: BasicRow) -> Iterator[Stretch]:
        every = self.shower.values(row)
        values = [value for value in every if value.decides] or list(every[:1])
        if not values:
            yield Stretch(f"{lowered(str(row.title))} (nothing published)")
        for number, value in enumerate(values):
            if number:
                yield Stretch(", ")
            place = f"{value.place}: " if value.place else ""
            yield Stretch(f"{place}{value.shown}", value)

    def _values(self, of: ChecklistStep) -> Iterator[RowView]:
        """The characteristics that the step's own sentences speak of, in full."""
        step = of.step
        sentences = [step.do, step.why, step.expect, step.mistake, *(rule.do for rule in of.if_out)]
        mentions = (mention.name for found in sentences if found for mention in found.mentions)
        named = [*mentions, *((step.figure or "").split()[1:2])]
        for name in dict.fromkeys(named):
            row = row_of(self.checklist.engine, name)
            if row is not None:
                yield row_view(self.shower, name, row)

    def _called(self, name: str) -> str:
        """What a name of a formula is called: a reading, a worked-out value, a characteristic or a unit."""
        for step in self.checklist.steps:
            if name in step.work_outs:
                return lowered(str(step.work_outs[name].title or words.plain(name)))
            for grid in step.grids:
                if grid.name == name:
                    return lowered(str(grid.measure.title or words.plain(name)))
        row = row_of(self.checklist.engine, name)
        if row is not None:
            return lowered(str(row.title))
        return IDENTIFIERS[name].label if name in IDENTIFIERS else words.plain(name)

    @cached_property
    def reader(self) -> Reader:
        """What reads formulas aloud."""
        return Reader(self._called, {*map(str, self.checklist.engine.features), *PLACES})

    # What is looked at, and what to do when it is out

    def _look(self, of: ChecklistStep, name: str, look: Look) -> LookView:
        sides = tuple(feature_sides(self.checklist.engine, look.each)) if look.each else ()
        places = [
            dict(zip((side.name for side in sides), labels, strict=True))
            for labels in product(*(side.labels for side in sides))
        ]
        rows = tuple(LookRow("|".join(at.values()), raised(position(at))) for at in places)
        letter = LETTERS[list(of.looks).index(name)] if len(of.looks) > 1 else ""
        return LookView(name, f"look {of.number}{letter}", self.sentence(look.see), rows)

    def _if_out(self, of: ChecklistStep, number: int, rule: IfOut) -> IfOutView:
        target = str(rule.then)
        step = self.numbers.get(target)
        return IfOutView(
            number=number,
            test=self.reader.words(rule.when.node),
            do=self.sentence(rule.do),
            amount=self.reader.words(rule.amount.node) if rule.amount else "",
            at_most=str(rule.at_most.text) if rule.at_most else "",
            code=f"pass {of.number}.{number + 1}",
            passes=range(rule.at_most.number if rule.at_most else 0),
            places=range(LOOPS if _many_things(of) else 1),
            then=Link(f"Go on from step {step}", f"#step-{target}") if step else Link("Stop here"),
        )


def _many_things(of: ChecklistStep) -> bool:
    """Whether a step measures several things, so that several may have to be put right."""
    sides = (side for grid in of.grids for side in grid.sides if side.name not in PLACES)
    return any(len(side.labels) > 1 for side in sides)


def part_words(part: Part) -> str:
    """A part with its count: `8 main cap nuts, 2 each main`."""
    each = f", {part.count.number} for each {words.plain(part.count.each)}" if part.count.each else ""
    return f"{part.number} {words.plain(part.name)}{each}"


def lowered(title: str) -> str:
    """A title inside a sentence: its first word small, unless it is an abbreviation."""
    return title if title[1:2].isupper() else title[:1].lower() + title[1:]

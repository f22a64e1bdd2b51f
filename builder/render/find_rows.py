"""What an answer says: one family's row of a characteristic in finished words, for page and terminal."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from typing import Final

from builder.limit import Limit, read_limit
from builder.lookup import Entry, Place, Remedy
from builder.manual import Manual, row
from builder.model.base import Sentence
from builder.model.engine import Engine
from builder.model.job import Job
from builder.model.spec import IN_FORCE, BasicRow, LimitRow, StepsRow
from builder.number import places_of, show_number
from builder.quantity import Quantity
from builder.render import addresses, decided, words
from builder.render.job_values import JobShower
from builder.render.page_parts import Link
from builder.render.shell import FIND
from builder.render.spec_tables import facts, instrument
from builder.render.values import Measure, Shower, Value, measure, other, printed

AMOUNT: Final = "the worked-out amount"
SIDES: Final = {"under": "Under the limit", "over": "Over the limit", "out": "Out of limits"}

_NAME: Final = re.compile(r"[a-z][a-z0-9_]*(?:\.[a-z0-9_]+)+")
_SIGNS: Final = {"*": "×", "-": "−"}
_OF_ANY_ROW: Final[dict[str, object]] = {"words": (), "why": None}
_ELSEWHERE: Final = _OF_ANY_ROW | {"follows": None}
"""What an answer shows in a place of its own."""
_BESIDE: Final[dict[str, object]] = {
    "each": None,
    "moves_with": {},
    "of": None,
    "same": None,
    "differs": None,
    "waiver": None,
    "note": None,
}
"""What is to be known of a value but is not the state in which it holds."""


@dataclass(frozen=True, slots=True)
class StepLink:
    """A step of a family's checklist: the procedure's code and title, the step's number, the way there."""

    code: str
    title: str
    number: int
    page: str
    anchor: str


@dataclass(frozen=True, slots=True)
class RemedyView:
    """What to do when a value is out: on which side, the sentence, where it stands, where to go on."""

    side: str
    text: str
    step: StepLink
    then: StepLink | None


@dataclass(frozen=True, slots=True)
class Size:
    """A limit in force moved by one size that the family's lists offer for a size step of a job."""

    of: str
    size: str
    shown: Measure
    partner: Measure | None


@dataclass(frozen=True, slots=True)
class ReadingLine:
    """The readings of one thing (main 3) on a job: from the least to the most, with their verdict."""

    where: str
    shown: Measure | None
    partner: Measure | None
    verdict: str
    is_bad: bool


@dataclass(frozen=True, slots=True)
class ReadingsView:
    """What a job's sheet holds of a characteristic: at which stage, of what, in which step."""

    stage: str
    name: str
    step: StepLink
    lines: tuple[ReadingLine, ...]


@dataclass(frozen=True, slots=True)
class RowView:
    """One family's row: what it states, how it is read, what it follows from, what to do when it is out.

    `state` is what must be so for the value to hold, `facts` what else is to be known. `mates` are ids;
    `follows` is the formula of the mates by their names; `readings` are those of the job asked for, if any.
    """

    name: str
    title: str
    code: str
    values: tuple[Value, ...]
    unknown: str
    state: tuple[str, ...]
    facts: tuple[str, ...]
    instrument: Link | None
    why: str
    read_in: tuple[StepLink, ...]
    named_in: tuple[StepLink, ...]
    remedies: tuple[RemedyView, ...]
    follows: str
    mates: tuple[str, ...]
    sizes: tuple[Size, ...]
    torque_card: str
    readings: tuple[ReadingsView, ...] = ()


@dataclass(frozen=True)
class Answers:
    """What it takes to put the rows of one family into words."""

    manual: Manual
    engine: Engine
    job: Job | None = None
    """The job as which the values are shown, where it is of this family."""

    @cached_property
    def shower(self) -> Shower:
        """What shows the values of the rows."""
        if self.job is not None and self.job.engine == self.engine.engine:
            return JobShower(self.manual, self.engine, FIND, self.job)
        return Shower(self.manual, self.engine, FIND)

    def view(self, entry: Entry) -> RowView:
        """A row and its trace in finished words."""
        found, trace = entry.row, entry.trace
        values = self.shower.values(found)
        return RowView(
            name=entry.name,
            title=str(found.title),
            code=str(found.code or ""),
            values=values,
            unknown=printed(found.unknown or "") if not values else "",
            state=tuple(_state(found)),
            facts=(*_facts(found), *self.decided(entry.name)),
            instrument=instrument(self.manual, str(found.instrument), FIND) if found.instrument else None,
            why=printed(found.why or ""),
            read_in=tuple(map(self.step, trace.read_in)),
            named_in=tuple(map(self.step, trace.named_in)),
            remedies=tuple(map(self.remedy, trace.remedies)),
            follows=self.formula(found),
            mates=entry.mates,
            sizes=tuple(self.sizes(found)),
            torque_card=self.torque_card(entry.name) if getattr(found, "threads", None) else "",
        )

    def decided(self, name: str) -> Iterator[str]:
        """What the shop decided about a row against its base."""
        of = self.manual, str(self.engine.engine), name
        yield from (*decided.of_limits(*of), *decided.of_row(*of))

    def torque_card(self, name: str) -> str:
        """The way to a fastener on the family's torque card, where its tightening order is drawn."""
        return addresses.link(FIND, f"{addresses.engine_page(str(self.engine.engine), 'torque')}#{name}")

    def step(self, place: Place) -> StepLink:
        """A step with the way to it on the family's checklist."""
        procedure = place.procedure
        page = addresses.checklist_page(str(self.engine.engine), str(procedure.procedure))
        return StepLink(
            code=str(procedure.code),
            title=str(procedure.title),
            number=place.step.number,
            page=addresses.link(FIND, page),
            anchor=f"step-{place.step.step.id}",
        )

    def remedy(self, remedy: Remedy) -> RemedyView:
        """What to do when a value is out."""
        then = self.step(remedy.then) if remedy.then else None
        return RemedyView(SIDES[remedy.side], self.sentence(remedy.rule.do), self.step(remedy.place), then)

    def sentence(self, said: Sentence) -> str:
        """A sentence with the family's values in the place of what stands in braces."""
        text, place = "", 0
        for mention in said.mentions:
            text += said.text[place : mention.start] + self.value_of(mention.name)
            place = mention.end
        return printed(text + said.text[place:])

    def value_of(self, name: str) -> str:
        """The value in force of a characteristic; of what is worked out on the sheet, only that it is."""
        found = row(self.engine, name)
        values = self.shower.values(found) if found else ()
        return str(values[0].shown) if values else AMOUNT

    def formula(self, found: BasicRow) -> str:
        """The formula that a row follows from, its mates by name; empty where it follows from none."""
        if not isinstance(found, LimitRow) or found.follows is None:
            return ""
        parts = _NAME.split(found.follows.text)
        signs = [" ".join(_SIGNS.get(sign, sign) for sign in part.split(" ")) for part in parts]
        names = [self.title_of(name) for name in _NAME.findall(found.follows.text)]
        return "".join(part + name for part, name in zip(signs, [*names, ""], strict=True))

    def title_of(self, name: str) -> str:
        """The title of a characteristic as it stands inside a formula."""
        found = row(self.engine, name)
        return f"{found.title[:1].lower()}{found.title[1:]}" if found else name

    def sizes(self, found: BasicRow) -> Iterator[Size]:
        """The limit in force at each size that the family's lists offer for a job."""
        limit = _in_force(found)
        if limit is None or not isinstance(found, LimitRow):
            return
        for step, factor in found.moves_with.items():
            for listed in _listed(self.engine, str(step)):
                moved = _moved(limit, listed, Fraction(factor))
                if moved is not None:
                    size = f"{listed.number.text} {listed.unit.label}"
                    yield Size(words.plain(step), size, measure(moved.text), other(moved))


def _state(found: BasicRow) -> Iterator[str]:
    """In what state a value holds: the condition, the height or speed, the threads, the order and rounds."""
    if found.condition:
        yield f"{printed(found.condition)}."
    if isinstance(found, LimitRow):
        yield from facts(found.model_copy(update=_ELSEWHERE | _BESIDE))


def _facts(found: BasicRow) -> Iterator[str]:
    """What else a row says, less what an answer shows in a place of its own."""
    stated = set(_state(found))
    shown = facts(found.model_copy(update=_ELSEWHERE if isinstance(found, LimitRow) else _OF_ANY_ROW))
    yield from (fact for fact in shown if fact not in stated)


def _in_force(found: BasicRow) -> Limit | None:
    """The limit in force of a row that has one for all positions, or over all of its grades."""
    stated = next((stated for kind in IN_FORCE if (stated := getattr(found, kind, None))), None)
    firsts = [group[0].value for group in stated.by.values()] if stated else []
    limits = [limit for limit in firsts if isinstance(limit, Limit) and limit.bounded]
    if len(limits) == 1:
        return limits[0]
    graded = isinstance(found, LimitRow) and found.grades and len({limit.unit for limit in limits}) == 1
    return _spanning(limits) if graded else None


def _spanning(limits: list[Limit]) -> Limit | None:
    """One limit from the lowest to the highest end of several."""
    lows, highs = [limit.low for limit in limits], [limit.high for limit in limits]
    low, high = min(end for end in lows if end is not None), max(end for end in highs if end is not None)
    return replace(limits[0], low=low, high=high)


def _listed(engine: Engine, step: str) -> tuple[Quantity, ...]:
    """The sizes that a family's lists offer for a size step of a job."""
    for found in engine.specs.values():
        if isinstance(found, StepsRow) and found.step == step:
            lists = [stated.every()[0].value for stated in (found.supplier, found.new, found.shop) if stated]
            return lists[0] if lists else ()
    return ()


def _moved(limit: Limit, size: Quantity, factor: Fraction) -> Limit | None:
    """A limit moved by a size; None where that cannot be written in the limit's own unit."""
    if size.unit.dimension != limit.unit.dimension or limit.datum:
        return None
    change = factor * size.unit.factor / limit.unit.factor * size.value
    ends = [end + change for end in (limit.low, limit.high) if end is not None]
    decimals = max(limit.decimals or 0, *(places_of(end) for end in ends))
    numbers = " to ".join(show_number(end, decimals) for end in dict.fromkeys(ends))
    bound = {(True, False): " min", (False, True): " max"}.get((limit.high is None, limit.low is None), "")
    exact = " exact" if len(ends) == 2 and ends[0] == ends[1] else ""  # noqa: PLR2004 - both ends
    return replace(read_limit(f"{numbers} {limit.unit.symbol}{bound}{exact}"), second=None)

"""What a customer is told before the work: the condition of each part, and an estimate with options."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated, Final

from pydantic import Field, PlainValidator, model_validator

from builder.diagnostics import Fault
from builder.model.base import Flag, StrictModel, Word, Words, string_schema, word_of
from builder.model.choice import Day
from builder.model.layout import PlacedFault
from builder.number import show_number

_AMOUNT: Final = re.compile(r"\d{1,9}(\.\d{1,2})?", re.ASCII)

PLACES: Final = 2
"""Decimals of money."""


@dataclass(frozen=True, order=True)
class Amount:
    """Hours or money, exact, never negative."""

    value: Fraction

    @property
    def text(self) -> str:
        """As money is written, `1250.00`."""
        return show_number(self.value, PLACES)


def amount_of(tree: object) -> Amount:
    """Read hours or money as `12`, `12.5` or `1250.00`; anything else is a fault."""
    text = word_of(tree)
    if not _AMOUNT.fullmatch(text):
        hint = "write digits, and a point before at most two more, as in `1250.00`"
        raise Fault(f"`{text}` is no amount", hint)
    return Amount(Fraction(text))


AmountField = Annotated[
    Amount, PlainValidator(amount_of), string_schema("Hours or money, as in `12.5` or `1250.00`.")
]


class Found(StrictModel):
    """A finding without a reading."""

    part: Word
    """The part."""
    finding: Word
    """What was found."""
    option: Word | None = None
    """What can be done."""


class Condition(StrictModel):
    """What the survey says beyond its readings."""

    options: dict[Word, Word] = Field(default_factory=dict)
    """What can be done, by characteristic, as `bore.size: bored and honed to 0.030 in over`."""
    found: tuple[Found, ...] = ()
    """What no gauge reads: cracks, missing parts, work of strangers."""
    unknown: Words = ()
    """What is not known yet, and what would tell it."""


class Line(StrictModel):
    """One line of an estimate: hours of the shop, or a price for what is bought or done outside."""

    what: Word
    """The work or the thing."""
    hours: AmountField | None = None
    """Hours of the shop."""
    price: AmountField | None = None
    """What is bought or paid outside."""
    size: Word | None = None
    """The size that is ordered, by measured need."""
    lead: Word | None = None
    """The delivery time, as `10 weeks` or `in stock`."""
    order: Flag = False
    """Whether it is ordered."""

    @model_validator(mode="after")
    def _is_priced(self) -> Line:
        if self.hours is None and self.price is None:
            hint = "write `hours` or `price`"
            raise PlacedFault("this line has neither hours nor a price", hint, self.what)
        if self.order and self.lead is None:
            hint = "write `lead`, as in `10 weeks` or `in stock`"
            raise PlacedFault("this is ordered, and no delivery time is given", hint, self.what)
        return self


class Option(StrictModel):
    """One way to do a stage."""

    title: Word
    """What is done."""
    changes: Word | None = None
    """What it changes for good."""
    keeps: Word | None = None
    """What stays as it is."""
    lines: tuple[Line, ...]
    """What it takes."""


class Extra(StrictModel):
    """What may come on top, and when."""

    if_: Word = Field(alias="if")
    """What would have to be found."""
    price: AmountField
    """What it would cost then."""


class PriceStage(StrictModel):
    """A stage of the work with a price of its own, at whose end the customer can stop."""

    title: Word
    """What the stage is."""
    fixed: Flag = False
    """Whether the price is agreed and does not change."""
    ends: Word | None = None
    """Where it ends, and what the customer has then."""
    lines: tuple[Line, ...] = ()
    """What it takes, whatever the option."""
    options: dict[Word, Option] = Field(default_factory=dict)
    """Ways to do it, by letter."""
    extras: tuple[Extra, ...] = ()
    """What may come on top."""


class Estimate(StrictModel):
    """Prices and hours of a job, typed in by the shop; sums are worked out."""

    on: Day
    """The day it was written."""
    by: Word
    """Who wrote it, by initials."""
    until: Day | None = None
    """The last day on which it holds."""
    money: Word
    """What prices are in, as it is printed: GBP, USD."""
    hour: AmountField
    """The price of one hour of the shop."""
    stages: dict[Word, PriceStage]
    """The stages in their order, by a short name."""
    note: Word | None = None
    """A remark."""

    @model_validator(mode="after")
    def _holds_a_while(self) -> Estimate:
        if self.until is not None and self.until < self.on:
            hint = f"write a day after {self.on}"
            raise PlacedFault(f"it holds until {self.until}, before it was written", hint, self.until)
        return self


def sum_of(lines: tuple[Line, ...], hour: Amount) -> Amount:
    """What some lines come to: hours at the price of one, and prices."""
    return Amount(sum((part for line in lines for part in _parts(line, hour)), Fraction(0)))


def _parts(line: Line, hour: Amount) -> Iterator[Fraction]:
    if line.hours is not None:
        yield line.hours.value * hour.value
    if line.price is not None:
        yield line.price.value


def hours_of(lines: tuple[Line, ...]) -> Amount:
    """The hours of the shop in some lines."""
    return Amount(sum((line.hours.value for line in lines if line.hours is not None), Fraction(0)))

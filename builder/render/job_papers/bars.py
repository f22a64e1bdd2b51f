"""Limit bars: where a value lies between its limits, one bar a line, black on white."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from markupsafe import Markup

from builder.judge import Judgement, Verdict
from builder.judge.bounds import Band

WIDTH: Final = 128
HEIGHT: Final = 15
MIDDLE: Final = HEIGHT / 2
SIDE: Final = 24
"""How much of a bar lies outside a limit, on each side that has one."""

INK: Final = "#000"


@dataclass(frozen=True, slots=True)
class Scale:
    """Where a value stands on a bar: the values of its two ends, and the bounds that are drawn."""

    left: Fraction
    right: Fraction
    low: Fraction | None
    high: Fraction | None

    def at(self, value: Fraction) -> float:
        """The place of a value, held inside the bar."""
        part = (value - self.left) / (self.right - self.left) if self.right > self.left else Fraction(1, 2)
        return round(float(min(max(part, Fraction(0)), Fraction(1))) * WIDTH, 1)

    def past(self, value: Fraction) -> int:
        """-1 or 1 where a value lies beyond the left or right end."""
        return -1 if value < self.left else int(value > self.right)


def scale(band: Band, values: Sequence[Fraction]) -> Scale:
    """The scale of a bar: its limits, and on an open side as far as the values reach."""
    low, high = band.low, band.high
    if low is None and high is not None:
        least = min((*values, Fraction(0) if high > 0 else high))
        start = least if high > least else high - 1
        return Scale(start, high + (high - start) * Fraction(SIDE, WIDTH - SIDE), None, high)
    if high is None and low is not None:
        most = max((*values, low))
        room = max(most - low, abs(low) / 10) or Fraction(1)
        return Scale(low - room * Fraction(SIDE, WIDTH - 2 * SIDE), low + room * Fraction(6, 5), low, None)
    low, high = low or Fraction(0), high or Fraction(0)
    room = (high - low or abs(high) / 100 or Fraction(1)) * Fraction(SIDE, WIDTH - 2 * SIDE)
    return Scale(low - room, high + room, low, high)


def bar(band: Band, last: Iterable[Judgement], before: Iterable[Judgement] = ()) -> Markup:
    """The values of one line against a limit: full marks as it leaves, open ones from before.

    A value outside is a cross; one beyond the end of the bar is an arrow there.
    """
    now, then = list(_valued(last)), list(_valued(before))
    on = scale(band, [value for value, _ in (*now, *then)])
    marks = [_open(on, value) for value, _ in then] + [_full(on, value, one) for value, one in now]
    start = Markup('<svg class="bar" aria-hidden="true" viewBox="0 0 {} {}" width="{}" height="{}">')
    return Markup().join((start.format(WIDTH, HEIGHT, WIDTH, HEIGHT), *_ground(on), *marks, Markup("</svg>")))


def _valued(judgements: Iterable[Judgement]) -> Iterator[tuple[Fraction, Judgement]]:
    for one in judgements:
        if one.value is not None:
            yield one.value, one


def _ground(on: Scale) -> Iterator[Markup]:
    """The band between the limits, a line at each of them."""
    start = on.at(on.low) if on.low is not None else 0.0
    end = on.at(on.high) if on.high is not None else float(WIDTH)
    yield Markup('<path d="M0 {0:g}H{1}" stroke="{2}" stroke-width=".5"/>').format(MIDDLE, WIDTH, INK)
    yield Markup('<rect x="{:g}" y="3.5" width="{:g}" height="8" fill="#e4e4e4"/>').format(start, end - start)
    for bound, place in ((on.low, start), (on.high, end)):
        if bound is not None:
            yield Markup('<path d="M{:g} 1V14" stroke="{}" stroke-width="1.2"/>').format(place, INK)


def _full(on: Scale, value: Fraction, one: Judgement) -> Markup:
    place = on.at(value)
    if past := on.past(value):
        tip, foot = (place, place - past * 6)
        form = Markup('<path d="M{0:g} 3.5L{1:g} {2:g}L{0:g} 11.5Z" fill="{3}"/>')
        return form.format(foot, tip, MIDDLE, INK)
    if one.verdict is Verdict.OUT:
        cross = Markup('<path d="M{0:g} 4l7 7m0 -7l-7 7" stroke="{1}" stroke-width="1.8"/>')
        return cross.format(place - 3.5, INK)
    return Markup('<circle cx="{:g}" cy="{:g}" r="2.6" fill="{}"/>').format(place, MIDDLE, INK)


def _open(on: Scale, value: Fraction) -> Markup:
    form = Markup('<circle cx="{:g}" cy="{:g}" r="2.4" fill="#fff" stroke="{}" stroke-width="1"/>')
    return form.format(on.at(value), MIDDLE, INK)

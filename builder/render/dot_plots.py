"""One characteristic over several jobs as dots: a row for each job, by builder, the limit behind them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import sqrt
from typing import Final

from markupsafe import Markup

from builder.jobs.compared import JobValues, Series
from builder.jobs.compared.words import limit_words, shown, standard
from builder.render.lines import Drawing, circle, drawing, label, line, rectangle, text

WIDE: Final = 340
LEFT: Final = 108
ROW: Final = 26
TOP: Final = 22
MARGIN: Final = 14
DOT: Final = 2.6
"""The radius of a dot that stands for one value."""


@dataclass(frozen=True)
class Scale:
    """Where a value stands across the drawing."""

    least: Fraction
    most: Fraction

    @classmethod
    def of(cls, series: Series) -> Scale:
        """From the smaller of limit and values to the larger."""
        band = standard(series)
        bounds = [] if band is None else [bound for bound in (band.low, band.high) if bound is not None]
        every = [*(one.value for one in series.points), *bounds]
        least, most = min(every), max(every)
        return cls(least, most) if least < most else cls(least - 1, most + 1)

    def at(self, value: Fraction) -> float:
        """Where a value stands."""
        share = (value - self.least) / (self.most - self.least)
        return LEFT + MARGIN + float(share) * (WIDE - LEFT - 2 * MARGIN)


def dot_plot(series: Series) -> Drawing:
    """Draw a series: the larger a dot the more places have that value, the stroke is the job's mean."""
    scale = Scale.of(series)
    rows = [(name, job) for name, jobs in series.builders.items() for job in jobs]
    foot = TOP + ROW * len(rows)
    parts = [*_limit(series, scale, foot)]
    for place, (name, job) in enumerate(rows):
        parts += _row(TOP + ROW * place + ROW / 2, name, job, scale)
    said = _said(series)
    caption = "The larger a dot, the more places; the stroke is the mean of the job."
    return Drawing(drawing(WIDE, foot + 8, said, parts), caption)


def _limit(series: Series, scale: Scale, foot: float) -> Iterator[Markup]:
    """The band of the limit with its bounds; without one the least and the largest value."""
    band = standard(series)
    low, high = (band.low, band.high) if band is not None else (None, None)
    left = scale.at(low) if low is not None else LEFT
    right = scale.at(high) if high is not None else WIDE
    if low is not None or high is not None:
        yield rectangle(left, TOP - 4, right - left, foot - TOP + 8, "gl-plot-band")
    bounds = [bound for bound in (low, high) if bound is not None]
    for bound in bounds:
        yield line(scale.at(bound), TOP - 4, scale.at(bound), foot + 4, "gl-line")
    for bound in bounds or [scale.least, scale.most]:
        across = min(max(scale.at(bound), LEFT + 34), WIDE - 34)
        yield text(across, TOP - 9, shown(series, bound), "gl-text", 12)


def _row(middle: float, name: str, job: JobValues, scale: Scale) -> Iterator[Markup]:
    yield label(0, middle + 5, f"{name} {job.job}")
    yield line(LEFT, middle, WIDE, middle, "gl-line-thin")
    for value, number in Counter(job.values).items():
        yield circle(scale.at(value), middle, min(DOT * sqrt(number), ROW / 2 - 2), "gl-plot-dot")
    across = scale.at(job.mean)
    yield line(across, middle - ROW / 2 + 2, across, middle + ROW / 2 - 2, "gl-line-accent")


def _said(series: Series) -> str:
    """The drawing in words."""
    jobs = [
        f"{job.job} by {name} {shown(series, min(job.values))} to {shown(series, max(job.values))}"
        for name, every in series.builders.items()
        for job in every
    ]
    limit = limit_words(series)
    return f"{series.title}: {'; '.join(jobs)}." + (f" Limit {limit}." if limit else "")

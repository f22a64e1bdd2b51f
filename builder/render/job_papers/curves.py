"""Curves of an engine under load: torque and power over speed, and the course of a run-in."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from math import ceil, floor, log10
from typing import Final

from markupsafe import Markup

from builder.jobs.runs import HORSEPOWER, PowerRun
from builder.quantity import show
from builder.render.lines import Drawing, circle, drawing, label, line, path, text
from builder.units import Unit, unit

WIDTH: Final = 560
LEFT: Final = 52
RIGHT: Final = 540
HIGH: Final = 190
GAP: Final = 44
RPM: Final = unit("rpm")

Course = Sequence[tuple[Fraction, Fraction]]


def power_curve(run: PowerRun) -> Drawing:
    """Torque above, power below, over the speed: open marks observed, full marks corrected."""
    speeds = [RPM.from_base(one.speed) for one in run.points]
    torque = [
        _in(speeds, [one.torque for one in run.points], run.torque_unit),
        _in(speeds, [one.corrected_torque for one in run.points], run.torque_unit),
    ]
    power = [
        _in(speeds, [one.power for one in run.points], HORSEPOWER),
        _in(speeds, [one.corrected_power for one in run.points], HORSEPOWER),
    ]
    foot = 2 * (HIGH + GAP)
    parts = [*_panel(26, f"Torque, {run.torque_unit.label}", torque, speeds)]
    parts += _panel(26 + HIGH + GAP, "Power, hp", power, speeds)
    parts += _speeds(speeds, foot - GAP + 46)
    said = _said(run)
    return Drawing(drawing(WIDTH, foot + 12, said, parts), f"{_key(run)} {said}")


def _in(speeds: Sequence[Fraction], values: Sequence[Fraction | None], of: Unit) -> Course:
    pairs = zip(speeds, values, strict=True)
    return [(speed, of.from_base(value)) for speed, value in pairs if value is not None]


def _key(run: PowerRun) -> str:
    corrected = any(one.corrected_torque is not None for one in run.points)
    return f"Open marks: observed. Full marks: {run.correction.lower()}." if corrected else "Marks: observed."


def _said(run: PowerRun) -> str:
    """The peaks in words."""
    torque = max(run.points, key=lambda one: one.corrected_torque or one.torque)
    power = max(run.points, key=lambda one: one.corrected_power or one.power)
    best = show(run.torque_unit.from_base(torque.corrected_torque or torque.torque), run.torque_unit, 1)
    most = show(HORSEPOWER.from_base(power.corrected_power or power.power), HORSEPOWER, 1)
    at, on = (show(RPM.from_base(one.speed), RPM, 0) for one in (torque, power))
    return f"Peak torque {best} at {at}, peak power {most} at {on}."


def _panel(top: float, name: str, courses: Sequence[Course], speeds: Sequence[Fraction]) -> Iterator[Markup]:
    """One quantity over the speed, with a grid of round numbers."""
    values = [value for course in courses for _, value in course]
    low, high, step = nice(min(values), max(values))
    yield label(LEFT, top - 8, name)
    for number in range(round((high - low) / step) + 1):
        value = low + number * step
        y = _y(value, low, high, top)
        yield line(LEFT, y, RIGHT, y, "gl-line-thin" if number else "gl-line")
        yield text(LEFT - 20, y + 4, f"{value:g}", "gl-text", 12)
    for place, course in enumerate(courses):
        yield from _course(course, (float(low), float(high), top), speeds, is_full=place > 0)


def _course(
    course: Course, panel: tuple[float, float, float], speeds: Sequence[Fraction], *, is_full: bool
) -> Iterator[Markup]:
    low, high, top = panel
    at = [(_x(speed, speeds), _y(float(value), low, high, top)) for speed, value in course]
    if at:
        yield path(
            "M" + " L".join(f"{x:.1f} {y:.1f}" for x, y in at), "gl-line" if is_full else "gl-line-hidden"
        )
    for x, y in at:
        yield circle(x, y, 4, "gl-fill-ink" if is_full else "gl-fill")


def _x(speed: Fraction, speeds: Sequence[Fraction]) -> float:
    low, high = float(min(speeds)), float(max(speeds))
    return LEFT + 14 + (RIGHT - LEFT - 28) * (float(speed) - low) / ((high - low) or 1)


def _y(value: float, low: float, high: float, top: float) -> float:
    return round(top + HIGH - HIGH * (value - low) / (high - low), 1)


def _speeds(speeds: Sequence[Fraction], y: float) -> Iterator[Markup]:
    for place, speed in enumerate(speeds):
        shown = f"{float(speed):g}"
        yield text(_x(speed, speeds), y, f"{shown} rpm" if place == 0 else shown, "gl-text", 12)


def nice(least: Fraction | float, most: Fraction | float) -> tuple[float, float, float]:
    """Round ends that hold two values, and a round step between them: 1, 2 or 5 of some power of ten."""
    room = float(most - least) or abs(float(most)) or 1.0
    power = 10.0 ** floor(log10(room / 4))
    step = next(factor * power for factor in (1, 2, 5, 10) if factor * power * 5 >= room)
    low, high = floor(float(least) / step) * step, ceil(float(most) / step) * step
    return low, high if high > low else low + step, step

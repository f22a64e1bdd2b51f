"""A trace in lines of text and as plain data."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from builder.jobs.kinds import counted
from builder.jobs.moments import day, moment
from builder.jobs.trace import Trace, TracedReading, Use
from builder.judge.taken import position


def trace_lines(traces: Sequence[Trace]) -> Iterator[str]:
    """Each thing that was found, job by job; its readings counted by measurement."""
    for number, found in enumerate(traces):
        yield from ("",) if number else ()
        yield head_line(found)
        for use in found.uses:
            yield from _use(use)


def head_line(found: Trace) -> str:
    """What was found, on how many jobs, with how many readings."""
    readings = f", {counted(found.number, 'reading')}" if found.number else ""
    jobs = "" if found.kind == "job" else f": {counted(len(found.uses), 'job')}{readings}"
    return f"{found.kind} {found.name}{jobs}"


def _use(use: Use) -> Iterator[str]:
    owner = f", {use.owner}" if use.owner else ""
    yield f"  {use.job}: {use.engine}{owner}"
    yield from (f"    {line}" for line in use.said)
    groups: dict[object, list[TracedReading]] = {}
    for one in use.readings:
        key = (one.code, one.reading.step, one.reading.name, one.by_way)
        groups.setdefault(key, []).append(one)
    yield from (f"    {_counted(every)}" for every in groups.values())


def _counted(every: Sequence[TracedReading]) -> str:
    """The readings of one measurement: how many, when, by whom, by way of what."""
    first = every[0]
    days = sorted({day(str(one.reading.when)) for one in every}, key=moment)
    span = days[0] if len(days) == 1 else f"{days[0]} to {days[-1]}"
    by = ", ".join(sorted({str(one.reading.by) for one in every}))
    way = f", read with {first.by_way}, which it set" if first.by_way else ""
    name = str(first.reading.name).replace("_", " ")
    return (
        f"{first.code} step {first.reading.step}: {name}, {counted(len(every), 'reading')}, {span}, {by}{way}"
    )


def trace_plain(traces: Sequence[Trace]) -> list[dict[str, Any]]:
    """A trace as JSON takes it, with every reading."""
    return [
        {
            "kind": found.kind,
            "name": found.name,
            "jobs": [
                {
                    "job": use.job,
                    "engine": use.engine,
                    "owner": use.owner,
                    "said": list(use.said),
                    "readings": [_reading(one) for one in use.readings],
                }
                for use in found.uses
            ],
        }
        for found in traces
    ]


def _reading(one: TracedReading) -> dict[str, Any]:
    of = one.reading
    at = {str(side): str(label) for side, label in of.at.items()}
    return {
        "sheet": one.path,
        "procedure": one.code,
        "step": str(of.step),
        "name": str(of.name),
        "at": at,
        "where": position(at),
        "stage": str(of.stage),
        "try": of.try_,
        "typed": str(of.typed),
        "unit": str(of.unit),
        "gauge": str(of.gauge),
        "by": str(of.by),
        "when": str(of.when),
    }

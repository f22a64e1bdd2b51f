"""From a batch, a gauge, an outside shop or a ticket to every job and reading that used it; and backwards."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches

from builder.checklist import feature_sides
from builder.jobs.check import CheckedJob
from builder.jobs.kinds import counted
from builder.jobs.moments import day, moment
from builder.jobs.worked import Worked
from builder.model.base import Text
from builder.model.job import Gauge, Job, Lot
from builder.model.outside import OutsideTicket
from builder.model.record import Reading

GAUGE = "gauge"
BATCH = "batch"
OUTSIDE = "outside work"
PART = "part"
JOB = "job"
KINDS = (GAUGE, BATCH, OUTSIDE, PART, JOB)

_REMARK = re.compile(r"\s*\(invented\)")


@dataclass(frozen=True)
class TracedReading:
    """A reading that used something: the sheet it stands on, the reading as typed, and by way of what."""

    path: str
    code: str
    reading: Reading
    by_way: str = ""
    """The gauge that was set by the one asked for, where it is not that one itself."""


@dataclass(frozen=True)
class Use:
    """What one job has of it: in words, and the readings that hang on it."""

    job: str
    engine: str
    owner: str
    said: tuple[str, ...]
    readings: tuple[TracedReading, ...] = ()


@dataclass(frozen=True)
class Trace:
    """Something that was asked for, and every job that used it."""

    kind: str
    name: str
    uses: tuple[Use, ...]

    @property
    def number(self) -> int:
        """All readings that hang on it."""
        return sum(len(use.readings) for use in self.uses)


def plain_name(text: str) -> str:
    """A name as people type it: small letters, one blank, without the remark that it is invented."""
    return " ".join(_REMARK.sub("", text).replace("_", " ").casefold().split())


def trace(jobs: Sequence[CheckedJob], what: str) -> tuple[Trace, ...]:
    """Everything that bears this name, whole words of it, on any of these jobs."""
    found: dict[tuple[str, str], dict[str, list[Use]]] = {}
    for checked in jobs:
        for kind, name, use in _uses(checked, jobs):
            if _is_meant(kind, name, what):
                found.setdefault((kind, name), {}).setdefault(use.job, []).append(use)
    order = sorted(found, key=lambda key: (KINDS.index(key[0]), key[1]))
    return tuple(Trace(kind, name, tuple(_joined(found[kind, name]))) for kind, name in order)


def nearest(jobs: Sequence[CheckedJob], what: str) -> list[str]:
    """The names most like one that nothing bears."""
    known = {plain_name(name): name for checked in jobs for _, name, _ in _uses(checked, jobs)}
    return [known[one] for one in get_close_matches(plain_name(what), known, 3)]


def _joined(by_job: Mapping[str, list[Use]]) -> Iterator[Use]:
    """What a job says of one name several times as one use."""
    for uses in by_job.values():
        first = uses[0]
        said = dict.fromkeys(line for use in uses for line in use.said)
        seen = {id(one.reading): one for use in uses for one in use.readings}
        yield Use(first.job, first.engine, first.owner, tuple(said), tuple(seen.values()))


def _is_meant(kind: str, name: str, what: str) -> bool:
    """Whether a name is the one asked for: gauges and jobs whole, other names by their words."""
    own, asked = plain_name(name), plain_name(what)
    if kind in (GAUGE, JOB):
        return own == asked
    return bool(asked) and set(asked.split()) <= set(re.split(r"[ ,;]+", own))


def _uses(checked: CheckedJob, jobs: Sequence[CheckedJob]) -> Iterator[tuple[str, str, Use]]:
    job = checked.folder.job
    if job is None or checked.whole is None:
        return
    for number in job.gauges:
        yield GAUGE, str(number), _gauge_use(checked, job, str(number))
    for part, lot in _lots(job):
        use = _lot_use(checked, part, lot)
        yield PART, part.replace("_", " "), use
        if lot.batch is not None:
            yield BATCH, str(lot.batch), use
    for number, ticket in job.tickets.items():
        use = _ticket_use(checked, job, str(number), ticket)
        for name in filter(None, (ticket.to, ticket.batch, ticket.certificate)):
            yield OUTSIDE, str(name), use
        yield OUTSIDE, str(number), use
    yield JOB, str(job.number), _use(checked, tuple(_of_job(checked, job, jobs)))


def _use(checked: CheckedJob, said: tuple[str, ...], readings: Sequence[TracedReading] = ()) -> Use:
    job, whole = checked.folder.job, checked.whole
    if job is None or whole is None:
        raise ValueError(f"{checked.folder.name} could not be laid out")
    return Use(str(job.number), str(whole.engine.title), str(job.owner or ""), said, tuple(readings))


# Gauges


def _gauge_use(checked: CheckedJob, job: Job, number: str) -> Use:
    """The readings with a gauge, and with those that it set."""
    gauge = job.gauges[Text(number)]
    ways = _set_by(job.gauges, number)
    readings = [
        TracedReading(worked.path, worked.plan.code, one, "" if one.gauge == number else str(one.gauge))
        for worked in checked.sheets
        for one in worked.sheet.readings
        if one.gauge in ways
    ]
    set_to = f", set to {gauge.set_to}" if gauge.set_to else ""
    last = f", last good on {gauge.last_good}" if gauge.last_good else ""
    kind = str(gauge.instrument).replace("_", " ")
    return _use(checked, (f"{kind}, due {gauge.due}{set_to}{last}",), readings)


def _set_by(gauges: Mapping[Text, Gauge], number: str) -> frozenset[str]:
    """A gauge and every one that was set by it, or by one that it set."""
    found = {number}
    while more := {str(name) for name, one in gauges.items() if str(one.set_to) in found} - found:
        found |= more
    return frozenset(found)


# Parts and outside work


def _lots(job: Job) -> Iterator[tuple[str, Lot]]:
    for name, record in job.parts.items():
        yield from ((str(name), lot) for lot in record.fitted)


def _lot_use(checked: CheckedJob, part: str, lot: Lot) -> Use:
    """Parts of one lot: where they went, and the readings of the steps that fit them."""
    words = [part.replace("_", " "), str(lot.state)]
    words += [str(one) for one in (lot.size, lot.batch and f"batch {lot.batch}") if one]
    words += [f"ticket {lot.ticket}"] if lot.ticket else []
    words.append(f"at {', '.join(lot.at)}" if lot.at else "at every position")
    said = [", ".join(words)]
    readings: list[TracedReading] = []
    for worked in checked.sheets:
        if worked.is_final and part in worked.plan.parts:
            said.append(
                f"fitted on {worked.plan.code} by {', '.join(sorted(worked.doers))}, {day(worked.ended)}"
            )
            readings += _at_parts(worked, part, lot)
    return _use(checked, tuple(said), readings)


def _at_parts(worked: Worked, part: str, lot: Lot) -> Iterator[TracedReading]:
    """The readings of the steps that take a part, and those at the features that it is counted by."""
    checklist, each = worked.plan.checklist, worked.plan.parts[part].count.each
    steps = {str(step.step.id) for step in checklist.steps if any(one.name == part for one in step.parts)}
    features = [side.name for side in feature_sides(checklist.engine, each)] if each else []
    for one in worked.sheet.readings:
        labels = {str(side): str(label) for side, label in one.at.items()}
        at_features = bool(features) and labels.keys() >= set(features)
        here = not lot.at or " ".join(labels[name] for name in features if name in labels) in lot.at
        if here and (one.step in steps or at_features):
            yield TracedReading(worked.path, worked.plan.code, one)


def _ticket_use(checked: CheckedJob, job: Job, number: str, ticket: OutsideTicket) -> Use:
    """Outside work: what was done, when, and the readings of the sizes that the ticket names."""
    back = f"back {ticket.back}" if ticket.back else "still out"
    measured = f", measured by {ticket.measured_by}" if ticket.measured_by else ""
    said = [f"{number}: {ticket.part}: {ticket.work}", f"{ticket.to}, out {ticket.out}, {back}{measured}"]
    said += [f"certificate {ticket.certificate}"] if ticket.certificate else []
    said += [f"batch {ticket.batch}"] if ticket.batch else []
    parts = [part.replace("_", " ") for part, lot in _lots(job) if lot.ticket == number]
    said += [f"parts: {', '.join(parts)}"] if parts else []
    said += [
        f"measured on return: {name}{f' at {label}' if label else ''} {size.text}"
        for name, sizes in ticket.received.items()
        for label, size in sizes.items()
    ]
    named = {*map(str, ticket.sizes), *map(str, ticket.hold)}
    readings = [
        TracedReading(worked.path, worked.plan.code, one)
        for worked in checked.sheets
        for one in worked.sheet.readings
        if _row(worked, one) in named and day(str(one.when)) >= str(ticket.back or "9")
    ]
    return _use(checked, tuple(said), readings)


def _row(worked: Worked, one: Reading) -> str:
    """The characteristic that a reading is held against; empty for none."""
    place = worked.plan.blanks.get((str(one.step), str(one.name), tuple(map(str, one.at.values()))))
    return str(place[1].against or "") if place is not None else ""


# Backwards


def _of_job(checked: CheckedJob, job: Job, jobs: Sequence[CheckedJob]) -> Iterator[str]:
    """What a job used, and which other jobs used the same."""
    others = [one.folder.job for one in jobs if one.folder.job is not None and one is not checked]
    for part, lot in _lots(job):
        if lot.batch is not None:
            shared = [one for one in others if any(it.batch == lot.batch for _, it in _lots(one))]
            yield f"batch {lot.batch}: {part.replace('_', ' ')}{_also(shared)}"
    for number, ticket in job.tickets.items():
        shared = [one for one in others if any(it.to == ticket.to for it in one.tickets.values())]
        yield f"outside work {number}: {ticket.part}, {ticket.to}{_also(shared)}"
    for gauge, readings in sorted(_by_gauge(checked).items()):
        shared = [one for one in others if Text(gauge) in one.gauges]
        last = day(max((str(one.when) for one in readings), key=moment))
        yield f"gauge {gauge}: {counted(len(readings), 'reading')}, last on {last}{_also(shared)}"
    if job.earlier is not None:
        yield f"comes back from job {job.earlier.job}"
    back = [str(one.number) for one in others if one.earlier is not None and one.earlier.job == job.number]
    if back:
        yield f"came back as job {', '.join(back)}"


def _also(shared: Sequence[Job]) -> str:
    return f"; also on {', '.join(str(one.number) for one in shared)}" if shared else ""


def _by_gauge(checked: CheckedJob) -> Mapping[str, list[Reading]]:
    found: dict[str, list[Reading]] = {}
    for worked in checked.sheets:
        for one in worked.sheet.readings:
            if one.gauge:
                found.setdefault(str(one.gauge), []).append(one)
    return found

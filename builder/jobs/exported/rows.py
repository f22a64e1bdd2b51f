"""The rows of an export: a job's file, its sheets and what its check comes to, cell by cell."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from builder.checklist import Labels
from builder.diagnostics import Fault
from builder.dimension import LENGTH
from builder.field_code import PLACES
from builder.jobs.check import CheckedJob
from builder.jobs.checks.conceding import about
from builder.jobs.compared.points import builder_of
from builder.jobs.exported.tables import TABLES, Cell
from builder.jobs.worked import Worked
from builder.judge import Judgement
from builder.judge.taken import read_typed
from builder.model.base import Text
from builder.model.job import Job
from builder.model.record import Reading
from builder.units import Unit, unit

Row = tuple[Cell, ...]
INCH = unit("in")


def rows_of(jobs: Sequence[CheckedJob]) -> Mapping[str, tuple[Row, ...]]:
    """The rows of every table, the tables in their order."""
    found: dict[str, list[Row]] = {table.name: [] for table in TABLES}
    for checked in jobs:
        if checked.folder.job is not None:
            for name, row in _job(checked, checked.folder.job):
                found[name].append(row)
    for table in TABLES:
        found["columns"] += [
            (table.name, table.about, column.name, column.kind, column.about) for column in table.columns
        ]
    return {name: tuple(rows) for name, rows in found.items()}


def _job(checked: CheckedJob, job: Job) -> Iterator[tuple[str, Row]]:
    number = str(job.number)
    yield "jobs", _head(checked, job)
    for of_job in (_people, _sizes, _gauges, _parts, _tickets, _decided):
        yield from ((name, (number, *cells)) for name, cells in of_job(job))
    for worked in checked.sheets:
        path = worked.path.partition("/")[2]
        yield "sheets", (number, path, *_sheet(worked))
        for name, cells in _entries(worked):
            yield name, (number, path, *cells)
        yield from (("left_out", (number, path, *cells)) for cells in _skips(worked))
    for place, one in enumerate(checked.findings, 1):
        where = one.place
        row = (where.path, where.code, where.step, where.at, one.what, one.cure)
        yield "findings", (number, place, str(one.kind), *row)
    yield from (("not_done", (number, line)) for line in checked.waiting)


def _text(value: object) -> str:
    return "" if value is None else str(value)


def _head(checked: CheckedJob, job: Job) -> Row:
    earlier, whole = job.earlier, checked.whole
    return (
        str(job.number),
        checked.folder.name,
        str(job.engine),
        str(whole.engine.title) if whole is not None else "",
        _text(job.engine_number),
        _text(job.owner),
        str(job.basis),
        _text(earlier.job) if earlier is not None else "",
        _text(earlier.complaint) if earlier is not None else "",
        int(checked.may_be_released),
        len(checked.findings),
        _text(job.note),
    )


# What job.yaml holds


def _people(job: Job) -> Iterator[tuple[str, Row]]:
    for initials, person in job.people.items():
        yield from (("people", (str(initials), str(role), _text(person.name))) for role in person.role)


def _sizes(job: Job) -> Iterator[tuple[str, Row]]:
    for of, every in (("present", job.sizes), ("came_with", job.came_with)):
        for step, sizes in every.items():
            for label, size in sizes.items():
                yield "sizes", (of, str(step), str(label), str(size.text), float(size.quantity.base))


def _gauges(job: Job) -> Iterator[tuple[str, Row]]:
    for number, one in job.gauges.items():
        cells = (one.instrument, one.due, one.set_to, one.last_good)
        yield "gauges", (str(number), *map(_text, cells))


def _parts(job: Job) -> Iterator[tuple[str, Row]]:
    for part, record in job.parts.items():
        for lot in record.fitted:
            number = int(lot.count) if lot.count is not None else None
            out = int(record.came_out) if record.came_out is not None else None
            rest = (lot.size, lot.maker, lot.batch, lot.ticket, lot.sheet, lot.note or record.note)
            where = ", ".join(map(str, lot.at))
            yield "parts", (str(part), out, str(lot.state), where, number, *map(_text, rest))


def _tickets(job: Job) -> Iterator[tuple[str, Row]]:
    for number, one in job.tickets.items():
        days = (one.out, one.due, one.back, one.measured_by)
        cells = (one.part, one.work, one.to, *days, one.batch, one.certificate, one.note)
        yield "tickets", (str(number), *map(_text, cells))


def _decided(job: Job) -> Iterator[tuple[str, Row]]:
    for one in job.decisions:
        by = ", ".join(map(str, one.by))
        yield "decisions", (str(one.what), str(one.chosen), _text(one.stage), by, str(one.on))
    for conceded in job.concessions:
        cells = (conceded.reason, conceded.by, conceded.on, conceded.customer_told)
        yield "concessions", (about(conceded), *map(_text, cells))
    for skipped in job.skipped:
        what = (str(skipped.procedure), _text(skipped.step), "", *place_cells({}))
        yield "left_out", ("", *what, *map(_text, (skipped.reason, skipped.by, skipped.on)))
    for name, paper in job.paper.items():
        yield "on_paper", (str(name), str(paper.by), str(paper.on))


# What a sheet holds


def place_cells(at: Mapping[Text, Text] | Labels) -> Row:
    """A position: the features and their labels, then plane, axis and point."""
    every = {str(side): str(label) for side, label in at.items()}
    features = {side: label for side, label in every.items() if side not in PLACES}
    rest = (every.get(side, "") for side in PLACES)
    return (" ".join(features), " ".join(features.values()), *rest)


def _sheet(worked: Worked) -> Row:
    sheet, procedure = worked.sheet, worked.plan.checklist.procedure
    return (
        worked.plan.name,
        worked.plan.code,
        str(procedure.title),
        str(sheet.run),
        str(sheet.edition),
        str(sheet.room),
        builder_of(worked),
        int(worked.is_complete),
    )


def _entries(worked: Worked) -> Iterator[tuple[str, Row]]:
    sheet = worked.sheet
    yield from (("readings", _reading(worked, one)) for one in sheet.readings)
    for judged in worked.judged:
        yield from (("verdicts", _verdict(judged.stage, one)) for one in judged.judgements)
    for tick in sheet.ticks:
        yield "ticks", (str(tick.step), str(tick.by), str(tick.when))
    for look in sheet.looks:
        where = (str(look.step), str(look.name), *place_cells(look.at))
        yield "looks", (*where, str(look.seen), str(look.by), str(look.when))
    for hold in sheet.holds:
        yield "holds", (str(hold.hold), str(hold.role), str(hold.by), str(hold.when))
    for photo in sheet.photos:
        yield "photos", tuple(map(str, (photo.step, photo.file, photo.caption, photo.by, photo.when)))
    for note in sheet.notes:
        yield "notes", (str(note.step), str(note.text), str(note.by), str(note.when))
    yield from _changes(worked)


def _changes(worked: Worked) -> Iterator[tuple[str, Row]]:
    for one in worked.sheet.corrections:
        where = (str(one.of.step), str(one.of.name), *place_cells(one.of.at), str(one.of.stage))
        yield "corrections", (*where, one.of.try_, *map(str, (one.was, one.why, one.by, one.when)))
    for made in worked.sheet.passes:
        where = (str(made.step), made.rule, made.pass_, *place_cells(made.at))
        yield "passes", (*where, str(made.amount), str(made.by), str(made.when))


def _skips(worked: Worked) -> Iterator[Row]:
    for one in worked.sheet.skipped:
        where = (worked.plan.name, str(one.step), str(one.name), *place_cells(one.at))
        yield (*where, str(one.reason), str(one.by), str(one.when))


def _reading(worked: Worked, one: Reading) -> Row:
    place = (str(one.step), str(one.name), tuple(map(str, one.at.values())))
    blank = worked.plan.blanks.get(place)
    against = str(blank[1].against or "") if blank is not None else ""
    what = (str(one.step), str(one.name), against, *place_cells(one.at), str(one.stage), one.try_)
    done = (str(one.gauge), str(one.setting), str(one.by), str(one.when))
    return (*what, str(one.typed), str(one.unit), *_numbers(one), *done)


def _numbers(one: Reading) -> tuple[float | None, float | None]:
    """What was typed as a number, in SI base units and in inches; None where it does not read."""
    try:
        quantity = read_typed(one.typed, one.unit, one.setting, None)
    except Fault:
        return None, None
    return float(quantity.base), _inches(quantity.base, quantity.unit)


def _inches(base: Fraction, own: Unit) -> float | None:
    return float(INCH.from_base(base)) if own.dimension == LENGTH else None


def _verdict(stage: str, one: Judgement) -> Row:
    what = (one.step, one.name, one.end, one.characteristic or "", *place_cells(one.at), stage)
    band = one.decision.by
    flags, reasons = ", ".join(map(str, one.flags)), "; ".join(one.reasons)
    worked_out = int(one.typed_places is None and one.value is not None)
    kind = band.kind if band is not None else ""
    low, high = (None, None) if band is None else (_in(band.low, one.unit), _in(band.high, one.unit))
    symbol = one.unit.symbol if one.unit is not None else ""
    si = None if one.value is None else float(one.value)
    inch = None if one.value is None or one.unit is None else _inches(one.value, one.unit)
    number = (_in(one.value, one.unit), symbol, si, inch)
    return (*what, worked_out, *number, str(one.verdict), flags, kind, low, high, reasons)


def _in(value: Fraction | None, own: Unit | None) -> float | None:
    return None if value is None or own is None else float(own.from_base(value))

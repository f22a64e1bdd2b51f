"""The readings of a sheet in their blanks: what was typed, read exactly, and whether it can be trusted."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

from builder.checklist import Blank, Checklist, Grid, Labels
from builder.diagnostics import Fault
from builder.judge.bounds import NO_LIMITS, Band, Limits, Size, Sizes, limits_at
from builder.judge.slips import slip
from builder.limit import Limit
from builder.manual import Manual
from builder.manual import row as row_of
from builder.model.base import Text
from builder.model.job import Gauge, Job
from builder.model.record import Reading, Sheet
from builder.model.spec import LimitRow, StepsRow
from builder.model.written import Exact, Stated
from builder.quantity import Quantity, read_quantity, read_reading
from builder.units import Unit, unit

Place = tuple[str, str, tuple[str, ...]]
"""Step, measurement and labels in the order of the grid's sides."""


@dataclass(frozen=True)
class Taken:
    """One blank and what stands in it."""

    grid: Grid
    blank: Blank
    unit: Unit | None
    limits: Limits
    reading: Reading | None = None
    quantity: Quantity | None = None
    unreadable: str = ""
    """Why what was typed cannot be read."""
    slip: str = ""
    """Why the reading only makes sense as another one wrongly taken."""
    stale: str = ""
    """Why its gauge cannot be trusted on that day."""
    culprit: str = ""
    """The gauge that is past its date: its own, or the one that set it."""
    doubt: str = ""
    """Why it does not stand although its gauge is good: what it relies on was out when it was taken."""
    spread: Fraction = Fraction(0)
    """The square of its expanded uncertainty U (k = 2), in base units squared."""

    @property
    def place(self) -> Place:
        """Where it stands."""
        return (self.grid.step, self.grid.name, tuple(self.blank.at.values()))

    @property
    def row_id(self) -> str | None:
        """The characteristic it is held against."""
        return self.blank.against


def take(checklist: Checklist, sheet: Sheet, job: Job | None, stage: str) -> tuple[Taken, ...]:
    """Every blank of a checklist with the reading of one stage that stands in it, the latest try."""
    latest: dict[Place, Reading] = {}
    for reading in sheet.readings:
        place = (str(reading.step), str(reading.name), tuple(map(str, reading.at.values())))
        if reading.stage == stage and (place not in latest or latest[place].try_ <= reading.try_):
            latest[place] = reading
    terms = Terms.of(job, stage)
    blanks = [
        _taken(checklist, grid, blank, latest.get(_sorted_place(grid, blank)), terms)
        for step in checklist.steps
        for grid in step.grids
        for blank in grid.blanks
    ]
    return tuple(_with_slip(checklist, one, blanks) for one in blanks)


def _sorted_place(grid: Grid, blank: Blank) -> Place:
    return (str(grid.step), str(grid.name), tuple(blank.at.values()))


def sizes_of(job: Job | None, stage: str) -> Sizes:
    """The size steps that bear on a stage: readings as found take those that the engine came with."""
    if job is None:
        return {}
    steps = job.came_with if stage == "as_found" else job.sizes
    return {str(name): _size(sizes) for name, sizes in steps.items()}


def _size(steps: Mapping[Text, Exact]) -> Size:
    by = {str(label): exact.quantity.base for label, exact in steps.items()}
    return by[""] if set(by) == {""} else by


@dataclass(frozen=True)
class Terms:
    """What a job says about the readings of one stage: its sizes, its supplier sheets, its gauges."""

    sizes: Sizes
    sheets: Mapping[Text, Stated[Limit]]
    gauges: Mapping[Text, Gauge]

    @classmethod
    def of(cls, job: Job | None, stage: str) -> Terms:
        """The terms of a job at a stage; parts as found are not those of the box."""
        sheets = job.supplier if job is not None and stage != "as_found" else {}
        return cls(sizes_of(job, stage), sheets, job.gauges if job is not None else {})

    def limits(self, row: object, name: str | None, at: Labels) -> Limits:
        """The limits of a characteristic at a position, on this job."""
        if not isinstance(row, LimitRow):
            return NO_LIMITS
        return limits_at(row, at, self.sizes, self.sheets.get(Text(name or "")))


def _taken(checklist: Checklist, grid: Grid, blank: Blank, reading: Reading | None, terms: Terms) -> Taken:
    row = row_of(checklist.engine, blank.against)
    limits = terms.limits(row, blank.against, blank.at)
    own = unit_of(grid, row)
    if reading is None:
        return Taken(grid, blank, own, limits)
    try:
        quantity = _read(reading, own)
    except Fault as fault:
        return Taken(grid, blank, own, limits, reading, unreadable=fault.message)
    gauge = terms.gauges.get(reading.gauge)
    instrument = str(gauge.instrument if gauge else grid.measure.tool or "")
    spread = uncertainty(checklist.manual, instrument, quantity.base) ** 2
    culprit, why = stale(terms.gauges, reading)
    return Taken(grid, blank, own, limits, reading, quantity, stale=why, culprit=culprit, spread=spread)


def unit_of(grid: Grid, row: object) -> Unit | None:
    """The unit of a grid: its own, else that of the characteristic it is held against."""
    if grid.measure.unit:
        return unit(grid.measure.unit)
    return row_unit(row) if isinstance(row, LimitRow) else None


def row_unit(row: LimitRow) -> Unit | None:
    """The unit in which a characteristic is printed."""
    for kind in ("supplier", "new", "shop", "rule", "wear", "aim"):
        stated = getattr(row, kind)
        for cited in stated.every() if stated else ():
            if cited.value.low is not None or cited.value.high is not None:
                found: Unit = cited.value.unit
                return found
    return None


def _read(reading: Reading, own: Unit | None) -> Quantity:
    return read_typed(reading.typed, reading.unit, reading.setting, own)


def read_typed(typed: str, typed_in: str, set_to: str, own: Unit | None) -> Quantity:
    """What was typed into a blank whose unit is `own`; a Fault where it is no value of that sort."""
    setting = read_quantity(set_to) if set_to else None
    quantity = read_reading(typed, unit(typed_in), setting)
    if own is not None and quantity.unit.dimension != own.dimension:
        found, wanted = quantity.unit.dimension, own.dimension
        raise Fault(f"`{typed} {quantity.unit}` is a {found}, a {wanted} is read here")
    return quantity


@lru_cache(maxsize=1024)
def _uncertainty_text(body: str) -> Quantity:
    return read_quantity(body)


def uncertainty(manual: Manual, instrument: str, base: Fraction) -> Fraction:
    """U (k = 2) of a reading with this instrument, in base units; zero where none is stated."""
    found = manual.instruments.get(instrument)
    if found is None or found.uncertainty is None:
        return Fraction(0)
    quantity = _uncertainty_text(found.uncertainty.body)
    if quantity.unit.symbol in {"percent", "%"}:
        return abs(base) * quantity.base
    return quantity.value * quantity.unit.factor


def stale(gauges: Mapping[Text, Gauge], reading: Reading) -> tuple[str, str]:
    """Which gauge cannot be trusted for a reading, and why."""
    return stale_on(gauges, str(reading.gauge), str(reading.when)[:10])


def stale_on(gauges: Mapping[Text, Gauge], used: str, day: str) -> tuple[str, str]:
    """Which gauge cannot be trusted on a day, and why: it is past its date, or was set by one that is."""
    name: str | None = used
    seen: list[str] = []
    while name and Text(name) in gauges and name not in seen:
        gauge = gauges[Text(name)]
        by = f", which set {seen[0]}," if seen else ""
        if day > str(gauge.due):
            return name, f"{name}{by} was due on {gauge.due} and was used on {day}"
        if gauge.last_good is not None and day > str(gauge.last_good):
            return name, f"{name}{by} was last good on {gauge.last_good} and was used on {day}"
        seen.append(name)
        name = str(gauge.set_to) if gauge.set_to else None
    return "", ""


def _with_slip(checklist: Checklist, one: Taken, blanks: list[Taken]) -> Taken:
    band = one.limits.in_force
    if one.quantity is None or one.reading is None or band is None or band.holds(one.quantity.base):
        return one
    others = [
        other.quantity.base for other in blanks if other.quantity is not None and _alike(one, other, band)
    ]
    mates = [value for value in others if band.holds(value)]
    # where wear has left no mate inside the limit, a step over the limit says nothing
    steps = steps_of(checklist, one.row_id) if mates or not others else ()
    why = slip(one.quantity.number.text, one.quantity.base, band, mates, steps)
    return replace(one, slip=why) if why else one


def _alike(one: Taken, other: Taken, band: Band) -> bool:
    """Whether another reading is of the same grid and characteristic, under the same limits."""
    theirs = other.limits.in_force
    return (
        other is not one
        and other.row_id == one.row_id
        and other.grid is one.grid
        and theirs is not None
        and (theirs.low, theirs.high) == (band.low, band.high)
    )


def steps_of(checklist: Checklist, name: str | None) -> tuple[tuple[Fraction, str], ...]:
    """The size steps listed for a characteristic, in base units, each with its words."""
    row = row_of(checklist.engine, name)
    if not isinstance(row, LimitRow) or not row.moves_with:
        return ()
    lists = [
        other
        for other in checklist.engine.specs.values()
        if isinstance(other, StepsRow) and other.step in row.moves_with
    ]
    return tuple(
        (step.base, str(step.text))
        for listed in lists
        for stated in (listed.supplier, listed.new, listed.shop)
        if stated is not None
        for cited in stated.every()
        for step in cited.value
    )


def position(at: Labels) -> str:
    """A position in words: `main 4, plane front, axis A`."""
    return ", ".join(f"{side.replace('_', ' ')} {label}" for side, label in at.items())

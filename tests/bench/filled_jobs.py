"""Jobs filled in by a machine: clean sheets of every checklist, for speed and for other tests. All invented.

Readings lie in the middle of their limits. What no characteristic is held against is searched for until what
is worked out from it is inside its limits as well; a checklist for which that fails stays as it came out.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from fractions import Fraction
from pathlib import Path
from random import Random
from typing import Any

from builder.checklist import Blank, Grid
from builder.formula.sketch import known, scaled
from builder.jobs import Plans, SheetPlan
from builder.jobs.folder import sheet_of
from builder.jobs.plan import Place
from builder.judge.bounds import Band
from builder.judge.quick import passes
from builder.judge.taken import Terms, read_typed, row_unit, unit_of
from builder.manual import Manual
from builder.manual import row as row_of
from builder.model.decode import adapter_of
from builder.model.job import Job
from builder.model.spec import LimitRow
from builder.number import show_number
from builder.units import Unit
from builder.units import unit as unit_named

Json = dict[str, Any]

JOB = adapter_of(Job)
STAGE = "final"
PLACES = 4
TRIES = 4000
GAUGES = {"OM-1": {"instrument": "outside_micrometer", "due": "2027-12-31", "set_to": "standard bar of 2 in"}}
PEOPLE = {
    "L.M.": {"role": ["builder"]},
    "K.O.": {"role": ["second", "builder"]},
    "R.S.": {"role": ["foreman"]},
    "H.V.": {"role": ["customer"]},
}


def job_data(number: str, engine: str, sizes: Mapping[str, str] | None = None) -> Json:
    """A job with the least that it needs."""
    return {
        "number": number,
        "engine": engine,
        "basis": "rebuilt",
        "people": PEOPLE,
        "sizes": dict(sizes or {}),
        "gauges": GAUGES,
    }


@dataclass(frozen=True, eq=False)
class Filler:
    """Fills the sheets of one job's checklists."""

    plans: Plans
    job: Job
    chance: Random = field(default_factory=lambda: Random(1))  # noqa: S311 - test data

    def values(self, plan: SheetPlan) -> dict[Place, str]:
        """What is typed into every blank of a checklist."""
        typed = {place: self._middle(plan, grid, blank) for place, (grid, blank) in plan.blanks.items()}
        free = {place for place, text in typed.items() if text is None}
        names = sorted({place[:2] for place in free})
        first = {name: self._likely(plan, name) for name in names}
        start = {place: text if text is not None else first[place[:2]] for place, text in typed.items()}
        return self._searched(plan, start, names)

    def _likely(self, plan: SheetPlan, name: tuple[str, str]) -> str:
        """The middle of the characteristic whose name is most like that of a free measurement."""
        grid = next(grid for place, (grid, _) in plan.blanks.items() if place[:2] == name)
        own = unit_of(grid, None)
        middles = {}
        for characteristic in plan.checklist.engine.specs:
            band, unit = self._band(plan, str(characteristic), grid.blanks[0])
            if band is not None and unit is not None and (own is None or unit.dimension == own.dimension):
                middles[str(characteristic)] = middle(band, unit)
        near = get_close_matches(name[1], middles, 1, 0.3)
        return middles[near[0]] if near else "1"

    def _band(self, plan: SheetPlan, name: str | None, blank: Blank) -> tuple[Band | None, Unit | None]:
        row = row_of(plan.checklist.engine, name)
        band = Terms.of(self.job, STAGE).limits(row, name, blank.at).in_force
        return band, row_unit(row) if isinstance(row, LimitRow) else None

    def _unit(self, plan: SheetPlan, grid: Grid, blank: Blank) -> str:
        common = next((one.against for one in grid.blanks if one.against), None)
        unit = unit_of(grid, row_of(plan.checklist.engine, blank.against or common))
        return unit.symbol if unit else "in"

    def _middle(self, plan: SheetPlan, grid: Grid, blank: Blank) -> str | None:
        common = next((one.against for one in grid.blanks if one.against), None)
        band, unit = self._band(plan, blank.against or common, blank)
        return None if band is None or unit is None else middle(band, unit)

    def _searched(
        self, plan: SheetPlan, typed: dict[Place, str], free: Sequence[tuple[str, str]]
    ) -> dict[Place, str]:
        """Values of the free measurements with which nothing is out, if the search finds them."""
        best, wrong = typed, self.wrong(plan, typed)
        for _ in range(TRIES):
            if not free or not wrong:
                break
            name = self.chance.choice(free)
            now = next(Fraction(value) for place, value in best.items() if place[:2] == name)
            nudged = [show_number(now * Fraction(99 + step, 100), PLACES) for step in (0, 2)]
            text = self.chance.choice(self.chance.choice([nudged, self._candidates(plan, name)]))
            tried = {place: text if place[:2] == name else value for place, value in best.items()}
            found = self.wrong(plan, tried)
            if found <= wrong:
                best, wrong = tried, found
        return best

    def _candidates(self, plan: SheetPlan, name: tuple[str, str]) -> list[str]:
        """Plausible values: the middles of the limits in that unit, what lies a fit apart, round numbers."""
        grid = next(grid for place, (grid, _) in plan.blanks.items() if place[:2] == name)
        own = unit_of(grid, None)
        middles = []
        for characteristic in sorted(plan.characteristics):
            band, unit = self._band(plan, characteristic, grid.blanks[0])
            if band is not None and unit is not None and (own is None or unit.dimension == own.dimension):
                middles.append(Fraction(middle(band, unit)))
        apart = [one + sign * other for one in middles for other in middles for sign in (1, -1)]
        every = [*middles, *apart, *map(Fraction, (0, 1, 2, 5, 10, 18, 20, 45, 50, 100, 1000, 2000, 3000))]
        return [show_number(value, PLACES) for value in dict.fromkeys(every)]

    def wrong(self, plan: SheetPlan, typed: Mapping[Place, str]) -> int:
        """How many of these values, and of what is worked out of them, are out."""
        look = plan.look(self.job, STAGE)
        values: list[Any] = [None] * len(look.blanks)
        for place, text in typed.items():
            own = unit_named(self._unit(plan, *plan.blanks[place]))
            values[look.blanks[place][0]] = scaled(read_typed(text, own.symbol, "", own).base)
        read = ((values[number], blank.bands) for number, blank in look.blanks.values())
        worked = ((known(cell, values), bands) for cell, bands in look.worked)
        return sum(not passes(value, bands) for value, bands in (*read, *worked))

    def _plain(self, plan: SheetPlan, typed: Mapping[Place, str], when: str) -> Iterator[tuple[Place, Json]]:
        for place, (grid, blank) in plan.blanks.items():
            yield (
                place,
                {
                    "step": place[0],
                    "name": place[1],
                    "at": dict(blank.at),
                    "stage": STAGE,
                    "try": 1,
                    "typed": typed[place],
                    "unit": self._unit(plan, grid, blank),
                    "gauge": "OM-1",
                    "setting": "",
                    "by": "L.M.",
                    "when": when,
                },
            )

    def sheet(self, plan: SheetPlan, typed: Mapping[Place, str], when: str) -> Json:
        """A finished sheet: every blank, every look, every step marked, its own holds signed."""
        holds = self.plans.manual.holds
        return {
            "sheet": 1,
            "job": str(self.job.number),
            "engine": str(self.job.engine),
            "procedure": plan.name,
            "edition": "",
            "run": "final",
            "room": "68 degF",
            "readings": [reading for _, reading in self._plain(plan, typed, when)],
            "ticks": [{"step": step, "by": "L.M.", "when": when} for step in plan.steps],
            "looks": [
                {
                    "step": step,
                    "name": place[1],
                    "at": dict(zip(plan.look_sides(step, place[1]), place[2], strict=True)),
                    "seen": "yes",
                    "by": "L.M.",
                    "when": when,
                }
                for step, places in plan.looks_of.items()
                for place in places
            ],
            "holds": [
                {"hold": hold, "role": str(role), "by": SIGNERS[str(role)], "when": when}
                for hold in plan.holds
                for role in holds[hold].by
            ],
            "corrections": [],
            "passes": [],
            "photos": [],
            "notes": [],
        }

    def varied(self, plan: SheetPlan, typed: Mapping[Place, str]) -> dict[Place, str]:
        """The same with a last digit changed here and there, as long as nothing is out by it."""
        changed = {place: self._nudged(text) for place, text in typed.items()}
        return changed if self.wrong(plan, changed) <= self.wrong(plan, typed) else dict(typed)

    def _nudged(self, text: str) -> str:
        if "." not in text or self.chance.random() < 0.7:
            return text
        places = len(text.partition(".")[2])
        return show_number(Fraction(text) + Fraction(self.chance.choice([-1, 1]), 10**places), places)


SIGNERS = {"builder": "L.M.", "second": "K.O.", "foreman": "R.S.", "customer": "H.V."}


def middle(band: Band, unit: Unit) -> str:
    """A value well inside a limit."""
    low, high = (None if bound is None else unit.from_base(bound) for bound in (band.low, band.high))
    if low is not None and high is not None:
        return show_number((low + high) / 2, PLACES)
    if high is not None:
        return show_number(high / 2, PLACES)
    return show_number((low or Fraction(0)) * Fraction(11, 10), PLACES)


def filled(manual: Manual, engine: str, number: str, sizes: Mapping[str, str]) -> tuple[Filler, Json]:
    """A filler for one job, and the job as plain data."""
    data = job_data(number, engine, sizes)
    return Filler(Plans(manual), JOB.validate_python(data)), data


def write_job(folder: Path, data: Json, sheets: Sequence[tuple[str, Json]]) -> None:
    """Write a job folder; JSON is YAML as well."""
    (folder / "sheets").mkdir(parents=True)
    (folder / "job.yaml").write_text(json.dumps(data, indent=1), "utf-8")
    for code, sheet in sheets:
        sheet_of(json.loads(json.dumps(sheet), parse_int=str))
        text = json.dumps(sheet, ensure_ascii=False, separators=(",", ":"))
        (folder / "sheets" / f"{code}-{sheet['procedure']}.json").write_text(text, "utf-8")

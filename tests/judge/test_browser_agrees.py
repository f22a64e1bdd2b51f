"""The page and the command line give one verdict: the printed jobs, and sheets filled in at random."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from random import Random
from typing import Any

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from builder.checklist import Blank, Checklist, Grid
from builder.judge import JudgedSheet
from builder.judge.bounds import Sizes, limits_at
from builder.judge.taken import row_unit, sizes_of, unit_of
from builder.manual import row as row_of
from builder.model.decode import adapter_of
from builder.model.job import Job
from builder.model.spec import LimitRow
from builder.number import show_number

Json = dict[str, Any]
Judge = Callable[[Json, Json | None, str], JudgedSheet]
Browser = Callable[[Json, Json | None, str], Json]
Say = Callable[[JudgedSheet], Json]

VECTORS = Path(__file__).parents[1] / "vectors" / "judge"
SMALL = (
    "pellbrook-35-eight/lay-in-crankshaft",
    "tarnwick-222h-six/lay-in-crankshaft",
    "pellbrook-35-eight/time-the-camshaft",
    "tarnwick-222h-six/time-the-camshaft",
    "tarnwick-222h-six/run-in",
)
LARGE = (
    "tarnwick-222h-six/fit-shell-bearings",
    "pellbrook-35-eight/fit-poured-mains",
    "pellbrook-35-eight/bore-and-hone",
    "tarnwick-222h-six/valve-springs",
)
FILLED = (*(SMALL * 3), *LARGE)
"""Checklists to fill in; the large ones, which take longer, come less often."""

STAGES = ("as_found", "as_machined", "final", "after_run")
ODD = (
    "2,4272",
    "",
    "x",
    "005",
    "2.4998 mm",
    "15 tenths",
    "1 1/2 thou",
    "+2½",
    "-3",
    "+0.0003",
    "2.5 lb-ft",
    "-0",
)
IN_BOX = ("main.clearance", "bore.size", "spring.load_closed", "crank.end_float", "main.nip", "no.such.row")
BOXED = (
    "0.0010 to 0.0020 in [shells sheet 1]",
    "0.004 in max [shells sheet 1]",
    ["2.5010 ± 0.0005 in [rings sheet 2]", "2.5 to 2.6 in [rings sheet 3]"],
    {"1": "62 +2 -1 lbf [springs sheet 1]", "2": "0.003 to 0.005 in (0.08 to 0.12 mm) [sheet 4]"},
)

ROOM_FOR_HYPOTHESIS = settings(
    max_examples=150,
    deadline=None,
    phases=[Phase.explicit, Phase.reuse, Phase.generate],  # a smaller seed is not a smaller sheet
)


@pytest.mark.parametrize("path", sorted(VECTORS.glob("*.json")), ids=lambda path: path.stem)
def test_printed_jobs_are_judged_alike(path: Path, judged: Judge, browser: Browser, said: Say) -> None:
    """The mains of the printed jobs come out alike, word for word."""
    case = json.loads(path.read_text("utf-8"))
    of = (case["sheet"], case["job"], case["stage"])

    assert differences(browser(*of), said(judged(*of))) == []


@pytest.mark.parametrize(("mate", "suspected"), [("2.6110", False), ("2.6138", True)])
def test_worn_journal_is_no_slip_unless_a_mate_is_inside(
    mate: str, suspected: bool, judged: Judge, browser: Browser, said: Say
) -> None:
    """Among worn journals one a size step under the limit has worn too; beside a sound one it is odd."""
    case = json.loads((VECTORS / "mains-clean.json").read_text("utf-8"))
    journals = [one for one in case["sheet"]["readings"] if one["name"] == "journal"]
    for number, one in enumerate(journals):
        one["typed"] = "2.6038" if number == 0 else mate if number == 1 else "2.6110"
    case["sheet"]["readings"] = journals
    of = (case["sheet"], case["job"], "final")

    assert differences(browser(*of), said(judged(*of))) == []
    reasons = next(one.reasons for one in judged(*of).judgements if one.name == "journal")
    assert reasons == (("it is exactly the size step 0.010 in under its mates",) if suspected else ())


@pytest.mark.parametrize("path", sorted(VECTORS.glob("*.json")), ids=lambda path: path.stem)
def test_sheet_filled_in_reading_by_reading_is_judged_as_a_whole_one(
    path: Path, node: Callable[[Json], Json]
) -> None:
    """The page judges again only what a reading touches: in every state as a page that was just opened."""
    case = json.loads(path.read_text("utf-8"))
    name = f"{case['sheet']['engine']}/{case['sheet']['procedure']}"

    assert node({"step": True, "program": name, **case}) == {"wrong": -1}


def test_slip_that_only_the_next_reading_shows_is_told_with_it(node: Callable[[Json], Json]) -> None:
    """Two digits exchanged in the first reading: alone it is out, beside its mates it is suspect."""
    case = json.loads((VECTORS / "mains-clean.json").read_text("utf-8"))
    name = f"{case['sheet']['engine']}/{case['sheet']['procedure']}"
    case["sheet"]["readings"][0]["typed"] = "2.6318"

    assert node({"step": True, "program": name, **case}) == {"wrong": -1}


def differences(page: Json, line: Json) -> list[str]:
    """Where the page and the command line do not say the same, and what each says."""
    return [
        f"{one['step']} {one.get('name', '')} {one['at']}: {key} is {one[key]} here, {other[key]} there"
        for part in ("judgements", "corrections")
        for one, other in zip(page[part], line[part], strict=True)
        for key in other
        if one[key] != other[key]
    ]


@ROOM_FOR_HYPOTHESIS
@given(data=st.data())
def test_random_sheets_are_judged_alike(
    data: st.DataObject, every: Mapping[str, Checklist], judged: Judge, browser: Browser, said: Say
) -> None:
    """Sheets on and near their limits, with slips, refusals, gaps, tries, stale gauges, come out alike."""
    name = data.draw(st.sampled_from(FILLED))
    stage = data.draw(st.sampled_from(STAGES))
    job = data.draw(jobs(name.split("/")[0]))
    chance = Random(data.draw(st.integers(0, 2**32)))  # noqa: S311 - test data
    sizes = sizes_of(adapter_of(Job).validate_python(job) if job else None, stage)
    sheet = Hand(every[name], sizes, stage, chance).sheet()

    assert differences(browser(sheet, job, stage), said(judged(sheet, job, stage))) == []


@st.composite
def jobs(draw: st.DrawFn, engine: str) -> Json | None:
    """A job of a family: no job at all now and then, sizes ground or not, gauges in and out of date."""
    if draw(st.integers(0, 9)) == 0:
        return None
    sizes: dict[str, tuple[str | Json, ...]] = {
        "main_undersize": ("0.010 in", "0.020 in", {"2": "0.010 in", "all": "0.020 in"}),
        "pin_undersize": ("0.010 in", {"all": "0.020 in"}),
        "bore_oversize": ("0.030 in", {"1": "0.020 in"}),
    }
    days = st.sampled_from(["2026-03-12", "2026-03-19", "2026-03-20", "2027-01-01"])
    gauges: Json = {
        "OM-1": {"instrument": "outside_micrometer", "due": draw(days), "set_to": "STD-1"},
        "BG-1": {"instrument": "bore_gauge", "due": draw(days), "set_to": "OM-1"},
        "RING": {"instrument": "caliper", "due": draw(days), "set_to": "BG-1"},
    }
    if draw(st.booleans()):
        gauges["OM-1"]["last_good"] = draw(days)
    chosen = {step: draw(st.sampled_from(of)) for step, of in sizes.items() if draw(st.booleans())}
    return {
        "number": "J",
        "engine": engine,
        "basis": draw(st.sampled_from(["rebuilt", "overhauled"])),
        "people": {"L.M.": {"role": ["builder"]}},
        "sizes": chosen,
        "gauges": gauges,
        "supplier": {row: draw(st.sampled_from(BOXED)) for row in IN_BOX if draw(st.integers(0, 3)) == 0},
    }


@dataclass(frozen=True)
class Hand:
    """Whoever fills a sheet in: which job and stage, and what chance makes of it."""

    checklist: Checklist
    sizes: Sizes
    stage: str
    chance: Random

    def sheet(self) -> Json:
        """A sheet with most of its blanks filled in, in no order."""
        kept = self.chance.choice([1, 1, 0.97, 0.8])
        readings = [
            self.reading(grid, blank, try_)
            for step in self.checklist.steps
            for grid in step.grids
            for blank in grid.blanks
            for try_ in range(1, self.chance.choice([1, 1, 1, 2]) + 1)
            if self.chance.random() < kept
        ]
        self.chance.shuffle(readings)
        engine, procedure = str(self.checklist.engine.engine), str(self.checklist.procedure.procedure)
        return {
            "sheet": 1,
            "job": "J",
            "engine": engine,
            "procedure": procedure,
            "run": "final",
            "readings": readings,
        }

    def reading(self, grid: Grid, blank: Blank, try_: int) -> Json:
        """What may have been typed into a blank."""
        row = row_of(self.checklist.engine, blank.against)
        own = unit_of(grid, row)
        rare = self.chance.random() < 0.2
        return {
            "step": str(grid.step),
            "name": str(grid.name),
            "at": {str(side): str(label) for side, label in blank.at.items()},
            "stage": self.stage if self.chance.random() < 0.95 else self.chance.choice(STAGES),
            "try": try_,
            "typed": self.typed(row, blank) or "0.5",
            "unit": own.symbol if own else "in",
            "gauge": self.chance.choice(["", "", "", "OM-1", "BG-1", "RING", "unknown"]),
            "setting": self.chance.choice(["", "2.4800 in", "62.5 mm", "no size"]) if rare else "",
            "by": "L.M.",
            "when": self.chance.choice(["2026-03-19T10:00:00Z", "2026-03-19T10:05:00Z"]),
        }

    def typed(self, row: object, blank: Blank) -> str:
        """Digits near the limit, exactly on it, or wrongly taken."""
        if self.chance.random() < 0.02:
            return self.chance.choice(ODD)
        band = limits_at(row, blank.at, self.sizes).in_force if isinstance(row, LimitRow) else None
        bounds = [bound for bound in (band.low, band.high) if bound is not None] if band else []
        unit = row_unit(row) if isinstance(row, LimitRow) else None
        if not bounds or unit is None:
            return self.chance.choice(["2.6161", "2.6162", "2.6160"])
        value = unit.from_base(self.chance.choice(bounds)) + Fraction(
            self.chance.choice([-1, 0, 0, 1, 2]), 10000
        )
        return self.slipped(show_number(value, 4), value)

    def slipped(self, text: str, value: Fraction) -> str:
        """Now and then a slip of the pen: a size step, the point, the system, two digits."""
        slip = self.chance.random()
        if slip < 0.01:
            return show_number(value + Fraction(self.chance.choice([10, 20, 30]), 1000), 4)
        if slip < 0.02:
            return show_number(value * 10, 4)
        if slip < 0.03:
            return show_number(value * Fraction(254, 10), 6)
        if slip < 0.05:
            at = self.chance.randrange(len(text) - 1)
            return text[:at] + text[at + 1] + text[at] + text[at + 2 :]
        return text

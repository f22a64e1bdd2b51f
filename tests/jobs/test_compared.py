"""Several jobs of one family compared: who sets what otherwise, odd values, drift, gauges."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction
from math import isclose
from pathlib import Path

import pytest

from builder.jobs import CheckedJob, Plans, check_job, read_job
from builder.jobs.compared import Comparison, JobValues, Point, Series, compare
from builder.jobs.compared.plain import plain
from builder.jobs.compared.points import points_of
from builder.jobs.compared.words import chance_words, difference_words, drift_lines, lines, odd_lines
from builder.jobs.statistics import gauge_study, line_through, one_way
from builder.jobs.worked import Worked
from builder.judge import JudgedSheet
from builder.units import unit

DEMONSTRATION = Path(__file__).parents[2] / "tests" / "data" / "jobs"
GOLDEN = Path(__file__).parent / "golden" / "compare-tarnwick.txt"
SIX = "tarnwick-222h-six"
NUMBERS = ("T-0217", "T-0224", "T-0231", "T-0238", "T-0252")
INCH = unit("in")

# y and x of 36 readings of a spectrometer at NIST: StRD, linear regression, Norris.
NORRIS = """
0.1 0.2 338.8 337.4 118.1 118.2 888.0 884.6 9.2 10.1 228.1 226.5 668.5 666.3 998.5 996.3 449.1 448.6
778.9 777.0 559.2 558.2 0.3 0.4 0.1 0.6 778.1 775.5 668.8 666.9 339.3 338.0 448.9 447.5 10.8 11.6
557.7 556.0 228.3 228.1 998.0 995.8 888.8 887.6 119.6 120.2 0.3 0.3 0.6 0.3 557.6 556.8 339.3 339.1
888.0 887.2 998.5 999.0 778.9 779.0 10.2 11.1 117.6 118.3 228.9 229.2 668.4 669.1 449.2 448.9 0.2 0.5
"""


def test_line_is_that_of_norris_to_twelve_digits() -> None:
    """Slope, its standard error and the intercept as NIST certifies them (StRD, Norris)."""
    every = [Fraction(one) for one in NORRIS.split()]

    line = line_through(every[1::2], every[0::2])

    assert isclose(float(line.slope), 1.00211681802045, rel_tol=1e-12)
    assert isclose(float(line.start), -0.262323073774029, rel_tol=1e-12)
    assert isclose(line.error, 0.429796848199937e-03, rel_tol=1e-9)
    assert line.freedom == 34


@pytest.mark.parametrize(("places", "values"), [([1, 2], [3, 4]), ([5, 5, 5], [1, 2, 3])])
def test_line_through_too_few_values_is_refused(places: list[int], values: list[int]) -> None:
    """Two values lie on any line, and values of one day on none."""
    with pytest.raises(ValueError, match="three or more"):
        line_through([Fraction(one) for one in places], [Fraction(one) for one in values])


# The demonstration's jobs


@pytest.fixture(scope="module")
def jobs(plans: Plans) -> tuple[CheckedJob, ...]:
    """The five jobs of the Tarnwick six."""
    return tuple(check_job(plans.manual, read_job(DEMONSTRATION / one), plans) for one in NUMBERS)


@pytest.fixture(scope="module")
def found(plans: Plans, jobs: tuple[CheckedJob, ...]) -> Comparison:
    """These jobs compared."""
    return compare(plans, plans.manual.engines[SIX], jobs)


def test_value_without_a_unit_is_left_out(
    jobs: tuple[CheckedJob, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    """As of a value worked out from a row that nobody knows yet."""
    judged_at = Worked.judged_at

    def without_units(worked: Worked, stage: str) -> JudgedSheet:
        judged = judged_at(worked, stage)
        return replace(judged, judgements=tuple(replace(one, unit=None) for one in judged.judgements))

    before = list(points_of(jobs[0]))
    monkeypatch.setattr(Worked, "judged_at", without_units)

    assert before
    assert list(points_of(jobs[0])) == []


def series_of(found: Comparison, name: str) -> Series:
    """One characteristic of the bearings' sheet."""
    return next(one for one in found.series if one.characteristic == name and one.code == "P18")


def test_five_jobs_compared_in_words(found: Comparison, request: pytest.FixtureRequest) -> None:
    """The comparison whole; `--update` writes it anew, to be read in the diff."""
    text = "\n".join(lines(found)) + "\n"
    if request.config.getoption("--update"):
        GOLDEN.write_text(text, "utf-8")

    assert text == GOLDEN.read_text("utf-8")


def test_fit_is_compared_by_the_middle_of_its_ends_as_the_sheets_have_them(found: Comparison) -> None:
    """L.M.'s main clearances on T-0217 are .0018 to .0019 three times and .0018 once: 0.0018375 in."""
    series = series_of(found, "main.clearance")

    own = next(job for job in series.jobs if job.job == "T-0217")
    thou = [Fraction(one) / 100000 for one in (185, 185, 185, 180)]
    assert [INCH.from_base(one) for one in own.values] == thou
    assert (own.builder, own.day) == ("L.M.", "2026-06-02")


def test_sizes_are_brought_back_to_standard(found: Comparison) -> None:
    """Journals that are ground 0.010 in under compare as those of standard size."""
    series = series_of(found, "main.journal")

    assert all(2.623 < float(INCH.from_base(one.value)) < 2.625 for one in series.points)


def test_difference_between_builders_counts_each_engine_once(found: Comparison) -> None:
    """F by engines is that of one mean for each job, whatever the number of its places."""
    series = series_of(found, "main.clearance")

    groups: dict[str, list[Fraction]] = {}
    for job in series.jobs:
        groups.setdefault(job.builder, []).append(sum(job.values, Fraction(0)) / len(job.values))
    assert series.by_job == one_way([groups[name] for name in series.builders])
    assert (series.by_job.between_free, series.by_job.within_free) == (2, 2)


def test_gauge_study_is_that_of_the_readings_typed(found: Comparison) -> None:
    """T-0231: eight places of the journals, read twice each by N.A. and K.O. with OM-14."""
    (study,) = found.repeats
    sheet = json.loads(
        (DEMONSTRATION / "T-0231" / "sheets" / "P18-fit-shell-bearings.json").read_text("utf-8")
    )

    table: dict[str, dict[str, list[Fraction]]] = {}
    for one in sheet["readings"]:
        if one["name"] == "journal" and one["at"]["plane"] == "front":
            value = Fraction(one["typed"]) * INCH.factor
            table.setdefault(str(one["at"]), {}).setdefault(one["by"], []).append(value)
    expected = gauge_study([[cell[who] for who in ("K.O.", "N.A.")] for cell in table.values()])
    assert (study.gauge, study.people, study.study) == ("OM-14", ("K.O.", "N.A."), expected)
    assert (study.study.parts, study.study.repeats) == (8, 2)


def test_json_holds_every_value_that_was_compared(found: Comparison) -> None:
    """As many values as the series have, the same to the last digit."""
    told = json.loads(json.dumps(plain(found)))

    for series, one in zip(found.series, told["characteristics"], strict=True):
        expected = [float(series.unit.from_base(point.value)) for point in series.points]
        assert [value["value"] for value in one["values"]] == expected
    assert told["jobs"] == list(NUMBERS)


def test_one_job_leaves_nothing_to_compare_and_says_so(plans: Plans, jobs: tuple[CheckedJob, ...]) -> None:
    """A single job has no series; its gauge study stands all the same."""
    alone = compare(plans, plans.manual.engines[SIX], jobs[2:3])

    said = list(lines(alone))
    assert alone.series == ()
    assert "  no characteristic was read on two jobs: there is nothing to compare yet" in said
    assert "  not told: a drift takes 5 jobs or more" in said
    assert any(line.startswith("  OM-14 on Main journal diameter") for line in said)


def test_suspect_reading_is_not_compared(plans: Plans, tmp_path: Path) -> None:
    """The mains of P-0331, read with a gauge past its date, are in no series; its bores are."""
    second = Path(shutil.copytree(DEMONSTRATION / "P-0331", tmp_path / "P-0332"))
    for path in [second / "job.yaml", *(second / "sheets").glob("*.json")]:
        path.write_text(path.read_text("utf-8").replace("P-0331", "P-0332"), "utf-8")
    both = [check_job(plans.manual, read_job(one), plans) for one in (DEMONSTRATION / "P-0331", second)]

    series = compare(plans, plans.manual.engines["pellbrook-35-eight"], both).series
    assert {one.characteristic for one in series if one.code == "P12"} >= {"bore.size", "piston.clearance"}
    assert "main.journal" not in {one.characteristic for one in series}


# Made-up series


def job(number: str, builder: str, day: str, values: Sequence[str]) -> JobValues:
    """A job with these values, in inches, read with U = 0.0001 in."""
    points = tuple(
        Point(number, builder, day, {"main": str(place)}, INCH.to_base(Fraction(value)), INCH, 4, U2, None)
        for place, value in enumerate(values, 1)
    )
    return JobValues(number, builder, day, points)


U2 = (Fraction("0.0001") * INCH.factor) ** 2


def series(*jobs: JobValues) -> Series:
    """A characteristic without a row."""
    return Series(None, "some.size", "measure", "P99", jobs)


def test_two_jobs_show_a_difference_and_lay_it_to_nobody() -> None:
    """With one job each nobody can tell the builder from his engine."""
    two = series(job("1", "A.", "2026-01-05", ["0.0020"] * 4), job("2", "B.", "2026-02-05", ["0.0023"] * 4))

    assert difference_words(two) == (
        "B. has it 0.0003 in (0.008 mm) higher than A.; "
        "2 jobs: there are too few jobs to tell a builder's habit from one engine"
    )


def test_difference_below_the_uncertainty_is_not_told() -> None:
    """Less than U of one value is no difference."""
    two = series(job("1", "A.", "2026-01-05", ["0.00200"]), job("2", "B.", "2026-02-05", ["0.00209"]))

    assert not two.is_told


@pytest.mark.parametrize(
    ("values", "expected"),
    [
        (["20", "20.4", "22", "22.4"], "more than the engines of one builder differ"),
        (["20", "22", "21", "23"], "the engines of one builder differ as much"),
    ],
)
def test_habit_is_told_where_builders_differ_more_than_their_own_engines(
    values: list[str], expected: str
) -> None:
    """Two jobs each by two builders: F on 1 and 2 degrees of freedom decides, at one in twenty."""
    made = [
        job(str(place), "AABB"[place], f"2026-0{place + 1}-01", [str(Fraction(one) / 10000)])
        for place, one in enumerate(values)
    ]

    assert chance_words(series(*made)).startswith(expected)


def test_odd_value_is_found_where_grubbs_and_the_gauge_agree() -> None:
    """One of six lies 0.0005 in over its mates; one of six that lies one division over them is not odd."""
    far = job("1", "A.", "2026-01-05", ["0.0020", "0.0020", "0.0021", "0.0020", "0.0021", "0.0025"])
    near = job("2", "A.", "2026-02-05", ["0.0020", "0.0020", "0.0020", "0.0020", "0.0020", "0.0021"])

    assert list(odd_lines([series(far, near)])) == [
        "some.size, P99: 1 (A.), main 6: 0.0025 in beside 0.00204 in of the others"
    ]


def months(values: Sequence[str], days: Callable[[int], str]) -> Series:
    """Jobs of one value each."""
    return series(*(job(str(n), "A.", days(n), [value]) for n, value in enumerate(values, 1)))


def test_drift_is_told_by_how_much_in_thirty_days() -> None:
    """Six jobs, each a ten-thousandth over the one 30 days before it."""
    days = ["", "2026-01-01", "2026-01-31", "2026-03-02", "2026-04-01", "2026-05-01", "2026-05-31"]
    rising = months(["0.0020", "0.0021", "0.0022", "0.0023", "0.0024", "0.0025"], days.__getitem__)

    assert list(drift_lines([rising])) == [
        (
            "some.size, P99: rises by 0.00010 in (0.0025 mm) in 30 days over 6 jobs "
            "(chance alone gives as much in 0% of cases)"
        )
    ]


def test_four_jobs_tell_no_drift() -> None:
    """Fewer than five jobs have no line."""
    assert months(["0.0020", "0.0021", "0.0022", "0.0023"], "2026-0{}-01".format).trend is None

"""Jobs as CSV files and as one SQLite file: read back, they are the records, and no spreadsheet runs them."""

from __future__ import annotations

import csv
import json
import shutil
import sqlite3
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from builder.cli import main
from builder.diagnostics import Fault
from builder.jobs import CheckedJob, Plans, check_job, read_job
from builder.jobs.exported import TABLES, rows_of, write_csv, write_sqlite

ROOT = Path(__file__).parents[2]
JOBS = ROOT / "tests" / "data" / "jobs"
INCH = Fraction("0.0254")

Json = dict[str, Any]


@pytest.fixture(scope="module")
def jobs(plans: Plans) -> list[CheckedJob]:
    """All jobs of the demonstration shop."""
    return [check_job(plans.manual, read_job(one), plans) for one in sorted(JOBS.iterdir())]


def sheets() -> list[Json]:
    """Every sheet of the demonstration shop as its file has it."""
    return [json.loads(path.read_text("utf-8")) for path in sorted(JOBS.glob("*/sheets/*.json"))]


def read_csv(folder: Path, table: str) -> list[dict[str, str]]:
    """A CSV file as a spreadsheet's owner reads it, the mark before a formula taken off."""
    with (folder / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        return [{key: cell.removeprefix("'") for key, cell in row.items()} for row in csv.DictReader(file)]


@pytest.fixture(scope="module")
def base(jobs: list[CheckedJob], tmp_path_factory: pytest.TempPathFactory) -> sqlite3.Connection:
    """All jobs in one SQLite file, opened."""
    path = tmp_path_factory.mktemp("export") / "jobs.sqlite"
    write_sqlite(path, rows_of(jobs))
    return sqlite3.connect(path)


@pytest.mark.parametrize(
    "of", ["readings", "ticks", "looks", "holds", "corrections", "passes", "photos", "notes"]
)
def test_sqlite_has_as_many_rows_as_the_sheets_have_entries(base: sqlite3.Connection, of: str) -> None:
    """Nothing is left out, whatever it is."""
    (number,) = base.execute(f"SELECT count(*) FROM {of}").fetchone()  # noqa: S608 - our own names

    assert number == sum(len(sheet[of]) for sheet in sheets())


def test_sqlite_holds_every_reading_to_the_letter(base: sqlite3.Connection) -> None:
    """Who typed what where and when: the same rows as the files have, in any order."""
    told = base.execute(
        'SELECT job, step, name, stage, "try", typed, unit, gauge, setting, by, at FROM readings'
    )

    keys = ("step", "name", "stage", "try", "typed", "unit", "gauge", "setting", "by", "when")
    expected = [
        (sheet["job"], *(one[key] for key in keys)) for sheet in sheets() for one in sheet["readings"]
    ]
    assert sorted(told.fetchall()) == sorted(expected)


def test_number_beside_a_reading_is_what_was_typed(base: sqlite3.Connection) -> None:
    """A length in inches is the typed number, and in metres the 0.0254th part of it exactly."""
    told = base.execute("SELECT typed, inch, si FROM readings WHERE unit = 'in' AND typed GLOB '[0-9.]*'")

    plain = [row for row in told.fetchall() if "/" not in row[0]]
    assert len(plain) > 1000
    assert all(
        (inch, si) == (float(Fraction(typed)), float(Fraction(typed) * INCH)) for typed, inch, si in plain
    )


def test_sqlite_counts_the_verdicts_of_a_released_job(base: sqlite3.Connection) -> None:
    """What a foreman asks: which value went out although it is out. One, and it is conceded."""
    asked = """SELECT v.job, v.name, v.point, v.value, v.limit_high, c.customer_told
        FROM verdicts v JOIN jobs j ON j.job = v.job LEFT JOIN concessions c ON c.job = v.job
        WHERE j.may_be_released = 1 AND v.verdict = 'out' AND v.stage IN ('final', 'after_run')"""

    assert base.execute(asked).fetchall() == [("T-0238", "crankcase", "fired_1", 1.6, 1.5, "2026-11-13")]


def test_sqlite_holds_the_findings_in_their_order(base: sqlite3.Connection, jobs: list[CheckedJob]) -> None:
    """The eight faults of P-0331, in the order to deal with them."""
    told = base.execute("SELECT number, kind, what FROM findings WHERE job = 'P-0331' ORDER BY number")

    found = next(one.findings for one in jobs if one.folder.name == "P-0331")
    expected = [(number, str(one.kind), one.what) for number, one in enumerate(found, 1)]
    assert told.fetchall() == expected
    assert len(expected) == 8


def test_every_column_is_told_in_the_export_itself(base: sqlite3.Connection) -> None:
    """The table of columns names exactly the columns that the file has, each with a sentence."""
    told = base.execute('SELECT "table", "column" FROM columns').fetchall()

    there = [
        (table.name, column[1])
        for table in TABLES
        for column in base.execute(f"PRAGMA table_info({table.name})")
    ]
    assert told == there
    assert base.execute("SELECT count(*) FROM columns WHERE about NOT LIKE '%.'").fetchone() == (0,)


def test_csv_read_back_is_what_sqlite_holds(
    jobs: list[CheckedJob], base: sqlite3.Connection, tmp_path: Path
) -> None:
    """The same rows in both, table by table, cell by cell."""
    write_csv(tmp_path, rows_of(jobs))

    for table in TABLES:
        told = base.execute(f"SELECT * FROM {table.name}").fetchall()  # noqa: S608 - our own names
        expected = [["" if cell is None else str(cell) for cell in row] for row in told]
        assert [list(row.values()) for row in read_csv(tmp_path, table.name)] == expected


@pytest.mark.parametrize(
    ("typed", "cell"),
    [
        ("=1+1", "'=1+1"),
        ("@SUM(A1)", "'@SUM(A1)"),
        ("-2+3", "'-2+3"),
        ("'quoted", "''quoted"),
        ("-0.0002", "-0.0002"),
        ("plain", "plain"),
    ],
)
def test_csv_holds_no_cell_that_a_spreadsheet_runs(
    plans: Plans, tmp_path: Path, typed: str, cell: str
) -> None:
    """A remark that looks like a formula gets a mark before it; a negative number gets none."""
    folder = Path(shutil.copytree(JOBS / "T-0217", tmp_path / "T-0217"))
    path = folder / "sheets" / "P12-bore-and-hone.json"
    sheet = json.loads(path.read_text("utf-8"))
    sheet["notes"] = [{"step": "measure", "text": typed, "by": "L.M.", "when": "2026-05-18"}]
    path.write_text(json.dumps(sheet), "utf-8")

    rows = rows_of([check_job(plans.manual, read_job(folder), plans)])
    write_csv(tmp_path / "csv", rows)

    with (tmp_path / "csv" / "notes.csv").open(encoding="utf-8", newline="") as file:
        assert [row["text"] for row in csv.DictReader(file)] == [cell]
    assert [row[3] for row in rows["notes"]] == [typed]


def test_reading_that_does_not_read_keeps_its_text_and_has_no_number(plans: Plans, tmp_path: Path) -> None:
    """What nobody can read is exported as it is, without a guess."""
    folder = Path(shutil.copytree(JOBS / "T-0217", tmp_path / "T-0217"))
    path = folder / "sheets" / "P12-bore-and-hone.json"
    path.write_text(path.read_text("utf-8").replace('"typed": "3.5489"', '"typed": "smudged"', 1), "utf-8")

    rows = rows_of([check_job(plans.manual, read_job(folder), plans)])

    names = [column.name for table in TABLES if table.name == "readings" for column in table.columns]
    (found,) = [dict(zip(names, row, strict=True)) for row in rows["readings"] if "smudged" in row]
    assert (found["typed"], found["si"], found["inch"]) == ("smudged", None, None)


def test_export_onto_a_folder_is_refused_and_leaves_nothing(jobs: list[CheckedJob], tmp_path: Path) -> None:
    """A folder where the file should be is refused in words, and no half-written file lies beside it."""
    (tmp_path / "jobs.sqlite").mkdir()

    with pytest.raises(Fault, match="cannot be written"):
        write_sqlite(tmp_path / "jobs.sqlite", rows_of(jobs[:1]))
    assert [path.name for path in tmp_path.iterdir()] == ["jobs.sqlite"]


def test_export_at_the_prompt_asks_what_to_write(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Without a target nothing is guessed; with both, both are written."""
    monkeypatch.chdir(ROOT)
    job = str(JOBS / "T-0231")

    nothing = CliRunner().invoke(main, ["job", "export", job])
    both = CliRunner().invoke(
        main, ["job", "export", job, "--csv", str(tmp_path / "csv"), "--sqlite", str(tmp_path / "a.sqlite")]
    )

    assert (nothing.exit_code, both.exit_code) == (2, 0)
    assert "say what to write" in nothing.output
    assert both.output.splitlines() == [
        f"wrote {len(TABLES)} files into {tmp_path / 'csv'}",
        f"wrote {tmp_path / 'a.sqlite'}",
    ]

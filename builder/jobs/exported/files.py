"""An export as files: CSV for a spreadsheet, and one SQLite file."""

from __future__ import annotations

import csv
import re
import sqlite3
from collections.abc import Mapping, Sequence
from io import StringIO
from pathlib import Path

from builder.diagnostics import Fault
from builder.jobs.exported.rows import Row
from builder.jobs.exported.tables import TABLES, Cell, Table
from builder.jobs.safe import reason, write_whole

_RUNS = re.compile(r"[=+\-@\t\r']")
"""What a text begins with that a spreadsheet runs as a formula, and the mark that keeps it from doing so."""

_NUMBER = re.compile(r"[+-]?\d*[.,]?\d+")


def write_csv(folder: Path, rows: Mapping[str, Sequence[Row]]) -> list[Path]:
    """Write a CSV file for each table; each is whole or the old one stays.

    Raises:
        Fault: when the folder cannot be written.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        written = []
        for table in TABLES:
            path = folder / f"{table.name}.csv"
            write_whole(path, csv_text(table, rows[table.name]))
            written.append(path)
    except OSError as error:
        raise Fault(f"`{folder}` cannot be written: {reason(error)}", "name another folder") from None
    return written


def csv_text(table: Table, rows: Sequence[Row]) -> str:
    """A table as CSV (RFC 4180), its first row the names of the columns."""
    file = StringIO()
    writer = csv.writer(file, lineterminator="\r\n")
    writer.writerow([column.name for column in table.columns])
    writer.writerows([_safe(cell) for cell in row] for row in rows)
    return file.getvalue()


def _safe(cell: Cell) -> Cell:
    """A cell that no spreadsheet runs: a text that looks like a formula begins with `'`."""
    if isinstance(cell, str) and _RUNS.match(cell) and not _NUMBER.fullmatch(cell):
        return f"'{cell}"
    return cell


def write_sqlite(path: Path, rows: Mapping[str, Sequence[Row]]) -> None:
    """Write one SQLite file; it is whole or the old one stays. Texts are as typed.

    Raises:
        Fault: when the file cannot be written.
    """
    beside = path.with_name(f".{path.name}.new")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        beside.unlink(missing_ok=True)
        _fill(beside, rows)
        beside.replace(path)
    except (OSError, sqlite3.Error) as error:
        beside.unlink(missing_ok=True)
        why = reason(error) if isinstance(error, OSError) else str(error)
        raise Fault(f"`{path}` cannot be written: {why}", "name another file") from None


def _fill(path: Path, rows: Mapping[str, Sequence[Row]]) -> None:
    base = sqlite3.connect(path)
    try:
        with base:
            for table in TABLES:
                columns = ", ".join(f'"{column.name}" {column.kind}' for column in table.columns)
                base.execute(f'CREATE TABLE "{table.name}" ({columns})')
                marks = ", ".join("?" * len(table.columns))
                base.executemany(f'INSERT INTO "{table.name}" VALUES ({marks})', rows[table.name])  # noqa: S608 - our own names
    finally:
        base.close()

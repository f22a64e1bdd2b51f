"""Jobs as tables for other tools: CSV files, or one SQLite file."""

from builder.jobs.exported.files import write_csv, write_sqlite
from builder.jobs.exported.rows import rows_of
from builder.jobs.exported.tables import TABLES

__all__ = ["TABLES", "rows_of", "write_csv", "write_sqlite"]

"""Jobs: the record of one engine, read from its folder and checked as a whole."""

from builder.jobs.check import CheckedSheet, Finding, check_job, is_open
from builder.jobs.folder import JobFolder, read_job, read_sheet

__all__ = ["CheckedSheet", "Finding", "JobFolder", "check_job", "is_open", "read_job", "read_sheet"]

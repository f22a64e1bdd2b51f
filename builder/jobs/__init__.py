"""Jobs: the record of one engine, read from its folder and checked as a whole."""

from builder.jobs.check import CheckedSheet, Finding, check_job
from builder.jobs.folder import JobFolder, read_job, read_sheet

__all__ = ["CheckedSheet", "Finding", "JobFolder", "check_job", "read_job", "read_sheet"]

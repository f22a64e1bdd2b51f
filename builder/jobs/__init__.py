"""Jobs: the record of one engine, started, filled, kept safe and checked as a whole."""

from builder.jobs.check import CheckedJob, check_job, check_jobs
from builder.jobs.entering import Entered, enter_paper, entered
from builder.jobs.filing import Filed, Unreadable, add_file, file_sheet
from builder.jobs.folder import JobFolder, read_job, read_job_file, read_sheet
from builder.jobs.kinds import ABOUT, Finding, Kind
from builder.jobs.plan import Plans, SheetPlan
from builder.jobs.start import people_of, start
from builder.jobs.worked import Worked

__all__ = [
    "ABOUT",
    "CheckedJob",
    "Entered",
    "Filed",
    "Finding",
    "JobFolder",
    "Kind",
    "Plans",
    "SheetPlan",
    "Unreadable",
    "Worked",
    "add_file",
    "check_job",
    "check_jobs",
    "enter_paper",
    "entered",
    "file_sheet",
    "people_of",
    "read_job",
    "read_job_file",
    "read_sheet",
    "start",
]

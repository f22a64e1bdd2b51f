"""The command line: arguments in, lines out, an exit code; the work is done on the floors below.

Exit codes: 0 clean, 1 the shop's files or the engine have faults, 2 the command was misused.
"""

from __future__ import annotations

from builder.cli import (
    bench_commands,
    job_commands,
    job_paper_commands,
    manual_commands,
    record_commands,
    revision_commands,
    sheet_commands,
)
from builder.cli.entrance import main

COMMANDS = (
    bench_commands,
    job_commands,
    job_paper_commands,
    manual_commands,
    record_commands,
    revision_commands,
    sheet_commands,
)
"""The files whose commands `main` holds: to load one is to add its commands."""

__all__ = ["COMMANDS", "main"]

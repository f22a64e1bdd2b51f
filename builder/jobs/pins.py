"""The edition that a sheet is held against: that it was filled in on, until someone moves the procedure."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from builder.checklist import Checklist
from builder.model.job import Job
from builder.model.record import Sheet


@dataclass(frozen=True)
class ToDo:
    """Something to do again on another edition: a step, or as `hold <id>` a hold; in words; and why."""

    name: str
    said: str
    why: tuple[str, ...]


class Earlier(Protocol):
    """What knows the editions that a shop had before."""

    def checklist(self, sheet: Sheet, edition: str) -> Checklist | None:
        """The checklist of a sheet in an older edition; None where nobody kept it."""

    def again(self, sheet: Sheet, edition: str, job: Job) -> tuple[ToDo, ...]:
        """What of a sheet on an older edition must be done again on the present one."""


def pin_of(job: Job, sheet: Sheet) -> str:
    """The edition that a sheet is held against; empty where it names none."""
    pin = str(sheet.edition)
    for moved in job.moved:
        if moved.procedure == sheet.procedure and pin in moved.from_:
            pin = str(moved.to)
    return pin

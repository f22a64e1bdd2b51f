"""A new job: its folder with a `job.yaml` to be completed by hand."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from pathlib import Path

from builder.diagnostics import Fault
from builder.jobs.folder import JOB_FILE, SHEETS
from builder.jobs.safe import reason, write_whole
from builder.manual import Manual
from builder.model.job import BASES, JOB_ROLES

JOBS = "jobs"
"""The folder of a shop that holds its jobs."""

_NUMBER = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]*")
_INITIALS = re.compile(r"[^\s:{}\[\],=+#'\"]+")

People = Mapping[str, Sequence[str]]
"""Roles by initials."""


def start(manual: Manual, folder: Path, engine: str, basis: str, people: People) -> Path:
    """Make the folder of a new job, named by its number, and give the path of its `job.yaml`.

    Raises:
        Fault: when the number is no name of a folder, the job is there already, the family is not known, or
            the folder cannot be made.
    """
    if not _NUMBER.fullmatch(folder.name):
        raise Fault(f"`{folder.name}` is no job number", "write letters, digits, dashes and points")
    if engine not in manual.engines:
        raise Fault(f"`{engine}` is no family of the manual", f"write one of {', '.join(manual.engines)}")
    if basis not in BASES:
        raise Fault(f"`{basis}` is no basis", f"write {' or '.join(BASES)}")
    if (folder / JOB_FILE).exists():
        raise Fault(f"job {folder.name} is there already", "choose another number")
    text = job_text(folder.name, engine, basis, people)
    try:
        (folder / SHEETS).mkdir(parents=True, exist_ok=True)
        write_whole(folder / JOB_FILE, text)
    except OSError as error:
        raise Fault(f"`{folder}` cannot be written: {reason(error)}", "check its rights") from None
    return folder / JOB_FILE


def people_of(typed: str) -> People:
    """People as typed, `R.T.=builder, K.O.=second+builder`.

    Raises:
        Fault: when initials or a role do not read.
    """
    found: dict[str, list[str]] = {}
    for one in filter(None, (part.strip() for part in typed.split(","))):
        initials, _, roles = (part.strip() for part in one.partition("="))
        listed = [role.strip() for role in roles.split("+")]
        wrong = next((role for role in listed if role not in JOB_ROLES), None)
        if wrong is not None or not _INITIALS.fullmatch(initials):
            hint = f"write it as in `R.T.=builder`, with one of {', '.join(JOB_ROLES)}"
            raise Fault(f"`{one}` is nobody's initials and role", hint)
        found[initials] = listed
    return found


def job_text(number: str, engine: str, basis: str, people: People) -> str:
    """The text of a new `job.yaml`: what is known, and what else can be said as remarks."""
    lines = [f'number: "{number}"', f"engine: {engine}", "# engine_number: the number on the engine"]
    lines += ["# owner: whose engine it is", f"basis: {basis}"]
    lines += ["people:"] if people else ["people: {}"]
    lines += [f"  {initials}: {{role: [{', '.join(roles)}]}}" for initials, roles in people.items()]
    return "\n".join([*lines, *_WANTING]) + "\n"


_WANTING = (
    "# sizes: {main_undersize: 0.020 in}          # the size steps, once they are decided",
    "# supplier:                                  # limits of the sheets in the box",
    "#   piston.clearance: 0.0015 to 0.0025 in [box sheet 3]",
    "# gauges:",
    "#   OM-21: {instrument: outside_micrometer, due: 2026-06-30, set_to: standard bar of 2 in}",
    "# condition:                                 # what the survey says beyond its readings",
    "#   options: {bore.size: bored and honed to the next oversize}",
    "#   unknown: [the oil pump was not opened]",
    "# estimate:                                  # prices and hours; gaugeleaf job papers adds them up",
    "#   {on: 2026-02-24, by: R.S., money: GBP, hour: 46.00, stages: {block: {title: Block, lines: [",
    "#     {what: bore and hone, hours: 14},",
    "#     {what: pistons, price: 612.00, size: 0.030 in over, order: true, lead: 10 weeks}]}}}",
    "# parts:",
    "#   piston: {came_out: 8, fitted: [{state: new, size: 0.020 in over, batch: box 3}]}",
)

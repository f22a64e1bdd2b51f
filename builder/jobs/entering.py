"""A sheet of paper typed in: readings by the codes beside their boxes, ticks by step, signatures by hold.

What else stands on a sheet is read by `entries`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from builder.checklist import Checklist, resolve
from builder.diagnostics import Fault
from builder.edition import edition
from builder.field_code import Field, fields
from builder.jobs.entries import Pen, other_entry
from builder.jobs.filing import Filed, Unreadable, file_sheet
from builder.jobs.folder import FORMAT, read_job_file, sheet_of
from builder.jobs.written import plain
from builder.judge.taken import unit_of
from builder.manual import Manual, row
from builder.model.choice import moment_of
from builder.model.job import Job
from builder.model.procedure import ROLES, Procedure
from builder.model.record import Sheet
from builder.quantity import read_quantity, read_reading
from builder.said import in_short

_STEP = re.compile(r"step (\d+)", re.IGNORECASE)
_HOLD = re.compile(r"(H\d+[a-z]?) (\w+)", re.IGNORECASE)
DONE = "done"


@dataclass(frozen=True)
class Entered:
    """What holds for all entries of one go: who read and wrote, when, at which stage, with which gauge."""

    by: str
    when: str
    run: str = "final"
    stage: str = "final"
    gauge: str = ""
    setting: str = ""
    number: int = 1
    room: str = ""


def enter_paper(
    manual: Manual, folder: Path, name: str, entries: Sequence[str], of: Mapping[str, Any]
) -> Filed:
    """Type entries into a sheet of a job folder; `of` holds the fields of `Entered`, an empty `when` is now.

    Raises:
        Unreadable: when files of the folder do not read.
        Fault: as `entered`, or when the folder cannot be written.
    """
    job, faults = read_job_file(folder)
    if job is None or faults:
        raise Unreadable(faults)
    when = of["when"] or datetime.now(UTC).isoformat(timespec="seconds").replace("+00:00", "Z")
    return file_sheet(manual, folder, entered(manual, job, name, entries, Entered(**{**of, "when": when})))


def entered(manual: Manual, job: Job, name: str, entries: Sequence[str], of: Entered) -> Sheet:
    """The sheet that entries make: `CRK-01 M3 F T = 2.4798`, `step 3 = done`, `H11 second = K.O.`.

    `name` is the id or the code of a procedure. An entry may name a gauge of its own: `… = 2.4798 @ OM-23`.

    Raises:
        Fault: when an entry names no box, step or hold of the sheet, or what it says cannot be read there.
    """
    checklist = _checklist(manual, job, name)
    moment_of(of.when)
    lists: dict[str, list[Any]] = {}
    boxes = {_plain(code): field for code, field in fields(checklist).items()}
    for entry in entries:
        left, equals, right = (part.strip() for part in entry.partition("="))
        if not equals or not left or not right:
            raise Fault(f"`{entry}` is no entry", "write it as in `CRK-01 M3 F T = 2.4798`")
        kind, said = _entry(checklist, boxes, left, right, of)
        lists.setdefault(kind, []).extend(said)
    return sheet_of(
        {
            "sheet": str(FORMAT),
            "job": str(job.number),
            "engine": str(job.engine),
            "procedure": str(checklist.procedure.procedure),
            "edition": edition(checklist),
            "run": of.run,
            "said": plain(in_short(checklist)),
            "room": of.room,
            **_numbered(lists),
        }
    )


def _numbered(lists: dict[str, list[Any]]) -> dict[str, list[Any]]:
    """The entries with the passes of each place counted, and all numbers as texts."""
    made: dict[str, int] = {}
    for one in lists.get("passes", ()):
        key = repr((one["step"], one["rule"], sorted(one["at"].items())))
        made[key] = made.get(key, 0) + 1
        one.update({"rule": str(one["rule"]), "pass": str(made[key])})
    return lists


def _checklist(manual: Manual, job: Job, name: str) -> Checklist:
    wanted = name.casefold()
    engine = manual.engines.get(str(job.engine))
    if engine is None:
        raise Fault(f"`{job.engine}` is no family of the manual", "look at `engine` in job.yaml")
    fit = [one for one in manual.route if isinstance(one, Procedure) and manual.applies(one, engine)]
    for procedure in fit:
        if wanted in (str(procedure.procedure), str(procedure.code).casefold()):
            return resolve(manual, engine, procedure)
    near = get_close_matches(name, [str(one.procedure) for one in fit], 1)
    raise Fault(f"`{name}` is no checklist of `{job.engine}`", f"write `{near[0]}`" if near else "")


def _plain(code: str) -> str:
    return " ".join(code.split()).casefold()


def _entry(
    checklist: Checklist, boxes: Mapping[str, Field], left: str, right: str, of: Entered
) -> tuple[str, list[dict[str, Any]]]:
    step, hold = _STEP.fullmatch(left), _HOLD.fullmatch(left)
    if step:
        return "ticks", [_tick(Pen(checklist, boxes, of.by, of.when), step[1], right)]
    if hold:
        return "holds", [_signature(checklist, hold[1], hold[2], right, of)]
    other = other_entry(Pen(checklist, boxes, of.by, of.when), left, right)
    if other is not None:
        return other
    field = boxes.get(_plain(left))
    if field is None:
        near = get_close_matches(_plain(left), boxes, 1)
        hint = f"write `{boxes[near[0]].code}`" if near else "write the code that stands beside the box"
        raise Fault(f"`{left}` is no box of this sheet", hint)
    return "readings", [_reading(checklist, field, right, of)]


def _reading(checklist: Checklist, field: Field, right: str, of: Entered) -> dict[str, Any]:
    typed, _, gauge = (part.strip() for part in right.partition("@"))
    own = unit_of(field.grid, row(checklist.engine, field.blank.against or _common(field)))
    if own is None:
        raise Fault(f"`{field.code}` has no unit in the manual", "give the measurement a `unit`")
    read_reading(typed, own, read_quantity(of.setting) if of.setting else None)
    return {
        "step": str(field.grid.step),
        "name": str(field.grid.name),
        "at": dict(field.blank.at),
        "stage": of.stage,
        "try": str(of.number),
        "typed": typed,
        "unit": own.symbol,
        "gauge": gauge or of.gauge,
        "setting": of.setting,
        "by": of.by,
        "when": of.when,
    }


def _common(field: Field) -> str | None:
    """The characteristic that other boxes of the grid are held against: it gives the unit to all of them."""
    return next((blank.against for blank in field.grid.blanks if blank.against), None)


def _tick(pen: Pen, number: str, right: str) -> dict[str, Any]:
    by = pen.by if right == DONE else right
    return {"step": str(pen.step(number).step.id), "by": by, "when": pen.when}


def _signature(checklist: Checklist, code: str, role: str, by: str, of: Entered) -> dict[str, Any]:
    names = {str(hold.code).casefold(): (name, hold) for name, hold in checklist.manual.holds.items()}
    name, hold = names.get(code.casefold(), ("", None))
    if hold is None:
        raise Fault(f"`{code}` is no hold", f"the holds run from {_ends(names)}")
    if role not in ROLES or role not in hold.by:
        raise Fault(f"`{role}` does not sign {hold.code}", f"write {' or '.join(hold.by)}")
    return {"hold": str(name), "role": role, "by": by, "when": of.when}


def _ends(names: Mapping[str, object]) -> str:
    listed: Iterator[str] = iter(sorted(code.upper() for code in names))
    every = list(listed)
    return f"{every[0]} to {every[-1]}" if every else "none"

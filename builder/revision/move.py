"""Moving a procedure of a job to the present edition: who, when, why and what it asks go into `job.yaml`."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import TypeAlias

from builder.diagnostics import Fault
from builder.edition import edition
from builder.jobs.filing import Unreadable
from builder.jobs.folder import JOB_FILE, JobFolder, read_job
from builder.jobs.pins import ToDo, pin_of
from builder.jobs.safe import locked, write_whole
from builder.manual import Manual
from builder.model.job import Job
from builder.model.procedure import Procedure
from builder.model.record import Sheet
from builder.revision.edits import Edit, Places, edited, line_break, scalar
from builder.revision.pinned import resolved
from builder.revision.pins import Pins
from builder.yaml_text import Mapping as Tree
from builder.yaml_text import Sequence, Text, read_text

Entry: TypeAlias = Mapping[str, str | tuple[str, ...]]
"""What stands under `moved:` of a job, by key."""


@dataclass(frozen=True)
class Decided:
    """What was asked for: which procedure, by id or code; by whom, by initials; why."""

    procedure: str
    by: str
    why: str


@dataclass(frozen=True)
class Done:
    """A procedure of a job that was moved, from which editions to which, and what must be done again."""

    job: str
    code: str
    was: tuple[str, ...]
    now: str
    again: tuple[ToDo, ...]
    lost: tuple[str, ...]
    """Editions that nobody kept, so that it cannot be told what changed."""


def move(shop: Path, manual: Manual, folder: Path, decided: Decided, when: datetime | None = None) -> Done:
    """Move a procedure of a job to the present edition and write that into `job.yaml`.

    Raises:
        Fault: the job has no such sheet, it is on the present edition already, or nobody says who and why.
    """
    with locked(folder):
        record = read_job(folder)
        if record.job is None or record.faults:
            raise Unreadable(record.faults)
        job, procedure = record.job, _procedure(manual, decided.procedure)
        _asked(job, decided)
        done = _moved(shop, manual, record, job, procedure)
        stamp = (when or datetime.now(UTC)).strftime("%Y-%m-%dT%H:%M:%SZ")
        again = tuple(one.name for one in done.again)
        entry: dict[str, str | tuple[str, ...]] = {
            "procedure": str(procedure.procedure), "from": done.was, "to": done.now, "by": decided.by,
            "on": stamp, "why": " ".join(decided.why.split()), **({"again": again} if again else {}),
        }  # fmt: skip
        path = folder / JOB_FILE
        shown = f"{folder.name}/{JOB_FILE}"
        write_whole(path, moved_text(path.read_bytes().decode("utf-8"), shown, entry))
    return done


def _procedure(manual: Manual, called: str) -> Procedure:
    every = manual.procedures.values()
    found = manual.procedures.get(called) or next((one for one in every if one.code == called.upper()), None)
    if found is None:
        raise Fault(f"there is no procedure `{called}`", "write its id or code")
    return found


def _asked(job: Job, decided: Decided) -> None:
    if Text(decided.by) not in job.people:
        raise Fault(f"`{decided.by}` does not work on {job.number}", f"write one of {', '.join(job.people)}")
    if not decided.why.strip() or not decided.why.isprintable():
        raise Fault("nobody says why it is moved", "write a sentence after --why")


def _moved(shop: Path, manual: Manual, record: JobFolder, job: Job, procedure: Procedure) -> Done:
    """What is moved, and what that asks."""
    name = str(procedure.procedure)
    sheets = [filed.sheet for filed in record.sheets if filed.sheet.procedure == name]
    new = resolved(manual, str(job.engine), name)
    if not sheets or new is None:
        raise Fault(f"{job.number} has no sheet of {procedure.code}", "move a procedure that was begun")
    now = edition(new)
    pinned = {pin: sheet for sheet in sheets if (pin := pin_of(job, sheet)) not in ("", now)}
    if not pinned:
        raise Fault(
            f"{procedure.code} of {job.number} is on edition {now} already", "there is nothing to move"
        )
    pins = Pins(shop, manual)
    lost = tuple(pin for pin, sheet in pinned.items() if pins.checklist(sheet, pin) is None)
    again = {one.name: one for one in _again(pins, pinned, job)}
    return Done(str(job.number), str(procedure.code), tuple(pinned), now, tuple(again.values()), lost)


def _again(pins: Pins, pinned: Mapping[str, Sheet], job: Job) -> Iterator[ToDo]:
    for pin, sheet in pinned.items():
        yield from pins.again(sheet, pin, job)


def moved_text(text: str, shown: str, entry: Entry) -> str:
    """The text of a job's file with one more entry under `moved:`; every other byte stays.

    Raises:
        Fault: what stands under `moved:` is written within brackets.
    """
    root = read_text(text, shown).root
    if not isinstance(root, Tree):
        raise Fault(f"`{shown}` is no job", "write it as the others are written")
    before = root.get(Text("moved"), Sequence())
    changed = edited(text, [_edit(text, before, entry)])
    told = {key: list(value) if isinstance(value, tuple) else value for key, value in entry.items()}
    expected = {**root, Text("moved"): [*(before if isinstance(before, Sequence) else ()), told]}
    if read_text(changed, shown).root != expected:
        raise Fault(f"`{shown}` cannot be written as it is laid out", "write `moved:` on lines of its own")
    return changed


def _edit(text: str, before: object, entry: Entry) -> Edit:
    """A new entry after the last one, or at the end of the file."""
    places, end = Places(text), line_break(text)
    lines = list(_lines(entry))
    if isinstance(before, Sequence) and before:
        indent = " " * (before.span.column - 1)
        last = before[-1].span
        line = last.end_line - (last.end_column == 1)  # a part in lines ends where the next one begins
        at = places.line_end(_last_of(places, line, last.column))
    else:
        indent, at = "  ", len(text)
        lines.insert(0, "moved:")
    written = [one if one == "moved:" else f"{indent}{one}" for one in lines]
    if at == len(text):
        lead = "" if not text or text.endswith(("\n", "\r")) else end
        return Edit(at, at, lead + "".join(f"{one}{end}" for one in written))
    return Edit(at, at, "".join(f"{end}{one}" for one in written))


def _last_of(places: Places, line: int, column: int) -> int:
    """The last line up to this one that is of a part at this column: none blank, no comment further left."""
    while line > 1:
        words = places.text[places.starts[line - 1] : places.line_end(line)]
        if words.strip() and not (words.lstrip().startswith("#") and words.index("#") < column - 1):
            break
        line -= 1
    return line


def _lines(entry: Entry) -> Iterator[str]:
    for number, (key, value) in enumerate(entry.items()):
        shown = f"[{', '.join(map(scalar, value))}]" if isinstance(value, tuple) else scalar(value)
        yield f"{'  ' if number else '- '}{key}: {shown}"


def lines(done: Done) -> Iterator[str]:
    """What was moved and what must be done again."""
    yield f"{done.job}: {done.code} moved from edition {', '.join(done.was)} to {done.now}"
    yield from (f"edition {pin} is not in the shop's history: compare it by hand" for pin in done.lost)
    for one in done.again:
        yield one.said
        yield from (f"  {why}" for why in one.why)
    if not done.again and not done.lost:
        yield "nothing that was done must be done again"

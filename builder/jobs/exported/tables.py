"""The tables of an export: what each one holds, column by column. They stand in the export as well."""

from __future__ import annotations

from dataclasses import dataclass

TEXT = "TEXT"
REAL = "REAL"
INTEGER = "INTEGER"

Cell = str | int | float | None


@dataclass(frozen=True)
class Column:
    """A column: its name, the type of its cells, and what stands there."""

    name: str
    kind: str
    about: str


@dataclass(frozen=True)
class Table:
    """A table: its name, what a row is, its columns."""

    name: str
    about: str
    columns: tuple[Column, ...]


def _table(name: str, about: str, *columns: str) -> Table:
    """A table from lines such as `try INTEGER: Which try.`; without a type a column holds text."""
    made = []
    for line in columns:
        head, _, meaning = line.partition(": ")
        title, _, kind = head.partition(" ")
        made.append(Column(title, kind or TEXT, meaning))
    return Table(name, about, tuple(made))


_JOB = "job: The number of the job."
_SHEET = (_JOB, "sheet: The file of the sheet, from the folder of the job.")
_STEP = (*_SHEET, "step: The step, by its id.")
_PLACE = (
    "feature: What is counted and named: main, cylinder; two of them with a blank between.",
    "label: Which one: 3; 2 top.",
    "plane: The plane, as front or mid.",
    "axis: The axis, as T or V.",
    "point: The point.",
)
_DONE = ("by: Who, by initials.", "at: When, as written.")

TABLES = (
    _table(
        "jobs",
        "One engine in the shop.",
        _JOB,
        "folder: The name of its folder.",
        "engine: The family, by its id.",
        "engine_title: The family.",
        "engine_number: The number on the engine.",
        "owner: Whose engine it is.",
        "basis: rebuilt or overhauled.",
        "earlier_job: The job it comes back from.",
        "complaint: What the owner said of it when it came back.",
        "may_be_released INTEGER: 1 when nothing stands open, else 0.",
        "findings INTEGER: How many findings stand open.",
        "note: A remark.",
    ),
    _table(
        "people",
        "Someone on a job, once for each role.",
        _JOB,
        "initials: Initials.",
        "role: The role.",
        "name: The name.",
    ),
    _table(
        "sizes",
        "A size step of a job.",
        _JOB,
        "of: present, or came_with for what the engine came with.",
        "step: The size step, as main_undersize.",
        "label: The position; empty for all that are not named.",
        "size: As written.",
        "si REAL: The size in m.",
    ),
    _table(
        "gauges",
        "A gauge of a job.",
        _JOB,
        "gauge: Its number.",
        "instrument: The kind of instrument.",
        "due: The last day on which it is in date.",
        "set_to: What it was set to.",
        "last_good: The day of its last good check, where it was found wrong later.",
    ),
    _table(
        "parts",
        "Parts of one kind and origin on a job.",
        _JOB,
        "part: The part, by its name in the procedures.",
        "came_out INTEGER: How many came out of the engine.",
        "state: new, reused, machined or none.",
        "labels: The positions, with a comma between; empty for every one.",
        "number INTEGER: How many in all, where it is written.",
        "size: The size.",
        "maker: Whose it is.",
        "batch: Batch, melt or box.",
        "ticket: The outside work done on it.",
        "box_sheet: The supplier's sheet.",
        "note: A remark.",
    ),
    _table(
        "tickets",
        "Work that was sent out.",
        _JOB,
        "ticket: Its number.",
        "part: What was sent.",
        "work: What is done to it.",
        "sent_to: Who does it.",
        "out: The day it left.",
        "due: The day it is wanted.",
        "back: The day it came back.",
        "measured_by: Who measured it on return.",
        "batch: Batch or melt.",
        "certificate: The certificate.",
        "note: A remark.",
    ),
    _table(
        "decisions",
        "An option that was chosen.",
        _JOB,
        "what: The question.",
        "chosen: The option.",
        "stage: The stage of the price.",
        "by: Who, with a comma between.",
        "day: The day.",
    ),
    _table(
        "concessions",
        "A finding that is accepted as it is.",
        _JOB,
        "of: What it is about, in words.",
        "reason: Why.",
        "by: The foreman.",
        "day: The day.",
        "customer_told: The day the customer was told.",
    ),
    _table(
        "left_out",
        "A procedure or a step that is not done.",
        _JOB,
        "sheet: The file where it is written; empty for job.yaml.",
        "procedure: The procedure, by its id.",
        "step: The step; empty for the whole procedure.",
        "name: What is not read or looked at there; empty for everything.",
        *_PLACE,
        "reason: Why.",
        "by: Who decided it.",
        "at: When.",
    ),
    _table(
        "on_paper",
        "A procedure whose sheet is kept on paper alone.",
        _JOB,
        "procedure: The procedure, by its id.",
        "by: Who answers for it.",
        "day: The day it was finished.",
    ),
    _table(
        "sheets",
        "A filled sheet.",
        *_SHEET,
        "procedure: The procedure, by its id.",
        "code: Its code.",
        "title: Its title.",
        "run: mock_up or final.",
        "edition: The edition it was filled in on.",
        "room: The temperature of the room.",
        "builder: Who did most of it.",
        "complete INTEGER: 1 when every step is marked done, else 0.",
    ),
    _table(
        "readings",
        "A reading as typed: every try of every stage.",
        *_STEP,
        "name: The measurement in that step.",
        "characteristic: The row of the spec table that it is held against.",
        *_PLACE,
        "stage: as_found, as_machined, final or after_run.",
        "try INTEGER: Which try; the latest one stands.",
        "typed: What was typed, to the letter.",
        "unit: The unit it was typed in when the entry names none.",
        "si REAL: The value in SI base units, angles in degrees; empty where it does not read.",
        "inch REAL: A length in inches.",
        "gauge: The gauge, by number.",
        "setting: What the gauge was set to.",
        *_DONE,
    ),
    _table(
        "verdicts",
        "A value with its verdict, read or worked out, at each stage: the latest try.",
        *_STEP,
        "name: The measurement or the value worked out.",
        "end: least or most of a fit; empty else.",
        "characteristic: The row of the spec table that it is held against.",
        *_PLACE,
        "stage: The stage.",
        "worked_out INTEGER: 1 where it is worked out, 0 where it is read.",
        "value REAL: The value in its unit.",
        "unit: The unit.",
        "si REAL: The value in SI base units.",
        "inch REAL: A length in inches.",
        "verdict: in, out, no limit, not read.",
        "flags: edge, suspect, off aim, inside wear only; a comma between.",
        "limit_kind: Whose limit decided.",
        "limit_low REAL: Its lower bound, in the unit of the value.",
        "limit_high REAL: Its upper bound, in the unit of the value.",
        "reasons: Why it is suspect or not read.",
    ),
    _table("ticks", "A step marked done.", *_STEP, *_DONE),
    _table(
        "looks",
        "An answer to something looked at.",
        *_STEP,
        "name: What.",
        *_PLACE,
        "seen: yes or no.",
        *_DONE,
    ),
    _table(
        "holds",
        "A signature on a hold.",
        *_SHEET,
        "hold: The hold, by its id.",
        "role: In which role.",
        *_DONE,
    ),
    _table(
        "corrections",
        "An entry that was changed.",
        *_STEP,
        "name: The measurement.",
        *_PLACE,
        "stage: The stage.",
        "try INTEGER: The try.",
        "was: The old value.",
        "why: Why it was changed.",
        *_DONE,
    ),
    _table(
        "passes",
        "One pass of a correction.",
        *_STEP,
        "rule INTEGER: Which correction of the step, counted from 0.",
        "pass INTEGER: Which time.",
        *_PLACE,
        "amount: How much.",
        *_DONE,
    ),
    _table("photos", "A photo of a step.", *_STEP, "file: The file.", "caption: What it shows.", *_DONE),
    _table("notes", "A remark on a sheet.", *_STEP, "text: The remark.", *_DONE),
    _table(
        "findings",
        "An open point of a job, in the order to deal with them.",
        _JOB,
        "number INTEGER: Its place in the order.",
        "kind: What kind of finding.",
        "file: The file it stands in.",
        "code: The procedure, by its code.",
        "step: The step, by its id.",
        "where: The position in words.",
        "what: What is wrong.",
        "cure: What to do.",
    ),
    _table("not_done", "What is not done yet.", _JOB, "line: What."),
    _table(
        "columns",
        "What this export holds.",
        "table: The table.",
        "about_table: What a row of it is.",
        "column: The column.",
        "kind: TEXT, REAL or INTEGER.",
        "about: What stands there.",
    ),
)
"""Every table of an export, in their order."""

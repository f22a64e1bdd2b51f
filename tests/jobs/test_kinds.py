"""Each kind of finding, from the clean job altered in one thing; nothing else is found beside it."""

from __future__ import annotations

import json
from collections.abc import Callable
from itertools import product
from typing import Any

import pytest

from builder.jobs import ABOUT, Kind

Json = dict[str, Any]
Copy = Any  # of conftest.py, which is no module to import from
Alter = Callable[[Copy], None]

LATER = "2026-07-01T09:00:00Z"


def first(sheet: Json, name: str, **at: str) -> Json:
    """The first reading of a measurement at a place."""
    for reading in sheet["readings"]:
        if reading["name"] == name and at.items() <= reading["at"].items():
            found: Json = reading
            return found
    raise KeyError(name)


def change(code: str, name: str, changed: Json, **at: str) -> Alter:
    """Change one reading of a sheet."""
    return lambda copy: copy.edit(code, lambda sheet: first(sheet, name, **at).update(changed))


def head(code: str, **changed: str) -> Alter:
    """Change the head of a sheet."""
    return lambda copy: copy.edit(code, lambda sheet: sheet.update(changed))


def without(code: str, part: str, **like: str) -> Alter:
    """Take entries out of a sheet."""

    def cut(sheet: Json) -> None:
        kept = [one for one in sheet[part] if not like.items() <= one.items()]
        assert len(kept) < len(sheet[part])
        sheet[part] = kept

    return lambda copy: copy.edit(code, cut)


def more(code: str, part: str, *entries: Json) -> Alter:
    """Add entries to a sheet."""
    return lambda copy: copy.edit(code, lambda sheet: sheet[part].extend(entries))


def resigned(code: str, hold: str, **changed: str) -> Alter:
    """Change the signatures on a hold."""

    def sign(sheet: Json) -> None:
        for one in sheet["holds"]:
            if one["hold"] == hold:
                one.update(changed)

    return lambda copy: copy.edit(code, sign)


def text(old: str, new: str) -> Alter:
    """Change `job.yaml`."""
    return lambda copy: copy.job(old, new)


def added(lines: str) -> Alter:
    """Add lines to `job.yaml`."""
    return lambda copy: copy.add(lines)


def both(*alterations: Alter) -> Alter:
    """Alter one thing after another."""

    def alter(copy: Copy) -> None:
        for one in alterations:
            one(copy)

    return alter


def tick(step: str, by: str, when: str) -> Json:
    """A mark on a step."""
    return {"step": step, "by": by, "when": when}


def again(code: str, name: str, when: str, typed: str, **at: str) -> Alter:
    """Take a reading a second time."""

    def read(sheet: Json) -> None:
        sheet["readings"].append({**first(sheet, name, **at), "try": 2, "typed": typed, "when": when})

    return lambda copy: copy.edit(code, read)


def by_apprentice(sheet: Json) -> None:
    """The apprentice reads one journal, and marks the boring of a cylinder."""
    first(sheet, "bore")["by"] = "A.P."
    next(one for one in sheet["ticks"] if one["step"] == "bore_near")["by"] = "A.P."


CORRECTED = {
    "of": {"step": "mains", "name": "journal", "at": {}, "stage": "final", "try": 1},
    "was": "2.6183",
    "why": "misread",
    "by": "L.M.",
}
PASS = {"step": "shims", "rule": 0, "pass": 1, "amount": "", "by": "L.M.", "when": "2026-06-05T09:00:00Z"}
APPRENTICE = text("  H.V.: {role: customer", "  A.P.: {role: apprentice}\n  H.V.: {role: customer")
MAIN = {"main": "1", "plane": "front", "axis": "T"}

CASES: dict[str, tuple[Alter, list[tuple[str, str, str, str]]]] = {
    "a sheet of another job": (head("P41", job="X-1"), [("stray", "", "", "")]),
    "a sheet of another family": (head("P41", engine="pellbrook-35-eight"), [("stray", "", "", "")]),
    "a hold without a signature, and work behind it": (
        without("P18", "holds", hold="bearings-witnessed"),
        [("passed hold", "P30", "", "")],
    ),
    "a hold signed after the work it guards": (
        resigned("P18", "bearings-witnessed", when="2026-06-12T12:00:00Z"),
        [("passed hold", "P30", "", "")],
    ),
    "a hold of a sheet's own signed after its next step": (
        resigned("P12", "first-cut", when="2026-05-18T23:00:00Z"),
        [("passed hold", "P12", "centre", "")],
    ),
    "a procedure that another needs is not done": (
        text("  final-wash: {by: R.S., on: 2026-06-11}\n", ""),
        [("order", "P30", "", "")],
    ),
    "a procedure that another needs was finished too late": (
        text("final-wash: {by: R.S., on: 2026-06-11}", "final-wash: {by: R.S., on: 2026-06-13}"),
        [("order", "P30", "", "")],
    ),
    "initials of nobody": (change("P18", "journal", {"by": "Z.Z."}, **MAIN), [("nobody", "", "", "")]),
    "a paper that no foreman answers for": (
        text("final-wash: {by: R.S.,", "final-wash: {by: L.M.,"),
        [("nobody", "", "", "")],
    ),
    "a gauge past its date": (
        text(
            "SH-02: {instrument: small_hole_gauge, due: 2026-09-30",
            "SH-02: {instrument: small_hole_gauge, due: 2026-05-26",
        ),
        [("stale gauge", "P13", "", "")],
    ),
    "a gauge found wrong later": (
        text(
            "due: 2026-09-30, set_to: closed anvils}",
            "due: 2026-09-30, set_to: closed anvils, last_good: 2026-06-01}",
        ),
        [("stale gauge", "P27", "", "")],
    ),
    "a gauge that the job does not list": (
        change("P18", "journal", {"gauge": "OM-99"}, **MAIN),
        [("unknown gauge", "P18", "", "")],
    ),
    "a reading a size step off": (
        change("P18", "journal", {"typed": "2.6238"}, **MAIN),
        [("slip", "P18", "mains", "main 1, plane front, axis T")],
    ),
    "an entry that is no number": (
        change("P18", "journal", {"typed": "2,6138"}, **MAIN),
        [("unreadable", "P18", "mains", "main 1, plane front, axis T")],
    ),
    "bores read before the torque was put right": (
        again("P18", "main_wrench", "2026-06-02T09:50:00Z", "95"),
        [("doubtful", "P18", "main_nip", ""), ("doubtful", "P18", "mains", "")],
    ),
    "a value outside its limit": (
        change("P18", "main_nip", {"typed": "0.009"}, main="2"),
        [("out", "P18", "main_nip", "main 2")],
    ),
    "something that is not as it should be": (
        lambda copy: copy.edit("P30", lambda sheet: sheet["looks"][0].update(seen="no")),
        [("seen wrong", "P30", "dry", "main 1")],
    ),
    "a blank without a reading": (
        without("P30", "readings", name="float"),
        [("not read", "P30", "float", "")],
    ),
    "a question without an answer": (
        without("P30", "looks", name="drag"),
        [("not looked", "P30", "tighten", "")],
    ),
    "a reading that stands in no blank": (
        more(
            "P30",
            "readings",
            {
                "step": "float",
                "name": "sway",
                "at": {},
                "stage": "final",
                "try": 1,
                "typed": "1",
                "unit": "in",
                "gauge": "",
                "setting": "",
                "by": "L.M.",
                "when": "2026-06-12",
            },
        ),
        [("no blank", "P30", "float", "")],
    ),
    "more passes than are allowed": (
        more("P27", "passes", *({**PASS, "step": "height", "rule": 0, "pass": one} for one in (1, 2, 3))),
        [("passes", "P27", "height", "")],
    ),
    "an apprentice alone": (
        both(APPRENTICE, lambda copy: copy.edit("P12", by_apprentice)),
        [("apprentice alone", "P12", "", ""), ("apprentice alone", "P12", "bore_near", "")],
    ),
    "a second who did the work": (
        resigned("P18", "bearings-witnessed", by="L.M."),
        [("wrong person", "P18", "witness", "")],
    ),
    "a signature in a role that is not one's own": (
        resigned("P40", "oil-seen", by="R.S."),
        [("wrong person", "P40", "", "")],
    ),
    "a signature of nobody": (
        resigned("P40", "oil-seen", by="Z.Z."),
        [("wrong person", "P40", "", "")],
    ),
    "a hold signed before anything was read": (
        resigned("P18", "bearings-witnessed", when="2026-06-01T10:00:00Z"),
        [("early hold", "P18", "witness", "")],
    ),
    "a reading corrected after the signature": (
        more("P18", "corrections", {**CORRECTED, "when": "2026-06-03T09:00:00Z"}),
        [("re-opened hold", "P18", "witness", "")],
    ),
    "a cap that was opened": (
        added("touched:\n  - {what: cap_opened, on: 2026-06-20, by: L.M.}"),
        [("redo", "", "", "")],
    ),
    "something touched that is in no table": (
        added("touched:\n  - {what: sump_kicked, on: 2026-06-20, by: L.M.}"),
        [("redo", "", "", "")],
    ),
    "a step that was done again": (
        more("P27", "ticks", tick("fit", "L.M.", "2026-06-25T10:00:00Z")),
        [("redo", "P27", "fit", "")],
    ),
    "a step without a mark": (
        without("P30", "ticks", step="thrust"),
        [("skipped", "P30", "thrust", "")],
    ),
    "a step skipped without a reason": (
        both(
            without("P30", "ticks", step="thrust"),
            text("skipped:\n", "skipped:\n  - {procedure: lay-in-crankshaft, step: thrust}\n"),
        ),
        [("skipped", "P30", "thrust", "")],
    ),
    "a procedure left out without a reason": (
        text("    reason: each cylinder cleans up at 0.030 in over, so no liner is fitted\n", ""),
        [("skipped", "", "", "")],
    ),
    "a concession without the customer": (
        both(
            change("P18", "main_nip", {"typed": "0.009"}, main="2"),
            added(
                "concessions:\n  - of: {procedure: fit-shell-bearings, step: main_nip, name: main_nip,"
                " at: {main: 2}}\n"
                "    reason: the housing was measured and is round\n    by: R.S.\n    on: 2026-06-04"
            ),
        ),
        [("concession", "", "", "")],
    ),
    "a part that nobody accounts for": (
        text("  rear_cam_plug:\n    came_out: 1\n    fitted: [{state: new}]\n", ""),
        [("parts", "", "", "")],
    ),
    "a position without its part": (
        text("at: [I3], note: the spring", "at: [I4], note: the spring"),
        [("parts", "", "", "")],
    ),
    "a position that the engine has not": (
        text("at: [I3], note: the spring", "at: [I9], note: the spring"),
        [("parts", "", "", "")],
    ),
    "fewer parts in than out": (
        text("  main_cap_nut:\n    came_out: 8", "  main_cap_nut:\n    came_out: 10"),
        [("parts", "", "", "")],
    ),
    "a part with a ticket that is not there": (
        text("batch: CB-40 (invented),", "batch: CB-40 (invented), ticket: OT-999,"),
        [("parts", "", "", "")],
    ),
    "outside work that nobody measured": (
        text("    measured_by: K.O.\n", ""),
        [("ticket", "", "", "")],
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_altered_job_has_the_finding_of_its_kind_alone(name: str, clean: Copy) -> None:
    """One alteration gives the finding of its kind, at its place, and no other."""
    alter, expected = CASES[name]
    alter(clean)

    found = [(str(one.kind), one.place.code, one.step, one.at) for one in clean.found()]
    assert found == expected


def test_every_kind_is_shown_here() -> None:
    """Each kind of finding has a case that gives it; the signed release has a test of its own."""
    shown = {kind for _, found in CASES.values() for kind, *_ in found}

    assert {str(kind) for kind in Kind} - shown == {"released"}
    assert set(ABOUT) == set(Kind)


def test_release_signed_over_an_open_point_is_a_finding_itself(clean: Copy) -> None:
    """The foreman's release does not stand while anything is open, and says how much is."""
    change("P18", "main_nip", {"typed": "0.009"}, main="2")(clean)
    checked = clean.check()

    assert [(str(one.kind), one.what) for one in checked.findings][1:] == [
        ("released", "H18 released is signed by R.S., and 1 point stand open")
    ]
    assert not checked.may_be_released


def test_wear_found_before_the_bore_was_cut_is_closed_by_the_readings_after(clean: Copy) -> None:
    """A bore past rebore on the survey does not hold the engine back once that bore is in at its new size."""
    survey = clean.folder / "sheets" / "P06-dimensional-survey.json"
    bores = {
        "cylinder": [str(number) for number in range(1, 7)],
        "plane": ["top", "mid", "bottom"],
        "axis": ["T", "A"],
    }
    readings = [
        {
            "step": "bores",
            "name": "bore",
            "at": dict(zip(bores, place, strict=True)),
            "stage": "as_found",
            "try": 1,
            "typed": "3.5343" if place[1] == "top" else "3.5237",
            "unit": "in",
            "gauge": "BG-05",
            "setting": "",
            "by": "L.M.",
            "when": "2026-04-24T09:00:00Z",
        }
        for place in product(*bores.values())
    ]
    lists = ("ticks", "looks", "holds", "corrections", "passes", "photos", "notes")
    head = {"sheet": 1, "job": "T-0217", "engine": "tarnwick-222h-six", "procedure": "dimensional-survey"}
    survey.write_text(
        json.dumps(
            head | {"edition": "", "run": "mock_up", "readings": readings} | {key: [] for key in lists}
        )
    )

    waiting = clean.check().waiting
    assert not [line for line in waiting if "wear" in line]

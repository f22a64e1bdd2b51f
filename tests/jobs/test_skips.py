"""What is not done stands with its reason in place of a reading; nothing is a pass by it."""

from __future__ import annotations

from typing import Any

from builder.jobs import Kind

Json = dict[str, Any]
SIGNED = {"by": "L.M.", "when": "2026-03-16T10:00:00Z"}


def without_main_3(sheet: Json) -> None:
    """The readings of main 3 were never taken."""
    sheet["readings"] = [one for one in sheet["readings"] if one["at"].get("main") != "3"]


def skip(sheet: Json, **of: object) -> None:
    """Something is said not to be done."""
    sheet.setdefault("skipped", []).append({"step": "mains", "reason": "cap at the welder's", **SIGNED, **of})


def test_reading_that_is_not_done_for_a_reason_is_told_and_no_gap(clean: Any) -> None:  # noqa: ANN401
    """Without the reason it is a gap; with it a remark, for whoever releases the engine."""
    clean.edit("P18", without_main_3)
    gaps = [(one.kind, one.step) for one in clean.found()]
    clean.edit("P18", lambda sheet: skip(sheet, at={"main": "3"}))
    clean.edit("P18", lambda sheet: skip(sheet, step="main_nip", at={"main": "3"}))
    checked = clean.check()

    assert (Kind.NOT_READ, "mains") in gaps
    assert Kind.NOT_READ not in {one.kind for one in checked.findings if one.step == "mains"}
    assert "P18 step 9 at main 3: not done, because: cap at the welder's (L.M.)" in checked.remarks


def test_whole_step_that_is_skipped_needs_no_mark(clean: Any) -> None:  # noqa: ANN401
    """A step without a mark is a finding; with its reason on the sheet it is none."""

    def unmarked(sheet: Json) -> None:
        sheet["ticks"] = [one for one in sheet["ticks"] if one["step"] != "shells"]

    clean.edit("P18", unmarked)
    before = [(one.kind, one.step) for one in clean.found()]
    clean.edit("P18", lambda sheet: skip(sheet, step="shells"))

    assert before == [(Kind.SKIPPED, "shells")]
    assert clean.found() == []


def test_apprentice_leaves_nothing_out_alone(clean: Any) -> None:  # noqa: ANN401
    """Nor does anything count that names nothing of the checklist."""
    clean.job("people:", "people:\n  A.B.: {role: apprentice}")
    clean.edit("P18", lambda sheet: skip(sheet, by="A.B."))
    clean.edit("P18", lambda sheet: skip(sheet, name="nothing", at={"main": "3"}))

    found = {(one.kind, one.what) for one in clean.found()}
    assert (Kind.APPRENTICE, "it is left out by A.B., an apprentice, alone") in found
    assert (Kind.NO_BLANK, "`nothing` is skipped, and this checklist has nothing of that name there") in found


def test_passes_are_counted_at_each_position(clean: Any) -> None:  # noqa: ANN401
    """Two at one main and one at another are not three; one more at the first is one too many."""

    def passed(*mains: str) -> Any:  # noqa: ANN401
        def change(sheet: Json) -> None:
            sheet["passes"] = [
                {"step": "mains", "rule": 0, "pass": 1, "at": {"main": main}, "amount": "", **SIGNED}
                for main in mains
            ]

        return change

    clean.edit("P18", passed("1", "2"))
    few = clean.found()
    clean.edit("P18", passed(*["1"] * 9, "2"))

    assert few == []
    assert [(one.kind, one.at) for one in clean.found()] == [(Kind.PASSES, "main 1")]


def test_picture_that_is_not_in_the_folder_is_told(clean: Any) -> None:  # noqa: ANN401
    """A photo is a file name; the picture lies in `photos`."""

    def photographed(sheet: Json) -> None:
        sheet["photos"] = [{"step": "mains", "file": "0117.jpg", "caption": "the score"}]

    clean.edit("P18", photographed)
    told = "P18 step 9: the picture 0117.jpg is not in `photos` of the job's folder"
    before = told in clean.check().remarks
    (clean.folder / "photos").mkdir()
    (clean.folder / "photos" / "0117.jpg").write_bytes(b"picture")

    assert before
    assert told not in clean.check().remarks

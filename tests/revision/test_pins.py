"""Jobs stay on their editions: they are judged by them, until someone moves them and says why."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from builder.checklist import checklists
from builder.cli import main
from builder.diagnostics import Fault
from builder.edition import edition
from builder.jobs.check import check_job
from builder.jobs.folder import read_job
from builder.jobs.plan import Plans
from builder.manual import load
from builder.render.changes import older_sheets
from builder.revision.edits import scalar
from builder.revision.history import History
from builder.revision.move import Decided, move, moved_text
from builder.revision.pins import Pins
from builder.revision.report import changes_since
from builder.sheet_files import Form, content, older, order
from builder.yaml_text import read_text

pytestmark = pytest.mark.skipif(shutil.which("git") is None, reason="no git here")

Edit = tuple[str, str, str]
Edited = Callable[[Path, Edit], None]
Git = Callable[..., str]
Commit = Callable[[Path, str, str, str], str]

NOON = datetime(2026, 3, 20, 12, tzinfo=UTC)
TWO_CUTS = "step 2 (bore), do: “Bore the metal.” → “Bore the metal in two cuts.”"
TAPER = "Main journal taper (CRK-02), shop: 0.0005 in max → 0.0004 in max"
OUT = "out: measure: Main journal taper 0.0005 in: 0.0001 in over 0.0004 in max, shop limit"
WHY = "The owner asked for it"
CHANGES: tuple[Edit, ...] = (
    ("family", "shop: 0.0005 in max", "shop: 0.0004 in max"),
    ("family", "aim: 0.0015 to 0.0018 in", "aim: 0.0014 to 0.0018 in"),
    ("mains", "do: Bore the metal.", "do: Bore the metal in two cuts."),
)
"""Less taper, an aim, and other words for a step."""


def present(shop: Path) -> str:
    """The edition of the small shop's one checklist."""
    (checklist,) = checklists(load(shop)[0])
    return edition(checklist)


@pytest.fixture
def pinned(shop: Path, edited: Edited, git: Git, commit: Commit) -> Path:
    """A shop whose manual changed three times after a job had read a journal with all the taper allowed."""
    git(shop, "init", "--quiet", "--initial-branch", "main")
    commit(shop, "R. Tate", "2026-03-01", "The shop as it was")
    sheets = shop / "jobs" / "T-1" / "sheets"
    sheets.mkdir(parents=True)
    (sheets.parent / "job.yaml").write_text(
        "# One engine.\nnumber: T-1\nengine: tallow-four\nbasis: rebuilt\npeople: {L.M.: {role: builder}}\n"
        "gauges:\n  OM-1: {instrument: outside_micrometer, due: 2027-01-01, set_to: standard bar of 1 in}\n",
        encoding="utf-8",
    )
    read = {"step": "measure", "name": "journal", "stage": "final", "unit": "in", "gauge": "OM-1",
            "by": "L.M.", "when": "2026-03-02T10:00:00Z"}  # fmt: skip
    readings = [
        read | {"at": {"main": main, "plane": plane, "axis": axis}, "typed": typed}
        for main in "123"
        for axis in "TA"
        for plane, typed in (("front", "1.8740"), ("rear", "1.8745"))
    ]
    ticks = [{"step": step, "by": "L.M.", "when": "2026-03-02"} for step in ("tighten", "bore")]
    head = {"sheet": 1, "job": "T-1", "engine": "tallow-four", "procedure": "fit-mains", "run": "final"}
    sheet = head | {"edition": present(shop), "ticks": ticks, "readings": readings}
    (sheets / "P16.json").write_text(json.dumps(sheet), encoding="utf-8")
    for number, edit in enumerate(CHANGES, 3):
        edited(shop, edit)
        commit(shop, "K. Oakes", f"2026-03-{number:02}", "A reason")
    return shop


def checked(shop: Path) -> tuple[list[str], list[str]]:
    """What stands open of the first journal and of moves, and the remarks on editions."""
    manual = load(shop)[0]
    found = check_job(manual, read_job(shop / "jobs" / "T-1"), Plans(manual, Pins(shop, manual)))
    open_points = [
        f"{one.kind}: {one.step}: {one.what}" for one in found.findings if one.kind in ("out", "redo")
    ]
    return open_points, [one for one in found.remarks if one.startswith("P16")]


def test_job_is_judged_by_its_own_edition_and_told_what_a_move_asks(pinned: Path) -> None:
    """The reading stays in by the limit that it was taken to; what to repeat is listed, and nothing else."""
    first = json.loads((pinned / "jobs/T-1/sheets/P16.json").read_text("utf-8"))["edition"]

    assert checked(pinned) == (
        [],
        [
            f"P16 stays on edition {first} until someone moves it; the manual has {present(pinned)} now",
            f"P16, once it is moved, repeat step 2 (bore): Bore the metal in two cuts. ({TWO_CUTS})",
            f"P16, once it is moved, repeat step 3 (measure): Measure each journal and each bore. ({TAPER})",
        ],
    )


def test_move_is_written_down_and_then_counts(pinned: Path) -> None:
    """Who, when, why and what to do again stand in the job's file; the present limits judge from then on."""
    path = pinned / "jobs" / "T-1" / "job.yaml"
    before, now = path.read_text("utf-8"), present(pinned)
    first = json.loads((pinned / "jobs/T-1/sheets/P16.json").read_text("utf-8"))["edition"]

    done = move(pinned, load(pinned)[0], path.parent, Decided("P16", "L.M.", WHY), NOON)

    assert (done.was, done.now, [one.name for one in done.again]) == ((first,), now, ["bore", "measure"])
    assert path.read_text("utf-8") == before + (
        f"moved:\n  - procedure: fit-mains\n    from: [{first}]\n    to: {scalar(now)}\n    by: L.M.\n"
        f"    on: '2026-03-20T12:00:00Z'\n    why: {WHY}\n    again: [bore, measure]\n"
    )
    since = f"since it was moved to edition {now} on 2026-03-20 12:00: {WHY}"
    assert checked(pinned) == (
        [
            OUT,
            OUT,
            OUT,
            f"redo: bore: must be done again {since}",
            f"redo: measure: must be done again {since}",
        ],
        [],
    )
    with pytest.raises(Fault, match=f"P16 of T-1 is on edition {now} already"):
        move(pinned, load(pinned)[0], path.parent, Decided("P16", "L.M.", WHY), NOON)


def test_what_was_done_again_after_a_move_is_no_longer_asked(pinned: Path) -> None:
    """A later mark, or a later reading, of each step."""
    move(pinned, load(pinned)[0], pinned / "jobs" / "T-1", Decided("fit-mains", "L.M.", WHY), NOON)
    path = pinned / "jobs" / "T-1" / "sheets" / "P16.json"
    sheet = json.loads(path.read_text("utf-8"))
    sheet["ticks"].append({"step": "bore", "by": "L.M.", "when": "2026-03-21"})
    again = {"typed": "1.8742", "try": 2, "when": "2026-03-21"}
    sheet["readings"] += [one | again for one in sheet["readings"]]
    path.write_text(json.dumps(sheet), encoding="utf-8")

    assert checked(pinned) == ([], [])


def test_changes_no_longer_list_a_job_that_was_moved(pinned: Path, git: Git) -> None:
    """It is on the present edition; before, its sheet as it was is handed to the site."""
    start = git(pinned, "rev-list", "--max-parents=0", "HEAD")
    before = changes_since(pinned, start)
    (sheet,) = older_sheets(before)
    move(pinned, load(pinned)[0], pinned / "jobs" / "T-1", Decided("P16", "L.M.", WHY), NOON)

    assert [job.number for job in before.jobs] == ["T-1"]
    assert sheet.path.startswith("sheets/tallow-four/fit-mains-")
    assert "<strong>Bore the metal.</strong>" in str(sheet.content)
    assert changes_since(pinned, start).jobs == ()


def test_sheet_of_an_older_edition_is_written_as_it_was(pinned: Path, git: Git, tmp_path: Path) -> None:
    """The same bytes that the command wrote while that edition was the present one."""
    git(pinned, "worktree", "add", "--quiet", str(tmp_path / "then"), "HEAD~3")
    then, now = load(tmp_path / "then")[0], load(pinned)[0]
    first = present(tmp_path / "then")

    present_order = order(now, "tallow", "P16", Form.PAPER)
    found = older(pinned, now, present_order, first)

    assert found.file_name == f"tallow-four-P16-{first}-sheet.html"
    assert content(found) == content(order(then, "tallow", "P16", Form.PAPER))
    assert older(pinned, now, present_order, present(pinned)) == present_order
    with pytest.raises(Fault, match="the shop's history has no edition `ffffffff` of P16"):
        older(pinned, now, present_order, "ffffffff")


def test_edition_that_nobody_kept_is_told(pinned: Path) -> None:
    """A sheet from elsewhere is judged by the present edition and says so; a move says so too."""
    path = pinned / "jobs" / "T-1" / "sheets" / "P16.json"
    path.write_text(path.read_text("utf-8").replace('"edition": "', '"edition": "ffff'), encoding="utf-8")
    strange = json.loads(path.read_text("utf-8"))["edition"]

    findings, remarks = checked(pinned)

    assert findings == [OUT, OUT, OUT]
    assert remarks == [f"P16 was filled in on edition {strange}; the manual has {present(pinned)} now"]
    done = move(pinned, load(pinned)[0], path.parents[1], Decided("P16", "L.M.", WHY), NOON)
    assert (done.again, done.lost) == ((), (strange,))


@pytest.mark.parametrize(
    ("decided", "message"),
    [
        (Decided("P99", "L.M.", WHY), "there is no procedure `P99`"),
        (Decided("P16", "X.Y.", WHY), "`X.Y.` does not work on T-1"),
        (Decided("P16", "L.M.", " "), "nobody says why it is moved"),
    ],
)
def test_move_without_a_name_or_a_reason_is_refused(pinned: Path, decided: Decided, message: str) -> None:
    """Nothing is written then."""
    path = pinned / "jobs" / "T-1" / "job.yaml"
    before = path.read_bytes()

    with pytest.raises(Fault) as refused:
        move(pinned, load(pinned)[0], path.parent, decided, NOON)

    assert refused.value.message == message
    assert path.read_bytes() == before


ENTRY = {"procedure": "fit-mains", "from": ("1a2b3c4d",), "to": "00000000", "why": "Sure: it is"}
WRITTEN = "procedure: fit-mains\n{0}from: [1a2b3c4d]\n{0}to: '00000000'\n{0}why: 'Sure: it is'\n"


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("number: T-1", "number: T-1\nmoved:\n  - " + WRITTEN.format("    ")),
        ("number: T-1  # one\n\n", "number: T-1  # one\n\nmoved:\n  - " + WRITTEN.format("    ")),
        ("moved:\n- procedure: a\n  to: b  # two\n\nnumber: T-1\n",
         "moved:\n- procedure: a\n  to: b  # two\n- " + WRITTEN.format("  ") + "\nnumber: T-1\n"),
        ("moved:\n    - procedure: a\n      why: >\n        Long\n        words\n# end\n",
         "moved:\n    - procedure: a\n      why: >\n        Long\n        words\n    - "
         + WRITTEN.format("      ") + "# end\n"),
    ],
)  # fmt: skip
def test_entry_is_put_in_and_every_other_byte_stays(text: str, expected: str) -> None:
    """At the end of the file, or after the last entry, however it is indented."""
    assert moved_text(text, "T-1/job.yaml", ENTRY) == expected
    assert read_text(expected, "x").faults == ()


def test_entries_within_brackets_are_refused() -> None:
    """What cannot be written without a new layout is left."""
    with pytest.raises(Fault, match="cannot be written as it is laid out"):
        moved_text("moved: [{procedure: a}]\nnumber: T-1\n", "T-1/job.yaml", ENTRY)


def run(*words: str) -> Result:
    """Run the command."""
    return CliRunner().invoke(main, list(words))


def test_commands_move_and_write_an_older_sheet(
    pinned: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """`job move` says what to do again; `sheet --edition` names the file by its edition."""
    (pinned / "mkdocs.yml").write_text("site_name: Small shop (invented)\n", encoding="utf-8")
    monkeypatch.chdir(pinned)
    first = json.loads((pinned / "jobs/T-1/sheets/P16.json").read_text("utf-8"))["edition"]

    written = run("sheet", "tallow-four", "P16", "--edition", first, "--out", str(tmp_path))
    moved = run("job", "move", "jobs/T-1", "P16", "--by", "L.M.", "--why", WHY)
    again = run("job", "move", "jobs/T-1", "P16", "--by", "L.M.", "--why", WHY)

    assert written.output == f"wrote {tmp_path}/tallow-four-P16-{first}-sheet.html\n"
    assert moved.output.splitlines()[:2] == [
        f"T-1: P16 moved from edition {first} to {present(pinned)}",
        "repeat step 2 (bore): Bore the metal in two cuts.",
    ]
    assert (moved.exit_code, again.exit_code) == (0, 2)


def test_history_is_read_once_for_states_that_are_alike(pinned: Path, commit: Commit) -> None:
    """Fifty commits that touch another family only do not make the search read fifty manuals."""
    other = pinned / "specs" / "engines" / "other.yaml"
    for number in range(20):
        other.write_text(
            f"engine: other\ntitle: Other {number} (invented)\nlayout: {{}}\nfeatures: {{}}\nspecs: {{}}\n"
        )
        commit(pinned, "K. Oakes", f"2026-04-{number + 1:02}", "Other")
    pins = Pins(pinned, load(pinned)[0])

    assert pins.found("tallow-four", "fit-mains", "ffffffff") is None
    assert len(History.of(pinned).every()) == 24
    assert pins.earlier is not None
    assert len(pins.earlier.alike) == 4


def test_every_command_about_a_job_judges_by_the_editions_of_its_sheets(
    pinned: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The owner's record and an answer for the job say what the check says: the taper is within its limit."""
    (pinned / "mkdocs.yml").write_text("site_name: Small shop (invented)\n", encoding="utf-8")
    monkeypatch.chdir(pinned)

    found = run("find", "journal", "taper", "--job", "jobs/T-1")
    run("job", "report", "jobs/T-1", "--out", "record.html")
    record = (pinned / "record.html").read_text("utf-8")

    assert "main 1  0.0005 in (0.013 mm)  in" in found.output
    assert "0.0001 in over 0.0004 in max" not in record
    assert "stays on edition" in record

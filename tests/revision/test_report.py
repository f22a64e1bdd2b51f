"""Twelve invented changes of a shop told back, with who made them and why, and what jobs do again."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from builder.checklist import checklists
from builder.diagnostics import Fault
from builder.edition import edition
from builder.manual import load
from builder.revision.history import History
from builder.revision.report import Report, changes_since
from builder.revision.words import as_json, lines

pytestmark = pytest.mark.skipif(shutil.which("git") is None, reason="no git here")

Edit = tuple[str, str, str]
Edited = Callable[[Path, Edit], None]
Git = Callable[..., str]
Commit = Callable[[Path, str, str, str], str]

CAPS = "  - id: caps\n    do: Fit each cap by its mark.\n"
OIL = "  - id: oil\n    do: Oil each journal.\n"
HOLD = "    hold: bearings-witnessed\n"
WASH = "  - id: wash\n    do: Wash each bearing until a white rag stays white.\n"
BORE = "  - id: bore\n    do: Bore the metal.\n"
TAPER = "max(spread(journal, plane), axis)"

IN_ONE = 'taper: {is: "max(spread(journal, plane), axis)", against: main.journal_taper}'
ON_LINES = f'taper:\n        is: "{TAPER}"\n        against: main.journal_taper'

FIRST: tuple[Edit, ...] = (
    ("mains", IN_ONE, ON_LINES),
    ("mains", "steps:\n", "steps:\n" + CAPS),
    ("mains", "  - id: measure\n", OIL + "  - id: measure\n"),
)
"""The small shop at the start: steps to be taken out and moved, one value a line where two will change."""

CHANGES: tuple[tuple[str, str, str, tuple[Edit, ...]], ...] = (
    ("R. Tate", "2026-03-01", "The rear main ran dry twice at the low end",
     (("family", "aim: 0.0015 to 0.0018 in", "aim: 0.0014 to 0.0018 in"),)),
    ("R. Tate", "2026-03-02", "Two nuts were found slack after the run",
     (("family", "new: 70 to 80 lb-ft", "new: 72 to 80 lb-ft"),)),
    ("K. Oakes", "2026-03-03", "The sheet in the box is narrower than the book",
     (("family", "    aim: 0.0014", "    supplier: 0.0012 to 0.0020 in [list]\n    aim: 0.0014"),)),
    ("K. Oakes", "2026-03-04", "Nobody can find that wear limit in the manual",
     (("family", "    wear: 0.0040 in max [manual p. 22]\n    condition", "    condition"),)),
    ("R. Tate", "2026-03-05", "Chips were found in the oil holes",
     (("mains", OIL, WASH + OIL),)),
    ("R. Tate", "2026-03-06", "Caps are fitted before, in another procedure",
     (("mains", CAPS, ""),)),
    ("L. Marr", "2026-03-07", "Oil last, the gauge slips on it",
     (("mains", OIL, ""), ("mains", HOLD, HOLD + OIL))),
    ("L. Marr", "2026-03-08", "One deep cut tore the metal",
     (("mains", "do: Bore the metal.", "do: Bore the metal in two cuts."),)),
    ("K. Oakes", "2026-03-09", "Judge the mean taper, as the notes do",
     (("mains", TAPER, TAPER.replace("max", "mean")),)),
    ("R. Stead", "2026-03-10", "The foreman signs for bearings",
     (("holds", "by: [builder, second]", "by: [second, foreman]"),)),
    ("L. Marr", "2026-03-11", "Call things what the sheets call them",
     (("family", "main.journal_taper", "main.taper"), ("mains", "main.journal_taper", "main.taper"),
      ("mains", "id: measure", "id: gauge"))),
    ("K. Oakes", "2026-03-12", "The new micrometer is better",
     (("instruments", "0.00005 in [common practice]", "0.00004 in [common practice]"),)),
)  # fmt: skip
NO_CHANGE: tuple[Edit, ...] = (
    (
        "family",
        "    title: Main bearing bore\n    kind: bore\n",
        "    kind: bore   # poured\n    title: Main bearing bore\n",
    ),
    (
        "mains",
        "tools: [outside_micrometer, bore_gauge,",
        "# laid out first\ntools: [bore_gauge, outside_micrometer,",
    ),
    ("holds", "by: [second, foreman]", "by: [foreman, second]"),
)

TOLD = (Path(__file__).parent / "expected" / "twelve-changes.txt").read_text(encoding="utf-8")
"""The report of all twelve, with room for the numbers of the commit and of the two editions."""


def present_edition(shop: Path) -> str:
    """The edition of the small shop's one checklist."""
    (checklist,) = checklists(load(shop)[0])
    return edition(checklist)


@pytest.fixture
def begun(shop: Path, edited: Edited, git: Git, commit: Commit) -> Path:
    """A shop in git as it was at the start, with a folder for its jobs."""
    for edit in FIRST:
        edited(shop, edit)
    git(shop, "init", "--quiet", "--initial-branch", "main")
    commit(shop, "R. Tate", "2026-02-01", "The shop as it was")
    return shop


def change_all(shop: Path, edited: Edited, commit: Commit, until: int | None = None) -> None:
    """Make the twelve changes, a commit each, or so many of them."""
    for by, on, subject, edits in CHANGES[:until]:
        for edit in edits:
            edited(shop, edit)
        commit(shop, by, on, subject)


def text_of(report: Report) -> str:
    """A report as people read it."""
    return "\n".join(lines(report)) + "\n"


def test_twelve_changes_are_told_back(begun: Path, edited: Edited, git: Git, commit: Commit) -> None:
    """Each by its place, what was, what is, and the words and the author of its commit."""
    start, old = git(begun, "rev-parse", "HEAD"), present_edition(begun)
    change_all(begun, edited, commit)

    told = text_of(changes_since(begun, start))

    assert told == TOLD.format(start=start[:8], old=old, new=present_edition(begun))


def test_order_and_comments_are_no_change(begun: Path, edited: Edited, git: Git, commit: Commit) -> None:
    """Keys, tools and roles in another order, and a remark: nothing is told, whether committed or not."""
    change_all(begun, edited, commit)
    start = git(begun, "rev-parse", "HEAD")
    for edit in NO_CHANGE:
        edited(begun, edit)
    expected = f"Since {start[:8]} of 2026-03-12, The new micrometer is better:\n\nnothing has changed\n"

    assert text_of(changes_since(begun, start)) == expected
    commit(begun, "L. Marr", "2026-03-13", "In another order")
    assert text_of(changes_since(begun, start)) == expected


def test_what_is_not_committed_yet_is_told_as_that(begun: Path, edited: Edited) -> None:
    """A change in the folder, a line that is gone, and a new file: nobody has given a reason so far."""
    edited(begun, ("family", "aim: 0.0015", "aim: 0.0014"))
    edited(begun, ("family", "    wear: 0.0040 in max [manual p. 22]\n", ""))
    worksheet = begun / "specs" / "worksheets" / "ring_gap.yaml"
    worksheet.parent.mkdir()
    case = Path(__file__).parents[1] / "rules" / "cases" / "GL-911-worksheet-not-known" / "good"
    shutil.copy(case / "specs" / "worksheets" / "ring_gap.yaml", worksheet)

    told = text_of(changes_since(begun, "HEAD")).splitlines()

    assert [one.removesuffix(", because: not committed yet") for one in told[3:8]] == [
        "  Main bearing oil clearance (CRK-09), wear taken out: 0.0040 in max [manual p. 22]",
        "  Main bearing oil clearance (CRK-09), aim: 0.0015 to 0.0018 in → 0.0014 to 0.0018 in",
        "",
        "Worksheet Ring gap by bore",
        "  worksheet added",
    ]
    assert [one.endswith("because: not committed yet") for one in told[3:8]] == [
        True,
        True,
        False,
        False,
        True,
    ]


def test_revisions_are_named_by_number_tag_or_day(
    begun: Path, edited: Edited, git: Git, commit: Commit
) -> None:
    """Whatever git knows a commit by, and the day before which it was made."""
    git(begun, "tag", "first")
    change_all(begun, edited, commit, 2)
    history = History.of(begun)
    start = git(begun, "rev-parse", "first")

    assert {history.commit(one).number for one in (start, start[:7], "first", "HEAD~2", "2026-03-01")} == {
        start
    }
    assert history.commit("2026-03-02").subject == CHANGES[0][2]


@pytest.mark.parametrize("revision", ["nowhere", "2020-01-01", "--help", "", "HEAD~99"])
def test_unknown_revision_is_told(begun: Path, revision: str) -> None:
    """A revision that is not there, or before the first, is a plain sentence."""
    with pytest.raises(Fault) as refused:
        changes_since(begun, revision)

    assert refused.value.message == f"`{revision}` is no revision of this shop's history"
    assert refused.value.hint == "`git log --oneline` lists them"


def test_shop_without_history_is_told(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """No repository, no git: each says what to do."""
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(shop.parent))
    with pytest.raises(Fault, match="this shop has no history"):
        changes_since(shop, "HEAD")

    monkeypatch.setenv("PATH", str(shop))
    with pytest.raises(Fault, match="git is not installed here"):
        changes_since(shop, "HEAD")


def test_shop_in_a_folder_of_a_larger_repository(
    begun: Path, edited: Edited, tmp_path: Path, git: Git, commit: Commit
) -> None:
    """The shop need not be the whole repository."""
    outer = tmp_path / "outer"
    shutil.copytree(begun, outer / "shop", ignore=shutil.ignore_patterns(".git"))
    git(outer, "init", "--quiet")
    start = commit(outer, "R. Tate", "2026-02-01", "The shop as it was")
    change_all(outer / "shop", edited, commit, 1)

    told = text_of(changes_since(outer / "shop", start)).splitlines()

    assert told[3] in TOLD.splitlines()


def test_part_that_could_not_be_read_then_is_not_told_as_new(
    begun: Path, edited: Edited, commit: Commit
) -> None:
    """A row that was broken in the earlier revision is named apart."""
    edited(begun, ("family", "new: 70 to 80 lb-ft", "new: 70 to 80 lbft"))
    start = commit(begun, "R. Tate", "2026-02-02", "A slip")
    edited(begun, ("family", "new: 70 to 80 lbft", "new: 70 to 80 lb-ft"))

    told = text_of(changes_since(begun, start))

    assert "Main cap nuts" not in told
    assert told.endswith(
        "\nNot compared, as it could not be read then\n"
        "  specs/engines/tallow-four.yaml:65:19: GL-104 `lbft` is not a unit of the list\n"
    )


def test_manual_that_does_not_read_now_is_refused(begun: Path, edited: Edited) -> None:
    """What cannot be read is not told as taken out."""
    edited(begun, ("family", "new: 70 to 80 lb-ft", "new: 70 to 80 lbft"))

    with pytest.raises(Fault, match=r"the manual does not read whole: specs/engines/tallow-four\.yaml:65"):
        changes_since(begun, "HEAD")


READING = {
    "name": "journal",
    "stage": "final",
    "typed": "1.8742",
    "unit": "in",
    "by": "L.M.",
    "when": "2026-03-02",
}
SIGNED = [
    {"hold": "bearings-witnessed", "role": role, "by": by, "when": "2026-03-02"}
    for role, by in (("builder", "L.M."), ("second", "K.O."))
]


def job(shop: Path, number: str, **sheets: dict[str, object]) -> None:
    """A job of the family with sheets of the one procedure, by file name."""
    folder = shop / "jobs" / number / "sheets"
    folder.mkdir(parents=True)
    people = "people: {L.M.: {role: builder}, K.O.: {role: second}}"
    text = f"number: {number}\nengine: tallow-four\nbasis: rebuilt\n{people}\n"
    (folder.parent / "job.yaml").write_text(text, encoding="utf-8")
    for name, sheet in sheets.items():
        head = {"sheet": 1, "job": number, "engine": "tallow-four", "procedure": "fit-mains", "run": "final"}
        (folder / f"{name}.json").write_text(json.dumps(head | sheet), encoding="utf-8")


def ticks(*steps: str) -> list[dict[str, str]]:
    """Steps ticked."""
    return [{"step": step, "by": "L.M.", "when": "2026-03-02"} for step in steps]


def test_open_jobs_are_told_what_to_do_again(begun: Path, edited: Edited, git: Git, commit: Commit) -> None:
    """Of a sheet on an older edition: the done steps that changed, new ones passed, holds; nothing else."""
    first = present_edition(begun)
    start = git(begun, "rev-parse", "HEAD")
    change_all(begun, edited, commit, 10)
    tenth = present_edition(begun)
    for by, on, subject, edits in CHANGES[10:]:
        for edit in edits:
            edited(begun, edit)
        commit(begun, by, on, subject)
    now = present_edition(begun)
    done = ticks("caps", "tighten", "bore")
    reading = {"step": "measure", "at": {"main": "1", "plane": "front", "axis": "T"}} | READING
    job(begun, "T-0001", a={"edition": first, "ticks": done, "readings": [reading], "holds": SIGNED})
    job(begun, "T-0002", a={"edition": first, "ticks": ticks("caps")}, b={"edition": now, "ticks": done})
    job(begun, "T-0003", a={"edition": tenth, "ticks": ticks("tighten", "measure")})
    job(begun, "T-0004", a={"edition": "ffffffff", "ticks": done}, b={"ticks": done})

    told = text_of(changes_since(begun, start)).partition("\nOpen jobs on older editions\n")[2]

    assert (
        told
        == f"""\
  T-0001, jobs/T-0001
    P16 Fit the main bearings: edition {first}, now {now}
      repeat step 1 (tighten): Tighten the nuts to {{main_cap.torque}}, in the order and rounds shown.
        Main cap nuts (FAS-01), new: 70 to 80 lb-ft → 72 to 80 lb-ft
      repeat step 2 (bore): Bore the metal in two cuts.
        step 2 (bore), do: “Bore the metal.” → “Bore the metal in two cuts.”
      do step 3 (wash): Wash each bearing until a white rag stays white.
        step 3 (wash), after bore, added: “Wash each bearing until a white rag stays white.”
      repeat step 4 (gauge): Measure each journal and each bore.
        step 4 (gauge), work out taper, formula: {TAPER} → {TAPER.replace("max", "mean")}
        Main bearing oil clearance (CRK-09), wear taken out: 0.0040 in max [manual p. 22]
        Main bearing oil clearance (CRK-09), supplier added: 0.0012 to 0.0020 in [list]
      sign again: bearings-witnessed
        hold bearings-witnessed (H11), signed by: builder, second → foreman, second
  T-0002, jobs/T-0002
    P16 Fit the main bearings: edition {first}, now {now}
      nothing that was done must be done again
  T-0003, jobs/T-0003
    P16 Fit the main bearings: edition {tenth}, now {now}
      nothing that was done must be done again
  T-0004, jobs/T-0004
    P16 Fit the main bearings: edition ffffffff, now {now}
      cannot be compared: its edition is none of those since then: give an earlier revision
    sheets that name no edition: P16
"""
    )


def test_jobs_own_limit_outranks_what_changed(begun: Path, edited: Edited, git: Git, commit: Commit) -> None:
    """Where the job has a supplier's sheet of its own for a row, a new limit of the book asks for nothing."""
    first, start = present_edition(begun), git(begun, "rev-parse", "HEAD")
    change_all(begun, edited, commit, 2)
    job(begun, "T-0001", a={"edition": first, "ticks": ticks("tighten")})
    path = begun / "jobs" / "T-0001" / "job.yaml"
    path.write_text(
        path.read_text() + "supplier:\n  main_cap.torque: 75 to 78 lb-ft [list]\n", encoding="utf-8"
    )

    report = changes_since(begun, start)

    assert [sheet.again for one in report.jobs for sheet in one.sheets] == [()]


def test_released_job_is_not_open(begun: Path, edited: Edited, commit: Commit) -> None:
    """An engine that is released has gone; nobody repeats anything on it."""
    edited(
        begun,
        (
            "holds",
            "    before: [lay-in-crankshaft]\n",
            "    before: [lay-in-crankshaft]\n    releases: true\n",
        ),
    )
    start, first = commit(begun, "R. Tate", "2026-02-02", "It releases"), present_edition(begun)
    job(begun, "T-0001", a={"edition": first, "ticks": ticks("tighten"), "holds": SIGNED})
    job(begun, "T-0002", a={"edition": first, "ticks": ticks("tighten"), "holds": SIGNED[:1]})
    change_all(begun, edited, commit, 2)

    assert [one.number for one in changes_since(begun, start).jobs] == ["T-0002"]


def test_plain_data_say_the_same(begun: Path, edited: Edited, git: Git, commit: Commit) -> None:
    """The same changes for other programs, each with its file, its steps and its commit."""
    start = git(begun, "rev-parse", "HEAD")
    change_all(begun, edited, commit)
    data = json.loads(as_json(changes_since(begun, start)))

    assert data["changes"] == 1
    assert data["since"]["commit"] == start
    assert [one["because"]["by"] for one in data["told"]] == [
        "L. Marr", "K. Oakes", "R. Tate", "K. Oakes", "R. Tate", "R. Tate", "L. Marr", "R. Tate", "L. Marr",
        "K. Oakes", "L. Marr", "R. Stead", "K. Oakes",
    ]  # fmt: skip
    assert {key: data["told"][6][key] for key in ("procedure", "file", "about", "old", "new", "steps")} == {
        "procedure": "fit-mains",
        "file": "procedures/crank/fit-mains.yaml",
        "about": "step 2 (bore), do",
        "old": "“Bore the metal.”",
        "new": "“Bore the metal in two cuts.”",
        "steps": ["bore"],
    }
    assert [one["procedure"] for one in data["editions"]] == ["fit-mains"]

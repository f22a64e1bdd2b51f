"""Sheets asked for by name, and what the command does about files."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from builder import sheet_files
from builder.cli import main
from builder.diagnostics import Fault
from builder.manual import Manual, load
from builder.sheet_files import Form

ROOT = Path(__file__).parents[1]
NOT_SERVED = "does not serve `pellbrook-35-eight`"
NOTHING_ASKED: dict[str, Any] = {
    "pack": False, "one_file": False, "pdf": False, "fillable": False, "paper": None,
}  # fmt: skip


@pytest.fixture(scope="module")
def manual() -> Manual:
    """The demonstration shop's manual."""
    found, faults = load(ROOT)
    assert faults == ()
    return found


def form(procedure: str = "P16", **asked: Any) -> Form:  # noqa: ANN401 - options by name
    """What is made when this is asked for."""
    return sheet_files.form_of(procedure, **{**NOTHING_ASKED, **asked})


def refusal(manual: Manual, engine: str, procedure: str) -> tuple[str, str]:
    """The words with which names are refused."""
    with pytest.raises(Fault) as refused:
        sheet_files.order(manual, engine, procedure, Form.PAPER)
    return refused.value.message, refused.value.hint


@pytest.mark.parametrize("typed", ["fit-poured-mains", "P16", "p16", "fit-poured-m"])
def test_procedure_is_named_by_id_code_or_beginning(manual: Manual, typed: str) -> None:
    """Large and small letters are alike in a code."""
    order = sheet_files.order(manual, "pellbrook", typed, Form.PDF)

    assert order.file_name == "pellbrook-35-eight-P16-sheet.pdf"


def test_beginning_of_several_names_them(manual: Manual) -> None:
    """The hint is what may be typed instead, and all of it serves the family."""
    assert refusal(manual, "pell", "fit-p") == (
        "`fit-p` begins more than one procedure",
        "write one of `fit-poured-mains`, `fit-poured-big-ends`, `fit-pistons-and-rods`",
    )


@pytest.mark.parametrize(
    ("engine", "procedure", "message", "hint"),
    [
        ("tarnwik-222h", "P16", "there is no family `tarnwik-222h`", "did you mean `tarnwick-222h-six`?"),
        ("pell", "valve-spring-s", "there is no procedure `valve-spring-s`", "did you mean `valve-springs`?"),
        ("pell", "P99", "there is no procedure `P99`", "the codes run from P01 to P44"),
        ("pell", "P18", f"P18 `fit-shell-bearings` {NOT_SERVED}", "its layout asks for another one"),
    ],
)  # fmt: skip
def test_wrong_name_is_refused_with_the_nearest_right_one(
    manual: Manual, engine: str, procedure: str, message: str, hint: str
) -> None:
    """A code that serves other layouts is told apart from one that nobody has."""
    assert refusal(manual, engine, procedure) == (message, hint)


def test_pack_holds_the_route_of_the_family(manual: Manual) -> None:
    """Every written procedure that serves the family, in the order of the codes."""
    order = sheet_files.order(manual, "pellbrook", "", Form.PDF)
    codes = [str(one.procedure.code) for one in order.checklists]

    assert order.file_name == "pellbrook-35-eight-all-sheet.pdf"
    assert codes == sorted(codes)
    assert "P16" in codes
    assert "P18" not in codes


def test_form_follows_from_what_is_asked() -> None:
    """A fillable sheet is a PDF whether or not that is said."""
    assert form() is Form.PAPER
    assert form(pdf=True) is Form.PDF
    assert form(fillable=True) is form(fillable=True, pdf=True) is Form.FILLABLE
    assert form(one_file=True) is Form.ONE_FILE
    assert form("", pack=True) is Form.PAPER


@pytest.mark.parametrize(
    ("procedure", "asked"),
    [
        ("", {}),
        ("P16", {"pack": True}),
        ("P16", {"one_file": True, "pdf": True}),
        ("P16", {"one_file": True, "fillable": True}),
        ("P16", {"one_file": True, "paper": "a4"}),
        ("", {"one_file": True, "pack": True}),
    ],
)
def test_wishes_that_contradict_are_refused(procedure: str, asked: dict[str, Any]) -> None:
    """Nothing is guessed."""
    with pytest.raises(Fault):
        form(procedure, **asked)


def sheet(*words: str) -> Result:
    """Run `gaugeleaf sheet`."""
    return CliRunner().invoke(main, ["sheet", *words])


def test_command_writes_a_sheet_and_never_over_a_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The second time it is refused with what to say; with --force it is written again."""
    monkeypatch.chdir(ROOT)
    wanted = ("pellbrook", "P16", "--out", str(tmp_path))
    place = tmp_path / "pellbrook-35-eight-P16-sheet.html"

    first = sheet(*wanted)
    assert (first.exit_code, first.output) == (0, f"wrote {place}\n")
    assert '<h1 id="sheet-P16">' in place.read_text("utf-8")

    place.write_text("kept", encoding="utf-8")
    again = sheet(*wanted)
    assert again.exit_code == 2
    assert f"`{place}` is there already; write --force to write over it" in again.output
    assert place.read_text("utf-8") == "kept"

    assert sheet(*wanted, "--force").exit_code == 0
    assert place.read_text("utf-8") != "kept"


def test_faulty_manual_gives_no_sheet(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A sheet with a limit that the checks refuse never reaches a bench; the faults are told."""
    (tmp_path / "mkdocs.yml").write_text("site_name: Small shop (invented)\n", encoding="utf-8")
    (tmp_path / "specs" / "engines").mkdir(parents=True)
    head = "engine: four\ntitle: Four (invented)\nlayout: {}\nfeatures: {}\n"
    family = head + "specs: {a.b: {kind: bore, new: 2}}\n"
    (tmp_path / "specs" / "engines" / "four.yaml").write_text(family, encoding="utf-8")
    monkeypatch.chdir(tmp_path)

    result = sheet("four", "P16")

    assert result.exit_code == 1
    assert "specs/engines/four.yaml:5:" in result.output
    assert "the manual has errors: no sheet was written" in result.output
    assert sorted(path.name for path in tmp_path.iterdir()) == ["mkdocs.yml", "specs"]


def test_folder_that_is_not_there_is_refused(manual: Manual, tmp_path: Path) -> None:
    """No folder is made by accident."""
    order = sheet_files.order(manual, "pellbrook", "P16", Form.PAPER)

    with pytest.raises(Fault, match="there is no folder"):
        sheet_files.write(order, tmp_path / "not" / "there.html", force=False)

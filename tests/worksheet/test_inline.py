"""A worksheet used in a step: its formula on the readings of the same names, judged as any other."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from fractions import Fraction
from pathlib import Path

import pytest

from builder.checklist import checklists, resolve
from builder.edition import edition
from builder.formula import Amount, Scope, evaluate, names_of, single
from builder.judge import judge
from builder.judge.program import program
from builder.manual import Manual, load
from builder.model.decode import adapter_of
from builder.model.record import Sheet
from builder.model.worksheet import Worksheet
from builder.rules import check
from builder.worksheet import one_formula, work

BASE = Path(__file__).parents[1] / "rules" / "base"
RING_GAP = """\
worksheet: journal_wear
title: Wear of a journal
subject: crank
about: What the journal has lost.
source: common practice, no source
inputs:
  journal: in
  was: {unit: in, default: "1.8745"}
is:
  wear: was - journal
  in_thou: wear / (1 * thou)
  wear_again: in_thou * thou
shows: {wear: in, in_thou: ratio, wear_again: in}
examples:
  - given: {journal: "1.8725"}
    gives: {wear_again: "0.0020"}
    from: arithmetic
"""
STEP = """\
procedure: dress-caps
code: P17
title: Dress the caps
purpose: Caps that sit flat on their seats.
revision: 1
applies: {main_bearings: poured}
needs: [fit-mains]
tools: [outside_micrometer, bore_gauge, torque_wrench, file]
parts: none
supplies: none
hazards: none
steps:
  - id: measure
    do: Measure each journal.
    measure:
      journal: {each: main, axis: [T, A], tool: outside_micrometer, against: main.journal}
    work_out:
      wear: {use: journal_wear}
"""


@pytest.fixture
def written(tmp_path: Path) -> Path:
    """A small clean shop whose procedure uses a worksheet."""
    shop = tmp_path / "shop"
    shutil.copytree(BASE, shop)
    (shop / "specs" / "worksheets").mkdir()
    (shop / "specs" / "worksheets" / "journal_wear.yaml").write_text(RING_GAP, encoding="utf-8")
    (shop / "procedures" / "crank" / "dress-caps.yaml").write_text(STEP, encoding="utf-8")
    return shop


def read(shop: Path) -> Manual:
    """The shop's manual, which must be without faults."""
    manual, faults = load(shop)
    assert faults == ()
    assert tuple(check(manual)) == ()
    return manual


def readings(typed: Mapping[str, str]) -> Sheet:
    """A sheet with the journals read on axis T and on axis A alike."""
    found = [
        {"step": "measure", "name": "journal", "at": {"main": main, "axis": axis}, "stage": "final", "try": 1,
         "typed": text, "unit": "in", "gauge": "OM-1", "setting": "", "by": "L.M.",
         "when": "2026-01-05T09:00:00Z"}
        for main, text in typed.items()
        for axis in ("T", "A")
    ]  # fmt: skip
    sheet = {"sheet": 1, "job": "T-1", "engine": "tallow-four", "procedure": "dress-caps", "edition": "",
             "run": "final", "room": "68 degF", "readings": found, "ticks": [], "looks": [],
             "holds": [], "corrections": [], "passes": [], "photos": [], "notes": []}  # fmt: skip
    read_sheet: Sheet = adapter_of(Sheet).validate_python(sheet)
    return read_sheet


def test_step_works_it_out_on_its_readings(written: Path) -> None:
    """Wear comes out for each journal and axis, in the worksheet's unit; what is not read has no value."""
    manual = read(written)
    checklist = resolve(manual, manual.engines["tallow-four"], manual.procedures["dress-caps"])
    judged = judge(checklist, readings({"1": "1.8725", "2": "1.8740"}), None, "final")
    wear = {
        (one.at["main"], one.at["axis"]): one.value and one.value / Fraction("0.0254")
        for one in judged.judgements
        if one.name == "wear"
    }

    assert wear == {
        ("1", "T"): Fraction("0.0020"), ("1", "A"): Fraction("0.0020"),
        ("2", "T"): Fraction("0.0005"), ("2", "A"): Fraction("0.0005"),
        ("3", "T"): None, ("3", "A"): None,
    }  # fmt: skip
    assert {str(one.unit) for one in judged.judgements if one.name == "wear"} == {"in"}


def test_browser_gets_the_formula_too(written: Path) -> None:
    """The page's program holds the formula, so that the browser works it out as well."""
    manual = read(written)
    checklist = resolve(manual, manual.engines["tallow-four"], manual.procedures["dress-caps"])
    (out,) = program(checklist)["steps"][0]["workOuts"]

    assert (out["name"], out["unit"], list(out["ends"])) == ("wear", "in", [""])
    assert out["ends"][""]["node"]["text"] == "in_thou * thou"


def test_changed_worksheet_changes_the_edition(written: Path) -> None:
    """Sheets that were printed before are seen to be old."""
    manual = read(written)
    engine, procedure = manual.engines["tallow-four"], manual.procedures["dress-caps"]
    before = edition(resolve(manual, engine, procedure))
    file = written / "specs" / "worksheets" / "journal_wear.yaml"
    file.write_text(RING_GAP.replace("was - journal", "abs(was - journal)"), encoding="utf-8")
    changed = read(written)

    assert edition(resolve(changed, engine, changed.procedures["dress-caps"])) != before


def test_reading_that_is_not_taken_is_a_fault_at_the_step(written: Path) -> None:
    """An input that the procedure does not read is told where the step names the worksheet."""
    step = written / "procedures" / "crank" / "dress-caps.yaml"
    step.write_text(STEP.replace("journal: {each", "main_journal: {each"), encoding="utf-8")
    manual, _ = load(written)

    assert [f"{one.span} {one.code} {one.message}" for one in check(manual)] == [
        "procedures/crank/dress-caps.yaml:18:19 GL-802 `journal` is no reading, characteristic or unit here"
    ]


def test_default_that_is_no_quantity_is_one_fault_and_the_checklist_still_stands(written: Path) -> None:
    """The fault is told at the default and nowhere else; the value of the step has nothing to stand on."""
    sheet = written / "specs" / "worksheets" / "journal_wear.yaml"
    sheet.write_text(sheet.read_text("utf-8").replace('"1.8745"', "lots"), encoding="utf-8")
    manual, _ = load(written)
    checklist = next(one for one in checklists(manual) if one.procedure.procedure == "dress-caps")

    assert [f"{one.span} {one.code} {one.message}" for one in check(manual)] == [
        "specs/worksheets/journal_wear.yaml:8:28 GL-907 `lots` is not a number"
    ]
    assert [
        name.name
        for step in checklist.steps
        for out in step.work_outs.values()
        if out.is_ is not None
        for name in names_of(out.is_.node)
    ] == ["was", "journal", "thou", "thou"]


def test_one_formula_gives_what_the_steps_give(shop: Manual) -> None:
    """For every worksheet without lists: the single formula of its inputs gives the last step's value."""
    compared = 0
    for worksheet in shop.worksheets.values():
        if not any(own.many for own in worksheet.inputs.values()):
            for example in worksheet.examples:
                compared += _same(worksheet, {str(name): str(text) for name, text in example.given.items()})

    assert compared > 100


def _same(worksheet: Worksheet, typed: Mapping[str, str]) -> bool:
    """Whether the last step has a value; it is then the value of the single formula."""
    worked = work(worksheet, typed)
    node = one_formula(worksheet, typed)
    kept = {
        entry.name: -entry.read[0].base if entry.own.datum in ("BTDC", "BBDC") else entry.read[0].base
        for entry in worked.entries
        if entry.read
    }
    scope = Scope({name: single(Amount(value)) for name, value in kept.items()})
    (cell,) = evaluate(node, scope).cells
    if worked.answer.value is None:
        return False
    assert isinstance(cell, Amount), (worksheet.worksheet, cell)
    assert worked.answer.shown.unit.from_base(cell.value) == worked.answer.value
    return True

"""A shop's folder over its base: everything of both is there, each difference knows who, when and why."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from builder.checklist import checklists
from builder.diagnostic_formats import as_lines
from builder.edition import edition
from builder.layers import layers_of
from builder.manual import Manual, load
from builder.manual import row as row_of
from builder.model.spec import LimitRow
from builder.render.differences import as_json, lines
from builder.rules import check_shop

BASE = Path(__file__).parents[1] / "rules" / "base"
EXPECTED = Path(__file__).parent / "expected"
FAMILY = "specs/engines/tallow-four.yaml"
MAINS = "procedures/crank/fit-mains.yaml"


def change(shop: Path, path: str, old: str, new: str) -> None:
    """Put one text in the place of another that stands there once."""
    text = (shop / path).read_text(encoding="utf-8")
    assert text.count(old) == 1
    (shop / path).write_text(text.replace(old, new), encoding="utf-8")


def limits(manual: Manual, name: str) -> dict[str, str]:
    """The limits of a row of the base's family as typed, by kind."""
    found = row_of(manual.engines["tallow-four"], name)
    assert isinstance(found, LimitRow)
    kinds = ("supplier", "new", "shop", "aim", "wear")
    return {kind: str(stated.every()[0].text) for kind in kinds if (stated := getattr(found, kind))}


def test_shop_sets_its_own_limits_beside_those_of_the_book(manual: Manual) -> None:
    """An aim takes the place of the base's, a supplier's limit stands beside, the book's own stay."""
    assert limits(manual, "main.clearance") == {
        "new": "0.0012 to 0.0022 in [manual p. 22]",
        "aim": "0.0015 to 0.0017 in [bench 2]",
        "wear": "0.0040 in max [manual p. 22]",
    }
    assert limits(manual, "main.journal_taper") == {
        "supplier": "0.0004 in max [box 1]",
        "shop": "0.0005 in max [notes 3]",
    }
    assert limits(manual, "cam.end_float") == {"shop": "0.003 to 0.008 in [bench 4]"}
    assert limits(manual, "main.journal") == limits(load(BASE)[0], "main.journal")


def test_steps_are_put_in_and_reworded_where_the_shop_says(manual: Manual) -> None:
    """The base's steps stay in their order; the head gets what was added."""
    procedure = manual.procedures["fit-mains"]

    assert [str(step.id) for step in procedure.steps] == ["chalk", "tighten", "wait", "bore", "measure"]
    assert str(procedure.steps[3].do.text) == "Bore the metal in two cuts."
    assert procedure.steps[3].irreversible
    assert list(procedure.supplies) == ["engine oil", "chalk"]


def test_everything_of_the_base_and_of_the_shop_is_there(manual: Manual) -> None:
    """Families, procedures, holds, hazards and terms of both; the base's files are named by their way."""
    assert set(manual.engines) == {"tallow-four", "tallow-two"}
    assert set(manual.procedures) == {"fit-mains", "dress-caps"}
    assert set(manual.holds) == {"metal-bonded", "bearings-witnessed", "caps-dressed"}
    assert set(manual.hazards) == {"lead", "rotating", "hot_oil"}
    assert {"white metal", "shim"} <= set(manual.terms)
    assert [file for file in manual.files if file.endswith("tallow-four.yaml")] == [
        f"../shared/{FAMILY}",
        FAMILY,
    ]
    assert manual.procedures["fit-mains"].procedure.span.path == f"../shared/{MAINS}"


@pytest.mark.parametrize(("name", "told"), [("text", lines), ("json", as_json)])
def test_all_differences_are_told(
    manual: Manual, name: str, told: object, request: pytest.FixtureRequest
) -> None:
    """What the base says, what the shop says, who, when, why and where; what is added stands at the end."""
    text = told(manual)  # type: ignore[operator]
    written = text if isinstance(text, str) else "\n".join(text)
    expected = EXPECTED / f"differences.{name}"
    if request.config.getoption("--update"):
        expected.write_text(written + "\n", encoding="utf-8")

    assert written + "\n" == expected.read_text(encoding="utf-8")


def test_shop_without_differences_says_so() -> None:
    """A manual that extends nothing, or nothing of which is changed."""
    assert list(lines(load(BASE)[0])) == ["this manual says nothing against a base"]


def test_folder_that_only_names_a_base_has_the_editions_of_the_base(tmp_path: Path) -> None:
    """Sheets, wordings and approvals are those of the base until the shop says something of its own."""
    shutil.copytree(BASE, tmp_path / "shared")
    (tmp_path / "shop").mkdir()
    (tmp_path / "shop" / "shop.yaml").write_text("base: ../shared\n", encoding="utf-8")

    manual, faults = check_shop(tmp_path / "shop")

    assert faults == ()
    assert list(map(edition, checklists(manual))) == list(map(edition, checklists(load(BASE)[0])))


def test_base_may_lie_inside_the_shop_and_extend_another(shop: Path) -> None:
    """Three folders: each lays its own over the ones below, and says which of them decided."""
    top = shop / "branch"
    (top / "specs" / "engines").mkdir(parents=True)
    shutil.move(shop.parent / "shared", top / "far")
    middle = Path(shutil.copytree(shop, top / "middle", ignore=shutil.ignore_patterns("branch")))
    (middle / "shop.yaml").write_text("base: ../far\n", encoding="utf-8")
    (top / "shop.yaml").write_text("base: middle\n", encoding="utf-8")
    text = (middle / FAMILY).read_text(encoding="utf-8").split("  - set:\n")[1]
    text = text.replace("was: 0.0015 to 0.0018 in [notes 3]", "was: 0.0015 to 0.0017 in [bench 2]")
    text = text.replace("aim: 0.0015 to 0.0017", "aim: 0.0016 to 0.0017").replace("R.T.", "S.B.")
    (top / FAMILY).write_text(f"extends: tallow-four\nchanges:\n  - set:\n{text}", encoding="utf-8")

    manual, faults = load(top)

    assert as_lines(faults) == ""
    assert [layer.shown for layer in layers_of(top)[0]] == ["far", "middle", ""]
    assert limits(manual, "main.clearance")["aim"] == "0.0016 to 0.0017 in [bench 2]"
    assert [(one.folder, one.by, one.was) for one in manual.differences if one.key == "aim"] == [
        ("middle", "R.T.", "0.0015 to 0.0018 in [notes 3]"),
        ("", "S.B.", "0.0015 to 0.0017 in [bench 2]"),
    ]


def test_bases_in_a_ring_are_told_and_end(tmp_path: Path) -> None:
    """Two folders that extend each other: one fault, at the line that closes the ring."""
    for own, other in (("a", "b"), ("b", "a")):
        shutil.copytree(BASE, tmp_path / own)
        (tmp_path / own / "shop.yaml").write_text(f"base: ../{other}\n", encoding="utf-8")

    layers, faults = layers_of(tmp_path / "a")

    assert [layer.shown for layer in layers] == ["../b", ""]
    assert [f"{one.span} {one.code}" for one in faults] == ["../b/shop.yaml:1:7 GL-032"]


def test_step_left_out_takes_its_needs_along(shop: Path) -> None:
    """Whoever leaves a step out is told what else spoke of it; the step itself is told on the sheet."""
    change(
        shop,
        MAINS,
        "  - reword:\n      step: bore\n      do: Bore the metal in two cuts.\n      was: Bore the metal.\n",
        "  - leave_out:\n      step: bore\n      was: Bore the metal.\n",
    )
    change(shop, MAINS, "  - reword:\n      step: bore\n      why: The second cut takes the torn skin off.\n",
           "  - add:\n      tools: [scraper]\n")  # fmt: skip

    manual, faults = check_shop(shop)

    assert [f"{one.span} {one.code} {one.message}" for one in faults] == [
        "../shared/procedures/crank/fit-mains.yaml:41:15 GL-341 `bore` is no step of this procedure",
    ]
    (left_out,) = [one for one in manual.differences if one.key == "left out"]
    assert (left_out.name, left_out.was, left_out.follows) == ("bore", "Bore the metal.", "wait")


def test_faults_stand_where_they_were_written(shop: Path) -> None:
    """A value that does not read in the shop's file, and one in the base's: each at its own place."""
    change(shop, FAMILY, "aim: 0.0015 to 0.0017 in", "aim: 0.0015 to 0,0017 in")
    change(shop.parent / "shared", FAMILY, "wear: 1.8720 in min", "wear: 1.8720 in mni")
    change(shop, MAINS, "do: Chalk the number", "du: Chalk the number")

    faults = sorted(load(shop)[1])

    assert [(str(one.span), one.code) for one in faults] == [
        ("../shared/specs/engines/tallow-four.yaml:25:18", "GL-104"),
        ("procedures/crank/fit-mains.yaml:15:11", "GL-101"),
        ("procedures/crank/fit-mains.yaml:16:11", "GL-102"),
        ("specs/engines/tallow-four.yaml:6:22", "GL-104"),
    ]


HEAD = "extends: {of}\nchanges:\n  - {change}    by: R.T.\n    on: 2026-03-02\n    why: No.\n"
BAD = {
    "the book is written over": (
        FAMILY,
        HEAD.format(of="tallow-four", change="set:\n      row: main.bore\n      new: 1.9 in max [bench 1]\n"),
        "specs/engines/tallow-four.yaml:5:7 GL-104 `new` is what the book prints, and no shop writes over it",
    ),
    "two values in one change": (
        FAMILY,
        HEAD.format(of="tallow-four", change="set: {row: main.bore, note: Soft metal, waiver: It is soft}\n"),
        "specs/engines/tallow-four.yaml:3:45 GL-104 `waiver` stands beside `note`",
    ),
    "nobody decided": (
        FAMILY,
        HEAD.format(of="tallow-four", change="set: {row: main.bore, note: Soft}\n").replace(
            "    by: R.T.\n", ""
        ),
        "specs/engines/tallow-four.yaml:3:5 GL-101 `by` is missing in `changes`",
    ),
    "nothing is done": (
        FAMILY,
        HEAD.format(of="tallow-four", change="\n"),
        "specs/engines/tallow-four.yaml:4:5 GL-104 a change does one thing and has one reason",
    ),
    "no steps": (
        MAINS,
        HEAD.format(of="fit-mains", change="insert:\n      steps: none\n      after: bore\n"),
        "procedures/crank/fit-mains.yaml:4:7 GL-104 it inserts no steps",
    ),
    "no day": (
        MAINS,
        HEAD.format(of="fit-mains", change="add: {supplies: chalk}\n").replace("2026-03-02", "today"),
        "procedures/crank/fit-mains.yaml:5:9 GL-104 `today` is not a day",
    ),
    "a key of shop.yaml": ("shop.yaml", "bse: ../shared\n", "shop.yaml:1:1 GL-102 `bse` is not known here"),
}


@pytest.mark.parametrize(("path", "text", "fault"), BAD.values(), ids=BAD)
def test_bad_change_is_told_at_its_place(shop: Path, path: str, text: str, fault: str) -> None:
    """What the file of a shop may not say, with line and column, and no traceback."""
    (shop / path).write_text(text, encoding="utf-8")

    told = [f"{one.span} {one.code} {one.message}" for one in load(shop)[1]]

    assert fault in told, told
    assert not [one for one in told if "GL-034" in one or "GL-040" in one]

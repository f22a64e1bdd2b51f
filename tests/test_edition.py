"""Editions and wordings: unchanged by layout, order and comments, changed by every change of meaning."""

from __future__ import annotations

import json
import os
import random
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builder.checklist import checklists, resolve
from builder.edition import digest, edition, stands_approved, wording
from builder.manual import Manual, load
from builder.model.procedure import Approval
from builder.yaml_text import Text, read_file

RULES = Path(__file__).parent / "rules"
ROOT = Path(__file__).parents[1]
FAMILY = "specs/engines/tallow-four.yaml"
MAINS = "procedures/crank/fit-mains.yaml"
PINNED = {"fit-mains": "38bca034", "dress-caps": "f23960de"}
"""Editions of the small shop; they are the same on every machine and stay so for all time."""
WORDINGS = {"fit-mains": "02363ca6", "dress-caps": "065c3a30"}

Tree = Any
Files = dict[str, Tree]
Way = tuple[str | int, ...]


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The small clean shop with one more procedure, which uses a worksheet."""
    folder = tmp_path_factory.mktemp("editions") / "shop"
    shutil.copytree(RULES / "base", folder)
    shutil.copytree(RULES / "cases" / "GL-911-worksheet-not-known" / "good", folder, dirs_exist_ok=True)
    return folder


@pytest.fixture(scope="module")
def files(shop: Path) -> Files:
    """Its files as plain trees of texts, by path."""
    paths = sorted(shop.rglob("*.yaml"))
    names = [path.relative_to(shop).as_posix() for path in paths]
    return {name: copied(read_file(shop / name, name).root) for name in names}


def copied(tree: Tree) -> Tree:
    """A tree of dicts, lists and texts of its own."""
    if isinstance(tree, dict):
        return {str(key): copied(value) for key, value in tree.items()}
    return [copied(item) for item in tree] if isinstance(tree, list) else str(tree)


def manual_of(folder: Path, files: Files) -> Manual | None:
    """The manual of files that are written on one line each (JSON is YAML); None if any does not read."""
    shutil.rmtree(folder, ignore_errors=True)
    for name, tree in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(json.dumps(tree, ensure_ascii=False), encoding="utf-8")
    manual, faults = load(folder)
    return None if faults else manual


def editions(manual: Manual) -> dict[str, str]:
    """The edition of every checklist by procedure; the small shop has one family."""
    return {str(one.procedure.procedure): edition(one) for one in checklists(manual)}


def wordings(manual: Manual) -> dict[str, str]:
    """The wording of every procedure."""
    return {name: wording(procedure) for name, procedure in manual.procedures.items()}


def test_editions_are_pinned(shop: Path) -> None:
    """Digests of an unchanged shop are what they were when they were first printed."""
    manual, faults = load(shop)

    assert faults == ()
    assert editions(manual) == PINNED
    assert wordings(manual) == WORDINGS


SHOWN = (
    "import sys, pathlib; from builder.manual import load; from builder.checklist import checklists; "
    "from builder.edition import edition; "
    "print(*[edition(one) for one in checklists(load(pathlib.Path(sys.argv[1]))[0])])"
)


@pytest.mark.parametrize("throw", ["0", "1"])
def test_editions_do_not_rest_on_the_order_of_hashes(shop: Path, throw: str) -> None:
    """Another process, with its hashes begun otherwise, prints the same."""
    done = subprocess.run(
        [sys.executable, "-c", SHOWN, str(shop)],
        env=os.environ | {"PYTHONHASHSEED": throw},
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )

    assert sorted(done.stdout.split()) == sorted(PINNED.values())


def test_layout_and_comments_say_nothing(tmp_path: Path, files: Files, shop: Path) -> None:
    """The same trees on one line each, without a comment, are the same editions and wordings."""
    manual = manual_of(tmp_path, files)
    commented = tmp_path / "commented"
    shutil.copytree(shop, commented)
    for path in commented.rglob("*.yaml"):
        lines = path.read_text(encoding="utf-8").splitlines()
        path.write_text("".join(f"{line}  # seen\n\n# and\n" for line in lines), encoding="utf-8")
    remarked, faults = load(commented)

    assert manual is not None
    assert faults == ()
    assert (editions(manual), wordings(manual)) == (PINNED, WORDINGS)
    assert (editions(remarked), wordings(remarked)) == (PINNED, WORDINGS)


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(throw=st.integers(0, 2**32))
def test_order_of_keys_and_files_says_nothing(tmp_path: Path, files: Files, throw: int) -> None:
    """Keys in any order, files read in any order, and lists whose order means nothing: the same digests."""
    dice = random.Random(throw)  # noqa: S311 - it only shuffles
    names = list(files)
    dice.shuffle(names)
    manual = manual_of(tmp_path, {name: shuffled(files[name], "", dice) for name in names})

    assert manual is not None
    turned = Manual(**{
        name: dict(dice.sample(list(value.items()), len(value))) if isinstance(value, dict) else value
        for name, value in vars(manual).items()
    })  # fmt: skip
    assert (editions(turned), wordings(turned)) == (PINNED, WORDINGS)


FREE = {"needs", "tools", "supplies", "hazards", "by", "covers", "before"}


def shuffled(tree: Tree, key: str, dice: random.Random) -> Tree:
    """A tree with its keys, and the lists whose order means nothing, in another order."""
    if isinstance(tree, dict):
        pairs = [(name, shuffled(value, name, dice)) for name, value in tree.items()]
        return dict(dice.sample(pairs, len(pairs)))
    if isinstance(tree, list):
        items = [shuffled(item, "", dice) for item in tree]
        return dice.sample(items, len(items)) if key in FREE else items
    return tree


def at(tree: Tree, way: Way) -> Tree:
    """What stands at the end of a way."""
    for key in way:
        tree = tree[key]
    return tree


def with_other(files: Files, name: str, way: Way, other: Tree) -> Files:
    """The files with one scalar changed."""
    tree = json.loads(json.dumps(files[name]))
    at(tree, way[:-1])[way[-1]] = other
    return files | {name: tree}


def test_steps_lost_doubled_or_moved_change_edition_and_wording(tmp_path: Path, files: Files) -> None:
    """The order of steps is meant, so a step moved is a change, as is one that is gone."""
    steps = files[MAINS]["steps"]
    tighten, bore, measure = steps
    for other in (
        [bore, tighten, measure],
        [tighten, measure],
        [tighten, bore, measure, {**bore, "id": "again"}],
    ):
        manual = manual_of(tmp_path, with_other(files, MAINS, ("steps",), other))
        assert manual is not None
        assert editions(manual)["fit-mains"] != PINNED["fit-mains"]
        assert wordings(manual)["fit-mains"] != WORDINGS["fit-mains"]


def test_keys_left_out_change_the_edition(tmp_path: Path, files: Files) -> None:
    """Whatever a step or a row may do without: taking it out is a change of what the sheet says."""
    seen = 0
    for name, inside in ((MAINS, ("steps", 2)), (FAMILY, ("specs", "main.clearance"))):
        for key in at(files[name], inside):
            rest = {other: value for other, value in at(files[name], inside).items() if other != key}
            manual = manual_of(tmp_path, with_other(files, name, inside, rest))
            if manual is not None:
                seen += 1
                assert editions(manual)["fit-mains"] != PINNED["fit-mains"], key

    assert seen == 12


def test_changed_rows_that_nobody_speaks_of_change_no_edition(tmp_path: Path, files: Files) -> None:
    """A family's table may grow without a new edition of every sheet."""
    row = {"title": "Fan belt sag", "kind": "length", "code": "FAN-01", "new": "0.5 to 0.7 in [manual p. 9]"}
    manual = manual_of(tmp_path, with_other(files, FAMILY, ("specs", "fan.sag"), row))

    assert manual is not None
    assert editions(manual) == PINNED


def test_approval_is_of_one_wording(shop: Path) -> None:
    """Signed for as it stands, signed for in another wording, and not signed for."""
    manual, _ = load(shop)
    procedure = manual.procedures["fit-mains"]
    signed = {
        digits: procedure.model_copy(
            update={"approved": Approval(by=Text("R. Tate"), on=Text("2026-03-02"), wording=Text(digits))}
        )
        for digits in (WORDINGS["fit-mains"], "00000000")
    }

    assert [stands_approved(one) for one in (procedure, *signed.values())] == [False, True, False]
    assert {wording(one) for one in signed.values()} == {WORDINGS["fit-mains"]}


def test_copy_of_a_procedure_gets_its_own_edition(shop: Path) -> None:
    """What a manual remembers of its editions is not told of a procedure that only looks like its own."""
    manual, _ = load(shop)
    engine, procedure = manual.engines["tallow-four"], manual.procedures["fit-mains"]
    first = edition(resolve(manual, engine, procedure))
    other = procedure.model_copy(update={"title": Text("Fit the mains")})

    assert edition(resolve(manual, engine, other)) != first


def test_digest_has_eight_digits_whatever_it_is_of() -> None:
    """Digests of plain data do not see the order of keys, and see that of lists."""
    assert digest({"a": 1, "b": [1, 2]}) == digest({"b": [1, 2], "a": 1})
    assert digest({"a": [1, 2]}) != digest({"a": [2, 1]})
    assert len(digest("±µ°")) == 8

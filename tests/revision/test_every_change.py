"""Every scalar of a small shop changed by itself: what changes its edition is told, and nothing else is."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from builder.checklist import Checklist, checklists
from builder.edition import edition, said, wording
from builder.manual import Manual, load
from builder.revision.compare import compare
from builder.yaml_text import read_file

RULES = Path(__file__).parents[1] / "rules"
FAMILY = "specs/engines/tallow-four.yaml"
MAINS = "procedures/crank/fit-mains.yaml"
CAPS = "procedures/crank/dress-caps.yaml"

PROCEDURES = {"fit-mains", "dress-caps"}
SILENT = {"words", "wall_card"}
OWN = {"revision", "approved", "verification"}


CLOSED = ("poured_shell", "shell", "shim", "bores", "crank", "mock_up", "trap", "false", "oil", "1-2-3-4")
"""Values from closed lists, tried where no free change of a text can be read."""

Tree = Any
Way = tuple[str | int, ...]


def scalars(tree: Tree, way: Way = ()) -> Iterator[tuple[Way, str]]:
    """Every scalar with the way to it."""
    if isinstance(tree, dict | list):
        for key, value in tree.items() if isinstance(tree, dict) else enumerate(tree):
            yield from scalars(value, (*way, key))
    else:
        yield way, tree


def others(text: str) -> Iterator[str]:
    """Texts that mean something else."""
    yield f"{text} again"
    for place, sign in enumerate(text):
        if sign.isdigit():
            yield f"{text[:place]}{(int(sign) + 1) % 10}{text[place + 1 :]}"
    yield f"{text} + 1"
    yield from CLOSED


def is_said(checklist: Checklist, name: str, way: Way, text: str) -> bool:
    """Whether a checklist must say what stands here: told from the files alone, not from the digest."""
    here = said(checklist)
    if name in (MAINS, CAPS):
        return name.endswith(f"/{checklist.procedure.procedure}.yaml") and way[0] not in OWN
    if name == FAMILY:
        return is_said_of_family(here, way)
    table = {"specs/hazards.yaml": "hazards", "specs/instruments.yaml": "instruments"}.get(name)
    if table is not None:
        return way[1] in here[table] and way[2] not in SILENT
    if name == "procedures/holds.yaml":
        own = str(checklist.procedure.procedure)
        return way[1] in here["holds"] and (way[2] not in ("covers", "before") or text == own)
    return (
        name.startswith("specs/worksheets/")
        and bool(here["worksheets"])
        and way[0] in ("worksheet", "inputs", "is")
    )


def is_needed(checklist: Checklist, way: Way, text: str) -> bool:
    """Whether this is the id of what must be done before: a need that leads nowhere is none."""
    return way[-1] == "procedure" and text in checklist.needs


def is_said_of_family(here: dict[str, Any], way: Way) -> bool:
    """The same for the family's own file: its title, what is counted, the rows and books spoken of."""
    if way[0] == "specs":
        return way[1] in {**here["limits"], **here["sizes"]} and way[2] not in SILENT
    if way[0] == "sources":
        return way[1] in here["sources"]
    return way[0] in ("engine", "title") or way[:2] == ("features", "main")


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The small clean shop with one more procedure, which uses a worksheet."""
    folder = tmp_path_factory.mktemp("every") / "shop"
    shutil.copytree(RULES / "base", folder)
    shutil.copytree(RULES / "cases" / "GL-911-worksheet-not-known" / "good", folder, dirs_exist_ok=True)
    return folder


def by_procedure(manual: Manual) -> dict[str, Checklist]:
    """The checklists of the small shop's one family."""
    return {str(one.procedure.procedure): one for one in checklists(manual)}


def read(shop: Path) -> Manual | None:
    """The shop's manual, or None if any file does not read."""
    manual, faults = load(shop)
    return None if faults else manual


def with_other(tree: Tree, way: Way, other: str) -> str:
    """A tree with one scalar changed, as a file on one line (JSON is YAML)."""
    copy = json.loads(json.dumps(tree))
    there = copy
    for key in way[:-1]:
        there = there[key]
    there[way[-1]] = other
    return json.dumps(copy, ensure_ascii=False)


def changed_shops(shop: Path) -> Iterator[tuple[str, Way, str, Manual]]:
    """The shop with each scalar changed in the first way that reads and still gives all checklists."""
    for path in sorted(shop.rglob("*.yaml")):
        name, kept = path.relative_to(shop).as_posix(), path.read_text(encoding="utf-8")
        tree = read_file(path, name).root
        for way, text in scalars(tree):
            manuals = (written(shop, path, with_other(tree, way, other)) for other in others(text))
            found = next((one for one in manuals if one is not None), None)
            if found is not None:
                yield name, way, text, found
        path.write_text(kept, encoding="utf-8")


def written(shop: Path, path: Path, text: str) -> Manual | None:
    """The shop with one file written anew, or None where it does not read or lost a checklist."""
    path.write_text(text, encoding="utf-8")
    manual = read(shop)
    return manual if manual is not None and len(by_procedure(manual)) == len(PROCEDURES) else None


def test_every_change_of_meaning_changes_the_edition_and_is_told(shop: Path) -> None:
    """The editions change that say the scalar, no other does, and each that changed tells so in words.

    A procedure's wording changes with all of its file but revision and approval.
    """
    before = read(shop)
    assert before is not None
    olds = by_procedure(before)
    assert set(olds) == PROCEDURES
    seen = 0
    for name, way, text, manual in changed_shops(shop):
        seen += 1
        for procedure, new in by_procedure(manual).items():
            if procedure not in olds:
                continue
            old, where = olds[procedure], f"{name} {way} in {procedure}"
            must = is_said(old, name, way, text) or is_needed(old, way, text)
            assert (edition(new) != edition(old)) is must, where
            assert bool(compare(old, new)) is must, where
            own = Path(name).stem == procedure and way[0] not in OWN
            assert (wording(new.procedure) != wording(old.procedure)) is own, where

    assert seen > 200

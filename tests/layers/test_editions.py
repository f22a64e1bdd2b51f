"""Editions of a shop over a base: changed by every change of meaning in either folder, by nothing else."""

from __future__ import annotations

import json
import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builder.checklist import checklists
from builder.diagnostics import Severity
from builder.edition import edition, wording
from builder.manual import Manual, load
from builder.revision.compare import compare
from builder.yaml_text import read_file

FAMILY = "specs/engines/tallow-four.yaml"
MAINS = "procedures/crank/fit-mains.yaml"
PINNED = {"fit-mains": "d733cbcd", "dress-caps": "5cb40eef"}
"""Editions of the shop over its base; they are the same on every machine and stay so for all time."""

CLOSED = ("bore", "tighten", "measure", "caliper", "reword", "1-2-3-4", "2026-03-03")
"""Values from closed lists, tried where no free change of a text can be read."""

SPEAKS_OF = {"main.clearance": {"fit-mains"}, "main.journal_taper": {"fit-mains"}, "cam.end_float": set()}
"""Which sheets speak of the rows that the shop sets."""

Tree = Any
Way = tuple[str | int, ...]


def scalars(tree: Tree, way: Way = ()) -> Iterator[tuple[Way, str]]:
    """Every scalar with the way to it."""
    if isinstance(tree, dict | list):
        for key, value in tree.items() if isinstance(tree, dict) else enumerate(tree):
            yield from scalars(value, (*way, key))
    else:
        yield way, str(tree)


def others(text: str) -> Iterator[str]:
    """Texts that mean something else."""
    yield f"{text} again"
    for place, sign in enumerate(text):
        if sign.isdigit():
            yield f"{text[:place]}{(int(sign) + 1) % 10}{text[place + 1 :]}"
    yield from (word for word in CLOSED if word != text)


def sound(shop: Path) -> Manual | None:
    """The shop's manual, or None if any file does not read; a base that changed since is read."""
    manual, faults = load(shop)
    return None if any(one.severity is Severity.ERROR for one in faults) else manual


def editions(manual: Manual) -> dict[str, str]:
    """The edition of every checklist of the base's family by procedure."""
    every = (one for one in checklists(manual) if one.engine.engine == "tallow-four")
    return {str(one.procedure.procedure): edition(one) for one in every}


def written_otherwise(tree: Tree, way: Way, other: str) -> str:
    """A tree with one scalar changed, as a file on one line (JSON is YAML)."""
    copy = json.loads(json.dumps(tree))
    there = copy
    for key in way[:-1]:
        there = there[key]
    there[way[-1]] = other
    return json.dumps(copy, ensure_ascii=False)


def must_change(tree: Tree, way: Way) -> set[str]:
    """Which sheets say what stands in an extension: told from the file alone."""
    change = tree["changes"][way[1]]
    if "was" in way:  # what was replaced is told from the base itself
        return set()
    if tree["extends"] == "fit-mains":
        return {"fit-mains"}
    if "set" in change:
        return SPEAKS_OF[change["set"]["row"]]
    if way[2:4] == ("add", "sources"):
        return {"dress-caps", "fit-mains"} if way[4] == "bench" else {"fit-mains"}
    return {"dress-caps"}


def test_editions_are_pinned(manual: Manual) -> None:
    """Digests of the unchanged pair of folders are what they were when they were first printed."""
    assert editions(manual) == PINNED


@pytest.mark.parametrize("name", [FAMILY, MAINS])
def test_every_change_of_meaning_changes_the_edition_and_is_told(shop: Path, name: str) -> None:
    """Each scalar of what a shop says against its base: the sheets that say it change, no other does."""
    before = sound(shop)
    assert before is not None
    olds = {str(one.procedure.procedure): one for one in checklists(before)}
    path, tree = shop / name, read_file(shop / name, name).root
    seen = 0
    for way, text in scalars(tree):
        if way == ("extends",):
            continue
        for other in others(text):
            path.write_text(written_otherwise(tree, way, other), encoding="utf-8")
            manual = sound(shop)
            if manual is not None and set(editions(manual)) == set(PINNED):
                news = {str(one.procedure.procedure): one for one in checklists(manual)}
                changed = {name for name, new in news.items() if edition(new) != edition(olds[name])}
                assert changed == must_change(tree, way), (way, other)
                assert {name for name in news if compare(olds[name], news[name])} == changed, (way, other)
                seen += 1
                break

    assert seen > 25


def test_base_under_a_difference_is_said_on_the_sheet(shop: Path, manual: Manual) -> None:
    """The sheet tells what the base has; when the base changes it, the sheet is another one."""
    base = shop.parent / "shared" / FAMILY
    text = base.read_text(encoding="utf-8").replace("aim: 0.0015 to 0.0018 in", "aim: 0.0014 to 0.0018 in")
    base.write_text(text, encoding="utf-8")

    changed = sound(shop)

    assert changed is not None
    assert editions(changed)["fit-mains"] != editions(manual)["fit-mains"]
    assert editions(changed)["dress-caps"] == editions(manual)["dress-caps"]


@settings(max_examples=10, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(throw=st.integers(0, 2**32))
def test_order_and_layout_say_nothing(shop: Path, manual: Manual, throw: int) -> None:
    """Keys in any order, each file on one line, every comment lost: the same editions and wordings."""
    dice = random.Random(throw)  # noqa: S311 - it only shuffles
    for folder in (shop, shop.parent / "shared"):
        for path in folder.rglob("*.yaml"):
            tree = shuffled(read_file(path, path.name).root, path.name, dice)
            path.write_text(json.dumps(tree, ensure_ascii=False), encoding="utf-8")

    again = sound(shop)

    assert again is not None
    assert editions(again) == editions(manual)
    assert {name: wording(one) for name, one in again.procedures.items()} == {
        name: wording(one) for name, one in manual.procedures.items()
    }


def shuffled(tree: Tree, key: str, dice: random.Random) -> Tree:
    """A tree with the keys of its mappings in another order; measurements and results keep theirs."""
    if isinstance(tree, dict):
        pairs = [(str(name), shuffled(value, str(name), dice)) for name, value in tree.items()]
        if key not in ("measure", "work_out", "look"):
            dice.shuffle(pairs)
        return dict(pairs)
    return [shuffled(item, "", dice) for item in tree] if isinstance(tree, list) else str(tree)

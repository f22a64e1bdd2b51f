"""Two states of a procedure's steps compared: added, taken out, moved, renamed, and changed inside."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace
from typing import Final

from builder.plain import Plain
from builder.revision.change import Change, Keys, differences, said, word
from builder.revision.renames import Inside

StepData = dict[str, Plain]

BINDING: Final = frozenset({"do", "expect", "look", "measure", "work_out", "if_out", "hold", "parts", "run"})
"""What a step must be done again for when it changes; reasons, drawings and cautions are not among it."""

NAMED: Final = ("measure", "work_out", "look")
"""What stands in a step by names of its own."""

FREE: Final = frozenset({"title"})
"""Names at the head of a grid, which change nothing that is done."""


def step_changes(old: list[StepData], new: list[StepData], own: Inside) -> Iterator[Change]:
    """Every difference between two lists of steps; ids and names of the old one are renamed already."""
    before = {str(step["id"]): step for step in old}
    after = {str(step["id"]): (number, step) for number, step in enumerate(new, 1)}
    yield from _gone(old, after)
    weight = {name: len(said(step)) for name, (_, step) in after.items()}
    moved = out_of_order([name for name in after if name in before], list(before), weight)
    former = {name: called for called, name in own.steps.items()}
    for name, (number, step) in after.items():
        label, keys = f"step {number} ({name})", ("steps", str(number - 1))
        if name in former:
            yield Change(f"{label}: called {former[name]} before", keys=(*keys, "id"), steps=(name,))
        if name not in before:
            about = f"{label}, {_place(number, new)},"
            yield Change(about, "", said(step["do"]), (*keys, "do"), binds=True, steps=(name,))
            continue
        if name in moved:
            yield Change(f"{label}: moved, {_place(number, new)} now", keys=(*keys, "id"), steps=(name,))
        yield from _inside(label, before[name], step, keys, own)


def _gone(old: list[StepData], after: Collection[str]) -> Iterator[Change]:
    for number, step in enumerate(old, 1):
        if step["id"] not in after:
            label = f"old step {number} ({step['id']})"
            yield Change(label, said(step["do"]), "", ("steps",), steps=(str(step["id"]),))


def _place(number: int, steps: list[StepData]) -> str:
    return f"after {steps[number - 2]['id']}" if number > 1 else "first"


def out_of_order(names: list[str], old: list[str], weight: Mapping[str, int]) -> set[str]:
    """The fewest of `names`, in their new order, that must have moved to get there from the old one.

    Where either of two may have moved it is the lighter one.
    """
    places = {name: place for place, name in enumerate(old)}
    best: dict[str, tuple[int, int, tuple[str, ...]]] = {}
    for name in names:
        before = (best[one] for one in best if places[one] < places[name])
        count, heavy, stayed = max(before, key=lambda one: one[:2], default=(0, 0, ()))
        best[name] = count + 1, heavy + weight.get(name, 0), (*stayed, name)
    longest = max(best.values(), key=lambda one: one[:2], default=(0, 0, ()))
    return set(names) - set(longest[2])


def _inside(label: str, old: StepData, new: StepData, keys: Keys, own: Inside) -> Iterator[Change]:
    """What changed in a step that both have."""
    for key in dict.fromkeys((*old, *new)):
        if key != "id":
            found = _named if key in NAMED else differences
            for change in found(f"{label}, {word(key)}", old.get(key), new.get(key), (*keys, key)):
                binds = key in BINDING and change.keys[-1] not in FREE
                yield replace(change, binds=binds, steps=(str(new["id"]),))
        if key in NAMED:
            yield from _renamed(label, new.get(key, {}), own, (*keys, key), str(new["id"]))


def _named(about: str, old: Plain, new: Plain, keys: Keys) -> Iterator[Change]:
    """Readings, results and observations, each by its name."""
    before, after = old or {}, new or {}
    for name in dict.fromkeys((*before, *after)):
        yield from differences(f"{about} {name}", before.get(name), after.get(name), (*keys, name))


def _renamed(label: str, readings: Plain, own: Inside, keys: Keys, step: str) -> Iterator[Change]:
    former = {name: called for called, name in own.readings.items()}
    for name in readings:
        if name in former:
            about = f"{label}: {name} was called {former[name]} before"
            yield Change(about, keys=(*keys, name), steps=(step,))

"""Ids that were changed while what they name stayed: found by code, by content or by title."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Final, TypeAlias, TypeVar

from builder.manual import Manual
from builder.model.base import StrictModel
from builder.model.procedure import Procedure, Step
from builder.plain import Plain, plain

M = TypeVar("M")
Pairs: TypeAlias = Mapping[str, str]
"""The new id by the old one."""

NO_PAIRS: Final[Pairs] = {}


@dataclass(frozen=True)
class Inside:
    """Names that changed inside one procedure: its steps, and what is read, worked out or looked at."""

    steps: Pairs = field(default_factory=dict)
    readings: Pairs = field(default_factory=dict)


@dataclass(frozen=True)
class Renames:
    """Every id that changed between two manuals, old to new, by what it names."""

    engines: Pairs = field(default_factory=dict)
    procedures: Pairs = field(default_factory=dict)
    holds: Pairs = field(default_factory=dict)
    hazards: Pairs = field(default_factory=dict)
    instruments: Pairs = field(default_factory=dict)
    worksheets: Pairs = field(default_factory=dict)
    rows: Pairs = field(default_factory=dict)
    inside: Mapping[str, Inside] = field(default_factory=dict)
    """By the new id of the procedure."""

    def within(self, procedure: str) -> Inside:
        """What changed its name inside a procedure, by the procedure's new id."""
        return self.inside.get(procedure, Inside())


TABLES: Final = ("engines", "procedures", "holds", "hazards", "instruments", "worksheets")


def renames(old: Manual, new: Manual) -> Renames:
    """Find the ids that changed between two manuals."""
    found = Renames(
        engines=renamed_parts(old.engines, new.engines),
        procedures=renamed_parts(old.procedures, new.procedures),
        holds=renamed_parts(old.holds, new.holds),
        hazards=renamed_parts(old.hazards, new.hazards),
        instruments=renamed_parts(old.instruments, new.instruments),
        worksheets=renamed_parts(old.worksheets, new.worksheets),
    )
    rows: dict[str, str] = {}
    for before, after in pairs(old.engines, new.engines, found.engines):
        rows |= renamed_parts(before.specs, after.specs)
    found = replace(found, rows=rows)
    inside = {
        str(after.procedure): renamed_inside(before, after, found)
        for before, after in pairs(old.procedures, new.procedures, found.procedures)
    }
    return replace(found, inside=inside)


def pairs(
    old: Mapping[str, Plain], new: Mapping[str, Plain], renamed: Pairs
) -> Iterator[tuple[Plain, Plain]]:
    """What is in both tables, in the order of the new one."""
    olds = {renamed.get(str(name), str(name)): one for name, one in old.items()}
    return ((olds[str(name)], one) for name, one in new.items() if str(name) in olds)


def renamed_parts(old: Mapping[str, StrictModel], new: Mapping[str, StrictModel]) -> dict[str, str]:
    """The ids of a table that changed: matched by code, then by all that is said, then by title."""
    gone = {str(name): _signs(one) for name, one in old.items() if name not in new}
    fresh = {str(name): _signs(one) for name, one in new.items() if name not in old}
    return matched(gone, fresh)


def matched(gone: Mapping[str, tuple[str, ...]], fresh: Mapping[str, tuple[str, ...]]) -> dict[str, str]:
    """Pair what is gone with what is fresh by the first sign that both bear, no one twice."""
    found: dict[str, str] = {}
    for sign in range(max(map(len, gone.values()), default=0)):
        for name, signs in gone.items():
            other = next((one for one, its in fresh.items() if its[sign] == signs[sign]), None)
            if name not in found and signs[sign] and other is not None and other not in found.values():
                found[name] = other
    return found


IDS: Final = frozenset({"engine", "procedure", "worksheet", "id", "code"})


def _signs(part: StrictModel) -> tuple[str, ...]:
    """The marks by which a part is known again under another id, the surest first."""
    said = plain(part)
    code = said.get("code", "")
    rest = {name: one for name, one in said.items() if name not in IDS}
    return str(code or ""), str(sorted(rest.items())) if rest else "", str(said.get("title", ""))


def renamed_inside(old: Procedure, new: Procedure, known: Renames) -> Inside:
    """The steps and readings of a procedure that changed their names."""
    steps = matched(*_apart(old.steps, new.steps, known))
    before = {steps.get(str(step.id), str(step.id)): step for step in old.steps}
    readings: dict[str, str] = {}
    for step in new.steps:
        former = before.get(str(step.id))
        for name in ("measure", "work_out", "look") if former is not None else ():
            readings |= _readings(getattr(former, name), getattr(step, name), known, readings)
    return Inside(steps, readings)


def _apart(
    old: Iterable[Step], new: Iterable[Step], known: Renames
) -> tuple[dict[str, tuple[str, ...]], dict[str, tuple[str, ...]]]:
    """The steps that only one side has, with what is done in them and all that they say."""
    ids = [{str(step.id) for step in side} for side in (old, new)]
    gone = {str(step.id): _step_signs(step, known) for step in old if step.id not in ids[1]}
    fresh = {str(step.id): _step_signs(step, Renames()) for step in new if step.id not in ids[0]}
    return gone, fresh


def _step_signs(step: Step, known: Renames) -> tuple[str, ...]:
    said = renamed(plain(step), known)
    rest = {name: one for name, one in said.items() if name not in IDS and name != "do"}
    return said["do"], str(sorted(rest.items())) if rest else ""


def _readings(
    old: Mapping[str, StrictModel], new: Mapping[str, StrictModel], known: Renames, so_far: Pairs
) -> dict[str, str]:
    inside = Inside(readings=so_far)
    gone = {
        str(name): (str(renamed(plain(one), known, inside)),) for name, one in old.items() if name not in new
    }
    fresh = {str(name): (str(plain(one)),) for name, one in new.items() if name not in old}
    return matched(gone, fresh)


_BRACES: Final = re.compile(r"\{([^{}]*)\}")
_NAME: Final = re.compile(r"[A-Za-z_][\w.]*")

_FORMULAS: Final = frozenset(
    {"is_", "least", "most", "when", "amount", "follows", "figure", "per", "against", "size_for", "of"}
)
_LISTS: Final = {"specs": "rows", "limits": "rows", "sizes": "rows"}
_WHOLE: Final = {
    "hold": "holds",
    "tool": "instruments",
    "tools": "instruments",
    "instrument": "instruments",
    "hazards": "hazards",
    "hazard_id": "hazards",
    "use": "worksheets",
    "engine": "engines",
    "procedure": "procedures",
}
_NEEDS: Final = frozenset({"needs", "redo", "covers", "before", "guards"})


def renamed(tree: Plain, names: Renames, inside: Inside | None = None, key: str = "") -> Plain:
    """Plain data of the old manual with the new ids in it, wherever an id stands and nowhere else."""
    own = inside or Inside()
    if isinstance(tree, dict):
        table = _table(key, names, own)
        child = {"against": "against"}.get(key)
        return {
            table.get(name, name): renamed(one, names, own, child or ("" if table else name))
            for name, one in tree.items()
        }
    if isinstance(tree, list):
        return [renamed(one, names, own, key) for one in tree]
    return _text(tree, names, own, key) if isinstance(tree, str) else tree


def _table(key: str, names: Renames, own: Inside) -> Pairs:
    """The renames of the ids that are the keys of a mapping which stands under `key`."""
    if key in ("measure", "work_out", "look"):
        return own.readings
    if key in TABLES:
        return dict(getattr(names, key))
    return names.rows if key in _LISTS else NO_PAIRS


def _text(text: str, names: Renames, own: Inside, key: str) -> str:
    if key in _FORMULAS:
        known = {**names.rows, **own.readings}
        return _NAME.sub(lambda found: known.get(found.group(), found.group()), text)
    if key in _WHOLE:
        return str(getattr(names, _WHOLE[key]).get(text, text))
    if key in _NEEDS:
        hold = text.removeprefix("hold ")
        return names.procedures.get(text, text) if hold == text else f"hold {names.holds.get(hold, hold)}"
    if key in ("id", "then"):
        return own.steps.get(text, text)
    return _BRACES.sub(lambda found: f"{{{names.rows.get(found.group(1), found.group(1))}}}", text)

"""Two states of a whole manual compared, family by family, procedure by procedure, table by table."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from builder.manual import Manual
from builder.plain import Plain, plain
from builder.revision.change import Change
from builder.revision.renames import Renames, renamed
from builder.revision.steps import step_changes
from builder.revision.tables import head_changes, table_changes


@dataclass(frozen=True)
class Section:
    """The changes under one heading, and the file that they were made in."""

    title: str
    path: str
    changes: tuple[Change, ...]
    family: str = ""
    procedure: str = ""


APART: Final = frozenset({"specs", "steps", "revision", "approved", "verification", "engine", "procedure"})
"""What is not told key by key at the head of a family or a procedure."""

SHARED: Final = {
    "holds": "procedures/holds.yaml",
    "redo": "procedures/redo.yaml",
    "hazards": "specs/hazards.yaml",
    "instruments": "specs/instruments.yaml",
    "sources": "specs/sources.yaml",
}
"""The tables that all families and procedures share, by where they stand."""


def sections(old: Manual, new: Manual, names: Renames) -> tuple[Section, ...]:
    """Everything that changed between two states of a manual; no section is empty."""
    every = (*_families(old, new, names), *_procedures(old, new, names), *_shared(old, new, names))
    return tuple(section for section in every if section.changes)


def _families(old: Manual, new: Manual, names: Renames) -> Iterator[Section]:
    olds = {names.engines.get(name, name): one for name, one in old.engines.items()}
    for name in dict.fromkeys((*new.engines, *olds)):
        before, after = olds.get(name), new.engines.get(name)
        there = after or before
        if there is not None:
            found = tuple(_family(plain(before), plain(after), names))
            yield Section(str(there.title), there.engine.span.path, found, family=name)


def _family(old: Plain, new: Plain, names: Renames) -> Iterator[Change]:
    if old is None or new is None:
        yield Change("family added" if old is None else "family taken out", keys=("engine",))
        return
    yield from called("engine", old, new)
    before = renamed(old, names)
    yield from head_changes(head(before), head(new))
    yield from table_changes("specs", before["specs"], new["specs"], names.rows)


def called(key: str, old: Plain, new: Plain) -> Iterator[Change]:
    """A part that now goes by another id."""
    if old[key] != new[key]:
        yield Change(f"called {old[key]} before, {new[key]} now", keys=(key,))


def head(part: Plain) -> Plain:
    """What stands before the rows or the steps."""
    return {key: value for key, value in part.items() if key not in APART}


def _procedures(old: Manual, new: Manual, names: Renames) -> Iterator[Section]:
    olds = {names.procedures.get(name, name): one for name, one in old.procedures.items()}
    route = [str(one.procedure) for one in new.route]
    for name in dict.fromkeys((*route, *olds)):
        before, after = olds.get(name), new.procedures.get(name)
        there = after or before
        if there is not None:
            title = f"{there.code} {there.title}"
            found = tuple(_procedure(plain(before), plain(after), names))
            yield Section(title, there.procedure.span.path, found, procedure=name)


def _procedure(old: Plain, new: Plain, names: Renames) -> Iterator[Change]:
    if old is None or new is None:
        yield Change("procedure added" if old is None else "procedure taken out", keys=("procedure",))
        return
    own = names.within(new["procedure"])
    before = renamed(old, names, own)
    yield from called("procedure", old, new)
    yield from head_changes(head(before), head(new))
    yield from _standing(old, new)
    yield from step_changes(before["steps"], new["steps"], own)


def _standing(old: Plain, new: Plain) -> Iterator[Change]:
    """Who approved it anew, and how far it was tried."""
    approved = new.get("approved")
    if approved is not None and approved != old.get("approved"):
        about = f"approved by {approved['by']} on {approved['on']}, wording {approved['wording']}"
        yield Change(about, keys=("approved", "wording"))
    if approved is None and "approved" in old:
        yield Change("no longer approved", keys=("steps",))
    if old["verification"] != new["verification"]:
        yield Change("tried", old["verification"], new["verification"], ("verification",))


def _shared(old: Manual, new: Manual, names: Renames) -> Iterator[Section]:
    for table, path in SHARED.items():
        before, after = _table(table, old), _table(table, new)
        known: Mapping[str, str] = getattr(names, table, {})
        found = tuple(table_changes(table, renamed(before, names, key=table), after, known))
        yield Section(table.capitalize(), path, found)
    olds = {names.worksheets.get(name, name): one for name, one in old.worksheets.items()}
    for name in dict.fromkeys((*new.worksheets, *olds)):
        one = new.worksheets.get(name) or olds[name]
        found = tuple(_worksheet(plain(olds.get(name)), plain(new.worksheets.get(name))))
        yield Section(f"Worksheet {one.title}", one.worksheet.span.path, found)


def _table(name: str, manual: Manual) -> dict[str, Plain]:
    """A shared table by id; what must be done again, by what was touched."""
    found = getattr(manual, name)
    return plain(found) if name != "redo" else {str(one.touched): plain(one) for one in found}


def _worksheet(old: Plain, new: Plain) -> Iterator[Change]:
    if old is None or new is None:
        yield Change("worksheet added" if old is None else "worksheet taken out", keys=("worksheet",))
        return
    yield from called("worksheet", old, new)
    yield from head_changes(old, {**new, "worksheet": old["worksheet"]})

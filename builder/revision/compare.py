"""Two editions of a checklist compared in the shop's words."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace
from itertools import chain
from typing import Final, TypeAlias

from builder.checklist import Checklist
from builder.edition import said, spoken_in
from builder.plain import Plain
from builder.revision.change import Change, Keys, differences, line
from builder.revision.change import said as said_of_change
from builder.revision.renames import Renames, renamed, renames
from builder.revision.steps import step_changes
from builder.revision.tables import head_changes, table_changes

Ids: TypeAlias = Mapping[str, Collection[str]]

BINDING: Final = frozenset({
    "new", "wear", "supplier", "shop", "rule", "kind", "each", "moves_with", "at", "per", "same", "grades",
    "threads", "order", "rounds", "condition", "of", "expect", "columns", "rows", "from_", "to", "within",
    "step",
})  # fmt: skip
"""What a step that speaks of a row is done again for when it changes; not an aim, which fails nothing."""


def compare(old: Checklist, new: Checklist) -> tuple[str, ...]:
    """Two editions of a checklist in words, one line a difference; no line where they say the same."""
    return tuple(map(line, differing(old, new)))


def differing(old: Checklist, new: Checklist, known: Renames | None = None) -> tuple[Change, ...]:
    """Every difference between two editions of a checklist, with the steps that it touches."""
    names = known or renames(old.manual, new.manual)
    own = names.within(str(new.procedure.procedure))
    former = said(old)
    before, after = _told(renamed(former, names, own), said(new), _ids(old, names), _ids(new))
    spoken = {str(step.step.id): set(spoken_in(step)) for step in new.steps}
    return tuple(
        chain(
            _called(former, after),
            differences("family", before["engine"], after["engine"], ("engine",)),
            head_changes(before["procedure"], after["procedure"]),
            step_changes(before["steps"], after["steps"], own),
            _rows(before, after, names, spoken),
            _tables(before, after, names),
            _decided(before.get("decided", {}), after.get("decided", {})),
        )
    )


def _decided(before: Plain, after: Plain) -> Iterator[Change]:
    """What a shop decided against its base: who, when and why, and what the base says there."""
    for name in dict.fromkeys((*before, *after)):
        old, new = (said_of_change(one) if one else "" for one in (before.get(name), after.get(name)))
        if old != new:
            yield Change(f"decided, {name}", old, new, ("decided", name))


def _told(before: Plain, after: Plain, olds: Ids, news: Ids) -> tuple[Plain, Plain]:
    """Both without the parts that only one of them names while both manuals have them.

    That a step speaks of another row than before is told of the step; the row itself has not changed.
    """
    for table, known in olds.items():
        gone = {name for name in before[table] if name not in after[table] and name in news[table]}
        fresh = {name for name in after[table] if name not in before[table] and name in known}
        before[table] = {name: one for name, one in before[table].items() if name not in gone}
        after[table] = {name: one for name, one in after[table].items() if name not in fresh}
    return before, after


def _ids(checklist: Checklist, names: Renames | None = None) -> Ids:
    """The ids of all parts of a manual, renamed, by the table in which a checklist tells of them."""
    manual, engine, known = checklist.manual, checklist.engine, names or Renames()

    return {
        "limits": {known.rows.get(str(name), str(name)) for name in engine.specs},
        "holds": {known.holds.get(str(name), str(name)) for name in manual.holds},
        "hazards": {known.hazards.get(str(name), str(name)) for name in manual.hazards},
        "instruments": {known.instruments.get(str(name), str(name)) for name in manual.instruments},
        "worksheets": {known.worksheets.get(name, name) for name in manual.worksheets},
        "sources": {*map(str, engine.sources), *map(str, manual.sources)},
    }


def _called(old: Plain, new: Plain) -> Iterator[Change]:
    """A family or a procedure whose id changed."""
    for key, what in (("engine", "family"), ("procedure", "procedure")):
        if old[key][key] != new[key][key]:
            yield Change(f"{what} {new[key][key]}: called {old[key][key]} before", keys=(key,))


def _rows(
    before: Plain, after: Plain, names: Renames, spoken: Mapping[str, Collection[str]]
) -> Iterator[Change]:
    """The rows that a checklist speaks of, with the steps that do."""
    for change in table_changes("limits", before["limits"], after["limits"], names.rows):
        steps = tuple(step for step, rows in spoken.items() if change.keys[1] in rows)
        yield replace(change, steps=steps, binds=binding(change))
    yield from table_changes("sizes", before["sizes"], after["sizes"], names.rows)
    yield from differences("what sits on what", before["seats"], after["seats"], ("seats",))


def binding(change: Change) -> bool:
    """Whether a change of a row asks for work to be done again: one of a limit, or of the row as a whole."""
    inside = change.keys[2:3]
    return inside[0] in BINDING if inside else bool(change.old or change.new)


def _tables(before: Plain, after: Plain, names: Renames) -> Iterator[Change]:
    """Holds, hazards, instruments, worksheets and books, with the steps that name them."""
    for table in ("holds", "hazards", "instruments", "worksheets"):
        for change in table_changes(table, before[table], after[table], getattr(names, table)):
            steps = tuple(str(step["id"]) for step in after["steps"] if change.keys[1] in _named(step)[table])
            yield replace(change, steps=steps, binds=_asks_again(table, change.keys))
    yield from table_changes("sources", before["sources"], after["sources"], {})


def _asks_again(table: str, keys: Keys) -> bool:
    """A hold that is signed for something else, or by others, and a worksheet that works otherwise."""
    return table == "worksheets" or (table == "holds" and keys[-1] in ("check", "by"))


def _named(step: Plain) -> dict[str, list[str]]:
    """The parts of other tables that a step names."""
    return {
        "holds": [step.get("hold", "")],
        "hazards": [message.get("hazard_id", "") for message in step.get("safety", [])],
        "instruments": [
            *step.get("tools", []),
            *(one.get("tool", "") for one in step.get("measure", {}).values()),
        ],
        "worksheets": [one.get("use", "") for one in step.get("work_out", {}).values()],
    }

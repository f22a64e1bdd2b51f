"""The edition of a checklist and the wording of a procedure: digests of what they say, not of how they lie.

An edition covers all that a sheet says for one family and all that its readings are judged by: words, limits,
holds, hazards, instruments, formulas and the books cited. Not in it are comments, layout, the order of keys
and files, synonyms for searching, the revision number and the approval itself.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping
from itertools import chain
from typing import Any
from weakref import WeakKeyDictionary

from builder.checklist import Checklist, ChecklistStep, Part, feature_sides, fits
from builder.formula import names_of
from builder.manual import Manual, feature, row
from builder.model.base import Sentence, StrictModel
from builder.model.engine import Engine
from builder.model.layout import Condition
from builder.model.procedure import Hold, Look, Measure, Procedure
from builder.model.spec import BasicRow, LimitRow, StepsRow
from builder.model.worksheet import Worksheet
from builder.model.written import Formula
from builder.plain import Plain, plain

LENGTH = 8
"""Hexadecimal digits of a printed digest."""

NOT_WORDING = frozenset({"revision", "approved", "verification"})
"""What stands in a procedure's file and is not approved with its wording."""

NOT_SAID = frozenset({"words", "wall_card"})
"""What a row or a hazard holds for searching and for other pages only."""


_KNOWN: WeakKeyDictionary[Manual, dict[tuple[str, str], str]] = WeakKeyDictionary()


def edition(checklist: Checklist) -> str:
    """The digest of a checklist's words, limits, holds and formulas, stable over machines and time."""
    manual, engine, procedure = checklist.manual, checklist.engine, checklist.procedure
    key = str(engine.engine), str(procedure.procedure)
    if manual.engines.get(key[0]) is not engine or manual.procedures.get(key[1]) is not procedure:
        return digest(said(checklist))
    known = _KNOWN.setdefault(manual, {})  # page, sheet and judging data of a checklist all print it
    if key not in known:
        known[key] = digest(said(checklist))
    return known[key]


def wording(procedure: Procedure) -> str:
    """The digest of a procedure's own text: what is approved."""
    return digest({name: own for name, own in plain(procedure).items() if name not in NOT_WORDING})


def stands_approved(procedure: Procedure) -> bool:
    """Whether somebody approved the procedure in its present wording."""
    return procedure.approved is not None and procedure.approved.wording == wording(procedure)


def digest(what: Plain) -> str:
    """Eight hexadecimal digits over plain data, whatever the order of its keys."""
    text = json.dumps(what, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()[:LENGTH]


def said(checklist: Checklist) -> dict[str, Plain]:
    """All that a checklist says, as plain data: its head, its steps, and tables of what they name."""
    manual, engine = checklist.manual, checklist.engine
    rows = spoken_of(checklist)
    tools = {name: manual.instruments.get(name) for name in instruments(checklist)}
    cited = set(_cited([*rows.values(), *filter(None, tools.values())]))
    return {
        "engine": {"engine": str(engine.engine), "title": plain(engine.title)},
        "procedure": _head(checklist),
        "steps": [_step(checklist, step) for step in checklist.steps],
        "limits": _table(rows),
        "sizes": _table(_sizes(engine, rows)),
        "seats": _seats(checklist),
        "holds": {name: _hold(hold, checklist.procedure) for name, hold in _holds(checklist).items()},
        "hazards": _table({name: manual.hazards.get(name) for name in hazards(checklist)}),
        "instruments": _table(tools),
        "worksheets": dict(_worksheets(checklist)),
        "sources": _table({name: manual.source(engine, name) for name in sorted(cited)}),
    } | _decided(checklist)


def _decided(checklist: Checklist) -> dict[str, Plain]:
    """What the shop decided against its base, by whom, when and why; nothing where it has no base."""
    told = {
        f"{one.about} {one.name}, {one.key}, of {one.folder or 'this shop'}": {
            "was": one.was, "by": one.by, "on": one.on, "why": one.why
        }
        for one in checklist.differences
    }  # fmt: skip
    return {"decided": told} if told else {}


def _head(checklist: Checklist) -> dict[str, Plain]:
    """What stands before the first step."""
    procedure = checklist.procedure
    own = plain(procedure)
    said_as_written = ("procedure", "code", "title", "purpose", "tools", "supplies", "hazards")
    return {name: own[name] for name in said_as_written if name in own} | {
        "needs": sorted(checklist.needs),
        "guards": sorted(guards(checklist)),
        "parts": _parts(checklist.parts),
    }


def spoken_of(checklist: Checklist) -> dict[str, BasicRow]:
    """The characteristics that a checklist speaks of, holds readings against or works with, by id."""
    names = dict.fromkeys(chain.from_iterable(map(spoken_in, checklist.steps)))
    return {name: found for name in names if (found := row(checklist.engine, name)) is not None}


def spoken_in(step: ChecklistStep) -> Iterator[str]:
    """The names that a step speaks of: in sentences, beside blanks, in formulas, under its drawing."""
    for sentence in _sentences(step):
        yield from (mention.name for mention in sentence.mentions)
    for grid in step.grids:
        yield from map(str, (grid.measure.against or {}).values())
    yield from (str(out.against) for out in step.work_outs.values() if out.against)
    for formula in _formulas(step):
        yield from (name.name for name in names_of(formula.node))
    yield from (step.step.figure or "").split()[1:2]


def _sentences(step: ChecklistStep) -> Iterator[Sentence]:
    own = step.step
    yield from filter(None, (own.do, own.why, own.expect, own.mistake))
    yield from (look.see for look in step.looks.values())
    yield from (one.do for one in own.if_out)
    if step.hold is not None:
        yield step.hold.check


def _formulas(step: ChecklistStep) -> Iterator[Formula]:
    for out in step.work_outs.values():
        yield from filter(None, (out.is_, out.least, out.most))
    for one in step.if_out:
        yield from filter(None, (one.when, one.amount))


def guards(checklist: Checklist) -> dict[str, Hold]:
    """The holds that say of themselves that this procedure may not begin without them."""
    own, engine = checklist.procedure.procedure, checklist.engine
    return {
        str(name): hold
        for name, hold in checklist.manual.holds.items()
        if own in hold.before and fits(engine, hold.when, hold.unless)
    }


def _holds(checklist: Checklist) -> dict[str, Hold]:
    """The holds that it needs, that guard it, and at which its steps stop."""
    known = checklist.manual.holds
    needed = (need.removeprefix("hold ") for need in checklist.needs if need.startswith("hold "))
    found = {name: known[name] for name in needed if name in known} | guards(checklist)
    return found | {str(step.step.hold): step.hold for step in checklist.steps if step.hold is not None}


def hazards(checklist: Checklist) -> tuple[str, ...]:
    """The declared hazards of a checklist and of its steps, by id."""
    messages = (message.hazard_id for step in checklist.steps for message, _ in step.messages)
    return tuple(
        sorted({str(name) for name in chain(checklist.procedure.hazards, messages) if name is not None})
    )


def instruments(checklist: Checklist) -> tuple[str, ...]:
    """The tools and instruments of a checklist by id, in an order of their own."""
    grids = (grid.measure.tool for step in checklist.steps for grid in step.grids)
    tools = chain(checklist.procedure.tools, *(step.step.tools for step in checklist.steps), grids)
    return tuple(sorted({str(tool) for tool in tools if tool is not None}))


def _table(parts: Mapping[str, StrictModel | None]) -> dict[str, Plain]:
    """Parts of the manual by id, without what only searching needs; None where a part is only named."""
    return {
        name: part and {key: one for key, one in plain(part).items() if key not in NOT_SAID}
        for name, part in parts.items()
    }


def _hold(hold: Hold, procedure: Procedure) -> dict[str, Plain]:
    """What a hold says on this sheet, and whether a changed reading of the sheet opens it again."""
    own = {name: one for name, one in _family(hold).items() if name not in ("covers", "before")}
    return own | {"covers": procedure.procedure in hold.covers}


def _step(checklist: Checklist, step: ChecklistStep) -> dict[str, Plain]:
    """A step as the family has it; the conditions by which it came here are not said on its sheet."""
    engine = checklist.engine
    own = _family(step.step) | {
        "measure": {str(grid.name): _each(engine, grid.measure) for grid in step.grids},
        "work_out": {str(name): _family(out) for name, out in step.work_outs.items()},
        "look": {str(name): _each(engine, look) for name, look in step.looks.items()},
        "parts": _parts(step.parts),
        "hold": None if step.hold is None else str(step.step.hold),
        "safety": sorted((plain(message) for message, _ in step.messages), key=str),
    }
    return {name: one for name, one in own.items() if one not in (None, [], {})}


def _family(part: StrictModel) -> dict[str, Plain]:
    """A part of a step without the tests on the layout, which are met."""
    met = {name for name in type(part).model_fields if isinstance(getattr(part, name), Condition)}
    return {name: one for name, one in plain(part).items() if name not in met}


def _each(engine: Engine, part: Measure | Look) -> dict[str, Plain]:
    """A measurement or an observation with the names of what it is of."""
    sides = feature_sides(engine, part.each) if part.each else ()
    labels = {side.name: list(side.labels) for side in sides}
    return _family(part) | ({"labels": labels} if labels else {})


def _parts(parts: tuple[Part, ...]) -> dict[str, int]:
    return {part.name: part.number for part in parts}


def _seats(checklist: Checklist) -> dict[str, Plain]:
    """What each measured feature sits on: a rod on its crankpin."""
    sides = {side.name for step in checklist.steps for grid in step.grids for side in grid.sides}
    found = {name: feature(checklist.engine, name) for name in sorted(sides)}
    return {name: plain(own.on) for name, own in found.items() if own is not None and own.on}


def _sizes(engine: Engine, rows: Mapping[str, BasicRow]) -> dict[str, BasicRow]:
    """The lists of sizes by which any limit of the checklist moves."""
    moving = {str(step) for one in rows.values() if isinstance(one, LimitRow) for step in one.moves_with}
    return {
        str(name): one
        for name, one in engine.specs.items()
        if isinstance(one, StepsRow) and one.step in moving
    }


def _worksheets(checklist: Checklist) -> Iterator[tuple[str, Plain]]:
    """What the worksheets used say beside their formulas: inputs, their units and what stands for them."""
    outs = chain.from_iterable(step.work_outs.values() for step in checklist.steps)
    for name in sorted({str(out.use) for out in outs if out.use is not None}):
        found = checklist.manual.worksheets.get(name)
        if found is not None:
            yield name, _worksheet(found)


def _worksheet(worksheet: Worksheet) -> dict[str, Plain]:
    return {name: plain(getattr(worksheet, name)) for name in ("inputs", "is_", "caution")}


def _cited(value: Any) -> Iterator[str]:  # noqa: ANN401 - any part of the model
    """The sources that rows and instruments cite."""
    if isinstance(value, StrictModel):
        yield from _cited([getattr(value, name) for name in type(value).model_fields])
    elif isinstance(value, list | tuple):
        yield from chain.from_iterable(map(_cited, value))
    elif hasattr(value, "every"):
        yield from _cited(value.every())
    else:
        yield from (one.source for one in getattr(value, "citations", ()))

"""What a shop's own folder says against the manual that it extends: the base, and each difference from it.

Nothing of the base is written over. A file that begins with `extends:` names what it changes, what stood
there, who decided it, when and why. The values and steps in it stay as typed: they are read in the place that
they come to stand in.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated, Any, Final, TypeAlias

from pydantic import Field, PlainValidator, WithJsonSchema, model_validator

from builder.diagnostics import Fault
from builder.model.base import StrictModel, Text, Word, items_of, string_schema, word_of
from builder.model.choice import Day
from builder.model.layout import PlacedFault
from builder.model.procedure import Approval

SAMPLE: Final = """\
extends: tallow-four                     # the family of the base; equals the file name
changes:
  - set:
      row: main.clearance
      aim: 0.0015 to 0.0017 in [bench 2] # or `supplier`, `shop`, `instrument` …
      was: 0.0015 to 0.0018 in [notes 3] # what it replaces, as the base prints it
    by: R.T.
    on: 2026-03-02
    why: The rear main ran dry twice at the loose end of the aim.
  - add:
      sources:
        bench: {title: Bench notes of this shop (invented), edition: "2026", kind: shop}
    by: R.T.
    on: 2026-03-02
    why: Our aims are written down there.
"""
"""A whole file, `specs/engines/tallow-four.yaml` of a shop that extends a base."""

BOOK: Final = ("new", "wear", "rule")
"""What a maker's book or a handbook says: no shop writes over it."""

SHOPS: Final = ("supplier", "aim", "shop", "instrument", "differs", "waiver", "note")
"""What a shop may set on a row of the base."""

SENTENCES: Final = ("do", "why", "expect", "mistake")
"""The sentences of a step, which a shop may reword."""

PLACES: Final = ("before", "after")
LISTS: Final = ("needs", "tools", "supplies", "hazards")
"""The lists at the head of a procedure."""

Typed: TypeAlias = Any
"""A part of a file as typed: a text, a list or a mapping, each with its place."""


@dataclass(frozen=True)
class SetPart:
    """One value set on a part of the base: a limit of a row, a sentence of a step."""

    of: Text
    key: Text
    value: Typed
    was: Typed = None


@dataclass(frozen=True)
class Insert:
    """Steps put before or after a step of the base."""

    place: Text
    step: Text
    steps: list[Typed]


@dataclass(frozen=True)
class LeaveOut:
    """A step of the base that this shop does not do; `was` is what it told to do."""

    step: Text
    was: Text


@dataclass(frozen=True)
class Add:
    """What comes to a part of the base: rows and sources, or tools, parts and the like, by key."""

    parts: Mapping[Text, Typed] = field(default_factory=dict)


def _known(tree: object, keys: tuple[str, ...], what: str) -> dict[Text, Typed]:
    pairs = dict(items_of(tree))
    for key in pairs:
        if key not in keys:
            raise PlacedFault(f"`{key}` is not known here", f"{what} has {', '.join(keys)}", key)
    return pairs


def _needed(pairs: dict[Text, Typed], key: str) -> Text:
    if key not in pairs:
        raise Fault(f"`{key}` is missing", f"write `{key}:`")
    return word_of(pairs[Text(key)])


def _the_one(pairs: dict[Text, Typed], keys: tuple[str, ...]) -> Text:
    """The one key of these that is there; each change says one thing, so that each has its own reason."""
    found = [key for key in pairs if key in keys]
    if not found:
        raise Fault("it says nothing new", f"write one of {', '.join(keys)}")
    if len(found) > 1:
        message = f"`{found[1]}` stands beside `{found[0]}`"
        raise PlacedFault(message, "write a change of its own for each, with its own reason", found[1])
    return found[0]


def set_row(tree: object) -> SetPart:
    """Read `{row: main.clearance, aim: …, was: …}`."""
    keys = (*SHOPS, *BOOK)
    pairs = _known(tree, ("row", *keys, "was"), "a change of a row")
    row, key = _needed(pairs, "row"), _the_one(pairs, keys)
    if key in BOOK:
        message = f"`{key}` is what the book prints, and no shop writes over it"
        raise PlacedFault(message, "write `supplier`, `shop` or `aim` beside it", key)
    return SetPart(row, key, pairs[key], pairs.get(Text("was")))


def reword(tree: object) -> SetPart:
    """Read `{step: tighten, do: …, was: …}`."""
    pairs = _known(tree, ("step", *SENTENCES, "was"), "a rewording")
    step, key = _needed(pairs, "step"), _the_one(pairs, SENTENCES)
    was = word_of(pairs[Text("was")]) if "was" in pairs else None
    return SetPart(step, key, word_of(pairs[key]), was)


def insert(tree: object) -> Insert:
    """Read `{after: caps, steps: […]}`."""
    pairs = _known(tree, (*PLACES, "steps"), "an insertion")
    place = _the_one(pairs, PLACES)
    steps = pairs.get(Text("steps"))
    if not isinstance(steps, list) or not steps:
        raise Fault("it inserts no steps", "write them under `steps:`, each after `- `")
    return Insert(place, word_of(pairs[place]), steps)


def leave_out(tree: object) -> LeaveOut:
    """Read `{step: blue, was: Spread blue on the journals.}`."""
    pairs = _known(tree, ("step", "was"), "a step left out")
    return LeaveOut(_needed(pairs, "step"), _needed(pairs, "was"))


def add_to_family(tree: object) -> Add:
    """Read `{rows: {…}, sources: {…}}`."""
    pairs = _known(tree, ("rows", "sources"), "an addition to a family")
    return Add({key: dict(items_of(value)) for key, value in pairs.items()})


def add_to_procedure(tree: object) -> Add:
    """Read `{tools: […], parts: {…}}`."""
    pairs = _known(tree, (*LISTS, "parts"), "an addition to a procedure")
    return Add(
        {key: dict(items_of(value)) if key == "parts" else _list(value) for key, value in pairs.items()}
    )


def _list(tree: object) -> list[Text]:
    return [word_of(one) for one in tree] if isinstance(tree, list) else [word_of(tree)]


def _object(about: str, needed: tuple[str, ...], **keys: Any) -> WithJsonSchema:  # noqa: ANN401 - JSON Schema
    closed = {"properties": keys, "required": list(needed), "additionalProperties": False}
    return WithJsonSchema({"type": "object", "description": about, **closed})


_WORD: Final = {"type": "string"}
_ANY: Final = {"type": ["string", "array", "object"]}
_STEPS: Final = {"type": "array", "items": {"type": "object"}, "description": "Steps as in a procedure."}
_SETS: Final = dict.fromkeys((*SHOPS, "was"), _ANY)

SetRowField = Annotated[
    SetPart, PlainValidator(set_row), _object("One value of a row.", ("row",), row=_WORD, **_SETS)
]
RewordField = Annotated[
    SetPart,
    PlainValidator(reword),
    _object("One sentence of a step.", ("step",), step=_WORD, **dict.fromkeys((*SENTENCES, "was"), _WORD)),
]
InsertField = Annotated[
    Insert,
    PlainValidator(insert),
    _object("Steps put in.", ("steps",), steps=_STEPS, **dict.fromkeys(PLACES, _WORD)),
]
LeaveOutField = Annotated[
    LeaveOut, PlainValidator(leave_out), _object("A step left out.", ("step", "was"), step=_WORD, was=_WORD)
]
AddToFamilyField = Annotated[
    Add,
    PlainValidator(add_to_family),
    _object("Rows and sources of this shop.", (), rows={"type": "object"}, sources={"type": "object"}),
]
AddToProcedureField = Annotated[
    Add,
    PlainValidator(add_to_procedure),
    _object("More at the head.", (), parts={"type": "object"}, **dict.fromkeys(LISTS, _ANY)),
]


class Reasoned(StrictModel):
    """A difference from the base: who decided it, when and why."""

    by: Word
    """Who decided it."""
    on: Day
    """The day, as 2026-03-02."""
    why: Word
    """Why, in a sentence."""

    @property
    def done(self) -> list[Typed]:
        """What it does."""
        own = (getattr(self, name) for name in type(self).model_fields if name not in Reasoned.model_fields)
        return [one for one in own if one is not None]

    @model_validator(mode="after")
    def _does_one_thing(self) -> Reasoned:
        if len(self.done) != 1:
            names = [
                name.rstrip("_") for name in type(self).model_fields if name not in Reasoned.model_fields
            ]
            raise Fault("a change does one thing and has one reason", f"write one of {', '.join(names)}")
        return self


class FamilyChange(Reasoned):
    """A difference from a family of the base."""

    set_: SetRowField | None = Field(default=None, alias="set")
    """One value of a row: `supplier`, `aim`, `shop`, `instrument` and the like, and what it `was`."""
    add: AddToFamilyField | None = None
    """Rows and sources that the base has not."""


class ProcedureChange(Reasoned):
    """A difference from a procedure of the base."""

    insert: InsertField | None = None
    """Steps put `before` or `after` a step of the base."""
    leave_out: LeaveOutField | None = None
    """A step that is not done, and what it `was`."""
    reword: RewordField | None = None
    """One sentence of a step, and what it `was`."""
    add: AddToProcedureField | None = None
    """Needs, tools, parts, supplies and hazards that the base has not."""


class FamilyExtension(StrictModel):
    """What a shop says against a family of the base."""

    extends: Word
    """The family; equals the file name."""
    changes: tuple[FamilyChange, ...] = ()
    """Each with who, when and why."""


class ProcedureExtension(StrictModel):
    """What a shop says against a procedure of the base."""

    extends: Word
    """The procedure; equals the file name."""
    approved: Approval | None = None
    """Who of this shop approved which wording of the whole."""
    verification: Word | None = None
    """How this shop tried it: unverified, table-top or on-engine."""
    changes: tuple[ProcedureChange, ...] = ()
    """Each with who, when and why."""


class ShopFile(StrictModel):
    """`shop.yaml`: what the shop's folder builds on."""

    base: Annotated[Text, PlainValidator(word_of), string_schema("A folder, as in `../shared-manual`.")]
    """The folder of the manual that this one extends, told from this file."""

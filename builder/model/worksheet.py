"""Worksheets: named, cited calculations, each with worked examples that run as tests."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from typing import Annotated, Any, Final, TypeVar

from pydantic import Field, PlainValidator, WithJsonSchema

from builder.diagnostics import Fault
from builder.formula import parse
from builder.model.base import StrictModel, Text, Word, Words, flag_of, items_of, whole_of, word_of
from builder.model.layout import PlacedFault
from builder.model.written import Formula, ScalarFault
from builder.number import Number, read_number
from builder.quantity import DATUMS, read_quantity
from builder.units import Unit, unit

V = TypeVar("V")

NO_SOURCE: Final = "common practice, no source"
"""What a worksheet says whose formula nobody published."""

SAMPLE: Final = """\
worksheet: compression_ratio            # equals the file name
code: K16                               # one, several (`[K16, K17]`) or none
title: Compression ratio from measured volumes
subject: volumes                        # the heading it stands under on the page of all worksheets
about: What the ratio is before the head goes on for good.
source: common practice, no source      # or an id of specs/sources.yaml and the place, as in `heywood ch. 2`
inputs:
  bore: in                              # any unit of length may be typed; a bare number is in inches
  stroke: in
  clearance: {unit: cc, title: Clearance volume, default: 70.9 cc}
                                        # `{unit: in, list: true}` is a list of sizes, `0.010, 0.020 in`
is:                                     # in order; each may use the ones before; the last is the answer
  swept: pi / 4 * bore**2 * stroke
  ratio: (swept + clearance) / clearance
shows: {swept: {unit: cc, decimals: 2}, ratio: ratio}
words: [squeeze]
caution: Measure the volume with the plug in.
safety: [hot_parts]                     # ids of specs/hazards.yaml
examples:
  - given: {bore: 101.6 mm, stroke: 76.2 mm, clearance: 81.548526 cc}
    gives: {ratio: 8.575585, swept: 617.777759 cc}      # to the printed digits
    from: arithmetic                    # or the publication and the place; `from memory` where so
    holds_in: both                      # both | python | trap: a published misprint, which must not come out
"""
"""A whole file, `specs/worksheets/compression_ratio.yaml`."""

SUBJECTS: Final[Mapping[str, str]] = {
    "bores": "Bores, pistons and rings",
    "crank": "Crankshaft and bearings",
    "fits": "Fits and heat",
    "valves": "Valves and springs",
    "timing": "Timing",
    "volumes": "Volumes and ratios",
    "bolts": "Bolts and torque",
    "balance": "Balance",
    "power": "Power and weather",
    "measuring": "Measuring",
}
"""The headings of the page of all worksheets, in its order."""

HOLDS_IN: Final = ("both", "python", "trap")
"""Where an example holds: in both evaluators, in Python only, or nowhere, being a published misprint."""

MOST_DECIMALS: Final = 9


@dataclass(frozen=True)
class Input:
    """What is typed in: the unit of a bare number, its name in words, and what stands there at first."""

    unit: Unit
    title: str = ""
    default: Text | None = None
    many: bool = False
    """Whether it is a list of sizes, typed `0.010, 0.020 in`."""
    datum: str = ""
    """The crank position that an angle is told from, as BTDC; beyond it the angle counts below zero."""
    note: str = ""


@dataclass(frozen=True)
class Shown:
    """How a result is shown; `decimals` None leaves them to the unit."""

    unit: Unit
    decimals: int | None = None
    title: str = ""


@dataclass(frozen=True)
class Printed:
    """A printed result: its digits, and where they are printed its unit and how far off it may be."""

    text: Text
    number: Number
    unit: Unit | None
    within: Number | None = None


def _placed_unit(text: Text) -> Unit:
    try:
        return unit(text)
    except Fault as fault:
        raise ScalarFault(fault, text) from None


def _fields(tree: object, known: tuple[str, ...], what: str) -> dict[str, Any]:
    """The pairs of a mapping as a plain dict; a key outside `known` is a fault at its place."""
    pairs = items_of(tree)
    for key, _ in pairs:
        if key not in known:
            raise PlacedFault(f"`{key}` is not known here", f"{what} has {', '.join(known)}", key)
    if "unit" not in dict(pairs):
        raise Fault("the unit is missing", "write it as in `unit: in`")
    return {str(key): value for key, value in pairs}


def input_of(tree: object) -> Input:
    """Read `in`, or `{unit: in, title: Bore, default: 3.5 in, list: true, datum: BTDC, note: …}`."""
    if isinstance(tree, str):
        return Input(_placed_unit(word_of(tree)))
    said = _fields(tree, ("unit", "title", "default", "list", "datum", "note"), "an input")
    datum = word_of(said["datum"]) if "datum" in said else Text("")
    if datum and datum not in DATUMS:
        raise PlacedFault(f"`{datum}` is no crank position", f"write one of {', '.join(DATUMS)}", datum)
    return Input(
        _placed_unit(word_of(said["unit"])),
        str(word_of(said["title"])) if "title" in said else "",
        word_of(said["default"]) if "default" in said else None,
        flag_of(said.get("list", False)),
        str(datum),
        str(word_of(said["note"])) if "note" in said else "",
    )


def shown_of(tree: object) -> Shown:
    """Read `cc`, or `{unit: cc, decimals: 2, title: Swept volume}`."""
    if isinstance(tree, str):
        return Shown(_placed_unit(word_of(tree)))
    said = _fields(tree, ("unit", "decimals", "title"), "a result")
    decimals = whole_of(said["decimals"]) if "decimals" in said else None
    if decimals is not None and decimals > MOST_DECIMALS:
        raise PlacedFault(
            f"`{decimals}` decimals are too many", f"write at most {MOST_DECIMALS}", word_of(said["decimals"])
        )
    title = str(word_of(said["title"])) if "title" in said else ""
    return Shown(_placed_unit(word_of(said["unit"])), decimals, title)


def printed_of(tree: object) -> Printed:
    """Read a printed result: `8.575585`, `617.777759 cc`, `0.2032 ± 0.0002 in`."""
    text = word_of(tree)
    shown, sign, within = map(str.strip, text.partition("±"))
    if not sign:
        return _printed(text, shown)
    span = _printed(text, within)
    return Printed(text, _placed(text, read_number, shown), span.unit, span.number)


def _printed(text: Text, shown: str) -> Printed:
    """A number with or without a unit; a fault in it is told at the whole text."""
    try:
        return Printed(text, read_number(shown), None)
    except Fault:
        read = _placed(text, read_quantity, shown)
        return Printed(text, read.number, read.unit)


def _placed(text: Text, read: Callable[[str], V], words: str) -> V:
    try:
        return read(words)
    except Fault as fault:
        raise PlacedFault(fault.message, fault.hint, text) from None


def _named(tree: object, read: Any) -> Mapping[Text, Any]:  # noqa: ANN401 - one of the readers above
    return {key: read(value) for key, value in items_of(tree)}


def formulas_of(tree: object) -> Mapping[Text, Formula]:
    """Read the formulas of a worksheet; one at least."""
    found = _named(tree, _formula_of)
    if not found:
        raise Fault("there is no formula", "write one a line, as in `ratio: (swept + clearance) / clearance`")
    return found


def _formula_of(tree: object) -> Formula:
    """Parse one formula of `is:`; a fault in it is told at its own place."""
    text = word_of(tree)
    try:
        return Formula(text, parse(text))
    except Fault as fault:
        raise ScalarFault(fault, text) from None


def _one_of(words: Collection[str]) -> Callable[[object], Text]:
    """The reader of a word from a closed list."""

    def read(tree: object) -> Text:
        text = word_of(tree)
        if text not in words:
            raise Fault(f"`{text}` is none of {', '.join(words)}", "write one of these words")
        return text

    return read


def _choice(about: str, words: Collection[str]) -> tuple[PlainValidator, WithJsonSchema]:
    return PlainValidator(_one_of(words)), WithJsonSchema({"enum": list(words), "description": about})


def _mapping(about: str, *one: dict[str, Any]) -> WithJsonSchema:
    return WithJsonSchema(
        {"type": "object", "description": about, "additionalProperties": {"anyOf": list(one)}}
    )


_TEXT: dict[str, Any] = {"type": ["string", "number"]}
_WORDS: dict[str, Any] = {"type": "string"}
_INPUT: dict[str, Any] = {
    "type": "object",
    "required": ["unit"],
    "additionalProperties": False,
    "properties": {
        **dict.fromkeys(("unit", "title", "default", "datum", "note"), _WORDS),
        "list": {"enum": [True, False, "true", "false"]},
    },
}
_SHOWN: dict[str, Any] = {
    "type": "object",
    "required": ["unit"],
    "additionalProperties": False,
    "properties": {**dict.fromkeys(("unit", "title"), _WORDS), "decimals": {"type": "integer"}},
}

SubjectField = Annotated[Text, *_choice("The heading it stands under.", SUBJECTS)]
HoldsInField = Annotated[Text, *_choice("Where the example holds.", HOLDS_IN)]
InputsField = Annotated[
    Mapping[Text, Input],
    PlainValidator(lambda tree: _named(tree, input_of)),
    _mapping("Inputs by name: a unit, or a mapping with one.", _WORDS, _INPUT),
]
FormulasField = Annotated[
    Mapping[Text, Formula],
    PlainValidator(formulas_of),
    _mapping("Formulas by name, in order.", _WORDS),
]
ShowsField = Annotated[
    Mapping[Text, Shown],
    PlainValidator(lambda tree: _named(tree, shown_of)),
    _mapping("Units of results by name.", _WORDS, _SHOWN),
]
GivenField = Annotated[
    Mapping[Text, Text],
    PlainValidator(lambda tree: _named(tree, word_of)),
    _mapping("What is typed, by input.", _TEXT),
]
GivesField = Annotated[
    Mapping[Text, Printed],
    PlainValidator(lambda tree: _named(tree, printed_of)),
    _mapping("Printed results, by name.", _TEXT),
]


class Example(StrictModel):
    """A worked example: it runs as a test in both evaluators."""

    given: GivenField
    """What is typed, by input; an input with a default may be left out."""
    gives: GivesField
    """What comes out, by result, to the printed digits; in the unit it is shown in where none is printed."""
    from_: Word = Field(alias="from")
    """Where the numbers come from: a publication and the place, or `arithmetic`; `from memory` where so."""
    holds_in: HoldsInField = Text("both")
    """`both` evaluators, `python` only, or `trap`: a published misprint, which must not come out."""
    remark: Word | None = None
    """What a reader should know of it: how it was rounded, or what a misprint should be."""


class Worksheet(StrictModel):
    """A named, cited calculation with a worked example."""

    worksheet: Word
    """The id; equals the file name."""
    code: Words = ()
    """Short codes, as in K16; several worksheets may share one."""
    title: Word
    """Its name."""
    subject: SubjectField
    """The heading it stands under, one of `SUBJECTS`."""
    about: Word
    """What it is for and when, in a sentence."""
    source: Word
    """A source's id and the place, or `common practice, no source`."""
    inputs: InputsField
    """What is typed in, by name."""
    is_: FormulasField = Field(alias="is")
    """The formulas in order, each may use the ones before; the last is the answer."""
    shows: ShowsField = Field(default_factory=dict)
    """The unit in which each result is shown; one that is missing is shown as a plain ratio."""
    words: Words = ()
    """Other words that people type to find it."""
    caution: Word | None = None
    """What to mind, in a sentence."""
    safety: Words = ()
    """Hazards, by id."""
    examples: tuple[Example, ...] = ()
    """Worked examples; at least one."""

    @property
    def answer(self) -> Text:
        """The name of the last result."""
        return list(self.is_)[-1]

    @property
    def cites(self) -> tuple[str, str]:
        """The id of the source and the place in it; both empty for common practice."""
        if self.source == NO_SOURCE:
            return "", ""
        source, _, locator = self.source.partition(" ")
        return source, locator.strip()

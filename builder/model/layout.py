"""The traits of an engine family in one place, and the conditions that procedures put on them."""

from __future__ import annotations

from collections.abc import Mapping as MappingABC
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Annotated

from pydantic import PlainValidator, WithJsonSchema

from builder.diagnostics import Fault
from builder.model.base import Text, items_of, word_of, words_of

_BEARINGS = ("poured", "poured_shell", "shell", "roller")

TRAITS: MappingABC[str, tuple[str, ...]] = {
    "arrangement": ("inline", "vee", "flat"),
    "valves": ("side", "overhead", "f_head", "overhead_cam"),
    "tappets": ("solid", "shim", "hydraulic"),
    "cam_drive": ("gear", "chain", "shaft"),
    "main_bearings": _BEARINGS,
    "rod_bearings": _BEARINGS,
    "cylinders": ("monobloc", "pairs", "separate"),
    "head": ("detachable", "fixed"),
    "liners": ("none", "dry", "wet"),
    "oiling": ("splash", "splash_pump", "pressure", "dry_sump"),
    "pin": ("floating", "clamped", "pressed"),
    "ignition": ("battery", "magneto", "dual"),
    "carburettor": ("updraft", "downdraft", "sidedraft"),
    "cooling": ("pump", "thermosyphon"),
    "crankcase": ("iron", "alloy"),
    "carriers": ("bolts", "studs"),
}


@dataclass(frozen=True)
class Condition:
    """A test on a layout: some one of the alternatives holds, each a set of traits that must all fit."""

    alternatives: tuple[MappingABC[str, tuple[Text, ...]], ...]

    def holds(self, layout: MappingABC[str, str]) -> bool:
        """Whether an engine of this layout meets the condition."""
        return any(
            all(layout.get(trait) in values for trait, values in traits.items())
            for traits in self.alternatives
        )


def _closest(word: str, known: tuple[str, ...]) -> str:
    near = get_close_matches(word, known, 1)
    return f"write `{near[0]}`" if near else f"write one of {', '.join(known)}"


def trait_of(key: str) -> tuple[str, ...]:
    """The values that a trait may have."""
    if key not in TRAITS:
        raise Fault(f"`{key}` is not a trait of an engine", _closest(key, tuple(TRAITS)))
    return TRAITS[key]


def _known(key: Text, value: Text) -> Text:
    known = trait_of(key)
    if value not in known:
        raise PlacedFault(f"`{value}` is no value of `{key}`", _closest(value, known), value)
    return value


class PlacedFault(Fault):
    """A fault that knows the very text it is about, deeper than the value that was being read."""

    def __init__(self, message: str, hint: str, text: Text) -> None:
        super().__init__(message, hint)
        self.text = text


def layout_of(tree: object) -> MappingABC[str, Text]:
    """Read the traits of a family."""
    return {_trait(key): _known(key, word_of(value)) for key, value in items_of(tree)}


def _trait(key: Text) -> Text:
    if key not in TRAITS:
        raise PlacedFault(f"`{key}` is not a trait of an engine", _closest(key, tuple(TRAITS)), key)
    return key


def _traits(tree: object) -> MappingABC[str, tuple[Text, ...]]:
    return {_trait(key): tuple(_known(key, word) for word in _listed(value)) for key, value in items_of(tree)}


def _listed(tree: object) -> tuple[Text, ...]:
    """The values of a condition; here `none` is a value (`liners: none`), not an empty list."""
    return (word_of(tree),) if isinstance(tree, str) else words_of(tree)


def condition_of(tree: object) -> Condition:
    """Read `{trait: value or list}` or `{any: [{…}, {…}]}`."""
    pairs = items_of(tree)
    if [key for key, _ in pairs] == ["any"] and isinstance(pairs[0][1], list):
        return Condition(tuple(_traits(item) for item in pairs[0][1]))
    return Condition((_traits(tree),))


_ONE_TRAIT = {
    key: {"anyOf": [{"enum": list(values)}, {"type": "array", "items": {"enum": list(values)}}]}
    for key, values in TRAITS.items()
}

LayoutField = Annotated[
    MappingABC[str, Text],
    PlainValidator(layout_of),
    WithJsonSchema(
        {
            "type": "object",
            "properties": {key: {"enum": list(values)} for key, values in TRAITS.items()},
            "additionalProperties": False,
        }
    ),
]
ConditionField = Annotated[
    Condition,
    PlainValidator(condition_of),
    WithJsonSchema(
        {
            "type": "object",
            "properties": {**_ONE_TRAIT, "any": {"type": "array", "items": {"type": "object"}}},
            "additionalProperties": False,
        }
    ),
]

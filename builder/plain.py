"""Any part of the typed manual as plain data: texts as typed, nothing of where they stand or how they lie.

Two parts that say the same give the same data: runs of blanks are one blank, a value that is only the default
is left out, and lists whose order means nothing are sorted.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import fields, is_dataclass
from typing import Any, Final, TypeAlias

from builder.model.base import StrictModel
from builder.model.layout import Condition
from builder.model.procedure import Count
from builder.model.written import Stated
from builder.units import Unit

Plain: TypeAlias = Any
"""Texts, numbers, lists of plain data and dicts of it by text."""

IN_ANY_ORDER: Final = frozenset(
    {"needs", "tools", "supplies", "hazards", "by", "covers", "before", "protect", "words"}
)
"""Lists of words that say the same in any order."""


def plain(value: Any) -> Plain:  # noqa: ANN401 - any part of the model
    """A part of the model as texts, numbers, lists and dicts with text keys in the author's order."""
    match value:
        case None | bool() | int():
            return value
        case str():
            return " ".join(value.split())
        case Mapping():
            return {str(key): plain(item) for key, item in value.items()}
        case list() | tuple():
            return [plain(item) for item in value]
        case StrictModel():
            return _said(value, type(value).model_fields)
        case _:
            return _read(value)


def _read(value: Any) -> Plain:  # noqa: ANN401 - as above
    """What a parser of texts made, as the texts that it came from."""
    match value:
        case Stated(by=group):
            return plain(group)
        case Condition():
            return _condition(value)
        case Unit():
            return value.symbol
        case Count(when=Condition()):
            return {"count": plain(value.text), "when": plain(value.when)}
    text = getattr(value, "text", None)
    if text is not None:
        return plain(text)
    if not is_dataclass(value):
        raise TypeError(f"{type(value).__name__} is no part of a manual")
    return _said(value, (one.name for one in fields(value)))


def _said(value: Any, names: Iterable[str]) -> dict[str, Plain]:  # noqa: ANN401 - as above
    """The fields of a part that say something."""
    known = ((name, getattr(value, name)) for name in names)
    return {
        name: _field(name, own)
        for name, own in known
        if own is not None and own is not False and own not in EMPTY
    }


EMPTY: Final[tuple[Any, ...]] = ((), {}, "")


def _field(name: str, value: Any) -> Plain:  # noqa: ANN401 - as above
    said = plain(value)
    return sorted(said) if name in IN_ANY_ORDER and isinstance(value, tuple) else said


def _condition(condition: Condition) -> list[Plain]:
    """The alternatives, and in each the values of a trait, in an order of their own."""
    every = [{trait: sorted(map(str, one[trait])) for trait in sorted(one)} for one in condition.alternatives]
    return sorted(every, key=str)

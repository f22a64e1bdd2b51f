"""Where a part of the typed manual was written: in which file, the base's or the shop's, on which line."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from itertools import chain
from typing import Any

from builder.diagnostics import NOWHERE, Span
from builder.model.base import StrictModel
from builder.yaml_text import Text


def written_at(part: Any, keys: tuple[str, ...]) -> Span | None:  # noqa: ANN401 - any part of the model
    """The place of what stands behind these keys, or of the nearest part around it that has a place."""
    found = next(_spans(part), None)
    for key in keys:
        inside = _under(part, key)
        if inside is None:
            break
        part, found = inside, next(_spans(inside), found)
    return found


def _under(part: Any, key: str) -> Any:  # noqa: ANN401 - as above
    if isinstance(part, Mapping):
        return part.get(Text(key))
    if isinstance(part, tuple):
        return part[int(key)] if key.isdigit() and int(key) < len(part) else None
    return getattr(part, key, None)


def _spans(part: Any) -> Iterator[Span]:  # noqa: ANN401 - as above
    """The places of the texts of a part, in its own order; texts that stand in no file have none."""
    if isinstance(part, Text):
        if part.span != NOWHERE:
            yield part.span
    else:
        for inside in _parts(part):
            yield from _spans(inside)


def _parts(part: Any) -> Iterator[Any]:  # noqa: ANN401 - as above
    if isinstance(part, StrictModel):
        return (getattr(part, name) for name in type(part).model_fields)
    if isinstance(part, Mapping):
        return chain.from_iterable(part.items())
    if isinstance(part, tuple):
        return iter(part)
    return (getattr(part, one.name) for one in fields(part)) if is_dataclass(part) else iter(())

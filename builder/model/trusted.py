"""Sheets from plain data, quickly: each distinct text of a field is validated once and then remembered.

A shop's records say the same few thousand words over and over: steps, positions, initials, sizes a tenth
apart. Whatever does not fit raises ValueError; the slow way, which knows lines and columns, then says why.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from operator import getitem
from typing import Any, TypeVar, get_args, get_origin

from pydantic import PlainValidator
from pydantic.fields import FieldInfo

from builder.model.base import StrictModel, Text
from builder.model.record import Sheet

M = TypeVar("M", bound=StrictModel)
Read = Callable[[Any], Any]

REMEMBERED = 100_000
"""Distinct texts of one field that are remembered; beyond that a field is no word list any more."""


def sheet_from(plain: object) -> Sheet:
    """A sheet from plain data whose scalars are all texts.

    Raises:
        ValueError: where it is not as a sheet must be.
    """
    try:
        sheet: Sheet = _model(Sheet)(plain)
    except (KeyError, TypeError, AttributeError) as error:
        raise ValueError(plain) from error
    return sheet


@cache
def _model(model: type[M]) -> Callable[[object], M]:
    """The reader of one model; it remembers in which order keys have come, so that a known order is quick."""
    fields = {field.alias or name: (name, _known(field)) for name, field in model.model_fields.items()}
    needed = {field.alias or name for name, field in model.model_fields.items() if field.is_required()}
    blank = {
        name: None if field.is_required() else field.get_default(call_default_factory=True)
        for name, field in model.model_fields.items()
    }
    whole = tuple(blank)
    orders: dict[tuple[str, ...], tuple[tuple[str, ...], tuple[_Known, ...]]] = {}

    def ordered(keys: tuple[str, ...]) -> tuple[tuple[str, ...], tuple[_Known, ...]]:
        if not needed <= set(keys):
            raise ValueError(keys)
        orders[keys] = tuple(fields[key][0] for key in keys), tuple(fields[key][1] for key in keys)
        return orders[keys]

    def read(plain: object) -> M:
        if not isinstance(plain, dict):
            raise TypeError(plain)
        keys = tuple(plain)
        names, known = orders.get(keys) or ordered(keys)
        values = dict(zip(names, map(getitem, known, plain.values()), strict=True))
        return _made(model, values if names == whole else {**blank, **values})

    return read


def _made(model: type[M], values: dict[str, Any]) -> M:
    """A model of values that are known to fit, made as its own `model_construct` makes it."""
    made = model.__new__(model)
    put = object.__setattr__
    put(made, "__dict__", values)
    put(made, "__pydantic_fields_set__", set())
    put(made, "__pydantic_extra__", None)
    put(made, "__pydantic_private__", None)
    return made


class _Known(dict[Any, Any]):
    """The texts of one field and what each of them reads as."""

    def __init__(self, validate: Read) -> None:
        super().__init__()
        self.validate = validate

    def __missing__(self, plain: Any) -> Any:  # noqa: ANN401 - plain data in, a part of a model out
        if len(self) > REMEMBERED:
            self.clear()
        value = self[plain] = self.validate(plain)
        return value


class _Parts(_Known):
    """The reader of a field that holds more than a word; it remembers nothing of its own."""

    def __getitem__(self, plain: Any) -> Any:  # noqa: ANN401 - as above
        return self.validate(plain)


def _known(field: FieldInfo) -> _Known:
    """The reader of one field: a word, a mapping of words, a list of models, or a model."""
    kind: Any = field.annotation
    validate: Any = next((found.func for found in field.metadata if isinstance(found, PlainValidator)), None)
    if get_origin(kind) is Mapping:
        pairs = _Known(lambda items: validate({Text(key): value for key, value in items}))
        return _Parts(lambda plain: pairs[tuple(plain.items())])
    if get_origin(kind) is tuple:
        one = _model(get_args(kind)[0])
        return _Parts(lambda plain: tuple([one(item) for item in _listed(plain)]))
    return _Known(validate) if validate is not None else _Parts(_model(kind))


def _listed(plain: object) -> list[Any]:
    if not isinstance(plain, list):
        raise TypeError(plain)
    return plain

"""Words out of a closed list, days and moments: what both a job and its sheets are written in."""

from __future__ import annotations

from datetime import date, datetime
from functools import lru_cache, partial
from typing import Annotated, Any

from pydantic import PlainValidator, WithJsonSchema

from builder.diagnostics import Fault
from builder.model.base import Text, string_schema, word_of
from builder.model.layout import PlacedFault
from builder.model.procedure import RUNS, STAGES

_DAY_LENGTH = len("2026-03-19")


def choice_of(known: tuple[str, ...], tree: object) -> Text:
    """One word out of a closed list."""
    text = word_of(tree)
    if text not in known:
        raise PlacedFault(f"`{text}` is not known here", f"write one of {', '.join(known)}", text)
    return text


def one_of(known: tuple[str, ...]) -> Any:  # noqa: ANN401 - pydantic's validator type
    """The validator of a word out of a closed list."""
    return PlainValidator(partial(choice_of, known))


def day_of(tree: object) -> Text:
    """A day of the calendar."""
    text = word_of(tree)
    try:
        date.fromisoformat(text if len(text) == _DAY_LENGTH else "")
    except ValueError:
        raise Fault(f"`{text}` is not a day", "write it as in `2026-03-19`") from None
    return text


def moment_of(tree: object) -> Text:
    """A day, or a day with its time."""
    text = word_of(tree)
    if not _is_moment(text):
        hint = "write it as in `2026-03-19` or `2026-03-19T10:20:00Z`"
        raise Fault(f"`{text}` is not a day or a moment", hint)
    return text


@lru_cache(maxsize=65536)
def _is_moment(text: str) -> bool:
    try:
        datetime.fromisoformat(text if len(text) >= _DAY_LENGTH else "")
    except ValueError:
        return False
    return True


Stage = Annotated[Text, one_of(STAGES), WithJsonSchema({"enum": list(STAGES)})]
Run = Annotated[Text, one_of(RUNS), WithJsonSchema({"enum": list(RUNS)})]
Day = Annotated[Text, PlainValidator(day_of), string_schema("A day, as in `2026-03-19`.", format="date")]
Moment = Annotated[Text, PlainValidator(moment_of), string_schema("A day, or a day with its time.")]

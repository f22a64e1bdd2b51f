"""Days and times of a record, compared as exactly as the less exact of the two allows."""

from __future__ import annotations

from datetime import UTC, datetime
from functools import lru_cache

DAY = len("2026-03-19")


@lru_cache(maxsize=65536)
def moment(when: str) -> str:
    """A day as it is, a time as UTC with its microseconds; what is neither as it was typed."""
    if len(when) <= DAY:
        return when
    try:
        read = datetime.fromisoformat(when)
    except ValueError:
        return when
    if read.tzinfo is not None:
        read = read.astimezone(UTC).replace(tzinfo=None)
    return read.isoformat(timespec="microseconds")


def later(one: str, other: str) -> bool:
    """Whether one moment is surely later than another: a day is not later than a time on that day."""
    first, second = moment(one), moment(other)
    length = min(len(first), len(second))
    return first[:length] > second[:length]


def day(when: str) -> str:
    """The day of a moment."""
    return when[:DAY]


def shown(when: str) -> str:
    """A moment as people write it: `2026-03-19 10:20`."""
    return moment(when)[:16].replace("T", " ")

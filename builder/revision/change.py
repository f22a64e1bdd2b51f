"""One difference between two states of a manual, found in plain data and told in the shop's words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Final, TypeAlias

from builder.citation import split_citations
from builder.diagnostics import Fault
from builder.plain import IN_ANY_ORDER, Plain

Keys: TypeAlias = tuple[str, ...]


@dataclass(frozen=True)
class Change:
    """What it is about, what stood there and what stands there now; either may be empty.

    `keys` is the way to it in its file as it is now, for finding out who changed it and why. `binds` says
    that what was done by the old words is not done by the new ones; `steps` are the steps, by id, that it
    touches.
    """

    about: str
    old: str = ""
    new: str = ""
    keys: Keys = ()
    binds: bool = False
    steps: Keys = ()


def line(change: Change) -> str:
    """A change in one line: `Top ring gap (RNG-01), aim: 0.011 to 0.013 in → 0.012 to 0.014 in`."""
    if change.old and change.new:
        return f"{change.about}: {change.old} → {change.new}"
    if change.new:
        return f"{change.about} added: {change.new}"
    return f"{change.about} taken out: {change.old}" if change.old else change.about


FIELDS: Final = {
    "is_": "formula",
    "from_": "from",
    "hazard_id": "hazard",
    "see": "what is seen",
    "by": "signed by",
    "if_out": "if out",
    "labels": "positions",
    "when": "only if",
    "unless": "not if",
}
"""Keys that read otherwise in words; all others are their own words."""


SETS: Final = IN_ANY_ORDER - {"by"}
"""Lists of which each word that came or went is told by itself; of roles, all that sign are told."""


def word(key: str) -> str:
    """A key as it reads in a sentence."""
    return FIELDS.get(key, key.replace("_", " "))


def differences(about: str, old: Plain, new: Plain, keys: Keys = ()) -> Iterator[Change]:
    """Every difference between two pieces of plain data; `about` names what they are."""
    if old == new:
        return
    if isinstance(old, dict) and isinstance(new, dict):
        for key in dict.fromkeys((*old, *new)):
            there = f"{about}, {word(key)}" if key else about
            yield from differences(there, old.get(key), new.get(key), (*keys, key))
    elif isinstance(old, list) and isinstance(new, list):
        yield from _lists(about, old, new, keys)
    elif old is True or new is True:
        yield Change(f"{about}: {'yes' if new else 'no longer'}", keys=keys)
    else:
        yield Change(about, *without_same_citations(said(old), said(new)), keys)


def _lists(about: str, old: list[Plain], new: list[Plain], keys: Keys) -> Iterator[Change]:
    """Lists of words as sets or as a whole, lists of parts by pairs that are nearest in order."""
    if keys and keys[-1] in SETS:
        yield from (Change(about, said(one), "", keys) for one in old if one not in new)
        yield from (Change(about, "", said(one), keys) for one in new if one not in old)
    elif any(isinstance(one, dict) and not _is_condition(one) for one in (*old, *new)):
        yield from _parts(about, old, new, keys)
    elif len(old) == len(new) == 1 and isinstance(old[0], str):
        yield Change(about, *without_same_citations(said(old), said(new)), keys)
    else:
        yield Change(about, said(old), said(new), keys)


def _is_condition(one: dict[str, Plain]) -> bool:
    return all(isinstance(values, list) for values in one.values())


def _parts(about: str, old: list[Plain], new: list[Plain], keys: Keys) -> Iterator[Change]:
    left = [one for one in old if one not in new]
    fresh = [(place, one) for place, one in enumerate(new) if one not in old]
    if not left and not fresh:
        yield Change(f"{about}: in another order", keys=keys)
    for number in range(max(len(left), len(fresh))):
        before = left[number] if number < len(left) else None
        place, after = fresh[number] if number < len(fresh) else (0, None)
        where = f"{about} {place + 1}" if after is not None and len(new) > 1 else about
        yield from differences(where, before, after, keys if after is None else (*keys, str(place)))


def said(value: Plain) -> str:
    """Plain data as words: a sentence in quotes, a list with commas, parts by their keys."""
    match value:
        case None:
            return ""
        case bool():
            return "yes" if value else "no"
        case list():
            between = "; or " if any(isinstance(one, dict) for one in value) else ", "
            return between.join(map(said, value)) or "none"
        case dict():
            return "; ".join(f"{word(key)} {said(one)}".strip() for key, one in value.items())
        case _:
            return f"“{value}”" if str(value).endswith((".", "?", "!")) else str(value)


def without_same_citations(old: str, new: str) -> tuple[str, str]:
    """Two printed values; where both cite the same places, the values alone."""
    try:
        (before, cited), (after, citing) = split_citations(old), split_citations(new)
    except Fault:
        return old, new
    same = [str(one) for one in cited] == [str(one) for one in citing]
    return (before, after) if same and before and after else (old, new)


def under(keys: Keys, changes: Iterable[Change]) -> Iterator[Change]:
    """Changes with the way to their part put before their own keys."""
    return (replace(one, keys=(*keys, *one.keys)) for one in changes)


def touching(steps: Keys, changes: Iterable[Change], *, binds: bool) -> Iterator[Change]:
    """Changes that touch these steps; none of them binds where `binds` is false."""
    return (replace(one, steps=steps, binds=one.binds and binds) for one in changes)

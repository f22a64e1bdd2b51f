"""One difference between a shop's manual and its base: what it was, what it is, who, when and why."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from builder.diagnostics import Span
from builder.yaml_text import Text, Tree

ADDED: Final = "added"
LEFT_OUT: Final = "left out"


@dataclass(frozen=True)
class Difference:
    """What a folder says otherwise than the manual below it, or besides.

    `about` is what sort of part it is: a row, a step, the head of a procedure, a family, an entry.
    `of` is the family or procedure in which it stands, `name` its id, `key` what is said of it: `aim`, `do`,
    `added`, `left out`. `was` and `now` are in the words of the files, `was` those of the base as it is.
    `places` are where its texts stand, by which a page finds it again; `follows` is the step before one left
    out. A whole file that a folder adds has neither `by` nor `why`: the folder's history tells them.
    """

    about: str
    of: str
    name: str
    key: str
    span: Span
    folder: str
    was: str = ""
    now: str = ""
    by: str = ""
    on: str = ""
    why: str = ""
    places: frozenset[Span] = frozenset()
    follows: str = ""


def taken_in(tree: Tree) -> frozenset[Span]:
    """Where every text of a part stands."""
    return frozenset(text.span for text in texts(tree))


def texts(tree: object) -> Iterator[Text]:
    """Every text of a part, keys too."""
    if isinstance(tree, Text):
        yield tree
    elif isinstance(tree, dict):
        for key, value in tree.items():
            yield from texts(key)
            yield from texts(value)
    elif isinstance(tree, list):
        for item in tree:
            yield from texts(item)


def said(tree: object) -> str:
    """A part of a file in one line, as it was typed: lists with semicolons, mappings with their keys."""
    match tree:
        case None:
            return ""
        case str():
            return " ".join(tree.split())
        case dict():
            return "; ".join(f"{key}: {said(value)}" for key, value in tree.items())
        case list():
            return "; ".join(map(said, tree))
        case _:
            raise TypeError(f"{type(tree).__name__} is no part of a file")


def same(one: object, other: object) -> bool:
    """Whether two parts of files say the same; runs of blanks are one blank."""
    if isinstance(one, str) and isinstance(other, str):
        return one.split() == other.split()
    if isinstance(one, dict) and isinstance(other, dict):
        return one.keys() == other.keys() and all(same(value, other[key]) for key, value in one.items())
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(map(same, one, other))
    return False

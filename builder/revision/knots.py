"""A YAML file as knots: every key and item with its text as typed and the comments that belong to it.

Comments on lines of their own belong to what follows, unless they stand deeper than that; then they end the
part before. A comment at the end of a line belongs to the outermost value that ends there, else to the key.
"""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from builder.revision.edits import LINE_END, Places
from builder.yaml_text import Mapping, Sequence, Text, Tree

_HASH: Final = re.compile(r"(?:^|(?<=[ \t]))#")
Reach = tuple[int, int]


@dataclass(frozen=True)
class Beside:
    """A comment at the end of a line, the line before it, and the blanks between the two."""

    text: str
    line: str
    gap: str


@dataclass(frozen=True)
class Remark:
    """A line of its own, from its offset: a comment at its column, or a blank line without text."""

    start: int
    column: int
    text: str


class Knot:
    """A key with its value, or an item of a list; `key` is empty for an item.

    `raw` is the text of a value that is one scalar or an empty list or mapping, else None. `start` and `end`
    are offsets; a block ends where the key ends that opens it. `column` is that of the key or the dash,
    `inner` that of the text behind the dash.
    """

    def __init__(self, outer: Knot | None, start: int, column: int) -> None:
        self.outer = outer
        self.depth: int = outer.depth + 1 if outer else 0
        self.start = start
        self.column = column
        self.inner = column
        self.end = -1
        self.key = ""
        self.name = ""
        self.raw: str | None = None
        self.listed = False
        self.knots: list[Knot] = []
        self.above: list[str] = []
        self.below: list[str] = []
        self.beside: list[Beside] = []

    def walk(self) -> Iterator[Knot]:
        """Every knot under this one in the order of the text."""
        for knot in self.knots:
            yield knot
            yield from knot.walk()


def knotted(text: str, root: Tree) -> Knot:
    """The knots of a file, comments and blank lines attached."""
    tier = _Tier(text)
    whole = Knot(None, -1, 0)
    tier.value(whole, root)
    _Remarks(text, whole, tier.scalars, tier.flows).attach()
    return whole


def comments(text: str, root: Tree) -> tuple[str, ...]:
    """Every comment of a file in the order of its lines, found without asking what it belongs to."""
    tier = _Tier(text)
    tier.value(Knot(None, -1, 0), root)
    lines = Lines(text, tier.scalars)
    return tuple(line[at:].rstrip() for _, line, at in lines.each() if at is not None)


class _Tier:
    """Makes the knots of one file, noting where scalars and brackets reach."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.places = Places(text)
        self.scalars: list[Reach] = []
        self.flows: list[Reach] = []

    def value(self, knot: Knot, tree: Tree) -> None:
        """Put a value into its knot."""
        start, end = self.places.reach(tree.span)
        knot.listed = isinstance(tree, Sequence)
        if isinstance(tree, Text):
            knot.raw, knot.end = self.scalar(start, end), end
            return
        if self.text[start : start + 1] in ("{", "["):
            self.flows.append((start, end))
            knot.end = end
        if not tree:
            knot.raw = "[]" if knot.listed else "{}"
        elif isinstance(tree, Mapping):
            knot.knots = [self.entry(knot, key, one) for key, one in tree.items()]
        else:
            knot.knots = [self.item(knot, one) for one in tree]

    def scalar(self, start: int, end: int) -> str:
        """The text of a scalar as typed; no comment can be in it."""
        self.scalars.append((start, end))
        return self.text[start:end]

    def entry(self, outer: Knot, key: Text, tree: Tree) -> Knot:
        """A key with its value."""
        start, end = self.places.reach(key.span)
        knot = Knot(outer, start, key.span.column)
        knot.key, knot.name, knot.end = self.scalar(start, end), str(key), end
        self.value(knot, tree)
        return knot

    def item(self, outer: Knot, tree: Tree) -> Knot:
        """An item of a list; it begins at its dash where that is on its line."""
        start = self.places.reach(tree.span)[0]
        dash = start - 1
        while dash >= 0 and self.text[dash] in " \t":
            dash -= 1
        back = start - dash if dash >= 0 and self.text[dash] == "-" else 0
        knot = Knot(outer, start - back, tree.span.column - back)
        knot.inner = tree.span.column
        self.value(knot, tree)
        return knot


class Lines:
    """The lines of a file, and where in them a comment begins."""

    def __init__(self, text: str, scalars: list[Reach]) -> None:
        self.text = text
        self.scalars = sorted(scalars)

    def each(self) -> Iterator[tuple[int, str, int | None]]:
        """Every line: its offset, its text, and where in it the comment begins, if it has one."""
        start = 0
        for found in (*LINE_END.finditer(self.text), None):
            line = self.text[start : found.start() if found else len(self.text)]
            every = (mark.start() for mark in _HASH.finditer(line))
            yield start, line, next((at for at in every if not self.in_scalar(start + at)), None)
            start = found.end() if found else start

    def in_scalar(self, offset: int) -> bool:
        """Whether an offset lies inside a scalar, not at its first sign."""
        place = bisect_left(self.scalars, (offset, -1)) - 1
        return place >= 0 and self.scalars[place][1] > offset


class _Remarks:
    """Gives every comment and blank line of a file to a knot."""

    def __init__(self, text: str, whole: Knot, scalars: list[Reach], flows: list[Reach]) -> None:
        self.text = text
        self.whole = whole
        self.lines = Lines(text, scalars)
        self.flows = flows
        self.knots = list(whole.walk())
        self.starts = [knot.start for knot in self.knots]
        self.by_end = sorted((knot for knot in self.knots if knot.end >= 0), key=lambda knot: knot.end)
        self.ends = [knot.end for knot in self.by_end]

    def attach(self) -> None:
        """Go through the lines; those with nothing but comments and blanks are given away in runs."""
        run: list[Remark] = []
        for start, line, at in self.lines.each():
            before = line if at is None else line[:at]
            if before.strip() or self.lines.in_scalar(start):
                self.give_run(run, start)
                run = []
                if at is not None:
                    self.give_beside(start, line, at)
            else:
                run.append(Remark(start, len(before) + 1, line[len(before) :].rstrip()))
        self.give_run(run, len(self.text) + 1)

    def give_beside(self, start: int, line: str, at: int) -> None:
        """Give a comment behind something to the outermost value that ends there, or to the key."""
        low, high = bisect_right(self.ends, start), bisect_right(self.ends, start + at)
        ended = self.by_end[low:high]
        code = line[:at].rstrip()
        if ended:
            least = min(knot.depth for knot in ended)
            knot = [knot for knot in ended if knot.depth == least][-1]
            if knot.key or knot.raw is not None:
                knot.beside.append(Beside(line[at:].rstrip(), code, line[len(code) : at]))
            else:  # a list or mapping that is an item has no line of its own to stand beside
                knot.above.append(line[at:].rstrip())
        else:
            self.next_to(start + at).above.append(line[at:].rstrip())

    def next_to(self, offset: int) -> Knot:
        """The knot that begins after an offset, or the last one."""
        return self.knots[min(bisect_left(self.starts, offset), len(self.knots) - 1)]

    def give_run(self, run: list[Remark], end: int) -> None:
        """Give lines of comments and blanks to what is before and after them."""
        if not run or not self.knots:
            self.whole.above.extend(remark.text for remark in run)
            return
        start, place = run[0].start, bisect_left(self.starts, end)
        after = self.knots[place] if place < len(self.knots) else None
        before = self.knots[bisect_left(self.starts, start) - 1] if self.starts[0] < start else None
        flow = next((one for one in reversed(self.flows) if one[0] < start < one[1]), None)
        said = [remark.text for remark in run if remark.text]
        if flow is not None:
            inside = after if after is not None and after.start < flow[1] else before
            (inside or self.whole).above.extend(said)
        elif before is not None and before.raw is not None and before.end > start:
            before.above.extend(said)
        elif before is None or (after is not None and after.outer is before):
            (after or self.whole).above.extend(remark.text for remark in run)
        else:
            share(run, before, after)


def share(run: list[Remark], before: Knot, after: Knot | None) -> None:
    """Comments deeper than what follows end the part before; from the first that is not, all goes on.

    After a blank line, a comment as deep as the text of a list's item belongs to that item.
    """
    cut = 0
    for place, remark in enumerate(run):
        parted = any(not one.text for one in run[:place]) and all(one.text for one in run[place:])
        limit = 0 if after is None else after.inner if parted else after.column
        if remark.text and remark.column <= limit:
            break
        cut = place + 1 if remark.text else cut
    for remark in run[:cut]:
        _holder(before, remark.column if remark.text else run[cut - 1].column).below.append(remark.text)
    if after is not None:
        after.above.extend(remark.text for remark in run[cut:])


def _holder(knot: Knot, column: int) -> Knot:
    """The part at whose depth a comment of this column stands."""
    while knot.column > column and knot.outer is not None and knot.outer.column > 0:
        knot = knot.outer
    return knot

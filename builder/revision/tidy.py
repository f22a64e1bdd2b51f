"""Tidying a file: keys in one order, one value a line, indented by two; no word, digit or comment is lost.

Only the layout changes: the same texts are read before and after, or the file stays as it is.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from builder.diagnostics import Fault
from builder.manual import FOLDERS
from builder.revision.edits import LINE_END, line_break
from builder.revision.key_order import Shape, shape_of
from builder.revision.knots import Knot, comments, knotted
from builder.yaml_text import Document, Tree, read_text

STEP: Final = 2
"""Blanks by which each part stands inside the one around it."""


@dataclass(frozen=True)
class Tidied:
    """A file that changed or would change, or the reason why it stays as it is."""

    path: str
    lines: int = 0
    refused: str = ""


def tidy(shop: Path, *, write: bool) -> tuple[Tidied, ...]:
    """Lay out every file of a shop's manual, or only tell which would change."""
    files = (path for folder in FOLDERS for path in sorted((shop / folder).rglob("*.yaml")) if path.is_file())
    found = (_tidied(shop, path, write=write) for path in files)
    return tuple(one for one in found if one is not None)


def _tidied(shop: Path, path: Path, *, write: bool) -> Tidied | None:
    shown = path.relative_to(shop).as_posix()
    try:
        text = path.read_bytes().decode("utf-8")
        new = tidy_text(text, shown)
    except (UnicodeDecodeError, Fault) as refused:
        reason = refused.message if isinstance(refused, Fault) else "it is not UTF-8 text"
        return Tidied(shown, refused=reason)
    if new == text:
        return None
    if write:
        path.write_bytes(new.encode("utf-8"))
    old = Counter(text.splitlines())
    return Tidied(shown, (Counter(new.splitlines()) - old).total() or 1)


def tidy_text(text: str, shown: str) -> str:
    """The text of a file laid out anew.

    Raises:
        Fault: the file does not read, or cannot be laid out without a change of what it says.
    """
    mark = "\ufeff" if text.startswith("\ufeff") else ""
    body = text.removeprefix(mark)
    document = read_text(body, shown)
    laid = _laid_out(body, document, shown)
    again = read_text(laid, shown)
    if not again.faults and (second := _laid_out(laid, again, shown)) != laid:
        laid, again = second, read_text(second, shown)  # a comment that hung loose has found its place
    same = again.root == document.root and not again.faults
    kept = Counter(comments(laid, _root(again))) == Counter(comments(body, _root(document)))
    if not same or not kept or _laid_out(laid, again, shown) != laid:
        raise Fault("it cannot be laid out without changing it", "lay it out by hand")
    return mark + laid


def _root(document: Document) -> Tree:
    if document.root is not None and not document.faults:
        return document.root
    wrong = next(iter(document.faults), None)
    raise Fault(
        f"it does not read: {wrong.span} {wrong.message}" if wrong else "it is empty", "mend that first"
    )


def _laid_out(text: str, document: Document, shown: str) -> str:
    whole = knotted(text, _root(document))
    if whole.raw is not None:
        raise Fault("it is one value and no part of a manual", "write it as other files are written")
    ordered(whole, shape_of(shown, extends=any(one.name == "extends" for one in whole.knots)))
    lines = [*whole.above, *_inside(whole, 0), *whole.below]
    return line_break(text).join(_single_blanks(lines)) + line_break(text)


def ordered(knot: Knot, shape: Shape) -> None:
    """Put the keys of a part, and of all parts in it, into their order; the head of a file stays on top."""
    if not knot.listed and shape.order:
        _sort(knot, shape)
    for one in knot.knots:
        ordered(one, shape.under(one.name) if one.name else shape.each or shape)


def _sort(knot: Knot, shape: Shape) -> None:
    """Sort the keys of a part; a comment at its end stays there, one on top of the file stays on top."""
    if not knot.knots:
        return
    first, last = knot.knots[0], knot.knots[-1]
    places = {name: place for place, name in enumerate(shape.sorted(one.name for one in knot.knots))}
    knot.knots.sort(key=lambda one: places[one.name])
    if knot.outer is None and first is not knot.knots[0]:
        knot.above, first.above = [*knot.above, *first.above], []
    if last is not knot.knots[-1]:
        knot.knots[-1].below, last.below = [*knot.knots[-1].below, *last.below], []


def _inside(knot: Knot, indent: int) -> Iterator[str]:
    for one in knot.knots:
        yield from _item(one, indent) if knot.listed else _entry(one, indent)


def _entry(knot: Knot, indent: int) -> Iterator[str]:
    """A key and its value, with the comments round them."""
    yield from _remarks(knot.above, indent)
    yield from _valued(knot, f"{' ' * indent}{knot.key}:", indent)
    yield from _remarks(knot.below, indent)


def _item(knot: Knot, indent: int) -> Iterator[str]:
    """An item of a list: a dash before its first line."""
    pad = " " * indent
    yield from _remarks(knot.above, indent)
    if knot.raw is not None:
        yield from _valued(knot, f"{pad}-", indent)
    else:
        yield from _remarks(_lifted(knot), indent)
        first, *rest = _inside(knot, indent + STEP)
        yield f"{pad}- {first.strip()}"
        yield from rest
    yield from _remarks(knot.below, indent)


def _lifted(knot: Knot) -> list[str]:
    """The comments above the first part of an item, taken out to stand above its dash."""
    first = knot.knots[0]
    above, first.above = first.above, []
    if not first.key and first.raw is None:
        above = [*above, *_lifted(first)]
    return above


def _valued(knot: Knot, head: str, indent: int) -> Iterator[str]:
    """A head with its value: on its line, on more lines where it was typed on more, or indented below."""
    if knot.raw is None:
        yield _with_remark(head, knot)
        yield from _inside(knot, indent + STEP)
    elif knot.raw[:1] in ("|", ">"):
        yield from _literal(knot.raw, head, indent + STEP)
    else:
        first, *more = LINE_END.split(knot.raw)
        rest = [f"{' ' * (indent + STEP)}{line.lstrip()}".rstrip() for line in more]
        lines = [f"{head} {first}".rstrip(), *rest]
        yield from lines[:-1]
        yield _with_remark(lines[-1], knot)


def _literal(raw: str, head: str, indent: int) -> Iterator[str]:
    """A text in lines (`|` or `>`), moved to its new indent as a whole."""
    first, *lines = LINE_END.split(raw)
    if any(sign.isdigit() for sign in first.split("#")[0]):
        raise Fault("a text in lines tells its own indent", "take the digit after `|` or `>` out")
    own = min((len(line) - len(line.lstrip(" ")) for line in lines if line.strip()), default=0)
    yield f"{head} {first}".rstrip()
    yield from (
        f"{' ' * indent}{line[own:]}" if line[own:] else ""
        for line in lines[: len(lines) - (lines[-1:] == [""])]
    )


def _with_remark(line: str, knot: Knot) -> str:
    """A line with the comment beside it, as far off as before where nothing but the indent has changed."""
    for beside in knot.beside:
        gap = beside.gap if beside.line.lstrip(" -") == line.lstrip(" -") else " " * STEP
        line = f"{line}{gap}{beside.text}"
    return line


def _remarks(lines: list[str], indent: int) -> Iterator[str]:
    return (f"{' ' * indent}{line}" if line else "" for line in lines)


def _single_blanks(lines: list[str]) -> Iterator[str]:
    """Lines with one blank line where there were more, and none at either end."""
    last = ""
    for place, line in enumerate(lines):
        if line or (last and any(lines[place:])):
            yield line
        last = line


def lines(found: tuple[Tidied, ...], *, written: bool) -> Iterator[str]:
    """What was laid out, or would be, and what stays as it is and why; one line a file."""
    verb = "laid out" if written else "would lay out"
    for one in found:
        many = "1 line" if one.lines == 1 else f"{one.lines} lines"
        yield f"left: {one.path}: {one.refused}" if one.refused else f"{verb}: {one.path}, {many} new"
    if not found:
        yield "every file is laid out already"

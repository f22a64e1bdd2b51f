"""What a shop decided against the manual that it extends, in words: who, when, why, and the base's own."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from builder.checklist import Checklist
from builder.diagnostics import Span
from builder.layers import ADDED, LEFT_OUT, Difference
from builder.manual import Manual
from builder.model.procedure import Procedure
from builder.model.spec import LIMIT_KINDS
from builder.render import words
from builder.yaml_text import Text

SENTENCES: Final = {"do": "Reworded", "why": "Reason", "expect": "When right", "mistake": "Usual mistake"}
"""What a shop did to a sentence of a step, or which one it is."""


def whose(one: Difference) -> str:
    """The folder that decided it: `this shop`, or the base that itself extends another one."""
    return f"the base {one.folder}" if one.folder else "this shop"


def because(one: Difference) -> str:
    """Who decided it, when and why, and the base: `By this shop, R.T. 2026-03-02: … The base has ….`."""
    who = f"{whose(one)}, {one.by} {one.on}" if one.by else whose(one)
    why = f": {full(one.why)}" if one.why else "."
    return f"By {who}{why}{_base(one)}"


def _base(one: Difference) -> str:
    """What the base says there."""
    if one.key in (ADDED, LEFT_OUT) or one.key.startswith("put in"):
        return ""
    if one.was.startswith("unknown: "):
        return f" The base knows of none: {full(one.was.removeprefix('unknown: '))}"
    return f" The base has {_quoted(one.was)}" if one.was else " The base says nothing there."


def _quoted(text: str) -> str:
    return f"“{text}”" if text.endswith((".", "?", "!")) else f"{text}."


def full(text: str) -> str:
    """A sentence with its full stop."""
    return text if text.endswith((".", "?", "!")) else f"{text}."


def files(manual: Manual, name: Text) -> str:
    """The files in which a family or a procedure is written: the base's, and the shop's against it."""
    against = (one.span.path for one in manual.differences if one.of == name)
    return " and ".join(dict.fromkeys((name.span.path, *against)))


def at(manual: Manual, span: Span) -> str:
    """What was decided where a value stands; empty where it is the base's, or there is no base."""
    one = manual.differs_at.get(span)
    return because(one) if one is not None else ""


def of_row(manual: Manual, engine: str, name: str) -> Iterator[str]:
    """What was decided about a row besides its limits: that it was added, what instrument reads it."""
    for one in manual.differences:
        if one.about == "row" and (one.of, one.name) == (engine, name) and one.key not in LIMIT_KINDS:
            what = "Added" if one.key == ADDED else f"{words.plain(one.key).capitalize()} chosen"
            yield f"{what}. {because(one)}"


def of_limits(manual: Manual, engine: str, name: str) -> Iterator[str]:
    """What was decided about the limits of a row, each with its kind."""
    for one in manual.differences:
        if one.about == "row" and (one.of, one.name) == (engine, name) and one.key in LIMIT_KINDS:
            yield f"{words.LIMITS[one.key].label.capitalize()}: {because(one)}"


def of_step(differences: Iterable[Difference], step: str) -> Iterator[str]:
    """What was decided about a step: that it was put in, or which of its sentences are other ones."""
    for one in differences:
        if one.about == "step" and one.name == step and one.key != LEFT_OUT:
            yield f"{SENTENCES.get(one.key, 'Put in')}. {because(one)}"


def of_procedure(procedure: Procedure, differences: Iterable[Difference]) -> Iterator[str]:
    """What was decided about a procedure as a whole: steps left out, what was added at its head."""
    for one in differences:
        if one.about == "procedure" and one.name == procedure.procedure:
            yield f"The whole procedure. {because(one)}"
        elif one.of != procedure.procedure:
            continue
        elif one.key == LEFT_OUT:
            place = f" after step {one.follows}" if one.follows else " at the beginning"
            yield f"Left out{place}: {_quoted(one.was)} {because(one)}"
        elif one.about in ("head", "part"):
            what = words.plain(one.name) if one.about == "part" else f"{words.plain(one.name)}: {one.now}"
            yield f"Added, {what}. {because(one)}"


def of_checklist(checklist: Checklist) -> tuple[str, ...]:
    """What was decided about the procedure of a checklist as a whole."""
    return tuple(of_procedure(checklist.procedure, checklist.manual.differences))

"""Where a characteristic turns up in the work: the steps that read or name it, what to do when it is out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from builder.checklist import Checklist, ChecklistStep, checklists, mentioned
from builder.formula import Node
from builder.formula.nodes import Call, Compare, Name, children
from builder.manual import Manual
from builder.model.procedure import IfOut, Procedure

Key = tuple[str, str]
"""An engine family and a characteristic, by id."""

_OPPOSITE = {"<": ">", "<=": ">=", ">": "<", ">=": "<="}


@dataclass(frozen=True)
class Place:
    """A step of a family's checklist."""

    procedure: Procedure
    step: ChecklistStep


@dataclass(frozen=True)
class Remedy:
    """What a step says to do when a characteristic is `under` or `over` its limit, or `out` either way.

    `then` is the step to go on from; None where the work stops.
    """

    place: Place
    side: str
    rule: IfOut
    then: Place | None


@dataclass(frozen=True)
class Trace:
    """The steps that read a characteristic, those that only name it, and what is done when it is out."""

    read_in: tuple[Place, ...] = ()
    named_in: tuple[Place, ...] = ()
    remedies: tuple[Remedy, ...] = ()


def traces(manual: Manual) -> Mapping[Key, Trace]:
    """Where each characteristic that a checklist speaks of turns up, in the order of the route."""
    found: dict[Key, list[tuple[str, Place | Remedy]]] = {}
    for checklist in checklists(manual):
        for name, said in _said(checklist):
            found.setdefault((str(checklist.engine.engine), name), []).append(said)
    return {key: _trace(said) for key, said in found.items()}


def _said(checklist: Checklist) -> Iterator[tuple[str, tuple[str, Place | Remedy]]]:
    """What a checklist says of each characteristic, step by step."""
    places = {str(step.step.id): Place(checklist.procedure, step) for step in checklist.steps}
    for place in places.values():
        step = place.step
        read = set(_read_in(step))
        yield from ((name, ("read", place)) for name in sorted(read))
        yield from ((name, ("named", place)) for name in sorted(set(mentioned(step)) - read))
        for rule in step.if_out:
            for name, side in sides_of(rule.when.node).items():
                yield name, ("remedy", Remedy(place, side, rule, places.get(str(rule.then))))


def _read_in(step: ChecklistStep) -> Iterator[str]:
    for grid in step.grids:
        yield from map(str, (grid.measure.against or {}).values())
    yield from (str(out.against) for out in step.work_outs.values() if out.against)


def sides_of(node: Node) -> Mapping[str, str]:
    """The characteristics (dotted names) that a test is held against, and on which side it then lies.

    `under` where the test is less than the low end, `over` where it is more than the high end; a comparison
    with an end from its inner side (`>= low(x) - 0.0005 * inch`) only narrows it. Anything else is `out`.
    """
    found: dict[str, set[str]] = {}
    for compare in _compares(node):
        turned = _OPPOSITE.get(compare.operator, "")
        for operator, side in ((turned, compare.left), (compare.operator, compare.right)):
            for name, end in _ends(side):
                found.setdefault(name, set()).add(_side(operator, end))
    return {name: _only(sides - {""}) for name, sides in found.items()}


def _ends(node: Node, end: str = "") -> Iterator[tuple[str, str]]:
    """The characteristics in a formula, and the end of its limit that each stands for, if any."""
    if isinstance(node, Name) and "." in node.name:
        yield node.name, end
    inner = node.function if isinstance(node, Call) and node.function in ("low", "high") else end
    for child in children(node):
        yield from _ends(child, inner)


def _side(operator: str, end: str) -> str:
    """On which side of a limit that lies which compares so with one of its ends; empty if that is open."""
    if operator.startswith("<"):
        return "" if end == "high" else "under"
    if operator.startswith(">"):
        return "" if end == "low" else "over"
    return ""


def _only(sides: set[str]) -> str:
    return sides.pop() if len(sides) == 1 else "out"


def _compares(node: Node) -> Iterator[Compare]:
    if isinstance(node, Compare):
        yield node
    for child in children(node):
        yield from _compares(child)


def _trace(said: list[tuple[str, Place | Remedy]]) -> Trace:
    places = [(sort, item) for sort, item in said if isinstance(item, Place)]
    return Trace(
        read_in=tuple(place for sort, place in places if sort == "read"),
        named_in=tuple(place for sort, place in places if sort == "named"),
        remedies=tuple(item for _, item in said if isinstance(item, Remedy)),
    )

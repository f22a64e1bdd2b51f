"""The order of the work: needs that form a circle, steps that lead nowhere or round for ever."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from builder.manual import Manual
from builder.model.base import Text
from builder.model.procedure import IfOut, Procedure, Step
from builder.rules.catalogue import Finding, rule
from builder.rules.wording import nearest

Needs = Mapping[str, tuple[Text, ...]]


def _graph(manual: Manual) -> Needs:
    """What each procedure and each hold waits for; a hold waits for the one procedure that signs it."""
    graph: dict[str, tuple[Text, ...]] = {}
    for procedure in manual.route:
        graph[str(procedure.procedure)] = tuple(procedure.needs)
    for name, hold in manual.holds.items():
        for later in hold.before:
            if later in graph:
                graph[str(later)] += (Text(f"hold {name}", later.span),)
    for name in manual.holds:
        signers = [
            one.procedure
            for one in manual.procedures.values()
            if any(step.hold == name for step in one.steps)
        ]
        graph[f"hold {name}"] = (signers[0],) if len(signers) == 1 else ()
    return graph


@rule("GL-340")
def needs_in_a_circle(manual: Manual) -> Iterator[Finding]:
    """Procedures and holds wait for each other in a circle.

    Why: None of them can ever begin.

    Instead: Take out the need that is not one: look which of them is really done first.
    """
    graph = _graph(manual)
    done: set[str] = set()
    for start in graph:
        yield from _circles(graph, start, done)


def _circles(graph: Needs, start: str, done: set[str]) -> Iterator[Finding]:
    """Walk the needs from one procedure; each need that leads back onto the way is a finding."""
    way: list[str] = []
    open_ends: list[tuple[str, Iterator[Text]]] = []
    if start not in done:
        way.append(start)
        open_ends.append((start, iter(graph[start])))
    while open_ends:
        name, needs = open_ends[-1]
        need = next(needs, None)
        if need is None:
            open_ends.pop()
            way.pop()
            done.add(name)
        elif need in way:
            yield _circle(way[way.index(str(need)) :], need)
        elif need not in done and need in graph:
            way.append(str(need))
            open_ends.append((str(need), iter(graph[str(need)])))


def _circle(way: list[str], need: Text) -> Finding:
    turn = " needs ".join(f"`{name}`" for name in [*way, str(need)])
    return Finding(need.span, f"{turn}: a circle", "take out the need that is not one")


def _following(procedure: Procedure) -> Iterator[tuple[Step, IfOut]]:
    for step in procedure.steps:
        for if_out in step.if_out:
            yield step, if_out


@rule("GL-341")
def step_to_go_on_from_not_known(manual: Manual) -> Iterator[Finding]:
    """What to do when a value is out ends at a step that the procedure does not have.

    Why: The builder stands there with a part that is out and does not know where to go on.

    Instead: Write the id of a step of the same procedure, or `stop`.
    """
    for procedure in manual.procedures.values():
        ids = [str(step.id) for step in procedure.steps]
        for _, if_out in _following(procedure):
            if if_out.then != "stop" and if_out.then not in ids and if_out.then not in manual.left_out:
                hint = nearest(if_out.then, [*ids, "stop"], "write the id of a step, or `stop`")
                yield Finding(if_out.then.span, f"`{if_out.then}` is no step of this procedure", hint)


@rule("GL-342")
def step_id_twice(manual: Manual) -> Iterator[Finding]:
    """Two steps of a procedure have the same id.

    Why: A reading, a tick or a signature belongs to a step by its id; with two alike it belongs to neither.

    Instead: Give each step an id of its own.
    """
    for procedure in manual.procedures.values():
        seen: dict[str, Text] = {}
        for step in procedure.steps:
            if step.id in seen:
                line = seen[str(step.id)].span.line
                yield Finding(
                    step.id.span,
                    f"`{step.id}` is the id of the step on line {line} already",
                    "write another id",
                )
            seen.setdefault(str(step.id), step.id)


@rule("GL-343")
def loop_without_end(manual: Manual) -> Iterator[Finding]:
    """A correction leads back to an earlier step without saying how many times.

    Why: A loop that never ends hides a bad gauge, a bad supplier or a procedure that does not work.

    Instead: Write `at_most: 3 passes`; after that the foreman decides.
    """
    for procedure in manual.procedures.values():
        places = {str(step.id): at for at, step in enumerate(procedure.steps)}
        for step, if_out in _following(procedure):
            back = str(if_out.then) in places and places[str(if_out.then)] <= places[str(step.id)]
            if back and if_out.at_most is None:
                message = f"going back to `{if_out.then}` has no end"
                yield Finding(if_out.then.span, message, "write `at_most:`, as in `at_most: 3 passes`")

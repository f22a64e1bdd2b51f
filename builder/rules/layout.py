"""The layout of families, and what procedures put as conditions on it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from builder.diagnostics import Severity
from builder.manual import Manual
from builder.model.base import Text
from builder.model.layout import TRAITS, Condition
from builder.model.procedure import Look, Measure, Planned, Procedure, Step, WorkOut
from builder.rules.catalogue import Finding, rule
from builder.rules.wording import listed


def conditions(manual: Manual) -> Iterator[Condition]:
    """Every condition that the manual puts on a layout."""
    every: tuple[Procedure | Planned, ...] = (*manual.procedures.values(), *manual.planned.values())
    yield from (procedure.applies for procedure in every if procedure.applies is not None)
    for procedure in manual.procedures.values():
        yield from (count.when for count in procedure.parts.values() if count.when is not None)
        for step in procedure.steps:
            yield from _of_step(step)
    for hold in manual.holds.values():
        yield from (one for one in (hold.when, hold.unless) if one is not None)


def _of_step(step: Step) -> Iterator[Condition]:
    yield from (count.when for count in step.parts.values() if count.when is not None)
    parts: tuple[Step | Measure | WorkOut | Look, ...] = (
        step,
        *step.measure.values(),
        *step.work_out.values(),
        *step.look.values(),
    )
    for part in parts:
        yield from (one for one in (part.when, part.unless) if one is not None)


@rule("GL-320")
def trait_not_given(manual: Manual) -> Iterator[Finding]:
    """A family does not state a trait that some procedure asks for.

    Why: A condition on a missing trait is never met, so the step silently drops out of the family's sheet.

    Instead: Write the trait under `layout:` of the family.
    """
    asked: dict[str, Text] = {}
    for condition in conditions(manual):
        for alternative in condition.alternatives:
            for trait in alternative:
                asked.setdefault(str(trait), trait if isinstance(trait, Text) else Text(trait))
    for engine in manual.engines.values():
        layout: Mapping[str, Text] = engine.layout
        for trait, where in asked.items():
            if trait not in layout and trait not in manual.left_out:
                message = f"`{engine.engine}` does not state `{trait}`, which `{where.span.path}` asks for"
                yield Finding(
                    engine.engine.span, message, f"write `{trait}:` under `layout:`, {listed(TRAITS[trait])}"
                )


@rule("GL-321", Severity.WARNING)
def procedure_for_no_family(manual: Manual) -> Iterator[Finding]:
    """A procedure's condition fits no family of the shop.

    Why: No sheet is ever printed from it. Most often a trait is misread or written under the wrong key.

    Instead: Look at `applies:` again, or write the family for which it is meant.
    """
    if not manual.engines or any(name.startswith("specs/engines/") for name in manual.left_out):
        return
    every: tuple[Procedure | Planned, ...] = (*manual.procedures.values(), *manual.planned.values())
    for procedure in every:
        if not manual.families_of(procedure):
            message = f"`{procedure.procedure}` applies to no family"
            yield Finding(
                procedure.procedure.span, message, "look at `applies`, or write the family it is for"
            )


@rule("GL-322")
def written_and_planned(manual: Manual) -> Iterator[Finding]:
    """A procedure that is written is still listed as planned.

    Why: The route would show it twice, once as missing.

    Instead: Remove it from `procedures/planned.yaml`.
    """
    for name, plan in manual.planned.items():
        if name in manual.procedures:
            yield Finding(
                plan.procedure.span, f"`{name}` is written already", "remove it from the planned ones"
            )

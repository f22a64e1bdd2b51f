"""What procedures refer to, in every family that they serve: characteristics, features, holds, hazards."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import chain, product

from builder.checklist import fits
from builder.diagnostics import Span
from builder.manual import Manual
from builder.model.base import Sentence, Text
from builder.model.engine import Engine
from builder.model.layout import TRAITS, Condition
from builder.model.procedure import Count, Look, Measure, Procedure, Step, WorkOut
from builder.rules.catalogue import Finding, rule
from builder.rules.references import known_name, known_procedure
from builder.rules.wording import listed, nearest

_AMOUNT = "amount"


@dataclass(frozen=True)
class Mention:
    """A name that a step uses, where it stands, and the part whose conditions say on which families."""

    name: str
    span: Span
    part: Step | Measure | WorkOut | Look | None = None
    count: Count | None = None

    def counts_on(self, engine: Engine) -> bool:
        """Whether a family has the part that uses it."""
        if self.part is not None and not fits(engine, self.part.when, self.part.unless):
            return False
        return self.count is None or fits(engine, self.count.when, None)


def sentences(step: Step) -> Iterator[tuple[Sentence, Look | None]]:
    """Every sentence of a step that a builder reads, corrections last, each with its look if it has one."""
    for one in (step.do, step.why, step.expect, step.mistake):
        if one is not None:
            yield one, None
    yield from ((look.see, look) for look in step.look.values())
    yield from ((if_out.do, None) for if_out in step.if_out)


def characteristics(step: Step) -> Iterator[Mention]:
    """Every characteristic that a step names outside its formulas."""
    own = {_AMOUNT, *map(str, step.work_out), *map(str, step.measure)}
    for sentence, look in sentences(step):
        for one in sentence.mentions:
            if one.name not in own:
                yield Mention(one.name, sentence.text.part(one.start, one.end), look)
    for measure in step.measure.values():
        yield from (Mention(name, name.span, measure) for name in (measure.against or {}).values())
    for out in step.work_out.values():
        named = (one for one in (out.against, out.size_for) if one is not None)
        yield from (Mention(one, one.span, out) for one in named)
    if step.figure is not None and "." in step.figure:
        start = step.figure.find(" ") + 1
        yield Mention(step.figure[start:], step.figure.part(start))


def features(step: Step) -> Iterator[Mention]:
    """Every feature that a step names."""
    parts: Iterable[Measure | Look] = chain(step.measure.values(), step.look.values())
    for one in parts:
        if one.each is not None:
            yield Mention(one.each, one.each.span, one)
    yield from counted(step.parts)


def counted(parts: Mapping[Text, Count]) -> Iterator[Mention]:
    """Every feature for each of which a part is counted."""
    for count in parts.values():
        if count.each is not None:
            start = len(count.text) - len(count.each)
            yield Mention(count.each, count.text.part(start), count=count)


def missing_on(
    manual: Manual,
    families: Iterable[Engine],
    step: Step | None,
    mention: Mention,
    tables: Mapping[str, Iterable[str]],
) -> tuple[list[Engine], list[Engine]]:
    """The families on which a mention counts, and those of them that lack what it names."""
    concerned = [
        engine
        for engine in families
        if (step is None or fits(engine, step.when, step.unless)) and mention.counts_on(engine)
    ]
    lacking = [one for one in concerned if not known_name(manual, mention.name, tables[str(one.engine)])]
    return concerned, lacking


def _lacking(
    concerned: list[Engine], lacking: list[Engine], mention: Mention, thing: str, known: Iterable[str]
) -> Finding:
    if len(lacking) == len(concerned):
        hint = nearest(mention.name, known, f"write the name of a {thing} of the family")
        return Finding(mention.span, f"`{mention.name}` is a {thing} of no family that this is for", hint)
    names = listed(one.engine for one in lacking)
    message = f"`{mention.name}` is no {thing} of {names}, which this is also for"
    return Finding(mention.span, message, "add it there, or say under `when` which layouts have it")


def _unresolved(
    manual: Manual,
    thing: str,
    tables: Mapping[str, Mapping[Text, object]],
    procedure: Procedure,
    mentions: Iterable[tuple[Step | None, Mention]],
) -> Iterator[Finding]:
    families = manual.families_of(procedure)
    for step, mention in mentions:
        concerned, lacking = missing_on(manual, families, step, mention, tables)
        if lacking:
            known = [str(name) for engine in concerned for name in tables[str(engine.engine)]]
            yield _lacking(concerned, lacking, mention, thing, known)


@rule("GL-330")
def characteristic_not_known(manual: Manual) -> Iterator[Finding]:
    """A step speaks of a characteristic that the spec table of some family it serves does not have.

    Why: On that family's sheet there would be a gap where the limit belongs, and the reading would be judged
    by nothing.

    Instead: Correct the id, add the row to the family, or put the step, the measurement or the sentence under
    `when:` with the layouts that have it.
    """
    tables = {str(engine.engine): engine.specs for engine in manual.engines.values()}
    for procedure in manual.procedures.values():
        mentions = ((step, mention) for step in procedure.steps for mention in characteristics(step))
        yield from _unresolved(manual, "characteristic", tables, procedure, mentions)


@rule("GL-331")
def feature_of_step_not_known(manual: Manual) -> Iterator[Finding]:
    """A step measures, looks at or fits each of a feature that some family it serves does not have.

    Why: Nothing says how many boxes to print, so none is printed.

    Instead: Correct the name, add the feature to the family, or put it under `when:`.
    """
    tables = {str(engine.engine): engine.features for engine in manual.engines.values()}
    for procedure in manual.procedures.values():
        of_steps = ((step, mention) for step in procedure.steps for mention in features(step))
        of_parts = ((None, mention) for mention in counted(procedure.parts))
        yield from _unresolved(manual, "feature", tables, procedure, chain(of_parts, of_steps))


def _no_target(manual: Manual, name: Text) -> bool:
    """Whether a need or a redo names neither a procedure nor a hold."""
    if name.startswith("hold "):
        hold = name.removeprefix("hold ")
        return not known_name(manual, hold, manual.holds) and not _lost(
            manual, "procedures/holds.yaml", manual.holds
        )
    return not known_procedure(manual, name)


def _lost(manual: Manual, path: str, table: Mapping[str, object]) -> bool:
    """Whether a shared table could not be read at all."""
    return not table and path in manual.left_out


def _target_hint(manual: Manual, name: str) -> str:
    known = [*manual.procedures, *manual.planned, *(f"hold {hold}" for hold in manual.holds)]
    return nearest(name, known, "write the id of a procedure, or `hold` and the id of a hold")


@rule("GL-332")
def need_not_known(manual: Manual) -> Iterator[Finding]:
    """A procedure needs a procedure or a hold that does not exist.

    Why: What must come before is not known, so the work can begin without it.

    Instead: Correct the name. A procedure that is not written yet is declared in `procedures/planned.yaml`; a
    hold is written `hold bearings-witnessed`.
    """
    for procedure in manual.route:
        for name in procedure.needs:
            if _no_target(manual, name):
                message = f"`{name}` is neither a procedure nor a hold"
                yield Finding(name.span, message, _target_hint(manual, name))


@rule("GL-333")
def redo_not_known(manual: Manual) -> Iterator[Finding]:
    """Something is to be done again that is neither a procedure nor a hold.

    Why: Whoever touched the part is sent nowhere, and the work that depends on it stays as it was.

    Instead: Write the id of a procedure, written or planned, or `hold` and the id of a hold.
    """
    of_steps = (name for one in manual.procedures.values() for step in one.steps for name in step.redo)
    of_table = (name for one in manual.redo for name in one.redo)
    for name in chain(of_steps, of_table):
        if _no_target(manual, name) and name not in manual.holds:
            message = f"`{name}` is neither a procedure nor a hold"
            yield Finding(name.span, message, _target_hint(manual, name))


@rule("GL-334")
def hold_of_step_not_known(manual: Manual) -> Iterator[Finding]:
    """A step stops at a hold that is not in the table of holds.

    Why: Nobody knows what is to be seen there and who signs, so nobody stops.

    Instead: Write the id of a hold of `procedures/holds.yaml`, or add it there.
    """
    if _lost(manual, "procedures/holds.yaml", manual.holds):
        return
    for procedure in manual.procedures.values():
        for step in procedure.steps:
            if step.hold is not None and not known_name(manual, step.hold, manual.holds):
                hint = nearest(step.hold, manual.holds, "add it to `procedures/holds.yaml`")
                yield Finding(step.hold.span, f"`{step.hold}` is not a declared hold", hint)


@rule("GL-336")
def hazard_not_known(manual: Manual) -> Iterator[Finding]:
    """A procedure or a step names a hazard that is not declared.

    Why: No message can be printed before the step, so the builder is not warned.

    Instead: Write the id of a hazard of `specs/hazards.yaml`, or add it there.
    """
    if _lost(manual, "specs/hazards.yaml", manual.hazards):
        return
    for procedure in manual.procedures.values():
        messages = (message.hazard_id for step in procedure.steps for message in step.safety)
        for name in chain(procedure.hazards, messages):
            if name is not None and not known_name(manual, name, manual.hazards):
                hint = nearest(name, manual.hazards, "add it to `specs/hazards.yaml`")
                yield Finding(name.span, f"`{name}` is not a declared hazard", hint)


@rule("GL-337")
def condition_never_met(manual: Manual) -> Iterator[Finding]:
    """A step can be on no engine at all: its condition and that of its procedure exclude each other.

    Why: It is printed on no sheet, now or ever. A step for a layout that no family has yet is no fault.

    Instead: Look at `when:` and `unless:` again, or at `applies:` of the procedure.
    """
    for procedure in manual.procedures.values():
        for step in procedure.steps:
            if (step.when or step.unless) and not _possible(procedure.applies, step.when, step.unless):
                yield Finding(
                    step.id.span, f"`{step.id}` is a step on no engine", "look at its `when` and `unless`"
                )


def _possible(applies: Condition | None, when: Condition | None, unless: Condition | None) -> bool:
    """Whether some engine could have what stands under these conditions: every layout is tried."""
    asked = [one for one in (applies, when, unless) if one is not None]
    traits = sorted({str(trait) for one in asked for group in one.alternatives for trait in group})
    choices = product(*(TRAITS[trait] for trait in traits))
    layouts = (dict(zip(traits, chosen, strict=True)) for chosen in choices)
    return any(
        all(one.holds(layout) for one in (applies, when) if one is not None)
        and not (unless is not None and unless.holds(layout))
        for layout in layouts
    )

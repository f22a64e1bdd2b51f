"""What a step measures and with what: units, labels, names, tools, parts."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date

from builder.checklist import fits
from builder.diagnostics import Severity
from builder.dimension import Dimension
from builder.edition import wording
from builder.manual import Manual, feature, row
from builder.model.base import Text
from builder.model.engine import Engine
from builder.model.procedure import RUNS, VERIFICATIONS, Measure, Procedure, Step
from builder.model.spec import LimitRow
from builder.rules.catalogue import Finding, rule
from builder.rules.mentions import sentences
from builder.rules.references import lost
from builder.rules.table import dimension
from builder.rules.wording import listed, nearest

_DIGEST = re.compile(r"[0-9a-f]{8}")


def measures(manual: Manual) -> Iterator[tuple[Procedure, Step, Text, Measure]]:
    """Every measurement of every procedure, with its step and name."""
    for procedure in manual.procedures.values():
        for step in procedure.steps:
            for name, measure in step.measure.items():
                yield procedure, step, name, measure


def measured(manual: Manual, procedure: Procedure, measure: Measure) -> Iterator[Dimension]:
    """What the characteristics measure that a measurement is held against, family by family."""
    for engine in manual.families_of(procedure):
        for name in (measure.against or {}).values():
            found = row(engine, name)
            own = dimension(engine, found) if isinstance(found, LimitRow) else None
            if own is not None:
                yield own


@rule("GL-401")
def reading_without_limit_or_unit(manual: Manual) -> Iterator[Finding]:
    """Something is measured and nothing says what it is held against, or in which unit it is read.

    Why: The reading cannot be judged, and without a unit it cannot even be kept.

    Instead: Write `against:` with the characteristic. A reading that is only recorded or worked with says its
    `unit:`.
    """
    for _, _, name, measure in measures(manual):
        if measure.against is None and measure.unit is None:
            hint = "write `against:` with a characteristic, or `unit:` where it is only recorded"
            yield Finding(name.span, f"`{name}` has neither a limit nor a unit", hint)


@rule("GL-402", Severity.WARNING)
def instrument_not_named(manual: Manual) -> Iterator[Finding]:
    """A measurement names no instrument.

    Why: A rule and a micrometer give different answers, and only one of them can judge the limit.

    Instead: Write `tool:` with an instrument of `specs/instruments.yaml`.
    """
    for _, _, name, measure in measures(manual):
        if measure.tool is None:
            yield Finding(name.span, f"`{name}` names no instrument", "write `tool:` with an instrument")


@rule("GL-403", Severity.WARNING)
def tool_not_listed(manual: Manual) -> Iterator[Finding]:
    """A step uses a tool or an instrument that the procedure does not list.

    Why: Whoever lays out the tools before the work does not lay it out.

    Instead: Add it to `tools:` at the head of the procedure.
    """
    for procedure in manual.procedures.values():
        if lost(manual, procedure.procedure.span.path, "tools"):
            continue
        said = set(procedure.tools)
        for step in procedure.steps:
            used = (*(one.tool for one in step.measure.values() if one.tool is not None), *step.tools)
            for tool in used:
                if tool not in said:
                    said.add(tool)
                    yield Finding(
                        tool.span,
                        f"`{tool}` is not among the tools of the procedure",
                        "add it to `tools:` at its head",
                    )


@rule("GL-404", Severity.WARNING)
def part_fitted_nowhere(manual: Manual) -> Iterator[Finding]:
    """A part on the procedure's list is fitted or spoken of in no step.

    Why: It is bought, laid out and left on the bench.

    Instead: Write it under `parts:` of the step that fits it, or take it off the list.
    """
    for procedure in manual.procedures.values():
        if lost(manual, procedure.procedure.span.path, "steps", "parts"):
            continue
        said = " ".join(str(one.text).lower() for step in procedure.steps for one, _ in sentences(step))
        fitted = {str(name) for step in procedure.steps for name in step.parts}
        for name in procedure.parts:
            if name not in fitted and name.replace("_", " ").lower() not in said:
                yield Finding(
                    name.span,
                    f"`{name}` is fitted in no step",
                    "write it under `parts:` of the step that fits it",
                )


@rule("GL-405")
def amount_out_of_place(manual: Manual) -> Iterator[Finding]:
    """A correction shows `{amount}` without working it out, or works it out and does not show it.

    Why: The builder is told to take some off, and not how much.

    Instead: Write `amount:` with its formula and `{amount}` in the sentence, or neither.
    """
    for procedure in manual.procedures.values():
        for one in (if_out for step in procedure.steps for if_out in step.if_out):
            shown = next((mention for mention in one.do.mentions if mention.name == "amount"), None)
            if shown is not None and one.amount is None:
                span = one.do.text.part(shown.start, shown.end)
                yield Finding(span, "`{amount}` is worked out nowhere", "write `amount:` with its formula")
            elif shown is None and one.amount is not None:
                message = f"the amount `{one.amount.text}` is not shown to the builder"
                yield Finding(
                    one.amount.text.span, message, "write `{amount}` in the sentence, or remove `amount`"
                )


@rule("GL-406", Severity.WARNING)
def positions_unlike_row(manual: Manual) -> Iterator[Finding]:
    """A row is stated for each of one feature and measured on each of another, or only once.

    Why: Boxes are printed for too few places or under the wrong names.

    Instead: Write the same `each:` on the measurement as on the row.
    """
    for procedure, _, _, measure in measures(manual):
        for name in dict.fromkeys((measure.against or {}).values()):
            for engine in manual.families_of(procedure):
                wanted = _unlike(engine, measure, name)
                if wanted is not None:
                    message = f"`{name}` is of each {wanted}, and is measured {_of(measure)}"
                    yield Finding(name.span, message, f"write `each: {wanted}`")
                    break


def _unlike(engine: Engine, measure: Measure, name: Text) -> Text | None:
    """The feature of which a row is, where the measurement is of another that it has nothing to do with."""
    found = row(engine, name)
    if found is None or found.each is None or found.each == measure.each:
        return None
    if measure.each is None:
        return found.each
    own, other = feature(engine, measure.each), feature(engine, found.each)
    if own is None or other is None or found.each in own.on or measure.each in other.on:
        return None
    related = found.each == own.of or measure.each == other.of or set(own.names) >= set(other.names)
    return None if related else found.each


def _of(measure: Measure) -> str:
    return f"of each {measure.each}" if measure.each is not None else "only once"


@rule("GL-407")
def label_not_known(manual: Manual) -> Iterator[Finding]:
    """A limit is given for a plane, axis or point that the measurement does not have.

    Why: No box has that label, so nothing is judged by the limit.

    Instead: Write one of the labels under `plane`, `axis` or `point`, or one of the feature's names.
    """
    for procedure, _, _, measure in measures(manual):
        labels = {str(label) for side in (measure.plane, measure.axis, measure.point) for label in side}
        for engine in manual.families_of(procedure):
            found = feature(engine, measure.each) if measure.each is not None else None
            labels.update(map(str, found.names if found else ()))
        for key in measure.against or {}:
            if key and key not in labels:
                hint = nearest(key, labels, f"write one of {listed(sorted(labels))}")
                yield Finding(key.span, f"`{key}` is no label of this measurement", hint)


@rule("GL-408")
def label_twice(manual: Manual) -> Iterator[Finding]:
    """A plane, an axis or a point stands twice in one measurement.

    Why: Two boxes of one name cannot be told apart.

    Instead: Write each label once. A repeated reading is a second try of the same box.
    """
    for _, _, _, measure in measures(manual):
        for side in (measure.plane, measure.axis, measure.point):
            for at, label in enumerate(side):
                if label in side[:at]:
                    yield Finding(label.span, f"`{label}` stands twice", "write each label once")


@rule("GL-409")
def word_not_in_list(manual: Manual) -> Iterator[Finding]:
    """A word stands where only a few are possible: how a procedure was tried, or the run of a step.

    Why: A misspelt run is no run, and the step is on no sheet.

    Instead: Write `unverified`, `table-top` or `on-engine`; `mock_up` or `final`.
    """
    for procedure in manual.procedures.values():
        yield from _not_listed(procedure.verification, VERIFICATIONS)
        for step in procedure.steps:
            if step.run is not None:
                yield from _not_listed(step.run, RUNS)


def _not_listed(word: Text, known: tuple[str, ...]) -> Iterator[Finding]:
    if word not in known:
        yield Finding(
            word.span,
            f"`{word}` is not one of {listed(known)}",
            nearest(word, known, f"write {listed(known)}"),
        )


@rule("GL-410")
def name_used_twice(manual: Manual) -> Iterator[Finding]:
    """Two readings, or a reading and a worked-out value, have the same name in one procedure.

    Why: A formula that uses the name would take the wrong one.

    Instead: Give each its own name, such as `journal_rear`.
    """
    for procedure in manual.procedures.values():
        seen: dict[str, tuple[Text, Step]] = {}
        for step in procedure.steps:
            for name in (*step.measure, *step.work_out):
                first = seen.get(str(name))
                if first is not None and _together(manual, procedure, step, first[1]):
                    message = f"`{name}` is the name of what stands on line {first[0].span.line} already"
                    yield Finding(name.span, message, "write a name of its own")
                seen.setdefault(str(name), (name, step))


def _together(manual: Manual, procedure: Procedure, one: Step, other: Step) -> bool:
    """Whether two steps are ever on one sheet."""
    return any(
        fits(engine, one.when, one.unless) and fits(engine, other.when, other.unless)
        for engine in manual.families_of(procedure)
    )


@rule("GL-411")
def procedure_without_steps(manual: Manual) -> Iterator[Finding]:
    """A procedure has no steps.

    Why: Its sheet is empty, and yet it counts as written.

    Instead: Write its steps, or declare it in `procedures/planned.yaml`.
    """
    for procedure in manual.procedures.values():
        if not procedure.steps and not lost(manual, procedure.procedure.span.path, "steps"):
            hint = "write its steps, or move it to `procedures/planned.yaml`"
            yield Finding(procedure.procedure.span, f"`{procedure.procedure}` has no steps", hint)


@rule("GL-412")
def approval_not_readable(manual: Manual) -> Iterator[Finding]:
    """An approval has no day or no digest of a wording.

    Why: Nobody can tell which wording was approved, so the approval is worth nothing after the next change.

    Instead: Write the day as `2026-03-02` and the eight digits that the wording's digest has.
    """
    for procedure in manual.procedures.values():
        approved = procedure.approved
        if approved is None:
            continue
        if not _is_day(approved.on):
            yield Finding(approved.on.span, f"`{approved.on}` is not a day", "write it as `2026-03-02`")
        if not _DIGEST.fullmatch(approved.wording):
            hint = "write the eight digits and letters of the wording's digest"
            yield Finding(approved.wording.span, f"`{approved.wording}` is not the digest of a wording", hint)


@rule("GL-413", Severity.WARNING)
def wording_changed_since_approval(manual: Manual) -> Iterator[Finding]:
    """A procedure was approved in another wording than it has now.

    Why: The name on the sheet stands under steps that its bearer has not seen.

    Instead: Let it be read again and approve it: `gaugeleaf approve P16 --by "R. Tate"`.
    """
    for procedure in manual.procedures.values():
        approved = procedure.approved
        whole = not lost(manual, procedure.procedure.span.path, *Procedure.model_fields)
        if approved is None or not whole or not _DIGEST.fullmatch(approved.wording):
            continue
        now = wording(procedure)
        if approved.wording != now:
            message = f"`{approved.wording}` was approved by {approved.by}, and the wording is `{now}` now"
            hint = f"read it again, then `gaugeleaf approve {procedure.procedure} --by NAME`"
            yield Finding(approved.wording.span, message, hint)


def _is_day(text: str) -> bool:
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False

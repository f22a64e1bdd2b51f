"""Formulas of a step: their names, what they measure, and what they are held against."""

from __future__ import annotations

from collections.abc import Iterator

from builder.diagnostics import Fault, Span
from builder.dimension import Dimension
from builder.formula import Holds, Node, Shape, kind_of
from builder.formula.functions import FUNCTIONS, Sort
from builder.formula.nodes import Call, Name, children
from builder.manual import Manual, row
from builder.model.base import Text
from builder.model.engine import Engine
from builder.model.procedure import IfOut, Measure, WorkOut
from builder.model.spec import LimitRow
from builder.rules.catalogue import Finding, rule
from builder.rules.limits import band_at
from builder.rules.steps import measured, measures
from builder.rules.table import dimension, in_force
from builder.rules.used_formulas import Used, known_unit, used
from builder.rules.wording import listed
from builder.units import unit


def _faults(manual: Manual, *, unknown: bool) -> Iterator[Finding]:
    """The faults of formulas, each once with its families; unknown names apart from the rest."""
    found: dict[tuple[Span, str], tuple[Fault, list[str]]] = {}
    checked: dict[Span, set[str]] = {}
    for one in used(manual):
        checked.setdefault(one.formula.text.span, set()).add(str(one.engine.engine))
        fault = one.result
        if isinstance(fault, Fault) and (_NOT_KNOWN in fault.message) is unknown:
            span = one.place(fault)
            found.setdefault((span, fault.message), (fault, []))[1].append(str(one.engine.engine))
            checked[span] = checked[one.formula.text.span]
    for (span, message), (fault, families) in found.items():
        where = "" if set(families) == checked[span] else f" on {listed(families)}"
        yield Finding(span, message + where, fault.hint or "look at what each name measures")


_NOT_KNOWN = "is no reading, characteristic or unit here"


@rule("GL-801")
def work_out_without_formula(manual: Manual) -> Iterator[Finding]:
    """A value is to be worked out, but its formula is missing or half there.

    Why: The box on the sheet stays empty, or only one end of a fit is judged.

    Instead: Write `is:` for one value, `least:` and `most:` for the two ends of a fit, or `use:` with a
    worksheet.
    """
    for procedure in manual.procedures.values():
        for step in procedure.steps:
            for name, out in step.work_out.items():
                given = [word for word, one in _formulas(out) if one is not None]
                if given not in (["is"], ["least", "most"], ["use"]):
                    said = f"has {listed(given)}" if given else "has no formula"
                    yield Finding(
                        name.span, f"`{name}` {said}", "write `is`, or `least` and `most`, or `use`"
                    )


def _formulas(out: WorkOut) -> tuple[tuple[str, object], ...]:
    return (("is", out.is_), ("least", out.least), ("most", out.most), ("use", out.use))


@rule("GL-802")
def name_in_formula_not_known(manual: Manual) -> Iterator[Finding]:
    """A formula uses a name that is no reading, no result, no characteristic of the family and no unit.

    Why: Nothing can be worked out, and the sheet says "not read" where a verdict belongs.

    Instead: Correct the name. What is measured in another procedure is not known here; a characteristic that
    only some families have needs `when:`.
    """
    yield from _faults(manual, unknown=True)


@rule("GL-803")
def formula_does_not_fit_together(manual: Manual) -> Iterator[Finding]:
    """A formula adds or compares what cannot be: a length and a torque, readings by main and by cylinder.

    Why: It would give a number all the same, and the number would mean nothing.

    Instead: Look at what each name measures and of which feature. Plain numbers take a unit: `0.002 * inch`.
    """
    yield from _faults(manual, unknown=False)


@rule("GL-804")
def result_unlike_its_use(manual: Manual) -> Iterator[Finding]:
    """A formula gives something else than what it is used for.

    A length is held against a torque, a test is a number, or an amount has a unit that does not measure it.

    Why: The verdict would compare two things that cannot be compared.

    Instead: Correct the formula, or what it is held against. A test compares: `taper > high(bore.taper)`.
    """
    said: set[Span] = set()
    for one in used(manual):
        why = _misuse(one) if isinstance(one.result, Shape) else ""
        if why and one.formula.text.span not in said:
            said.add(one.formula.text.span)
            yield Finding(
                one.formula.text.span, f"`{one.formula.text}` {why}", "correct the formula, or what it is for"
            )


def _misuse(one: Used) -> str:
    shape = one.result
    if not isinstance(shape, Shape):
        return ""
    truth = shape.holds is Holds.TRUTH
    if one.if_out is not None and one.formula is one.if_out.when:
        return "" if truth else f"gives {kind_of(shape.dimension)}, where a test belongs"
    if truth:
        return "is a test, where a value belongs"
    wanted, what = _wanted(one)
    if wanted is None or wanted == shape.dimension:
        return ""
    return f"gives {kind_of(shape.dimension)}, and {what} is {kind_of(wanted)}"


def _wanted(one: Used) -> tuple[Dimension | None, str]:
    """What a value should measure, and the words for what says so."""
    against = one.out.against if one.out is not None else None
    found = row(one.engine, against) if against is not None else None
    if isinstance(found, LimitRow):
        return dimension(one.engine, found), f"`{against}`"
    text = one.out.unit if one.out is not None else one.if_out.unit if one.if_out is not None else None
    own = known_unit(text)
    return (own.dimension, f"a `{own}`") if own is not None else (None, "")


@rule("GL-805")
def limit_end_not_stated(manual: Manual) -> Iterator[Finding]:
    """A formula asks for an end of a limit that is not stated: the low end of a `max`.

    Why: The test is then never answered, and a part that is out passes it in silence.

    Instead: Ask for the end that is stated, or write the other end into the row.
    """
    said: set[Span] = set()
    for one in used(manual):
        for call in _bounds(one.formula.node):
            lacks = _lacking_end(manual, one.engine, call)
            span = one.formula.text.part(call.start, call.end)
            if lacks and span not in said:
                said.add(span)
                message = f"`{call.arguments[0].text}` has no {lacks} in `{one.engine.engine}`"
                yield Finding(span, message, "ask for the end that is stated, or state the other")


def _bounds(node: Node) -> Iterator[Call]:
    if isinstance(node, Call) and FUNCTIONS[node.function].sort is Sort.BOUND:
        yield node
    for child in children(node):
        yield from _bounds(child)


def _lacking_end(manual: Manual, engine: Engine, call: Call) -> str:
    """Which end a call asks for in vain; empty where it is stated, or nothing can be told."""
    name = call.arguments[0]
    found = row(engine, name.name) if isinstance(name, Name) else None
    if not isinstance(found, LimitRow):
        return ""
    stated = in_force(found)
    if call.function == "mid_aim" and found.aim is not None:
        stated = found.aim
    if stated is None:
        return "limit"
    band = band_at(manual, stated, "")
    if band is None:
        return ""
    low, high = band.low is None, band.high is None
    if low and call.function in {"low", "least", "mid", "mid_aim"}:
        return "lower limit"
    return "upper limit" if high and call.function in {"high", "most", "mid", "mid_aim"} else ""


@rule("GL-806")
def unit_not_known(manual: Manual) -> Iterator[Finding]:
    """A measurement, a worked-out value or an amount names a unit that is not in the list.

    Why: What is read or shown would have no meaning, and could not be turned into other units.

    Instead: Write a unit such as `in`, `mm`, `lb-ft` or `psi`.
    """
    for procedure in manual.procedures.values():
        for step in procedure.steps:
            parts: tuple[Measure | WorkOut | IfOut, ...] = (
                *step.measure.values(),
                *step.work_out.values(),
                *step.if_out,
            )
            for part in parts:
                if part.unit is not None and known_unit(part.unit) is None:
                    yield from _unit_fault(part.unit)


def _unit_fault(text: Text) -> Iterator[Finding]:
    try:
        unit(text)
    except Fault as fault:
        yield Finding(text.span, fault.message, fault.hint)


@rule("GL-807")
def unit_of_reading_unlike_row(manual: Manual) -> Iterator[Finding]:
    """A reading has a unit that does not measure what it is held against.

    Why: Nothing that is typed there could ever be compared with the limit.

    Instead: Leave `unit:` out, so that the row gives it, or correct the row.
    """
    for procedure, _, _, measure in measures(manual):
        own = known_unit(measure.unit)
        wanted = next(measured(manual, procedure, measure), None)
        if own is not None and measure.unit is not None and wanted is not None and own.dimension != wanted:
            rows = listed((measure.against or {}).values())
            message = f"`{own}` is a unit of {own.dimension}, and {rows} is a {wanted}"
            yield Finding(measure.unit.span, message, "leave `unit` out, so that the row gives it")

"""Worksheets: what their formulas measure, that every input counts, and that every example comes out."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from keyword import iskeyword

from builder.diagnostics import Fault
from builder.formula import Holds, Node, Shape, dimension_of, kind_of, names_of
from builder.formula.functions import FUNCTIONS, Sort
from builder.formula.nodes import Call, children, word
from builder.manual import Manual
from builder.model.base import Text
from builder.model.worksheet import NO_SOURCE, Example, Input, Worksheet
from builder.model.written import Formula
from builder.rules.catalogue import Finding, rule
from builder.rules.references import known_name, unlike_file
from builder.rules.wording import listed, nearest
from builder.units import IDENTIFIERS
from builder.worksheet import ITEM, Compared, compare, read_input, shown_as

Shapes = dict[str, Shape]


def _calls(node: Node) -> Iterator[Call]:
    if isinstance(node, Call):
        yield node
    for child in children(node):
        yield from _calls(child)


def _inputs(worksheet: Worksheet, formula: Formula) -> Shapes:
    """The shapes of the inputs: a list is sizes where the formula looks one up, else readings over `item`."""
    looked_up = {
        word(call.arguments[0]) for call in _calls(formula.node) if FUNCTIONS[call.function].sort is Sort.STEP
    }
    shapes = {}
    for name, own in worksheet.inputs.items():
        holds = Holds.STEPS if own.many and name in looked_up else Holds.VALUE
        over = (ITEM,) if own.many and holds is Holds.VALUE else ()
        shapes[str(name)] = Shape(own.unit.dimension, over, holds)
    return shapes


def _results(worksheet: Worksheet) -> Iterator[tuple[Text, Formula, Shape | Fault | None]]:
    """Each result with what it measures, or what is wrong; None where it uses one that is wrong already."""
    results: Shapes = {}
    lost: set[str] = set()
    for name, formula in worksheet.is_.items():
        known = {**_inputs(worksheet, formula), **results}
        found = None if any(one.name in lost for one in names_of(formula.node)) else _shape(formula, known)
        if isinstance(found, Shape):
            results[str(name)] = found
        else:
            lost.add(str(name))
        yield name, formula, found


def _shape(formula: Formula, names: Shapes) -> Shape | Fault:
    """What a formula measures; a Fault where that cannot be told or is not one value."""
    try:
        shape = dimension_of(formula.node, names)
    except Fault as fault:
        return fault
    if shape.holds is Holds.TRUTH:
        return Fault(f"`{formula.text}` is yes or no, where a value belongs", "leave the comparison out")
    if shape.dims:
        return Fault(
            f"`{formula.text}` is one value for each {ITEM}", f"gather them, as in `max(readings, {ITEM})`"
        )
    return shape


@rule("GL-901")
def worksheet_unlike_its_file(manual: Manual) -> Iterator[Finding]:
    """A worksheet's id is not the name of its file.

    Why: Steps and links use the id; whoever looks for the file does not find it.

    Instead: Name the file after the id: `worksheet: ring_gap` stands in `ring_gap.yaml`.
    """
    yield from unlike_file(one.worksheet for one in manual.worksheets.values())


@rule("GL-902")
def worksheet_formula_does_not_fit(manual: Manual) -> Iterator[Finding]:
    """A formula of a worksheet uses an unknown name, adds unlike things, or does not give one value.

    Why: It would give a number all the same, or none, and the number would mean nothing.

    Instead: Use inputs and the results above it, and look at what each measures. Plain numbers take a unit:
    `0.002 * inch`. What is read several times is gathered: `max(readings, item)`.
    """
    for worksheet in manual.worksheets.values():
        for _, formula, found in _results(worksheet):
            if isinstance(found, Fault):
                hint = found.hint or "look at what each name measures"
                yield Finding(formula.text.part(found.start, found.end), found.message, hint)


@rule("GL-903")
def input_not_used(manual: Manual) -> Iterator[Finding]:
    """An input of a worksheet, or a result before the last, is in no formula.

    Why: Somebody measures it and types it, and it changes nothing: most often another name was meant.

    Instead: Use it, or take it out.
    """
    for worksheet in manual.worksheets.values():
        used = {one.name for formula in worksheet.is_.values() for one in names_of(formula.node)}
        results = [name for name in worksheet.is_ if name != worksheet.answer and name not in worksheet.shows]
        for name in (*worksheet.inputs, *results):
            if name not in used:
                yield Finding(name.span, f"`{name}` is in no formula", "use it, or take it out")


@rule("GL-904")
def result_shown_as_something_else(manual: Manual) -> Iterator[Finding]:
    """A result is shown in a unit that does not measure it, or in none though it is no plain ratio.

    Why: Nobody can tell what the number is, and a wrong unit turns a pressure into a torque on the page.

    Instead: Write the unit of each result under `shows:`; a plain ratio may be left out.
    """
    for worksheet in manual.worksheets.values():
        for name in worksheet.shows:
            if name not in worksheet.is_:
                hint = nearest(name, map(str, worksheet.is_), "name a result")
                yield Finding(name.span, f"`{name}` is no result of `{worksheet.worksheet}`", hint)
        for name, _, shape in _results(worksheet):
            shown = shown_as(worksheet, name).unit
            if isinstance(shape, Shape) and shape.dimension != shown.dimension:
                yield _shown_wrong(worksheet, name, shape)


def _shown_wrong(worksheet: Worksheet, name: Text, shape: Shape) -> Finding:
    """A result and its unit do not go together."""
    said = next((key for key in worksheet.shows if key == name), None)
    what = kind_of(shape.dimension)
    if said is None:
        return Finding(name.span, f"`{name}` is {what} and has no unit", f"write `{name}: …` under `shows`")
    shown = shown_as(worksheet, name).unit
    message = f"`{name}` is {what}, and `{shown}` measures {shown.dimension}"
    return Finding(said.span, message, "write a unit of what it is, or correct the formula")


@rule("GL-905")
def worksheet_source_not_declared(manual: Manual) -> Iterator[Finding]:
    """A worksheet names a source that is not in `specs/sources.yaml`, or no place in it.

    Why: A formula that nobody can look up is as good as one out of the head.

    Instead: Declare the source and write its id and the place, as in `heywood ch. 2`, or write
    `common practice, no source`.
    """
    known = [str(name) for name in manual.sources]
    for worksheet in manual.worksheets.values():
        source, place = worksheet.cites
        if worksheet.source == NO_SOURCE:
            continue
        if not known_name(manual, source, known):
            hint = nearest(
                source, [*known, NO_SOURCE], f"declare it in specs/sources.yaml, or write `{NO_SOURCE}`"
            )
            yield Finding(worksheet.source.part(0, len(source)), f"`{source}` is not declared", hint)
        elif not place:
            yield Finding(
                worksheet.source.span, f"`{source}` has no page or section", "write where it stands"
            )


@rule("GL-906")
def worksheet_without_example(manual: Manual) -> Iterator[Finding]:
    """A worksheet has no worked example that holds, or an example gives nothing.

    Why: A formula with one wrong sign looks like any other; only numbers that somebody else worked out, or
    that can be worked out on paper, show it.

    Instead: Write at least one example with `given`, `gives` and `from`; a trap alone is not enough.
    """
    for worksheet in manual.worksheets.values():
        if f"specs/worksheets/{worksheet.worksheet}.yaml" in manual.left_out:
            continue
        if not any(one.gives and one.holds_in != "trap" for one in worksheet.examples):
            hint = "write `examples:` with `given`, `gives` and `from`"
            yield Finding(worksheet.worksheet.span, f"`{worksheet.worksheet}` has no worked example", hint)


@rule("GL-907")
def example_not_readable(manual: Manual) -> Iterator[Finding]:
    """An example names what the worksheet has not, leaves an input out, or a value in it does not read.

    Why: It is then no test of the formula.

    Instead: Give every input that has no default, by its name and in its own sort of unit, and results by
    the names under `is:`.
    """
    for worksheet in manual.worksheets.values():
        yield from _defaults(worksheet)
        for example in worksheet.examples:
            yield from _given(worksheet, example)
            yield from _gives(worksheet, example)


def _defaults(worksheet: Worksheet) -> Iterator[Finding]:
    for own in worksheet.inputs.values():
        if own.default is not None:
            yield from _unreadable(own, own.default)


def _unreadable(own: Input, text: Text) -> Iterator[Finding]:
    try:
        read_input(own, text)
    except Fault as fault:
        hint = fault.hint or f"write it in `{own.unit}`"
        yield Finding(text.part(fault.start, fault.end), fault.message, hint)


def _given(worksheet: Worksheet, example: Example) -> Iterator[Finding]:
    """What is typed: every name is an input, every value reads, and no input is left blank."""
    for name, text in example.given.items():
        own = worksheet.inputs.get(name)
        if own is None:
            yield _stranger(name, "input", worksheet.inputs)
        else:
            yield from _unreadable(own, text)
    blank = [
        name for name, own in worksheet.inputs.items() if own.default is None and name not in example.given
    ]
    if blank:
        yield Finding(example.from_.span, f"the example leaves out {listed(blank)}", "give every input")


def _gives(worksheet: Worksheet, example: Example) -> Iterator[Finding]:
    """What is printed: every name is a result, in a unit of what it measures."""
    for name, printed in example.gives.items():
        if name not in worksheet.is_:
            yield _stranger(name, "result", worksheet.is_)
            continue
        shown = shown_as(worksheet, name).unit
        if printed.unit is not None and printed.unit.dimension != shown.dimension:
            message = (
                f"`{printed.unit}` measures {printed.unit.dimension}, and `{name}` is shown in `{shown}`"
            )
            yield Finding(printed.text.span, message, f"write it in `{shown}`, or in a unit like it")


def _stranger(name: Text, sort: str, known: Iterable[Text]) -> Finding:
    names = list(map(str, known))
    hint = nearest(name, names, f"name one of {listed(names)}")
    return Finding(name.span, f"`{name}` is no {sort} of this worksheet", hint)


@rule("GL-908")
def example_not_reproduced(manual: Manual) -> Iterator[Finding]:
    """A worksheet does not give what its example prints, or a published misprint comes out after all.

    Why: Either the formula is wrong or the example is, and a builder would cut metal by it.

    Instead: Work it out on paper. Where the publication rounds on the way, print fewer digits or how far off
    it may be: `0.2032 ± 0.0002 in`; where it misprints, say `holds_in: trap`.
    """
    for worksheet in manual.worksheets.values():
        for example in worksheet.examples:
            compared = compare(worksheet, example)
            if example.holds_in == "trap":
                yield from _sprung(example, compared)
                continue
            for one in compared:
                if one.value is not None and not one.agrees:
                    message = f"`{one.name}` is printed as `{one.printed.text}` and comes out as {one.text}"
                    yield Finding(one.printed.text.span, message, "correct the formula or the example")


def _sprung(example: Example, compared: Sequence[Compared]) -> Iterator[Finding]:
    if compared and all(one.agrees for one in compared):
        message = "every printed value of this misprint comes out"
        yield Finding(example.holds_in.span, message, "write `holds_in: both`, or print what is wrong")


@rule("GL-909")
def name_in_worksheet_taken(manual: Manual) -> Iterator[Finding]:
    """An input or a result has a name that something else has: another result, a unit, a function.

    Why: `h` is an hour and `bar` a pressure; a formula that uses such a name means one thing to its author
    and another to the reader.

    Instead: Write a word of the trade in small letters, words joined by `_`: `free_height`.
    """
    for worksheet in manual.worksheets.values():
        for name in (*worksheet.inputs, *worksheet.is_):
            taken = _taken(name)
            if taken:
                yield Finding(name.span, f"`{name}` {taken}", "write another word, as in `free_height`")
        for name in worksheet.is_:
            if name in worksheet.inputs:
                yield Finding(name.span, f"`{name}` is an input too", "give the result a name of its own")


def _taken(name: str) -> str:
    """Why a name will not do; empty where it will. `least`, `most` and `ratio` mislead nobody."""
    if not re.fullmatch(r"[a-z][a-z0-9_]*", name) or iskeyword(name):
        return "is not a name that a formula can use"
    if name in {"least", "most", "ratio"}:
        return ""
    if name in FUNCTIONS:
        return "is a function of the formula language"
    if name in {"pi", ITEM}:
        return "has a meaning of its own in a formula"
    if name in IDENTIFIERS:
        return f"is a unit of {IDENTIFIERS[name].dimension}"
    return ""


@rule("GL-910")
def worksheet_hazard_not_declared(manual: Manual) -> Iterator[Finding]:
    """A worksheet names a hazard that is not in `specs/hazards.yaml`.

    Why: Its page would go without the warning.

    Instead: Correct the id, or declare the hazard.
    """
    known = [str(name) for name in manual.hazards]
    for worksheet in manual.worksheets.values():
        for name in worksheet.safety:
            if not known_name(manual, name, known):
                hint = nearest(name, known, "declare it in specs/hazards.yaml")
                yield Finding(name.span, f"`{name}` is not declared", hint)


@rule("GL-911")
def worksheet_not_known(manual: Manual) -> Iterator[Finding]:
    """A step uses a worksheet that is not there, or one that takes a list.

    Why: The box on the sheet stays empty, and the reading beside it is judged by nothing.

    Instead: Correct the id after `use:`. A worksheet with a list of sizes is worked out on its own page.
    """
    for procedure in manual.procedures.values():
        for step in procedure.steps:
            for out in step.work_out.values():
                if out.use is not None:
                    yield from _unusable(manual, out.use)


def _unusable(manual: Manual, use: Text) -> Iterator[Finding]:
    worksheet = manual.worksheets.get(use)
    if worksheet is None:
        if use not in manual.left_out:
            hint = nearest(use, map(str, manual.worksheets), "write it in specs/worksheets/")
            yield Finding(use.span, f"there is no worksheet `{use}`", hint)
        return
    many = [name for name, own in worksheet.inputs.items() if own.many]
    if many:
        message = f"`{use}` takes a list, {listed(many)}, which no step reads"
        yield Finding(use.span, message, "write the formula in the step with `is`")

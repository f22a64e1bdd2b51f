"""A worksheet as lines for a terminal: every input, every step with its formula, the answer."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from difflib import get_close_matches

from builder.formula.notation import plain, written
from builder.manual import Manual
from builder.model.base import Text
from builder.model.worksheet import SUBJECTS, Worksheet
from builder.worksheet.work import Entry, Line, Worked, names_in

NOTE = "holds a root, a logarithm or a sine: right to far more digits than are shown"


def found(manual: Manual, called: str) -> tuple[Worksheet, ...]:
    """The worksheets that a word names: one by its id, or all that bear it as a code."""
    name = called.strip().replace("-", "_")
    own = manual.worksheets.get(name) or manual.worksheets.get(name.lower())
    if own is not None:
        return (own,)
    return tuple(one for one in manual.worksheets.values() if called.strip().upper() in one.code)


def nearest_to(word: str, known: list[str]) -> str:
    """`did you mean …` where a known word is like this one, else the words there are."""
    near = get_close_matches(word, known, 1)
    return f"did you mean `{near[0]}`" if near else f"there are {', '.join(f'`{one}`' for one in known)}"


def list_lines(manual: Manual) -> Iterator[str]:
    """All worksheets by subject."""
    width = max(map(len, manual.worksheets), default=0)
    for subject, sheets in by_subject(manual).items():
        yield from ("", SUBJECTS[subject])
        yield from (f"  {one.worksheet:<{width}}  {one.title}" for one in sheets)


def by_subject(manual: Manual) -> dict[str, tuple[Worksheet, ...]]:
    """The worksheets under their headings, in the order of the headings."""
    every = {
        subject: tuple(one for one in manual.worksheets.values() if one.subject == subject)
        for subject in SUBJECTS
    }
    return {subject: sheets for subject, sheets in every.items() if sheets}


def head_lines(manual: Manual, worksheet: Worksheet) -> Iterator[str]:
    """What a worksheet is and where it is from."""
    codes = f" ({', '.join(worksheet.code)})" if worksheet.code else ""
    yield f"{worksheet.title}{codes}"
    yield source_line(manual, worksheet)


def source_line(manual: Manual, worksheet: Worksheet) -> str:
    """Where the formula comes from, in words."""
    name, place = worksheet.cites
    source = manual.sources.get(name)
    return f"{source.title}, {place}" if source is not None else str(worksheet.source)


def form_lines(manual: Manual, worksheet: Worksheet) -> Iterator[str]:
    """A worksheet that is not filled in: its inputs with their units, its formulas, an example."""
    yield from head_lines(manual, worksheet)
    yield str(worksheet.about)
    yield ""
    for name, own in worksheet.inputs.items():
        many = "a list, " if own.many else ""
        said = [own.title, f"{many}in {own.unit.label}{f' {own.datum}' if own.datum else ''}", own.note]
        default = f" [{own.default}]" if own.default else ""
        yield f"  {name:<{_width(worksheet)}}  {'; '.join(filter(None, said))}{default}"
    yield ""
    for name, formula in worksheet.is_.items():
        yield f"  {plain(name)} = {written(formula.node, names_in(worksheet))}"
    example = next(iter(worksheet.examples), None)
    if example is not None:
        yield from ("", "for example:", f"  {call_line(worksheet, example.given)}")


def call_line(worksheet: Worksheet, given: Mapping[Text, Text]) -> str:
    """The command that works a worksheet out with these values."""
    values = (f'{name}="{text}"' if " " in text else f"{name}={text}" for name, text in given.items())
    return " ".join(["gaugeleaf calc", str(worksheet.worksheet), *values])


def answer_lines(manual: Manual, worked: Worked) -> Iterator[str]:
    """A worksheet worked out: its inputs, every step with its formula and numbers, and the answer last."""
    worksheet = worked.worksheet
    yield from head_lines(manual, worksheet)
    yield ""
    for entry in worked.entries:
        yield f"  {entry.name:<{_width(worksheet)}}  {entry_text(entry)}"
    values = {entry.name: value_text(entry) for entry in worked.entries if entry.read}
    yield ""
    for line in worked.lines:
        yield from _step(worksheet, line, values)
        values[line.name] = line.text
    if any(line.approximate for line in worked.lines):
        yield f"  ({NOTE})"
    yield from ("", f"{plain(worked.answer.name)}: {result_text(worked.answer)}")
    if worksheet.caution:
        yield f"mind: {worksheet.caution}"


def _width(worksheet: Worksheet) -> int:
    return max(map(len, worksheet.inputs), default=0)


def entry_text(entry: Entry) -> str:
    """What was typed, or why it does not count."""
    if entry.why:
        hint = f" ({entry.hint})" if entry.hint else ""
        return f"{entry.why}{hint}"
    return value_text(entry) + (" (default)" if entry.by_default else "")


def value_text(entry: Entry) -> str:
    """What was read, each with its unit, as typed."""
    return ", ".join(
        f"{one.number.text}{'' if one.unit.label == '°' else ' '}{one.unit.label}".strip()
        if one.unit.symbol not in ("ratio", "count")
        else one.number.text
        for one in entry.read
    )


def _step(worksheet: Worksheet, line: Line, values: Mapping[str, str]) -> Iterator[str]:
    """A step: its formula, then the numbers in it and what comes out."""
    node = worksheet.is_[Text(line.name)].node
    name, names = plain(line.name), names_in(worksheet)
    yield f"  {name} = {written(node, names)}"
    if line.value is None:
        yield f"  {'':<{len(name)}} : {line.why}"
    else:
        yield f"  {'':<{len(name)}} = {written(node, names, values)} = {result_text(line)}"


def result_text(line: Line) -> str:
    """A value in both systems, or why there is none."""
    return f"{line.text} ({line.partner})" if line.partner else line.text

"""The data of *Find a value* for the browser: the index, and every row packed into one line of its own.

A line is read only when its row is shown. What many rows share (a condition, a source, a page) stands once in
a list of strings, and a line names it by number; 0 is the empty one. `assets/js/lookup-rows.js` reads this.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator, Mapping
from itertools import accumulate
from typing import Any, Final

from builder.lookup import Lookup, as_data
from builder.lookup.subjects import phrases_of
from builder.manual import Manual
from builder.render import addresses, words
from builder.render.find_rows import Answers, RemedyView, RowView, Size, StepLink
from builder.render.page_parts import INVENTED
from builder.render.shell import FIND
from builder.render.values import Cite, Measure, Value, spelled

SAYINGS: Final = ("british", "american", "old", "also", "misspelt")
"""Who says a synonym of a term; the number stands beside it in the data."""


class Shared:
    """The strings and steps that lines share, each once and by number, in the order of first use."""

    def __init__(self) -> None:
        self.strings: dict[str, int] = {"": 0}
        self.steps: dict[tuple[int, ...], int] = {}

    def number(self, text: str) -> int:
        """The number of a text, its white space drawn together."""
        return self.strings.setdefault(" ".join(text.split()), len(self.strings))

    def step(self, step: StepLink) -> int:
        """The number of a step: its code, title, number, page and anchor."""
        words = [self.number(text) for text in (step.code, step.title, step.page, step.anchor)]
        return self.steps.setdefault((*words, step.number), len(self.steps))


def packed(lookup: Lookup) -> str:
    """The data as a script that hands it to the page; equal manuals give equal bytes."""
    manual, shared = lookup.manual, Shared()
    lines = [_json(_line(view, number, lookup, shared)) for number, view in _rows(lookup)]
    data = {
        "index": _json(as_data(lookup.index)),
        "families": _families(manual),
        "kinds": {kind: [said.label, said.meaning] for kind, said in words.LIMITS.items()},
        "terms": [_term(manual, name) for name in manual.terms],
        "lines": "\n".join(lines),
        "strings": "\n".join(shared.strings),
        "steps": "\n".join(map(_json, shared.steps)),
        "wall": _wall(manual, lookup),
    }
    return f"Gaugeleaf.lookupData = {_json(data)};\n"


def _json(value: object) -> str:
    return json.dumps(value, separators=(",", ":"), ensure_ascii=True)


def _families(manual: Manual) -> list[list[str]]:
    """Each family's id, its title, its short name, and its spec tables."""
    titles = [str(engine.title).replace(INVENTED, "").strip() for engine in manual.engines.values()]
    pages = (addresses.engine_page(str(family), "specs") for family in manual.engines)
    named = zip(manual.engines, titles, short_names(titles), pages, strict=True)
    return [[str(family), title, short, addresses.link(FIND, page)] for family, title, short, page in named]


def short_names(titles: list[str]) -> list[str]:
    """The first words of each title, as few as tell it from the others."""
    shared = Counter(start for title in titles for start in _starts(title))
    return [next((start for start in _starts(title) if shared[start] == 1), title) for title in titles]


def _starts(title: str) -> Iterator[str]:
    """The first word of a title, the first two, and so on."""
    return accumulate(title.split(), "{} {}".format)


def _rows(lookup: Lookup) -> Iterator[tuple[int, RowView]]:
    """Every row with the number of its family: subject by subject, then in the order of the families."""
    index, manual = lookup.index, lookup.manual
    answers = [Answers(manual, engine) for engine in manual.engines.values()]
    for name, families in zip(index.subjects, index.had_by, strict=True):
        for number in families:
            entry = lookup.entry(answers[number].engine, name)
            if entry is not None:
                yield number, answers[number].view(entry)


def _line(view: RowView, family: int, lookup: Lookup, shared: Shared) -> list[Any]:
    """A row as a list; `lookup-rows.js` names the places."""
    text = shared.number
    subjects = lookup.numbers
    return [
        family,
        text(view.title),
        text(view.code),
        [value_data(value, shared) for value in view.values],
        text(view.unknown),
        [text(line) for line in view.state],
        [text(fact) for fact in view.facts],
        [text(view.instrument.text), text(view.instrument.href)] if view.instrument else 0,
        text(view.why),
        [shared.step(step) for step in view.read_in],
        [shared.step(step) for step in view.named_in],
        [_remedy(remedy, shared) for remedy in view.remedies],
        text(view.follows),
        [subjects[mate] for mate in view.mates],
        [_size(size, shared) for size in view.sizes],
        text(view.torque_card),
    ]


def value_data(value: Value, shared: Shared) -> list[Any]:
    """Kind, place, printed and other measure, remark, whether it decides, then its sources."""
    return [
        value.kind,
        shared.number(value.place),
        measure_data(value.shown, shared),
        measure_data(value.partner, shared) if value.partner else 0,
        shared.number(value.remark),
        int(value.decides),
        [_cite(cite, shared) for cite in value.cites],
    ]


def measure_data(shown: Measure, shared: Shared) -> list[Any]:
    """Number, unit, what stands after, and whether the unit is metric."""
    unit = spelled(shown.unit) if shown.unit else None
    metric = unit is not None and unit.system == "metric"
    number = " ".join(shown.number.split())
    return [number, shared.number(shown.unit), shared.number(shown.after), int(metric)]


def _cite(cite: Cite, shared: Shared) -> list[int]:
    return [shared.number(cite.full.replace(f" {INVENTED}", "")), shared.number(cite.href)]


def _remedy(remedy: RemedyView, shared: Shared) -> list[int]:
    """Side, sentence, the step that says so, the step to go on from or -1."""
    then = shared.step(remedy.then) if remedy.then else -1
    return [shared.number(remedy.side), shared.number(remedy.text), shared.step(remedy.step), then]


def _size(size: Size, shared: Shared) -> list[Any]:
    partner = measure_data(size.partner, shared) if size.partner else 0
    return [shared.number(size.of), shared.number(size.size), measure_data(size.shown, shared), partner]


def _term(manual: Manual, name: str) -> list[Any]:
    """A term: name, meaning, place, and each folded phrase for it with who says it (0: the term itself)."""
    term = manual.terms[name]
    said: dict[str, int] = {" ".join(phrases_of(name, term)[0]): 0}
    for number, saying in enumerate(SAYINGS, 1):
        for phrase in phrases_of("", term.model_copy(update=_only(saying))):
            said.setdefault(" ".join(phrase), number)
    return [str(name), str(term.meaning), addresses.link(FIND, addresses.term(str(name))), said]


def _only(saying: str) -> Mapping[str, tuple[str, ...]]:
    """What empties every other list of synonyms of a term."""
    return {other: () for other in (*SAYINGS, "refuse") if other != saying}


def _wall(manual: Manual, lookup: Lookup) -> list[int]:
    """The characteristics that stand on the wall card of any family, by number."""
    carded = {str(name) for _, name, row in manual.rows() if row.wall_card}
    return [number for number, name in enumerate(lookup.index.subjects) if name in carded]

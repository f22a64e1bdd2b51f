"""The blanks and boxes of a printed sheet as fields of a form, for a PDF that is filled in on a screen."""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import count
from typing import Final

LEADING: Final = r'<span class="leading">([^<]*)</span>'
BOX: Final = re.compile(r'<span class="(box[^"]*)"></span>')
BLANK: Final = re.compile(
    rf'<span class="label">(.*?)</span><span class="(blank[^"]*)">(?:{LEADING})?</span>'
)
LINE: Final = re.compile(r'<span class="label">([^<]*)</span><span class="line"></span>')
CELL: Final = re.compile(rf'<td><span class="field-code">([^<]*)</span>{LEADING}</td>')
EMPTY: Final = re.compile(r"<td></td>")
VERDICT: Final = re.compile(r'<td class="circle">.*?</td>')
WRITE: Final = re.compile(r'<p class="write"></p>')
VERDICTS: Final = ("", "in", "out", "edge", "read again")
CODE: Final = re.compile(r'<span class="field-code">([^<]*)</span>')

Named = Callable[[str], str]


def with_fields(html: str, prefix: str = "") -> str:
    """A sheet whose every blank, box and cell is a field with a name of its own, after the prefix.

    A reading's field bears its field code; any other bears its label or what it is, and a number.
    """
    number = count(1)

    def named(what: str) -> str:
        return f"{prefix}{what} {next(number)}"

    forms: tuple[tuple[re.Pattern[str], Callable[[re.Match[str]], str]], ...] = (
        (CELL, lambda found: _cell(found, prefix)),
        (BLANK, lambda found: _blank(found, named, prefix)),
        (LINE, lambda found: f'<span class="label">{found[1]}</span>{_field(named(found[1]), "line")}'),
        (VERDICT, lambda _: f'<td class="circle">{_choice(named("verdict"))}</td>'),
        (EMPTY, lambda _: f"<td>{_field(named('cell'), 'cell')}</td>"),
        (WRITE, lambda _: f'<p class="write">{_field(named("remark"), "cell")}</p>'),
        (BOX, lambda found: f'<input type="checkbox" class="{found[1]}" name="{named("box")}">'),
    )
    for pattern, form in forms:
        html = pattern.sub(form, html)
    return html


def _field(name: str, look: str, value: str = "") -> str:
    return f'<input class="{look}" name="{name}" title="{name}" value="{value}">'


def _cell(found: re.Match[str], prefix: str) -> str:
    code, leading = found.groups()
    return f'<td><span class="field-code">{code}</span>{_field(prefix + code, "cell", leading)}</td>'


def _blank(found: re.Match[str], named: Named, prefix: str) -> str:
    label, look, leading = found.groups()
    code = CODE.search(label)
    name = prefix + code[1] if code else named(re.sub("<[^>]*>", "", label).strip())
    return f'<span class="label">{label}</span>{_field(name, look, leading or "")}'


def _choice(name: str) -> str:
    options = "".join(f'<option value="{word}">{word}</option>' for word in VERDICTS)
    return f'<select class="cell" name="{name}">{options}</select>'

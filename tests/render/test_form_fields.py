"""Blanks and boxes of a sheet as fields of a form."""

from __future__ import annotations

import re

from builder.checklist import checklists
from builder.field_code import codes
from builder.manual import Manual
from builder.render.form_fields import with_fields
from builder.render.paper import sheet


def names(html: str) -> list[str]:
    """The names of all fields."""
    return re.findall(r'<(?:input|select)[^>]* name="([^"]*)"', html)


def form(manual: Manual, prefix: str = "") -> str:
    """The small shop's sheet as a form."""
    return with_fields(sheet(next(checklists(manual))), prefix)


def test_no_blank_is_left_without_a_field(small: Manual) -> None:
    """Blanks, lines, boxes, cells and verdicts to circle all become fields."""
    html = form(small)

    for left in (
        '<span class="blank',
        '<span class="box',
        '<span class="line"',
        "<td></td>",
        'class="leading"',
    ):
        assert left not in html
    assert "read again</option></select>" in html


def test_every_field_has_a_name_of_its_own(small: Manual) -> None:
    """Two fields of one name would show the same words."""
    found = names(form(small))

    assert len(found) == len(set(found)) > 100


def test_reading_bears_its_field_code(small: Manual) -> None:
    """The codes by which a sheet is typed in are the names of the fields."""
    wanted = set(codes(next(checklists(small))).values())

    assert wanted <= set(names(form(small)))


def test_leading_digits_stand_in_the_field(small: Manual) -> None:
    """What the paper prints before the blank is the beginning of the value."""
    assert '<input class="cell" name="CRK-01 M1 F T" title="CRK-01 M1 F T" value="1.874">' in form(small)


def test_prefix_keeps_the_sheets_of_a_pack_apart(small: Manual) -> None:
    """Every name begins with it."""
    assert all(name.startswith("P16 ") for name in names(form(small, "P16 ")))

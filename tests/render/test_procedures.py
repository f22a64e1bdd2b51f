"""Procedures as written, whatever families there are."""

from __future__ import annotations

from dataclasses import replace

from builder.manual import Manual
from builder.render.procedures import procedure_page, procedures_page
from builder.render.shell import Page
from builder.render.steps import MOST_COLUMNS


def page_of(manual: Manual) -> Page:
    """The page of the small shop's procedure."""
    return procedure_page(manual, manual.procedures["fit-poured-mains"])


def test_values_of_a_few_families_stand_side_by_side(small: Manual) -> None:
    """A sentence names a characteristic and leads to the families' values, each with its source."""
    html = page_of(small).html

    assert '<a class="gl-mention" href="#part-values-main_cap.torque">main cap nuts</a>' in html
    assert '<tr role="row" id="part-values-main_cap.torque">' in html


def test_values_of_many_families_are_left_to_the_look_up(small: Manual) -> None:
    """A table with a column for each of many families serves nobody."""
    engine = small.engines["tallow-four"]
    many = replace(small, engines={f"four-{number}": engine for number in range(MOST_COLUMNS + 1)})

    html = page_of(many).html

    assert 'id="part-values' not in html
    assert '<a class="gl-mention" href="../find.html#q=Main%20cap%20nuts">main cap nuts</a>' in html
    assert f">{MOST_COLUMNS + 1} families</a>" in procedures_page(many).html


def test_procedure_that_no_family_fits_says_so(small: Manual) -> None:
    """The page stands all the same, without checklists and values."""
    html = page_of(replace(small, engines={})).html

    assert "No family of this manual has the layout that it serves." in html
    assert 'id="part-values"' not in html


def test_planned_procedure_has_its_line_and_no_page(small: Manual) -> None:
    """What needs it leads to its line in the list."""
    html = procedures_page(small).html

    assert '<li class="gl-stop gl-stop-planned" id="pour-white-metal">' in html
    assert 'href="index.html#pour-white-metal"' in page_of(small).html

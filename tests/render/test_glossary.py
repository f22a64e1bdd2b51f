"""The glossary, and that search finds a thing by every word for it."""

from __future__ import annotations

from dataclasses import replace

from builder.manual import Manual
from builder.render.glossary import MOST_FAMILIES, glossary_page
from builder.render.search import findings


def test_synonym_is_found_under_the_preferred_word(small: Manual) -> None:
    """`babbitt` leads to white metal, `end play` to end float, misspellings too."""
    found = {finding.title: finding.text for finding in findings(glossary_page(small))}

    assert "babbitt" in found["white metal"]
    assert "babbit" in found["white metal"].split()
    assert "end play" in found["end float"]


def test_word_with_values_in_many_families_leads_to_the_look_up(small: Manual) -> None:
    """A few families are named with their rows; many are one link with the words already typed."""
    engine = small.engines["tallow-four"]
    many = replace(small, engines={f"four-{number}": engine for number in range(MOST_FAMILIES + 1)})

    assert 'href="engines/tallow-four/specs.html#main.clearance"' in glossary_page(small).html
    assert 'href="find.html#q=Main%20bearing%20oil%20clearance"' in glossary_page(many).html

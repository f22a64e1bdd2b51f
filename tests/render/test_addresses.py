"""Links from page to page."""

from __future__ import annotations

import pytest

from builder.render import addresses


@pytest.mark.parametrize(
    ("here", "there", "href"),
    [
        ("hazards.html", "hazards.html#lead", "#lead"),
        ("hazards.html", "procedures/fit.html", "procedures/fit.html"),
        ("engines/a/specs.html", "engines/a/sources.html#manual", "sources.html#manual"),
        ("engines/a/specs.html", "hazards.html", "../../hazards.html"),
        ("engines/a/specs.html", "engines/b/specs.html#main.clearance", "../b/specs.html#main.clearance"),
        ("rules/index.html", addresses.find("end float & more"), "../find.html#q=end%20float%20%20%20more"),
        ("index.html", 'engines/a"b/specs.html#c d', "engines/a%22b/specs.html#c%20d"),
    ],
)
def test_link_is_relative_and_safe(here: str, there: str, href: str) -> None:
    """A link works from a disk wherever the folder lies; an anchor on the same page stands alone."""
    assert addresses.link(here, there) == href


def test_words_make_an_anchor() -> None:
    """Letters of any script and dots stay, all else becomes a dash."""
    assert addresses.slug("Gudgeon pin / wrist pin, Größe 2.5") == "gudgeon-pin-wrist-pin-größe-2.5"

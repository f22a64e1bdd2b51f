"""The site as data, what stands round a page, and the shell's own files."""

from __future__ import annotations

import json
import re

import pytest

from builder.render import shell
from builder.render.shell import ASSETS, STYLES, Heading, Surround, frame, shell_assets, stylesheet
from builder.render.site_index import Entry, Index

INDEX = Index.of(
    (Entry("index.html", "Home"), Entry("find.html", "Find a value"), Entry("a/b/c.html", "C", ("A",)))
)


@pytest.mark.parametrize(
    ("here", "there", "link"),
    [
        ("index.html", "find.html", "find.html"),
        ("a/b/c.html", "find.html", "../../find.html"),
        ("a/b/c.html", "a/d.html#x", "../d.html#x"),
        ("a/b/c.html", "a/b/e.html", "e.html"),
    ],
)
def test_link_leads_from_one_page_to_another(here: str, there: str, link: str) -> None:
    """A link is relative, so that it holds on a disk wherever the site's folder lies."""
    assert shell.relative(here, there) == link


def test_frame_holds_all_that_stands_round_a_page() -> None:
    """Contents are the headings below the title down to the third rank; the settings are JSON."""
    headings = (Heading(1, "t", "C"), Heading(2, "x", "X"), Heading(3, "y", "Y"), Heading(4, "z", "Z"))

    around = frame(INDEX, "a/b/c.html", headings, Surround("none", "assets/bundle.js"))

    assert around.root == shell.root_of("a/b/c.html") == "../../"
    assert around.contents == headings[1:3]
    assert (around.before, around.after, around.find, around.home) == (None, None, "find.html", False)
    assert (around.policy, around.bundle) == ("none", "assets/bundle.js")
    settings = json.loads(around.settings)
    assert (settings["base"], settings["search"]) == ("../../", "../../assets/search-worker.js")


def test_every_part_of_the_style_sheet_is_joined_into_it() -> None:
    """No part on the disk is left out, and none is named that is not there."""
    files = [file.name for file in (ASSETS / "styles").glob("*.css")]
    alone = [
        name for name in files if name.startswith(("sheet", "one-file", "wall-card", "job-"))
    ]  # papers that carry their own style

    assert sorted([*STYLES, *alone]) == sorted(files)
    assert all((ASSETS / "styles" / name).read_text("utf-8") in stylesheet() for name in STYLES)


def test_shell_publishes_its_files_once_and_no_template() -> None:
    """Style sheets, scripts and the mark lie under `assets/`; templates and the worker's source do not."""
    paths = [asset.path for asset in shell_assets()]

    assert len(paths) == len(set(paths))
    assert {"assets/site.css", "assets/print.css", "assets/mark.svg", "assets/js/shade.js"} <= set(paths)
    assert not [path for path in paths if re.search(r"theme|styles|workers|\.html$", path)]


def test_style_sheets_load_nothing() -> None:
    """A style sheet names no other file: faces are the system's, shapes stand inside it."""
    for css in (stylesheet(), (ASSETS / "print.css").read_text("utf-8")):
        assert "@import" not in css
        assert set(re.findall(r"url\([\"']?([^\"')]{5})", css)) <= {"data:"}


def luminance(colour: str) -> float:
    """Relative luminance of `#rrggbb` (WCAG 2.2, definition of relative luminance)."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours (WCAG 2.2, definition of contrast ratio)."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def colours(shade: str) -> dict[str, str]:
    """The colours of `day` or `night` by name; where night is silent, day's."""
    css = (ASSETS / "styles/paper.css").read_text("utf-8")
    blocks = [dict(re.findall(r"--gl-([\w-]+): (#\w{6});", block)) for block in css.split(":root")[1:]]
    day, night, night_of_the_system = blocks
    assert night == night_of_the_system
    return day if shade == "day" else day | night


TEXT_PAIRS = [
    ("ink", "sheet"), ("ink", "desk"), ("ink", "field"),
    ("faded", "sheet"), ("faded", "desk"), ("faded", "field"),
    ("accent", "sheet"), ("accent", "field"), ("accent", "accent-tint"), ("ink", "accent-tint"),
    ("ink", "mark"),
    ("ink", "oxide-tint"), ("on-accent", "accent"), ("on-oxide", "oxide"), ("on-bar", "bar"),
    ("on-danger", "danger"), ("on-warning", "warning"), ("on-caution", "caution"), ("on-notice", "notice"),
]  # fmt: skip


@pytest.mark.parametrize("shade", ["day", "night"])
@pytest.mark.parametrize("pair", TEXT_PAIRS)
def test_text_stands_out_from_its_ground(pair: tuple[str, str], shade: str) -> None:
    """Text and ground differ by 4.5 to 1 at least (WCAG 2.2, 1.4.3)."""
    named = colours(shade)

    assert contrast(named[pair[0]], named[pair[1]]) >= 4.5


@pytest.mark.parametrize("shade", ["day", "night"])
@pytest.mark.parametrize("ground", ["sheet", "field", "desk"])
@pytest.mark.parametrize("line", ["rule", "accent", "oxide"])
def test_line_that_carries_meaning_stands_out(line: str, ground: str, shade: str) -> None:
    """The border of a field, a verdict or a tab differs from its ground by 3 to 1 (WCAG 2.2, 1.4.11)."""
    named = colours(shade)

    assert contrast(named[line], named[ground]) >= 3

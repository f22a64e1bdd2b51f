"""Checklist pages: what stands on them, where, in which words, and the data by which they judge."""

from __future__ import annotations

import json
import re
from collections import Counter
from html.parser import HTMLParser
from pathlib import Path

import pytest

from builder.checklist import Checklist, checklists
from builder.formula import parse
from builder.judge.program import program, shared
from builder.manual import Manual, load
from builder.render import bench, grids
from builder.render.checklist_facts import css_text
from builder.render.checklist_steps import Writer
from builder.render.formula_words import Reader
from builder.render.shell import Page, shell_assets

ROOT = Path(__file__).parents[2]
MAINS = "pellbrook-35-eight/fit-poured-mains"
CHOSEN = (
    MAINS,
    "tarnwick-222h-six/fit-shell-bearings",
    "pellbrook-35-eight/bore-and-hone",
    "tarnwick-222h-six/valve-springs",
    "tarnwick-222h-six/run-in",
    "pellbrook-35-eight/intake-and-identity",
)
"""Checklists of every make: grids of one, two and three sides, stages, things only looked at."""


@pytest.fixture(scope="module")
def manual() -> Manual:
    """The manual of the demonstration shop."""
    found, faults = load(ROOT)
    assert faults == ()
    return found


@pytest.fixture(scope="module")
def every(manual: Manual) -> dict[str, Checklist]:
    """The chosen checklists by `engine/procedure`."""
    found = {f"{one.engine.engine}/{one.procedure.procedure}": one for one in checklists(manual)}
    return {name: found[name] for name in CHOSEN}


@pytest.fixture(scope="module")
def pages(every: dict[str, Checklist]) -> dict[str, Page]:
    """Their pages."""
    return {name: bench.checklist_page(one) for name, one in every.items()}


class Tags(HTMLParser):
    """The tags of a page with their attributes, in order."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note a tag."""
        self.tags.append((tag, dict(attrs)))

    def values(self, name: str) -> list[str]:
        """Every value of an attribute."""
        return [attrs[name] or "" for _, attrs in self.tags if name in attrs]


def text_of(html: str) -> str:
    """The words of a page in one line."""
    bare = re.sub(r"<(style|script|svg)\b.*?</\1>", " ", html, flags=re.DOTALL)
    return " ".join(re.sub(r"<[^>]*>", " ", bare).split())


# Pages


def test_page_holds_one_heading_of_the_first_rank_and_no_id_twice(pages: dict[str, Page]) -> None:
    """Each page begins with its one h1, and every id stands once."""
    for name, page in pages.items():
        tags = Tags(page.html)
        ids = Counter(tags.values("id"))
        assert page.html.startswith("<h1 id="), name
        assert [tag for tag, _ in tags.tags].count("h1") == 1, name
        assert [one for one, count in ids.items() if count > 1] == [], name


def test_every_heading_that_is_told_stands_on_the_page(pages: dict[str, Page]) -> None:
    """The headings handed to the shell are those of the page, each step among them."""
    for name, page in pages.items():
        ids = set(Tags(page.html).values("id"))
        assert {heading.id for heading in page.headings} <= ids, name


def test_nothing_on_a_page_is_stopped_by_its_content_policy(pages: dict[str, Page]) -> None:
    """No script stands in a page and no element carries a handler; scripts are files of the site."""
    files = {asset.path for asset in shell_assets()} | {bench.SHARED}
    for name, page in pages.items():
        tags = Tags(page.html).tags
        scripts = [attrs.get("src") for tag, attrs in tags if tag == "script"]
        named = {str(source).removeprefix("../../") for source in scripts}
        own = page.path.removeprefix("checklists/").removesuffix(".html").split("/")[1] + ".js"
        assert None not in scripts, name
        assert [key for _, attrs in tags for key in attrs if key.startswith("on")] == [], name
        assert named - files == {own, "../shared.js"}, name


def test_every_blank_of_the_checklist_has_its_box(
    every: dict[str, Checklist], pages: dict[str, Page]
) -> None:
    """As many boxes as blanks, each with where it is in words."""
    for name, one in every.items():
        boxes = [attrs for _, attrs in Tags(pages[name].html).tags if "data-blank" in attrs]
        blanks = sum(len(grid.blanks) for step in one.steps for grid in step.grids)
        assert len(boxes) == blanks, name
        assert all(attrs["aria-label"] for attrs in boxes), name


def test_safety_stands_above_the_step_it_guards(every: dict[str, Checklist], pages: dict[str, Page]) -> None:
    """The messages of a step are the last thing before it."""
    one, html = every[MAINS], pages[MAINS].html
    guarded = [step for step in one.steps if step.messages]
    assert guarded
    for step in guarded:
        before = html[: html.index(f'id="step-{step.step.id}"')]
        after_last_step = before[before.rindex("</section>") :] if "</section>" in before else before
        assert after_last_step.count('class="gl-safety"') == len(step.messages), step.step.id


def test_hold_bar_stands_between_its_step_and_the_next(
    every: dict[str, Checklist], pages: dict[str, Page]
) -> None:
    """Nothing of the next step comes before the bar that stops the work."""
    one, html = every[MAINS], pages[MAINS].html
    for step, after in zip(one.steps, one.steps[1:], strict=False):
        if step.hold is not None:
            places = [
                html.index(f'id="{word}"')
                for word in (f"step-{step.step.id}", f"hold-{step.step.hold}", f"step-{after.step.id}")
            ]
            assert places == sorted(places), step.step.id


def test_value_in_a_sentence_stands_in_both_systems_with_its_kind(pages: dict[str, Page]) -> None:
    """A torque in a step's own words: pounds-feet, newton metres, whose limit it is."""
    assert (
        "Tighten the nuts to 75 to 85 lb-ft ( 102 to 115 N·m ) new , in the order and rounds shown."
        in text_of(pages[MAINS].html)
    )


def test_grid_is_laid_out_from_features_planes_and_axes(every: dict[str, Checklist]) -> None:
    """Mains run down, planes and axes across; the thrust main is marked."""
    one = every[MAINS]
    step = next(step for step in one.steps if step.step.id == "measure")
    (view,) = Writer(one, "x.html").step(step).grids

    assert view.columns == ("front V", "front L45", "front R45", "rear V", "rear L45", "rear R45")
    assert [row.label for row in view.rows] == ["Main 1", "Main 2", "Main 3 (thrust)", "Main 4", "Main 5"]
    assert (view.title, view.unit, view.tool_name) == ("Bore", "in", "bore_gauge")
    assert [(limit.where, limit.code) for limit in view.limits] == [("V", "CRK-08a")]
    assert view.rows[2].cells[3].where == "main 3, plane rear, axis V"
    assert view.rows[2].cells[3].code == "CRK-08a M3 R V"


def test_leading_digits_hold_at_every_listed_size(every: dict[str, Checklist]) -> None:
    """On paper the digits that stand in a box are common to the standard and to every undersize."""
    step = next(step for step in every[MAINS].steps if step.step.id == "size")
    (grid,) = step.grids

    assert grids.leading(every[MAINS], grid.blanks[0]) == "2."


@pytest.mark.parametrize(
    ("formula", "words"),
    [
        (
            "least(clearance) < low(main.clearance)",
            "the least clearance is below the lower limit of main clearance",
        ),
        (
            "mid_aim(main.clearance) - least(clearance)",
            "the middle of the aim for main clearance less the least clearance",
        ),
        (
            "most(clearance) > high(main.clearance) + 0.002 * inch",
            "the most clearance is above the upper limit of main clearance plus 0.002 in",
        ),
        (
            "min(float, point) < 3 or not (float > 4)",
            "the smallest float is below 3, or not float is above 4",
        ),
        ("max(pick(bore, axis, V), 2 * inch)", "the largest of bore at V and 2 in"),
        ("wrench * (arm + adapter) / arm", "wrench times (arm plus adapter) divided by arm"),
        ("abs(left - right)", "the size of left less right"),
        ("sqrt(area)", "sqrt(area)"),
    ],
)
def test_formula_is_read_aloud(formula: str, words: str) -> None:
    """An apprentice reads a test as a sentence."""
    reader = Reader(lambda name: name.replace(".", " "), {"plane", "axis", "point"})

    assert reader.words(parse(formula)) == words


def test_what_is_out_is_told_with_amount_passes_and_where_to_go_on(pages: dict[str, Page]) -> None:
    """The rules of a step stand in words, to be read before anything is out."""
    text = text_of(pages[MAINS].html)

    assert (
        "If the most clearance is above the upper limit of main bearing oil clearance, and the most "
        "clearance is not above the upper limit of main bearing oil clearance plus 0.002 in: Take one shim "
        "leaf of the amount shown out of each side. Amount: 0.002 in. At most 1 pass. Go on from step 2 ."
    ) in text


# What the page judges by


def test_program_is_the_script_beside_the_page(manual: Manual, every: dict[str, Checklist]) -> None:
    """Each page's data are plain JSON behind one name, and end no script that they may stand in."""
    for name, one in every.items():
        asset = bench.program_asset(one)
        head, _, data = str(asset.content).partition("Gaugeleaf.program = ")
        assert asset.path == f"checklists/{name}.js"
        assert head == "globalThis.Gaugeleaf = globalThis.Gaugeleaf || {};\n"
        assert json.loads(data.removesuffix(";\n")) == program(one), name
        assert "<" not in data
    assert json.loads(json.dumps(shared(manual))) == shared(manual)


def test_every_characteristic_that_is_judged_is_in_the_program(every: dict[str, Checklist]) -> None:
    """What a blank or a worked-out value is held against is there with its limits."""
    for name, one in every.items():
        data = program(one)
        held = {row for step in data["steps"] for grid in step["grids"] for row in grid["against"] if row}
        held |= {out["against"] for step in data["steps"] for out in step["workOuts"] if out["against"]}
        assert held <= set(data["rows"]), name


def test_text_in_a_margin_cannot_end_its_style() -> None:
    """Whatever a title holds stays inside the CSS string."""
    assert css_text('P1 "x"</style>;}') == '"P1 \\22 x\\22 \\3c \\2f style\\3e \\3b \\7d "'

"""What a shop decided against its base, wherever it is read: pages, sheets, answers."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from builder.checklist import Checklist, checklists
from builder.manual import Manual, load
from builder.render import paper
from builder.render.bench import checklist_page
from builder.render.differences import differences_page
from builder.render.find_lines import found_lines
from builder.render.pages import reference_pages
from builder.render.procedures import procedure_page
from builder.render.spec_tables import specs_page
from builder.site import build

TESTS = Path(__file__).parents[1]
AIM = (
    "By this shop, R.T. 2026-03-02: The rear main ran dry twice at the loose end of the aim."
    " The base has 0.0015 to 0.0018 in [notes 3]."
)
CUTS = "Reworded. By this shop, K.O. 2026-03-09: One deep cut tore the metal. The base has “Bore the metal.”"
WAIT = "Put in. By this shop, R.T. 2026-03-02: Two blocks were bored warm in January."
HEAD = "Added, tools: file. By this shop, L.M. 2026-03-08: For the marks."


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shop over its base."""
    folder = tmp_path_factory.mktemp("decided")
    shutil.copytree(TESTS / "rules" / "base", folder / "shared")
    return Path(shutil.copytree(TESTS / "layers" / "shop", folder / "shop"))


@pytest.fixture(scope="module")
def manual(shop: Path) -> Manual:
    """Its manual."""
    return load(shop)[0]


@pytest.fixture(scope="module")
def mains(manual: Manual) -> Checklist:
    """The checklist of the base's procedure as the shop has it."""
    return next(one for one in checklists(manual) if one.procedure.procedure == "fit-mains")


def test_spec_table_shows_who_decided_and_what_the_base_has(manual: Manual) -> None:
    """Beside the value; a row that the shop added says so; the page names both files."""
    html = specs_page(manual, manual.engines["tallow-four"]).html

    assert html.count(AIM) == 1
    assert "The base knows of none: Manual and parts list searched, nothing printed." in html
    assert "Added. By this shop, R.T. 2026-03-07: A high stack lets the cap rock." in html
    assert "../shared/specs/engines/tallow-four.yaml and specs/engines/tallow-four.yaml" in html


@pytest.mark.parametrize("said", [AIM, CUTS, WAIT, HEAD])
def test_sheet_and_checklist_show_the_same(mains: Checklist, said: str) -> None:
    """On paper and on the screen: limits, steps put in and reworded, what was added at the head."""
    assert said in paper.sheet(mains)
    assert said in checklist_page(mains).html


@pytest.mark.parametrize("said", [CUTS, WAIT, HEAD])
def test_procedure_for_all_families_shows_the_same(manual: Manual, said: str) -> None:
    """Steps and head, where no family's limits stand."""
    assert said in procedure_page(manual, manual.procedures["fit-mains"]).html


def test_answer_shows_the_same(manual: Manual) -> None:
    """Each limit that was decided, and the instrument."""
    lines = found_lines(manual, "oil clearance")

    assert f"    Aim: {AIM}" in lines
    assert (
        "    Instrument chosen. By this shop, L.M. 2026-03-06: It is worked out of what this gauge reads."
        " The base says nothing there." in lines
    )


def test_page_of_differences_stands_only_where_there_are_any(shop: Path, manual: Manual) -> None:
    """Families and procedures lead to their pages; a shop without a base has no such page."""
    page = differences_page(manual)
    base = load(shop.parent / "shared")[0]

    assert [(one.id, one.text) for one in page.headings] == [
        ("part-tallow-four", "Tallow Four (invented)"),
        ("part-fit-mains", "P16 Fit the main bearings"),
        ("added", "Added to the base"),
    ]
    assert '<a href="procedures/fit-mains.html">P16 Fit the main bearings</a>' in page.html
    assert page.html.count("<dt>") == len(manual.differences) + 1
    assert "<p>Here: <strong>nobody approved these words</strong></p>" in page.html
    assert "differences.html" in {one.path for one in reference_pages(manual)}
    assert "differences.html" not in {one.path for one in reference_pages(base)}


def test_site_of_a_shop_over_a_base_is_built_and_watches_both_folders(shop: Path) -> None:
    """All pages of base and shop; a change in either builds again."""
    site = build(shop)

    assert site.diagnostics == ()
    assert {"engines/tallow-two/index.html", "checklists/tallow-four/dress-caps.html"} <= {
        page.path for page in site.pages
    }
    assert [path.relative_to(shop.parent.resolve()).as_posix() for path in map(Path.resolve, site.watch)] == [
        "shared/specs",
        "shared/procedures",
        "shop/specs",
        "shop/procedures",
    ]


def test_step_left_out_is_told_at_the_head(shop: Path, tmp_path: Path) -> None:
    """Where it stood, what it told to do, who left it out and why."""
    shutil.copytree(shop.parent, tmp_path / "pair")
    path = tmp_path / "pair" / "shop" / "procedures" / "crank" / "fit-mains.yaml"
    path.write_text(
        "extends: fit-mains\nchanges:\n  - leave_out:\n      step: tighten\n"
        "      was: Tighten the nuts to {main_cap.torque}, in the order and rounds shown.\n"
        "    by: L.M.\n    on: 2026-03-11\n    why: It is done in another procedure.\n",
        encoding="utf-8",
    )
    manual = load(tmp_path / "pair" / "shop")[0]
    (mains,) = [one for one in checklists(manual) if one.procedure.procedure == "fit-mains"]

    assert (
        "Left out at the beginning: “Tighten the nuts to {main_cap.torque}, in the order and rounds shown.”"
        " By this shop, L.M. 2026-03-11: It is done in another procedure." in paper.sheet(mains)
    )

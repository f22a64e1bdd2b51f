"""The data of *Find a value* as the browser gets it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from builder.lookup import Lookup
from builder.manual import Manual, load
from builder.render.bench import bench_pages
from builder.render.find_data import packed, short_names
from builder.render.pages import reference_pages

SHOP = Path(__file__).parents[2]
NAME = "Gaugeleaf.lookupData = "


def unpacked(script: str) -> dict[str, Any]:
    """The data inside the script."""
    assert script.startswith(NAME)
    assert script.endswith(";\n")
    data: dict[str, Any] = json.loads(script[len(NAME) : -2])
    return data


def test_equal_manuals_give_equal_bytes() -> None:
    """Nothing of the run gets into the data."""
    first, second = load(SHOP)[0], load(SHOP)[0]

    assert packed(Lookup(first)) == packed(Lookup(second))


def test_script_is_plain_ascii(small: Manual) -> None:
    """Whatever a page is read as, the script says the same: `°` and `−` are written as escapes."""
    assert packed(Lookup(small)).isascii()


def test_every_row_has_a_line_in_the_order_of_the_index(small: Manual) -> None:
    """Subject by subject; the first place is the family, the second the title."""
    data = unpacked(packed(Lookup(small)))
    strings = data["strings"].split("\n")
    lines = [json.loads(line) for line in data["lines"].split("\n")]
    names = Lookup(small).index.subjects

    rows = small.engines["tallow-four"].specs
    assert [strings[line[1]] for line in lines] == [str(rows[name].title) for name in names]  # type: ignore[index]
    assert data["families"] == [
        ["tallow-four", "Tallow Four", "Tallow", "engines/tallow-four/specs.html"],
    ]
    assert [names[number] for number in data["wall"]] == ["run_in.stages"]


def test_line_holds_value_partner_and_source(small: Manual) -> None:
    """The main clearance, place by place."""
    data = unpacked(packed(Lookup(small)))
    strings = data["strings"].split("\n")
    place = Lookup(small).index.subjects.index("main.clearance")
    new, aim, wear = json.loads(data["lines"].split("\n")[place])[3]

    assert [new[0], aim[0], wear[0]] == ["new", "aim", "wear"]
    assert [strings[part] if number in (1, 2) else part for number, part in enumerate(new[2])] == [
        "0.0012 to 0.0022",
        "in",
        "",
        0,
    ]
    assert [strings[part] if number in (1, 2) else part for number, part in enumerate(new[3])][1:] == [
        "mm",
        "",
        1,
    ]
    assert [strings[number] for number in new[6][0]] == [
        "Tallow Four instruction book, 1930, p. 22",
        "engines/tallow-four/sources.html#manual",
    ]


def test_every_link_of_the_data_leads_somewhere() -> None:
    """Steps, sources, instruments, torque cards and words of the trade stand where they are said to."""
    manual, _ = load(SHOP)
    pages = {page.path: page.html for page in (*reference_pages(manual), *bench_pages(manual))}
    data = unpacked(packed(Lookup(manual)))
    strings = data["strings"].split("\n")

    steps = [json.loads(step) for step in data["steps"].split("\n")]
    lost = set()
    for link in {link for line in data["lines"].split("\n") for link in links(json.loads(line), strings)} | {
        f"{strings[step[2]]}#{strings[step[3]]}" for step in steps
    }:
        path, _, anchor = link.partition("#")
        if f'id="{anchor}"' not in pages.get(path, ""):
            lost.add(link)
    assert lost == set()
    assert {term[2].partition("#")[0] for term in data["terms"]} <= set(pages)


def links(line: list[Any], strings: list[str]) -> set[str]:
    """Every link of a row but those to its steps."""
    cites = {strings[cite[1]] for value in line[3] for cite in value[6]}
    tool = {strings[line[7][1]]} if line[7] else set()
    return (cites | tool | {strings[line[15]]}) - {""}


@pytest.mark.parametrize(
    ("titles", "short"),
    [
        (["Pellbrook Series 35 Eight", "Tarnwick 222-H Six"], ["Pellbrook", "Tarnwick"]),
        (["Sedge Twin", "Sedge Four", "Tallow"], ["Sedge Twin", "Sedge Four", "Tallow"]),
        (["Same", "Same"], ["Same", "Same"]),
    ],
)
def test_short_name_is_as_short_as_it_can_be(titles: list[str], short: list[str]) -> None:
    """The first words that no other title begins with; the whole title where there are none."""
    assert short_names(titles) == short

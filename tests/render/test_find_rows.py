"""Rows in finished words."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.lookup import Lookup
from builder.manual import Manual, load
from builder.render.find_rows import AMOUNT, Answers, RowView

SHOP = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def demonstration() -> Lookup:
    """The demonstration shop's manual made ready for questions."""
    manual, _ = load(SHOP)
    return Lookup(manual)


def view(lookup: Lookup, family: str, name: str) -> RowView:
    """A row of a family in words."""
    engine = lookup.manual.engines[family]
    entry = lookup.entry(engine, name)
    assert entry is not None
    return Answers(lookup.manual, engine).view(entry)


def test_state_holds_what_must_be_so_and_facts_the_rest(small: Manual) -> None:
    """A load is nothing without its height, a torque nothing without its threads."""
    lookup = Lookup(small)

    spring = view(lookup, "tallow-four", "valve.spring_load")
    nuts = view(lookup, "tallow-four", "main_cap.torque")

    assert (spring.state, spring.facts) == (("Read at 1.750 in (44.45 mm).",), ())
    assert nuts.state == ("Threads oiled.", "Order: 2 - 1 - 3.", "Rounds: 30 lb-ft, final.")
    assert nuts.facts == ("One for each main.",)
    assert nuts.torque_card == "engines/tallow-four/torque.html#main_cap.torque"


def test_fit_names_the_mates_it_follows_from(small: Manual) -> None:
    """The formula by the names of its mates, with the signs of arithmetic."""
    clearance = view(Lookup(small), "tallow-four", "main.clearance")

    assert clearance.follows == "main bearing bore − main journal diameter"
    assert clearance.mates == ("main.bore", "main.journal")
    assert clearance.state == ("68 °F, shims in, caps at torque.",)
    assert clearance.why == "The old pump is small; more slack starves the rear main."


def test_row_without_a_value_says_why(small: Manual) -> None:
    """Nothing published is an answer too."""
    unknown = view(Lookup(small), "tallow-four", "cam.end_float")

    assert (unknown.values, unknown.unknown) == ((), "Manual searched")


@pytest.mark.parametrize(
    ("family", "name", "size", "shown", "partner"),
    [
        ("pellbrook-35-eight", "main.journal", "0.020 in", "2.4795 to 2.4800 in", "62.980 to 62.992 mm"),
        ("pellbrook-35-eight", "bore.size", "0.030 in", "3.1860 to 3.1870 in", "80.925 to 80.949 mm"),
        ("tarnwick-222h-six", "main.shell_wall", "0.020 in", "0.1032 to 0.1035 in", "2.622 to 2.628 mm"),
        ("tarnwick-222h-six", "main.journal", "0.010 in", "2.6135 to 2.6140 in", "66.383 to 66.395 mm"),
    ],
)
def test_size_moves_with_the_sizes_that_are_listed(
    demonstration: Lookup, family: str, name: str, size: str, shown: str, partner: str
) -> None:
    """A journal goes down by the undersize, a shell wall up by half of it, a bore up over both its grades."""
    sizes = {each.size: each for each in view(demonstration, family, name).sizes}

    assert (str(sizes[size].shown), str(sizes[size].partner)) == (shown, partner)


def test_clearance_does_not_move_with_a_size(demonstration: Lookup) -> None:
    """Only sizes move."""
    assert view(demonstration, "pellbrook-35-eight", "main.clearance").sizes == ()


def test_remedy_stands_in_words_with_the_step_to_go_on_from(demonstration: Lookup) -> None:
    """An amount that is only worked out on the sheet is called so."""
    remedies = view(demonstration, "pellbrook-35-eight", "main.clearance").remedies
    first, *_, last = (remedy for remedy in remedies if remedy.step.code == "P16")

    assert first.side == "Under the limit"
    assert first.text == f"Bore {AMOUNT} more out of the bearing."
    assert first.then
    assert (first.then.page, first.then.anchor) == (
        "checklists/pellbrook-35-eight/fit-poured-mains.html",
        "step-finish",
    )
    assert (last.side, last.then) == ("Over the limit", None)

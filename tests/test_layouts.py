"""The demonstration families: which traits they prove between them, and that each route can be walked."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.checklist import Checklist, checklists, fits
from builder.manual import Manual, feature, load
from builder.model.layout import TRAITS

SHOP = Path(__file__).parents[1]
NO_FAMILY = {
    ("valves", "f_head"),
    ("main_bearings", "poured_shell"),
    ("rod_bearings", "roller"),
}
"""The traits for which steps are written and no invented family stands."""


@pytest.fixture(scope="module")
def manual() -> Manual:
    """The manual of the demonstration shop."""
    return load(SHOP)[0]


@pytest.fixture(scope="module")
def every(manual: Manual) -> tuple[Checklist, ...]:
    """Every checklist of every family."""
    return tuple(checklists(manual))


def test_each_trait_has_a_family_but_three(manual: Manual) -> None:
    """Between them the families have every value of every trait, so that its steps are printed somewhere."""
    met = {
        (trait, str(value)) for engine in manual.engines.values() for trait, value in engine.layout.items()
    }

    assert {(trait, value) for trait, values in TRAITS.items() for value in values} - met == NO_FAMILY


def test_each_family_has_a_route_from_intake_to_the_first_service(manual: Manual) -> None:
    """Only procedures for what a layout does not have drop out of its route."""
    served = {
        str(engine.engine): [
            str(procedure.code) for procedure in manual.route if not manual.applies(procedure, engine)
        ]
        for engine in manual.engines.values()
    }

    assert served == {
        "pellbrook-35-eight": ["P09", "P18", "P18b", "P28", "P32b"],
        "tarnwick-222h-six": ["P15", "P16", "P17", "P18b", "P32b"],
        "ulverham-310-v8": ["P15", "P16", "P17", "P18b", "P32b"],
        "umberlow-flat-four": ["P16", "P18b", "P32b"],
        "varnock-five-single": ["P09", "P16", "P18", "P28", "P32b", "P33"],
        "veltmoor-twelve-four": ["P15", "P16", "P17", "P18b", "P28", "P32"],
    }


def test_each_correction_leads_to_a_step_of_the_same_sheet(every: tuple[Checklist, ...]) -> None:
    """A step that drops out with a layout is not the one to go on from."""
    astray = [
        (str(sheet.engine.engine), str(sheet.procedure.code), str(step.step.id), str(if_out.then))
        for sheet in every
        for step in sheet.steps
        for if_out in step.if_out
        if if_out.then not in {"stop", *(one.step.id for one in sheet.steps)}
    ]

    assert astray == []


def test_each_hold_of_a_family_is_signed_on_its_route(manual: Manual, every: tuple[Checklist, ...]) -> None:
    """A hold that no step of the route signs would stop the job for ever."""
    for engine in manual.engines.values():
        had = {str(name) for name, hold in manual.holds.items() if fits(engine, hold.when, hold.unless)}
        sheets = [sheet for sheet in every if sheet.engine is engine]
        signed = {str(step.step.hold) for sheet in sheets for step in sheet.steps if step.hold is not None}

        assert signed == had


def test_the_camshaft_is_reconditioned_before_it_goes_in(manual: Manual) -> None:
    """Its bearings are bored to its journals, and it passes them once, when it stays."""
    assert "camshaft-and-followers" in manual.procedures["cam-bearings-and-camshaft"].needs
    assert "cam-bearings-and-camshaft" not in manual.procedures["camshaft-and-followers"].needs


def test_two_rods_share_a_crankpin_of_the_v8(manual: Manual) -> None:
    """Four crankpins, eight rods; the flat four has a crankpin for each rod."""
    seats = {}
    for name in ("ulverham-310-v8", "umberlow-flat-four"):
        rods = feature(manual.engines[name], "rod")
        assert rods is not None
        seats[name] = "".join(sorted(rods.on["crankpin"].values()))

    assert seats == {"ulverham-310-v8": "11223344", "umberlow-flat-four": "1234"}

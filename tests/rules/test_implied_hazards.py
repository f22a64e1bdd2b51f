"""Sentences of the bench that imply a hazard: the rule finds each where the procedure does not name it.

Common practice, no source: the sentences are what a foreman would write without thinking of the danger.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from builder.manual import Manual, load
from builder.model.base import Text, sentence_of
from builder.rules import check

SHOP = Path(__file__).parents[2]
HOST = Text("hand-over")

IMPLIES = {
    "Hoist the engine out of its crate.": "lifting",
    "Lift the engine onto the stand with the crane.": "lifting",
    "Compress the valve spring and take the collets out.": "springs",
    "Take the spring compressor off the valve.": "springs",
    "Melt the white metal out of the cap.": "lead",
    "Scrape the white metal where the blueing shows.": "lead",
    "Pour the molten metal in one stream.": "molten_metal",
    "Put the block into the caustic tank.": "caustic",
    "Hang the iron parts in the hot tank.": "caustic",
    "Scrape the old gasket off the head face.": "asbestos",
    "Pull the old packing out of the gland.": "asbestos",
    "Grind the chrome ring to its gap.": "chrome",
    "File the chrome-plated ring square.": "chrome",
    "Drain the fuel out of the bowl.": "fuel_fire",
    "Run the engine until the water is hot.": "carbon_monoxide",
    "Start the engine and listen.": "carbon_monoxide",
    "Wash the parts in solvent.": "solvent",
    "Blow the gallery out with compressed air.": "compressed_air",
    "Grind the sodium-filled valve to its margin.": "sodium_valve",
    "Blast the head with glass beads.": "dust",
    "Warm the housing in the oven.": "hot_parts",
    "Fill the jacket and raise the test pressure.": "pressure_test",
    "Tin the shell with tinning acid.": "acid",
    "Turn the magneto and feel for the spark.": "high_tension",
    "Charge the battery over night.": "battery_gas",
    "Open the radiator cap of the hot engine.": "scald",
    "Start the boring bar and cut.": "rotating",
    "Put the crankshaft into the lathe.": "rotating",
    "Look at the crankshaft under the ultraviolet lamp.": "magnetic_uv",
    "Bring the engine on the dynamometer to full load.": "coupling_burst",
}


@pytest.fixture(scope="module")
def manual() -> Manual:
    """The manual of the demonstration shop."""
    return load(SHOP)[0]


@pytest.mark.parametrize("sentence", IMPLIES)
def test_dangerous_sentence_without_its_hazard_is_found(manual: Manual, sentence: str) -> None:
    """In a procedure that names no hazard at all, it gives GL-605 with the hazard that it implies."""
    host = manual.procedures[HOST]
    bare = {"do": sentence_of(Text(sentence)), "safety": (), "if_out": ()}
    step = host.steps[0].model_copy(update=bare)
    spoilt = host.model_copy(update={"hazards": (), "steps": (step,)})
    found = check(replace(manual, procedures={**manual.procedures, HOST: spoilt}))

    implied = [one.message for one in found if one.code == "GL-605"]
    assert any(f"the hazard `{IMPLIES[sentence]}`" in message for message in implied), implied


def test_every_hazard_is_implied_by_words(manual: Manual) -> None:
    """No hazard is declared that no word of a step could bring to mind."""
    assert [name for name, hazard in manual.hazards.items() if not hazard.words] == []
    assert set(IMPLIES.values()) >= set(map(str, manual.hazards)) - {"noise"}

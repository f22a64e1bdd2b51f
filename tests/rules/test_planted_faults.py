"""The demonstration manual is clean; of faults planted in it each is found on its line, and nothing else."""

from __future__ import annotations

import re
import shutil
from pathlib import Path
from typing import NamedTuple

import pytest

from builder.diagnostic_formats import as_lines
from builder.diagnostics import Diagnostic
from builder.manual import load
from builder.rules import check

SHOP = Path(__file__).parents[2]
EIGHT = "specs/engines/pellbrook-35-eight.yaml"
SIX = "specs/engines/tarnwick-222h-six.yaml"
MAINS = "procedures/crank/fit-poured-mains.yaml"
SPRINGS = "procedures/valves/valve-springs.yaml"
LAY_IN = "procedures/assembly/lay-in-crankshaft.yaml"
HOLDS = "procedures/holds.yaml"


class Fault(NamedTuple):
    """A fault to plant: in which file, below which line, which words become which, and the code it gives.

    `below` is the key or the id under which the words stand; the fault is expected on the line of the words.
    """

    code: str
    path: str
    below: str
    old: str
    new: str


PLANTED = (
    Fault("GL-008", EIGHT, "rod.bend:", "    kind: runout\n", "    kind: runout\n    kind: bore\n"),
    Fault("GL-102", EIGHT, "tappet.clearance:", "    wear: ", "    ware: "),
    Fault("GL-104", EIGHT, "water.capacity:", "new: ", "new: about "),
    Fault("GL-201", EIGHT, "crank.flange_run_out:", "kind: runout", "kind: run_out"),
    Fault("GL-204", EIGHT, "main.fillet:", " [manual p. 28]", ""),
    Fault("GL-205", EIGHT, "crankpin.fillet:", "[manual p. 28]", "[manul p. 28]"),
    Fault("GL-206", EIGHT, "flywheel.face_run_out:", "[manual p. 32]", "[manual]"),
    Fault("GL-207", EIGHT, "deck.height:", "13.3375 ± 0.0030 in", "13.3375 in"),
    Fault("GL-208", EIGHT, "oil.relief_spring_load:", " lbf [", " lb ["),
    Fault("GL-209", EIGHT, "cam.end_float:", "0.003 to 0.007 in", "3 to 7 in"),
    Fault("GL-210", EIGHT, "rod.centres:", "9.000 ± 0.002 in", "9.000 ± 0.002 in (228.06 ± 0.05 mm)"),
    Fault("GL-213", EIGHT, "rod.clearance:", "aim: 0.0013 to", "aim: 0.0003 to"),
    Fault("GL-214", EIGHT, "spring.load_closed:", "wear: 41 lbf min", "wear: 41 lbf max"),
    Fault("GL-215", EIGHT, "exhaust_valve.stem_clearance:", "wear: 0.0060 in", "wear: 0.0030 in"),
    Fault("GL-219", EIGHT, "cam.journal:", '      "5": 1.9995 to 2.0005 in [manual p. 50]\n', ""),
    Fault("GL-225", EIGHT, "engine.firing_order:", "1-6-2-5-8-3-7-4", "1-6-2-5-8-3-7"),
    Fault("GL-230", EIGHT, "pin.rod_clearance:", "0.0003 to 0.0008 in", "0.0003 to 0.0012 in"),
    Fault("GL-303", SIX, "valve.margin:", "each: valve", "each: valves"),
    Fault("GL-304", SIX, "piston.clearance:", "follows: bore.size", "follows: bore.sise"),
    Fault("GL-307", SIX, "bore.wall:", "wall_thickness_gauge", "wall_thickness_gage"),
    Fault("GL-310", SIX, "crankpin.diameter:", "code: CRK-02", "code: CRK-01"),
    Fault("GL-330", LAY_IN, "- id: tighten", "{main_cap.torque}", "{main_cap.torqe}"),
    Fault("GL-332", SPRINGS, "code: P27", "valves-and-seats", "valves-and-seat"),
    Fault("GL-336", SPRINGS, "- id: loads", "safety: [springs]", "safety: [spring]"),
    Fault("GL-341", SPRINGS, "- id: height", "then: stop", "then: foreman"),
    Fault("GL-343", MAINS, "least(clearance) < low(main.clearance) - ", "        at_most: 2 passes\n", ""),
    Fault("GL-402", MAINS, "- id: shims", "tool: outside_micrometer, ", ""),
    Fault("GL-501", HOLDS, "bearings-witnessed:", "by: [", "by: [apprentice, "),
    Fault("GL-701", LAY_IN, "- id: dry", "do: Wipe", "do: The fitter wipes"),
    Fault("GL-703", LAY_IN, "- id: oil", "with assembly oil", "with sufficient oil"),
    Fault("GL-704", SPRINGS, "- id: free", "expect: ", "expect: OK # "),
    Fault("GL-802", MAINS, "- id: measure", "max(spread(bore, axis)", "max(spread(bores, axis)"),
    Fault("GL-803", MAINS, "- id: size", "mid_aim(main.clearance)", "mid_aim(main_cap.torque)"),
    Fault("GL-812", "specs/instruments.yaml", "burette:", "uncertainty: ", "uncertainty: about "),
)
ELSEWHERE = {
    # Where the words that are wrong are not the ones that were changed, the line is told from these.
    "GL-008": "    kind: bore\n",
    "GL-204": "new: 0.125 ± 0.010 in\n",
    "GL-219": '      "1": 2.1235',
    "GL-343": "        then: finish\n",
    "GL-402": "shims: {each: main, point",
}


def found(shop: Path) -> list[Diagnostic]:
    """Everything that is wrong with a shop."""
    manual, unread = load(shop)
    return sorted([*unread, *check(manual)])


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A copy of the demonstration manual."""
    for folder in ("specs", "procedures"):
        shutil.copytree(SHOP / folder, tmp_path / folder)
    return tmp_path


def plant(shop: Path, fault: Fault) -> None:
    """Change the first such words below the line."""
    path = shop / fault.path
    text = path.read_text(encoding="utf-8")
    at = text.index(fault.old, text.index(fault.below))
    path.write_text(text[:at] + fault.new + text[at + len(fault.old) :], encoding="utf-8")


def line_of(shop: Path, fault: Fault) -> int:
    """The line on which a planted fault stands when all are planted."""
    text = (shop / fault.path).read_text(encoding="utf-8")
    at = text.index(ELSEWHERE.get(fault.code, fault.new), text.index(fault.below))
    return text.count("\n", 0, at) + 1


def test_the_demonstration_manual_has_no_faults() -> None:
    """The manual that everybody sees first is clean: no errors and no warnings."""
    assert as_lines(found(SHOP)) == ""


def test_each_planted_fault_is_found_on_its_line_and_nothing_else_is(shop: Path) -> None:
    """Over thirty faults of as many sorts in as many places give as many diagnostics, each on its line."""
    assert len({fault.code for fault in PLANTED}) == len(PLANTED) >= 30
    for fault in PLANTED:
        plant(shop, fault)

    expected = sorted((fault.path, line_of(shop, fault), fault.code) for fault in PLANTED)

    assert [(one.span.path, one.span.line, one.code) for one in found(shop)] == expected


@pytest.mark.slow
@pytest.mark.parametrize("fault", PLANTED, ids=lambda fault: fault.code)
def test_planted_fault_alone_gives_one_diagnostic(shop: Path, fault: Fault) -> None:
    """Each of the faults by itself gives one diagnostic on its line, and it points at the words."""
    plant(shop, fault)
    diagnostics = found(shop)

    assert [(one.code, one.span.path, one.span.line) for one in diagnostics] == [
        (fault.code, fault.path, line_of(shop, fault))
    ]
    assert re.search(r"`", diagnostics[0].message) or diagnostics[0].message.startswith(
        ("a ", "this ", "the ")
    )

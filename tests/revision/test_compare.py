"""Two editions of a checklist in words: each change once, renamed ids followed, another order not told."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from builder.checklist import Checklist, checklists
from builder.edition import edition
from builder.manual import Manual
from builder.revision.compare import compare, differing

Change = Callable[..., Manual]

BORE = "  - id: bore\n    do: Bore the metal.\n    irreversible: true\n    safety: [rotating]\n"
TIGHTEN = "  - id: tighten\n    do: Tighten the nuts to {main_cap.torque}, in the order and rounds shown.\n"
WASH = "  - id: wash\n    do: Wash each bearing until a white rag stays white.\n"
ROWS = "    aim: 0.0015 to 0.0018 in [notes 3]\n    wear: 0.0040 in max [manual p. 22]\n"
CLEARANCE = "Main bearing oil clearance (CRK-09)"
TAPER = "max(spread(journal, plane), axis)"

TOLD = (
    (
        [("family", "aim: 0.0015 to 0.0018 in", "aim: 0.0014 to 0.0018 in")],
        ["Main bearing oil clearance (CRK-09), aim: 0.0015 to 0.0018 in → 0.0014 to 0.0018 in"],
    ),
    (
        [("family", "[notes 3]\n    wear", "[notes 4]\n    wear")],
        [
            CLEARANCE + ", aim: 0.0015 to 0.0018 in [notes 3] → 0.0015 to 0.0018 in [notes 4]",
        ],
    ),
    (
        [("family", "    wear: 0.0040 in max [manual p. 22]\n", "")],
        ["Main bearing oil clearance (CRK-09), wear taken out: 0.0040 in max [manual p. 22]"],
    ),
    (
        [("family", "    aim: 0.0015", "    supplier: 0.0010 to 0.0020 in [list]\n    aim: 0.0015")],
        ["Main bearing oil clearance (CRK-09), supplier added: 0.0010 to 0.0020 in [list]"],
    ),
    (
        [("mains", "do: Bore the metal.", "do: Bore the metal in two cuts.")],
        ["step 2 (bore), do: “Bore the metal.” → “Bore the metal in two cuts.”"],
    ),
    (
        [("mains", BORE, ""), ("mains", "then: bore", "then: tighten")],
        [
            "old step 2 (bore) taken out: “Bore the metal.”",
            "step 2 (measure), if out 1, then: bore → tighten",
        ],
    ),
    (
        [("mains", BORE, BORE + WASH)],
        ["step 3 (wash), after bore, added: “Wash each bearing until a white rag stays white.”"],
    ),
    (
        [("mains", BORE, ""), ("mains", "steps:\n", "steps:\n" + BORE)],
        ["step 1 (bore): moved, first now"],
    ),
    (
        [("mains", "[front, rear], axis: [T, A]", "[front, mid, rear], axis: [T, A]")],
        ["step 3 (measure), measure journal, plane: front, rear → front, mid, rear"],
    ),
    (
        [("mains", TAPER, TAPER.replace("max", "mean"))],
        [
            "step 3 (measure), work out taper, formula: " + TAPER + " → " + TAPER.replace("max", "mean"),
        ],
    ),
    (
        [("mains", "at_most: 3 passes", "at_most: 2 passes")],
        ["step 3 (measure), if out 1, at most: 3 passes → 2 passes"],
    ),
    (
        [("mains", "    irreversible: true\n", "")],
        ["step 2 (bore), irreversible: no longer"],
    ),
    (
        [("holds", "by: [builder, second]", "by: [second, foreman]")],
        ["hold bearings-witnessed (H11), signed by: builder, second → foreman, second"],
    ),
    (
        [("hazards", "A turning bar.", "A bar that turns.")],
        [
            "hazard Turning parts (Z11), hazard: “A turning bar.” → “A bar that turns.”",
        ],
    ),
    (
        [("mains", "supplies: [engine oil]", "supplies: [blueing]")],
        ["supplies taken out: engine oil", "supplies added: blueing"],
    ),
    (
        [("family", "  main: 3", "  main: 2")],
        [
            "parts, main cap nut: 6 → 4",
            "step 1 (tighten), look marks, positions, main: 1, 2, 3 → 1, 2",
            "step 1 (tighten), parts, main cap nut: 6 → 4",
            "step 3 (measure), measure journal, positions, main: 1, 2, 3 → 1, 2",
            "step 3 (measure), measure bore, positions, main: 1, 2, 3 → 1, 2",
        ],
    ),
    (
        [("family", "0.010, 0.020, 0.030 in", "0.010, 0.020 in")],
        ["Main undersizes listed, supplier: 0.010, 0.020, 0.030 in → 0.010, 0.020 in"],
    ),
    (
        [("holds", "before: [lay-in-crankshaft]", "before: [lay-in-crankshaft, fit-mains]")],
        ["guards: none → bearings-witnessed"],
    ),
)


def pair(base: Manual, manual: Manual) -> tuple[Checklist, Checklist]:
    """The one checklist of the small shop, before and after."""
    (old,), (new,) = tuple(checklists(base)), tuple(checklists(manual))
    return old, new


@pytest.mark.parametrize(("edits", "lines"), TOLD, ids=lambda case: str(case)[:60])
def test_each_change_is_told_once(
    base: Manual, changed: Change, edits: list[object], lines: list[str]
) -> None:
    """One change of the files gives exactly these lines."""
    old, new = pair(base, changed(*edits))

    assert compare(old, new) == tuple(lines)
    assert edition(old) != edition(new)


RENAMES = (
    (
        [("family", "main.clearance", "main.oil_clearance"),
         ("mains", "main.clearance", "main.oil_clearance")],
        ["Main bearing oil clearance (CRK-09): called main.clearance before, main.oil_clearance now"],
    ),
    (
        [("mains", "id: bore", "id: line_bore"), ("mains", "then: bore", "then: line_bore")],
        ["step 2 (line_bore): called bore before"],
    ),
    (
        [("mains", "journal: {", "shaft: {"), ("mains", "(journal,", "(shaft,")],
        ["step 3 (measure): shaft was called journal before"],
    ),
    (
        [("holds", "bearings-witnessed:", "mains-witnessed:"),
         ("mains", "bearings-witnessed", "mains-witnessed"),
         ("redo", "bearings-witnessed", "mains-witnessed")],
        ["hold mains-witnessed (H11): called bearings-witnessed before, mains-witnessed now"],
    ),
    (
        [("hazards", "  lead:", "  lead_dust:"), ("mains", "hazards: [lead,", "hazards: [lead_dust,")],
        ["hazard Lead in white metal (Z02): called lead before, lead_dust now"],
    ),
    (
        [("instruments", "  bore_gauge:", "  dial_bore_gauge:"), ("mains", "bore_gauge", "dial_bore_gauge"),
         ("family", "bore_gauge", "dial_bore_gauge")],
        ["instrument Dial bore gauge (BG): called bore_gauge before, dial_bore_gauge now"],
    ),
    (
        [("mains", "procedure: fit-mains", "procedure: fit-main-bearings"),
         ("holds", "fit-mains", "fit-main-bearings")],
        ["procedure fit-main-bearings: called fit-mains before"],
    ),
    (
        [("family", "engine: tallow-four", "engine: tallow-4")],
        ["family tallow-4: called tallow-four before"],
    ),
)  # fmt: skip


@pytest.mark.parametrize(("edits", "lines"), RENAMES, ids=lambda case: str(case)[:60])
def test_renamed_ids_are_followed(
    base: Manual, changed: Change, edits: list[object], lines: list[str]
) -> None:
    """An id that is changed wherever it stands is told as that, and nothing else is told."""
    old, new = pair(base, changed(*edits))

    assert compare(old, new) == tuple(lines)


def test_changed_and_renamed_at_once_is_told_of_the_renamed(base: Manual, changed: Change) -> None:
    """What changes its id and a limit in one go is still known by its code."""
    old, new = pair(
        base,
        changed(
            ("family", "main.clearance", "main.slack"),
            ("mains", "main.clearance", "main.slack"),
            ("family", "0.0040 in max", "0.0035 in max"),
            ("mains", "id: bore", "id: cut"),
            ("mains", "then: bore", "then: cut"),
            ("mains", "    safety: [rotating]\n", ""),
        ),
    )

    assert compare(old, new) == (
        "step 2 (cut): called bore before",
        "step 2 (cut), safety taken out: hazard rotating",
        "Main bearing oil clearance (CRK-09): called main.clearance before, main.slack now",
        "Main bearing oil clearance (CRK-09), wear: 0.0040 in max → 0.0035 in max",
    )


def test_another_order_is_no_change(base: Manual, changed: Change) -> None:
    """Rows, keys, tools and roles in another order say the same."""
    old, new = pair(
        base,
        changed(
            ("family", ROWS, "".join(reversed(ROWS.splitlines(keepends=True)))),
            ("mains", "tools: [outside_micrometer, bore_gauge,", "tools: [bore_gauge, outside_micrometer,"),
            ("mains", "hazards: [lead, rotating]", "hazards: [rotating, lead]"),
            (
                "mains",
                "    irreversible: true\n    safety: [rotating]\n",
                "    safety: [rotating]\n    irreversible: true\n",
            ),
            ("holds", "by: [builder, second]", "by: [second, builder]"),
        ),
    )

    assert compare(old, new) == ()
    assert edition(old) == edition(new)


def test_change_knows_the_steps_that_it_touches(base: Manual, changed: Change) -> None:
    """A limit touches the steps that speak of it; an aim binds nobody, as it fails nothing."""
    old, new = pair(
        base,
        changed(
            ("family", "0.0012 to 0.0022 in", "0.0012 to 0.0020 in"),
            ("family", "0.0015 to 0.0018 in", "0.0014 to 0.0018 in"),
            ("family", "70 to 80 lb-ft", "72 to 80 lb-ft"),
            ("mains", "do: Bore the metal.", "do: Bore it."),
            ("hazards", "Keep hands off while it turns.", "Keep off."),
            ("holds", "taken again by the second person", "taken again"),
        ),
    )

    assert [(one.about.split(",")[0], one.steps, one.binds) for one in differing(old, new)] == [
        ("step 2 (bore)", ("bore",), True),
        ("Main cap nuts (FAS-01)", ("tighten",), True),
        ("Main bearing oil clearance (CRK-09)", ("measure",), True),
        ("Main bearing oil clearance (CRK-09)", ("measure",), False),
        ("hold bearings-witnessed (H11)", ("measure",), True),
        ("hazard Turning parts (Z11)", ("bore",), False),
    ]

"""Thirty questions as they are typed at the bench, with the first hit that a builder expects.

Common practice, no source: the words are those of the trade on both sides of the water, old ones and misspelt
ones among them. Every typed form must lead first to one of the expected rows of the demonstration manual.
"""

from __future__ import annotations

import pytest

from builder.lookup import Lookup
from builder.manual import Manual

LASH = ("intake_valve.lash_hot", "intake_valve.lash_cold", "tappet.running_lash")
TAPPET = ("tappet.type", "tappet.clearance", "tappet.diameter")
TIMING = ("cam.intake_opens", "cam.timing_marks")
SPARK = ("ignition.static", "ignition.advance")

QUESTIONS: dict[str, dict[str, tuple[str, ...]]] = {
    "1 end float": dict.fromkeys(
        ("end float", "end play", "thrust clearance", "crank float", "endplay", "end flaot"),
        ("crank.end_float",),
    ),
    "2 main clearance": dict.fromkeys(
        ("main clearance", "oil clearance", "bearing fit", "main clearence", "running clearance"),
        ("main.clearance",),
    ),
    "3 big end clearance": dict.fromkeys(
        ("big end clearance", "rod bearing", "conrod brass", "bigend clearance"), ("rod.clearance",)
    ),
    "4 white metal": dict.fromkeys(
        ("white metal", "babbitt", "babbit", "babit", "antifriction"), ("metal.grade", "main.bore")
    ),
    "5 undersize": dict.fromkeys(
        ("undersize", "minus twenty", "regrind size"), ("main.journal", "main.undersizes")
    ),
    "6 shims": dict.fromkeys(("shim", "laminated", "brass shim", "peel"), ("main.shim_pack",)),
    "7 nip": dict.fromkeys(("nip", "crush", "stand proud"), ("main.nip",)),
    "8 bore size": dict.fromkeys(("bore size", "what do I finish to", "cylinder diameter"), ("bore.size",)),
    "9 piston clearance": dict.fromkeys(
        ("piston clearance", "skirt", "slack", "piston slack"), ("piston.clearance",)
    ),
    "10 piston pin": dict.fromkeys(
        ("gudgeon pin", "wrist pin", "piston pin fit", "gudgen pin"), ("pin.diameter", "pin.piston_clearance")
    ),
    "11 ring gap": dict.fromkeys(("ring gap", "end gap", "ring end gap"), ("compression_ring.gap",)),
    "12 ring side clearance": dict.fromkeys(
        ("ring side clearance", "groove clearance", "land"),
        ("compression_ring.side_clearance", "compression_ring.groove"),
    ),
    "13 ring way up": dict.fromkeys(
        ("ring way up", "top mark", "stagger", "gap position"), ("ring.gap_placing",)
    ),
    "14 taper, ovality": {
        "taper": ("bore.taper",),
        **dict.fromkeys(("ovality", "out of round", "oval", "out-of-rond"), ("bore.out_of_round",)),
    },
    "15 tappet": dict.fromkeys(
        ("tappet", "lifter", "cam follower", "push rod", "tapet"), (*TAPPET, "push_rod.length")
    ),
    "16 lash": dict.fromkeys(
        ("lash", "tappet clearance", "valve gap", "hot or cold", "valve clearance"), LASH
    ),
    "17 hydraulic tappet": dict.fromkeys(
        ("hydraulic", "lifter preload", "collapsed gap", "pump up"),
        ("tappet.collapsed_gap", "tappet.leak_down"),
    ),
    "18 valve timing": dict.fromkeys(("valve timing", "cam timing", "dots", "timing marks"), TIMING),
    "19 spring pressure": dict.fromkeys(
        ("spring pressure", "poundage", "seat load", "spring preasure"), ("spring.load_closed",)
    ),
    "20 seat width": {
        "seat width": ("intake_valve.seat_width",),
        "seat angle": ("valve.seat_angle",),
        "margin": ("valve.margin",),
        "interference angle": ("valve.face_angle", "valve.seat_angle"),
    },
    "21 stem clearance": dict.fromkeys(
        ("stem clearance", "guide slack", "rock", "valve rock"), ("intake_valve.stem_clearance",)
    ),
    "22 head torque": dict.fromkeys(
        ("head torque", "head nuts", "pull down order", "torqe head"), ("head.torque",)
    ),
    "23 rod bolt torque": {
        **dict.fromkeys(("rod bolt torque", "big end nut"), ("big_end.torque",)),
        **dict.fromkeys(("split pin", "cotter"), ("big_end.locking",)),
    },
    "24 oil pressure": {
        "oil pressure": ("oil.pressure_hot",),
        "oil pres": ("oil.pressure_hot",),
        "relief spring": ("oil.relief_opens", "oil.relief_spring_load"),
    },
    "25 oil pump clearance": {"oil pump clearance": ("oil_pump.gear_end_clearance",)},
    "26 ignition timing": dict.fromkeys(("ignition timing", "advance", "spark timing", "BTDC on rim"), SPARK),
    "27 points gap": {
        **dict.fromkeys(("points gap", "contact breaker"), ("breaker.gap",)),
        "dwell": ("breaker.dwell",),
        "plug gap": ("plug.gap",),
        "firing order": ("engine.firing_order",),
    },
    "28 float level": {
        **dict.fromkeys(("float level", "petrol level"), ("carburettor.float_height",)),
        "jet": ("carburettor.main_jet",),
        **dict.fromkeys(("carburetor", "carburettor", "carburetter"), ("carburettor.type",)),
    },
    "29 compression ratio": {
        "compression ratio": ("engine.compression_ratio",),
        **dict.fromkeys(("cc", "chamber volume"), ("chamber.volume",)),
        "deck height": ("deck.height",),
    },
    "30 run in": dict.fromkeys(("run in", "break in", "bedding in", "dyno schedule"), ("run_in.stages",)),
}


@pytest.mark.parametrize("question", QUESTIONS, ids=str)
def test_first_hit_answers_the_question(lookup: Lookup, question: str) -> None:
    """Every typed form of a question leads to a right row first, over both families."""
    firsts = {typed: first_hit(lookup, typed) for typed in QUESTIONS[question]}

    assert {typed for typed, first in firsts.items() if first not in QUESTIONS[question][typed]} == set()


def test_first_hits_stay_right_however_many_families_there_are(whole: Manual) -> None:
    """With every family of the demonstration, none of the typed forms goes astray."""
    every = Lookup(whole)
    wrong = {
        typed
        for forms in QUESTIONS.values()
        for typed, right in forms.items()
        if first_hit(every, typed) not in right
    }

    assert wrong == set()


def test_thirty_questions_are_asked(lookup: Lookup, record_property: pytest.RecordProperty) -> None:
    """How many questions, and how many of their typed forms, lead to a right row first."""
    forms = [(typed, right) for typed_forms in QUESTIONS.values() for typed, right in typed_forms.items()]
    good = sum(first_hit(lookup, typed) in right for typed, right in forms)
    record_property("typed forms right", f"{good} of {len(forms)}")
    print(f"\n{len(QUESTIONS)} questions, {good} of {len(forms)} typed forms lead to a right row first")  # noqa: T201

    assert len(QUESTIONS) == 30


@pytest.mark.parametrize(
    ("half", "first"),
    [
        ("gudgeon p", "pin.diameter"),
        ("crk-0", "main.journal"),
        ("fas-03", "head.torque"),
        ("carb", "carburettor.type"),
        ("thermo", "thermostat.opens"),
        ("oil pum cle", "oil_pump.gear_end_clearance"),
        ("plu ga", "plug.gap"),
        ("cam end", "cam.end_float"),
        ("vacume", "engine.idle_vacuum"),
        ("valvegap", "intake_valve.lash_hot"),
    ],
)
def test_half_a_word_will_do(lookup: Lookup, half: str, first: str) -> None:
    """Half words, half codes, two words in one, misspelt words."""
    assert first_hit(lookup, half) == first


def test_a_family_in_the_query_chooses_it(lookup: Lookup) -> None:
    """`tarnwick` names the six; the side-valve eight has no collapsed gap at all."""
    ranking = lookup.rank("tarnwick end play")

    assert ranking.family == 1
    assert lookup.index.subjects[ranking.hits[0].subject] == "crank.end_float"
    assert lookup.rank("collapsed gap", "pellbrook").unmatched == 1


def first_hit(lookup: Lookup, typed: str) -> str:
    """The id of the first hit."""
    hits = lookup.rank(typed).hits
    return lookup.index.subjects[hits[0].subject] if hits else ""

"""What the manual's short names are called on a page: limits, groups, phases, roles, traits, places."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Final, NamedTuple

from builder.model.layout import Condition


class LimitWords(NamedTuple):
    """A limit kind as a page says it: beside the value, and in a sentence."""

    label: str
    meaning: str


LIMITS: Final[Mapping[str, LimitWords]] = {
    "job": LimitWords("this job", "as it was decided for this engine; it goes before all others"),
    "new": LimitWords("new", "the maker's limits for assembly"),
    "wear": LimitWords("wear limit", "only for a part left untouched; it never passes a rebuilt one"),
    "supplier": LimitWords("supplier", "from the sheet in the box; for that part it outranks the book"),
    "aim": LimitWords("aim", "the shop's narrower target; missing it fails nothing"),
    "shop": LimitWords("shop", "the shop's own limit where the book is silent"),
    "rule": LimitWords("rule of thumb", "the last resort where nothing else is known"),
}

WEAR_ONLY: Final = "only for a part left untouched"

GROUPS: Final[Mapping[str, str]] = {
    "GEN": "Engine",
    "BLK": "Block and bores",
    "CRK": "Crankshaft and main bearings",
    "ROD": "Connecting rods",
    "PIS": "Pistons, pins and rings",
    "CAM": "Camshaft and timing",
    "VLV": "Valves, seats, guides and springs",
    "TAP": "Tappets and lash",
    "OIL": "Oil system",
    "COO": "Cooling",
    "FUE": "Fuel",
    "IGN": "Ignition",
    "FAS": "Torques and fasteners",
    "RUN": "Run-in and test",
    "FLU": "Fluids",
}
"""The groups of a spec table by the letters before the number of a code, in the order of the pages."""

OTHER_GROUP: Final = "Other"

PHASES: Final[Mapping[str, str]] = {
    "intake": "Intake and survey",
    "block": "Block",
    "crank": "Crankshaft and bearings",
    "pistons": "Rods, pistons and rings",
    "valves": "Camshaft and valves",
    "assembly": "Assembly",
    "test": "First fire, run-in and hand-over",
}

ROLES: Final[Mapping[str, str]] = {
    "builder": "builder",
    "second": "second person",
    "foreman": "foreman",
    "customer": "customer",
}

SOURCE_KINDS: Final[Mapping[str, str]] = {
    "maker": "Maker's book",
    "supplier": "Supplier's sheet",
    "shop": "Shop notes",
    "standard": "Published standard",
    "handbook": "Handbook",
    "practice": "Common practice",
}

VERIFICATIONS: Final[Mapping[str, str]] = {
    "unverified": "not tried yet",
    "table-top": "talked through at the table, not yet tried on an engine",
    "on-engine": "tried on an engine",
}

SEVERITIES: Final[Mapping[str, str]] = {
    "death": "can kill",
    "serious": "can injure badly",
    "moderate": "can injure",
    "minor": "can hurt",
    "damage": "damages parts",
}

TRAITS: Final[Mapping[str, str]] = {
    "arrangement": "Cylinders stand",
    "valves": "Valves",
    "tappets": "Tappets",
    "cam_drive": "Camshaft drive",
    "main_bearings": "Main bearings",
    "rod_bearings": "Big-end bearings",
    "cylinders": "Cylinder casting",
    "head": "Cylinder head",
    "liners": "Liners",
    "oiling": "Oiling",
    "pin": "Piston pin",
    "ignition": "Ignition",
    "carburettor": "Carburettor",
    "cooling": "Cooling",
    "crankcase": "Crankcase",
    "carriers": "Caps held by",
}

_METAL: Final = {
    "poured": "white metal poured in place",
    "poured_shell": "white metal poured in loose shells",
    "shell": "thin shells",
    "roller": "rollers",
}

VALUES: Final[Mapping[tuple[str, str], str]] = {
    ("arrangement", "inline"): "in line",
    ("arrangement", "vee"): "in a vee",
    ("arrangement", "flat"): "flat, opposed",
    ("valves", "side"): "side valves",
    ("valves", "overhead"): "overhead valves, push-rods",
    ("valves", "f_head"): "inlet over exhaust",
    ("valves", "overhead_cam"): "overhead camshaft",
    ("tappets", "solid"): "solid tappets",
    ("tappets", "shim"): "tappets set by shims",
    ("tappets", "hydraulic"): "hydraulic tappets",
    ("cam_drive", "gear"): "timing gears",
    ("cam_drive", "chain"): "a timing chain",
    ("cam_drive", "shaft"): "a shaft and bevels",
    **{("main_bearings", value): words for value, words in _METAL.items()},
    **{("rod_bearings", value): words for value, words in _METAL.items()},
    ("cylinders", "monobloc"): "one block",
    ("cylinders", "pairs"): "cast in pairs",
    ("cylinders", "separate"): "separate cylinders",
    ("head", "detachable"): "detachable head",
    ("head", "fixed"): "fixed head",
    ("liners", "none"): "no liners",
    ("liners", "dry"): "dry liners",
    ("liners", "wet"): "wet liners",
    ("oiling", "splash"): "splash",
    ("oiling", "splash_pump"): "splash with a pump",
    ("oiling", "pressure"): "full pressure",
    ("oiling", "dry_sump"): "dry sump",
    ("pin", "floating"): "floating pins",
    ("pin", "clamped"): "pins clamped in the rod",
    ("pin", "pressed"): "pins pressed in the rod",
    ("ignition", "battery"): "battery and coil",
    ("ignition", "magneto"): "magneto",
    ("ignition", "dual"): "dual ignition",
    ("carburettor", "updraft"): "updraft carburettor",
    ("carburettor", "downdraft"): "downdraft carburettor",
    ("carburettor", "sidedraft"): "sidedraft carburettor",
    ("cooling", "pump"): "water pump",
    ("cooling", "thermosyphon"): "thermosyphon",
    ("crankcase", "iron"): "iron crankcase",
    ("crankcase", "alloy"): "light-alloy crankcase",
    ("carriers", "bolts"): "bolts",
    ("carriers", "studs"): "studs",
}

_NAMED_FIRST: Final = {
    "main_bearings": "main bearings of",
    "rod_bearings": "big ends of",
    "arrangement": "cylinders",
    "oiling": "oiling by",
    "ignition": "ignition by",
    "cylinders": "cylinders as",
    "cooling": "cooling by",
    "carriers": "caps held by",
    "cam_drive": "camshaft driven by",
}

PLACES: Final[Mapping[str, str]] = {
    "T": "T (across the crank, thrust side)",
    "A": "A (along the crank)",
    "V": "V (square to the split)",
    "L45": "L45 (45° left of V)",
    "R45": "R45 (45° right of V)",
    "S": "S (close to the split)",
    "F": "F (front)",
    "R": "R (rear)",
    "mid": "middle",
}
"""Planes and axes that need words; every other label is its own word."""


def plain(name: str) -> str:
    """A name of the manual in plain words: `cam_bearing` is `cam bearing`."""
    return name.replace("_", " ").replace("-", " ")


def listed(words: Iterable[str], joint: str = "and") -> str:
    """Words as a sentence lists them: `a, b and c`."""
    *most, last = list(words) or [""]
    return f"{', '.join(most)} {joint} {last}" if most else last


def trait(name: str, value: str) -> str:
    """A trait's value in words."""
    return VALUES.get((name, value), plain(value))


def condition(found: Condition | None) -> str:
    """A condition on the layout in words, as they follow `on engines with`; empty where there is none."""
    if found is None:
        return ""
    return ", or ".join(
        listed(_needed(name, values) for name, values in one.items()) for one in found.alternatives
    )


def _needed(name: str, values: Iterable[str]) -> str:
    words = listed((trait(name, value) for value in values), "or")
    return f"{_NAMED_FIRST[name]} {words}" if name in _NAMED_FIRST else words


def roles(names: Iterable[str]) -> str:
    """The roles that sign, in words."""
    return listed(ROLES.get(name, plain(name)) for name in names)

"""The house: imports point one way, each heavy library has one door, files and functions stay small."""

from __future__ import annotations

import ast
import importlib
import inspect
import pkgutil
from collections.abc import Iterator
from dataclasses import is_dataclass
from pathlib import Path
from statistics import median

import pytest

import builder

ROOT = Path(builder.__file__).parent
FLOORS = (
    ("collector", "diagnostics", "diagnostic_formats", "yaml_text"),
    (
        "dimension",
        "number",
        "unit_table",
        "units",
        "quantity",
        "citation",
        "limit_grammar",
        "limit",
        "conversion",
        "sequence",
    ),
    ("formula",),
    ("model",),
    ("layers",),
    ("manual", "plain"),
    ("apprentice", "checklist", "edition", "said", "field_code", "worksheet"),
    ("rules", "judge", "lookup"),
    ("jobs", "revision"),
    ("render",),
    ("site", "sheet_files", "job_files"),
    ("plugin", "cli"),
)
DOORS = {
    "yaml": ("yaml_text",),
    "pint": ("units",),
    "pydantic": ("model",),
    "pydantic_core": ("model",),
    "jinja2": ("render",),
    "markupsafe": ("render",),
    "mkdocs": ("plugin",),
    "click": ("cli",),
    "scipy": ("jobs",),
    "weasyprint": ("render",),
    "segno": ("render",),
}
FILES = sorted(ROOT.rglob("*.py"))


def room(path: Path) -> str:
    """The room of the house that a file is in."""
    first = path.relative_to(ROOT).parts[0]
    return first.removesuffix(".py")


def imports(path: Path) -> Iterator[str]:
    """Every module that a file imports, wherever in the file."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            yield from (name.name for name in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield node.module
            if node.module == "builder":
                yield from (f"builder.{name.name}" for name in node.names)


def floor_of(name: str) -> int | None:
    """The floor of a room, counted from the bottom."""
    return next((floor for floor, rooms in enumerate(FLOORS) if name in rooms), None)


def test_every_room_stands_on_a_floor() -> None:
    """A new module of the package is put on a floor here, or this fails."""
    rooms = {room(path) for path in FILES} - {"__init__"}

    assert {name for name in rooms if floor_of(name) is None} == set()


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(ROOT)))
def test_imports_point_down(path: Path) -> None:
    """No module imports from a floor above its own."""
    own = floor_of(room(path))
    above = [
        name
        for name in imports(path)
        if own is not None and name.startswith("builder.") and (floor_of(name.split(".")[1]) or 0) > own
    ]

    assert above == []


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(ROOT)))
def test_each_heavy_library_has_one_door(path: Path) -> None:
    """Only its door imports a library, so that it can be replaced."""
    used = {name.split(".")[0] for name in imports(path)}

    assert [library for library, doors in DOORS.items() if library in used and room(path) not in doors] == []


def functions() -> Iterator[tuple[str, int]]:
    """Every function of the package with its number of lines, docstring left out."""
    for path in FILES:
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.FunctionDef):
                first = node.body[1] if ast.get_docstring(node) and len(node.body) > 1 else node.body[0]
                yield f"{path.relative_to(ROOT)}:{node.name}", (node.end_lineno or 0) - first.lineno + 1


def test_functions_are_short() -> None:
    """The median function has at most 8 lines and none has over 50."""
    lengths = dict(functions())

    assert median(lengths.values()) <= 8
    assert {name: length for name, length in lengths.items() if length > 50} == {}


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(ROOT)))
def test_files_are_short(path: Path) -> None:
    """No file has over 400 lines."""
    assert len(path.read_text("utf-8").splitlines()) <= 400


def test_values_between_stages_are_frozen() -> None:
    """Every dataclass and every model of the package is frozen."""
    loose = []
    for found in pkgutil.walk_packages([str(ROOT)], "builder."):
        for name, one in inspect.getmembers(importlib.import_module(found.name), inspect.isclass):
            if one.__module__ != found.name:
                continue
            if is_dataclass(one) and not one.__dataclass_params__.frozen:  # type: ignore[attr-defined]
                loose.append(f"{found.name}.{name}")
            config = getattr(one, "model_config", None)
            if config is not None and not config.get("frozen"):
                loose.append(f"{found.name}.{name}")

    assert loose == []


def speaks(path: Path) -> bool:
    """Whether a file prints or logs."""
    tree = ast.parse(path.read_text("utf-8"))
    names = {
        node.func.id
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
    }
    return "print" in names or "logging" in set(imports(path))


def test_only_the_entrances_speak() -> None:
    """Nothing but the two entrances, and the generator of units, prints or logs."""
    quiet = [path for path in FILES if room(path) not in {"plugin", "cli"} and path.name != "units.py"]

    assert [path.name for path in quiet if speaks(path)] == []


def test_every_model_field_is_described() -> None:
    """Every field of every model says what it is, so that the published schema does."""
    from builder.model.base import StrictModel  # noqa: PLC0415 - only this test needs it

    bare = [
        f"{model.__name__}.{name}"
        for model in StrictModel.__subclasses__()
        for name, field in model.model_fields.items()
        if not field.description
    ]

    assert bare == []

"""Approving a procedure: who, when and which wording go into its file, and nothing else in it changes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from difflib import get_close_matches
from pathlib import Path
from typing import Final

from builder.diagnostics import Fault, Severity, Span
from builder.edition import wording
from builder.layers import layers_of
from builder.manual import load
from builder.model.procedure import Procedure
from builder.revision.edits import Edit, Places, edited, line_break, scalar
from builder.yaml_text import Mapping as Tree
from builder.yaml_text import Text, read_text

WAYS: Final = ("table-top", "on-engine")
"""How a procedure is tried: step by step at a table, or on an engine."""


@dataclass(frozen=True)
class Approved:
    """What was approved, in which file, by whom, when, and how it was tried."""

    procedure: str
    code: str
    path: str
    by: str
    on: str
    wording: str
    verification: str


def approve(shop: Path, called: str, by: str, on: date, how: str | None = None) -> Approved:
    """Approve a procedure of a shop, by its id or code, in its present wording, and write that into its file.

    Raises:
        Fault: there is no such procedure, its file does not read whole, or the name is no name.
    """
    name = " ".join(by.split())
    if not name or not name.isprintable():
        raise Fault(f"`{by}` is no name", "write who approves it, as in `R. Tate`")
    procedure, path = _found(shop, called)
    is_new = not (shop / path).exists()
    tried = "unverified" if is_new else str(procedure.verification)
    done = Approved(
        procedure=str(procedure.procedure),
        code=str(procedure.code),
        path=path,
        by=name,
        on=on.isoformat(),
        wording=wording(procedure),
        verification=how or tried,
    )
    text = f"extends: {done.procedure}\n" if is_new else (shop / path).read_bytes().decode("utf-8")
    (shop / path).parent.mkdir(parents=True, exist_ok=True)
    (shop / path).write_bytes(approved_text(text, path, done).encode("utf-8"))
    return done


def _own_path(shop: Path, procedure: Procedure) -> str:
    """The file of the shop's own folder in which its approval stands: a base is never written in."""
    path = procedure.procedure.span.path
    below = (f"{layer.shown}/" for layer in layers_of(shop)[0][:-1])
    return next((path.removeprefix(base) for base in below if path.startswith(base)), path)


def _found(shop: Path, called: str) -> tuple[Procedure, str]:
    """A procedure that reads whole, and the file of the shop's own folder for it."""
    manual, faults = load(shop)
    every = manual.procedures.values()
    found = manual.procedures.get(called) or next((one for one in every if one.code == called.upper()), None)
    if found is not None:
        path = _own_path(shop, found)
        places = (path, found.procedure.span.path)
        errors = (fault for fault in faults if fault.severity is Severity.ERROR)
        wrong = next((fault for fault in errors if fault.span.path in places), None)
        if wrong is None:
            return found, path
        raise Fault(f"`{called}` does not read whole: {wrong.span} {wrong.message}", "mend that first")
    near = get_close_matches(called, [name for one in every for name in (one.procedure, one.code)], 1)
    hint = f"did you mean `{near[0]}`" if near else "`gaugeleaf check` tells what does not read"
    raise Fault(f"there is no procedure `{called}`", hint)


def approved_text(text: str, shown: str, done: Approved) -> str:
    """The text of a procedure's file with its approval in it; every other byte stays."""
    mark = "\ufeff" if text.startswith("\ufeff") else ""
    body = text.removeprefix(mark)
    root = read_text(body, shown).root
    if not isinstance(root, Tree):
        raise Fault(f"`{shown}` is no procedure", "write it as the others are written")
    changed = edited(body, _edits(body, root, done))
    expected = {**root, Text("approved"): _approval(done)}
    if done.verification != "unverified" or "verification" in root:
        expected[Text("verification")] = Text(done.verification)
    if read_text(changed, shown).root != expected:
        raise Fault(f"`{shown}` cannot be approved as it is written", "write `approved:` on lines of its own")
    return mark + changed


def _approval(done: Approved) -> dict[str, str]:
    return {"by": done.by, "on": done.on, "wording": done.wording}


def _edits(text: str, root: Tree, done: Approved) -> Iterator[Edit]:
    """Replace what stands there; write the rest below the revision."""
    places = Places(text)
    new: list[tuple[str, str | Mapping[str, str]]] = []
    approved, verification = root.get(Text("approved")), root.get(Text("verification"))
    if isinstance(approved, Tree):
        yield from (
            _replaced(places, approved[Text(key)].span, value) for key, value in _approval(done).items()
        )
    else:
        new.append(("approved", _approval(done)))
    if isinstance(verification, Text):
        if verification != done.verification:
            yield _replaced(places, verification.span, done.verification)
    elif done.verification != "unverified":
        new.append(("verification", done.verification))
    if new:
        yield _inserted(places, root, new)


def _replaced(places: Places, span: Span, value: str) -> Edit:
    return Edit(*places.reach(span), scalar(value))


def _inserted(places: Places, root: Tree, new: list[tuple[str, str | Mapping[str, str]]]) -> Edit:
    """New keys after the revision, or after what is extended: on lines of their own, or within braces."""
    after = root[Text("revision" if "revision" in root else "extends")].span
    if places.text[places.reach(root.span)[0]] == "{":
        at = places.reach(after)[1]
        return Edit(at, at, "".join(f", {key}: {_in_braces(value)}" for key, value in new))
    at, end = places.line_end(after.end_line), line_break(places.text)
    indent = " " * (next(iter(root)).span.column - 1)
    return Edit(at, at, "".join(f"{end}{indent}{line}" for key, value in new for line in _block(key, value)))


def _in_braces(value: str | Mapping[str, str]) -> str:
    if isinstance(value, str):
        return scalar(value)
    return "{" + ", ".join(f"{key}: {scalar(one)}" for key, one in value.items()) + "}"


def _block(key: str, value: str | Mapping[str, str]) -> Iterator[str]:
    if isinstance(value, str):
        yield f"{key}: {scalar(value)}"
    else:
        yield f"{key}:"
        yield from (f"  {name}: {scalar(one)}" for name, one in value.items())


def lines(done: Approved) -> tuple[str, ...]:
    """What was approved, and what its sheets still say against it."""
    told = f"{done.code} {done.procedure}: wording {done.wording} approved by {done.by} on {done.on}"
    if done.verification != "unverified":
        return (f"{told}, tried {done.verification}",)
    return (
        told,
        "its sheets still say UNVERIFIED: add `--how table-top` or `--how on-engine` once it is tried",
    )

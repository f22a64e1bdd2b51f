"""The entries of a sheet of paper that are no readings: looks, passes, what is not done, remarks, photos.

They are typed as they stand on the sheet: `look 5 M3 = yes`, `pass 6.1 M3 = 0.0020 in`, `step 4 skipped = no
shims on this engine`, `CRK-09 M3 F V skipped = …`, `remark 3 = …`, `photo 3 = 0117.jpg, the crack`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from itertools import product
from typing import Any, Final

from builder.checklist import Checklist, ChecklistStep, Labels, Side, feature_sides
from builder.diagnostics import Fault
from builder.field_code import Field, shortened

Entry = dict[str, Any]
Kind = tuple[str, list[Entry]]
"""The list of the record, and what is added to it."""

LETTERS: Final = "abcdefghijklmnopqrstuvwxyz"
YES_NO: Final = ("yes", "no")

_STEP_SKIPPED = re.compile(r"step (\d+)((?: \S+)*?) skipped", re.IGNORECASE)
_BOX_SKIPPED = re.compile(r"(.+) skipped", re.IGNORECASE)
_LOOK = re.compile(r"look (\d+)([a-z]?)((?: \S+)*)", re.IGNORECASE)
_PASS = re.compile(r"pass (\d+)\.(\d+)((?: \S+)*)", re.IGNORECASE)
_REMARK = re.compile(r"remark(?: (\d+))?", re.IGNORECASE)
_PHOTO = re.compile(r"photo (\d+)", re.IGNORECASE)


@dataclass(frozen=True)
class Pen:
    """Who wrote on the sheet, when, and which boxes it has."""

    checklist: Checklist
    boxes: Mapping[str, Field]
    by: str
    when: str

    @property
    def signed(self) -> Entry:
        """Who and when."""
        return {"by": self.by, "when": self.when}

    def step(self, number: str) -> ChecklistStep:
        """A step by its number.

        Raises:
            Fault: when there is none.
        """
        steps = self.checklist.steps
        found = next((step for step in steps if step.number == int(number)), None)
        if found is None:
            raise Fault(f"there is no step {number}", f"the steps run from 1 to {len(steps)}")
        return found


def other_entry(pen: Pen, left: str, right: str) -> Kind | None:
    """What an entry adds to the record; None where it is of no kind that is known here.

    Raises:
        Fault: when it names no step, look, correction or position of the sheet.
    """
    for pattern, read in _READERS:
        found = pattern.fullmatch(left)
        made = read(pen, found, right) if found else None
        if made is not None:
            return made
    return None


# What is not done


def _step_skipped(pen: Pen, found: re.Match[str], reason: str) -> Kind:
    step = pen.step(found[1])
    at = _position(step, found[2], _sides(pen.checklist, step))
    return "skipped", [{"step": str(step.step.id), "name": "", "at": at, "reason": reason, **pen.signed}]


def _box_skipped(pen: Pen, found: re.Match[str], reason: str) -> Kind | None:
    field = pen.boxes.get(" ".join(found[1].split()).casefold())
    if field is None:
        return None
    where = {"step": str(field.grid.step), "name": str(field.grid.name), "at": dict(field.blank.at)}
    return "skipped", [{**where, "reason": reason, **pen.signed}]


# What was looked at


def _looked(pen: Pen, found: re.Match[str], seen: str) -> Kind:
    step = pen.step(found[1])
    looks = list(step.looks.items())
    letters = [one for one in range(len(looks)) if found[2].lower() in ("", LETTERS[one])]
    if not letters:
        hint = f"its letters run from a to {LETTERS[len(looks) - 1]}" if looks else ""
        raise Fault(f"step {step.number} has no `{found[1]}{found[2]}` to look at", hint)
    if seen.lower() not in YES_NO:
        raise Fault(f"`{seen}` is no answer", "write `yes` or `no`")
    made = [
        {"step": str(step.step.id), "name": str(name), "at": at, "seen": seen.lower(), **pen.signed}
        for name, sides in _looks(pen.checklist, step, letters)
        for at in _places(sides, _position(step, found[3], sides))
    ]
    return "looks", made


def _looks(
    checklist: Checklist, step: ChecklistStep, numbers: list[int]
) -> Iterator[tuple[str, tuple[Side, ...]]]:
    for number, (name, look) in enumerate(step.looks.items()):
        if number in numbers:
            yield str(name), tuple(feature_sides(checklist.engine, str(look.each))) if look.each else ()


def _places(sides: tuple[Side, ...], at: Labels) -> Iterator[Labels]:
    """Every position of some sides that a position meets."""
    for labels in product(*(side.labels for side in sides)):
        place = dict(zip((side.name for side in sides), labels, strict=True))
        if all(place.get(side) == label for side, label in at.items()):
            yield {str(side): str(label) for side, label in place.items()}


# Passes, remarks, photos


def _passed(pen: Pen, found: re.Match[str], amount: str) -> Kind:
    step, rule = pen.step(found[1]), int(found[2]) - 1
    if not 0 <= rule < len(step.if_out):
        hint = f"its corrections run from 1 to {len(step.if_out)}" if step.if_out else ""
        raise Fault(f"step {step.number} has no correction {found[2]}", hint)
    made = {"step": str(step.step.id), "rule": rule, "pass": 0, **pen.signed}
    at = _position(step, found[3], _sides(pen.checklist, step))
    return "passes", [{**made, "at": at, "amount": "" if amount.lower() == "done" else amount}]


def _remarked(pen: Pen, found: re.Match[str], text: str) -> Kind:
    step = str(pen.step(found[1]).step.id) if found[1] else ""
    return "notes", [{"step": step, "text": text, **pen.signed}]


def _pictured(pen: Pen, found: re.Match[str], right: str) -> Kind:
    file, _, caption = (part.strip() for part in right.partition(","))
    return "photos", [
        {"step": str(pen.step(found[1]).step.id), "file": file, "caption": caption, **pen.signed}
    ]


# Positions


def _sides(checklist: Checklist, step: ChecklistStep) -> tuple[Side, ...]:
    """The sides by which anything of a step is placed, each once."""
    looks = (side for _, sides in _looks(checklist, step, list(range(len(step.looks)))) for side in sides)
    every = (*(side for grid in step.grids for side in grid.sides), *looks)
    return tuple({str(side.name): side for side in every}.values())


def _position(step: ChecklistStep, typed: str, sides: tuple[Side, ...]) -> Labels:
    """A position by its short labels: `M3` is main 3, `F` the front plane.

    Raises:
        Fault: when a label is none of the step's.
    """
    short = {word.casefold(): (side.name, label) for side in sides for label, word in shortened(side).items()}
    unknown = [word for word in typed.split() if word.casefold() not in short]
    if unknown:
        words = ", ".join(word for side in sides for word in shortened(side).values())
        raise Fault(f"step {step.number} has no `{unknown[0]}`", f"write one of {words}" if words else "")
    found = (short[word.casefold()] for word in typed.split())
    return {str(side): str(label) for side, label in found}


_READERS: Final[tuple[tuple[re.Pattern[str], Callable[[Pen, re.Match[str], str], Kind | None]], ...]] = (
    (_STEP_SKIPPED, _step_skipped),
    (_BOX_SKIPPED, _box_skipped),
    (_LOOK, _looked),
    (_PASS, _passed),
    (_REMARK, _remarked),
    (_PHOTO, _pictured),
)

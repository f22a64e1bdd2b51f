"""A file that `extends:` a part of the base, laid over the base's own text tree.

The result is read like any other file: every text keeps the place where it was written, in the base or in the
shop's folder.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from difflib import get_close_matches

from builder.diagnostics import Diagnostic, Severity, Span
from builder.layers.difference import ADDED, LEFT_OUT, Difference, said, same, taken_in
from builder.model.extension import (
    Add,
    FamilyChange,
    FamilyExtension,
    Insert,
    LeaveOut,
    ProcedureExtension,
    Reasoned,
    SetPart,
    Typed,
)
from builder.yaml_text import Mapping, Sequence, Text, Tree


@dataclass(frozen=True)
class Extended:
    """A part of the base as the shop has it, its differences from the base, and what is wrong with them."""

    root: Tree
    differences: tuple[Difference, ...]
    faults: tuple[Diagnostic, ...]


def extended_family(root: Tree, extension: FamilyExtension, folder: str) -> Extended:
    """A family of the base with what a shop says against it."""
    laying = _Laying("row", root, extension.extends, folder)
    for change in extension.changes:
        laying.change = change
        if change.set_ is not None:
            laying.set_row(change.set_)
        elif change.add is not None:
            laying.add_to_family(change.add)
    return laying.done()


def extended_procedure(root: Tree, extension: ProcedureExtension, folder: str) -> Extended:
    """A procedure of the base with what a shop says against it, approved by the shop if by anyone.

    What the base approved are other words as soon as a shop changes any.
    """
    laying = _Laying("step", root, extension.extends, folder)
    for change in extension.changes:
        laying.change = change
        if change.insert is not None:
            laying.insert(change.insert)
        elif change.leave_out is not None:
            laying.leave_out(change.leave_out)
        elif change.reword is not None:
            laying.reword(change.reword)
        elif change.add is not None:
            laying.add_to_procedure(change.add)
    laying.stand(extension)
    return laying.done()


@dataclass(frozen=True)
class _Ground:
    """The tree that changes come upon, copied where it is changed."""

    root: Mapping = field(default_factory=Mapping)

    def part(self, key: str, otherwise: Callable[[], Tree]) -> Tree:
        """A part of the root, copied so that the base's own stays as it is."""
        name = next((own for own in self.root if own == key), Text(key))
        self.root[name] = copied(self.root.get(name, otherwise()))
        return self.root[name]

    def table(self, key: str) -> Mapping:
        """A mapping of the root to write in."""
        found = self.part(key, Mapping)
        return found if isinstance(found, Mapping) else Mapping()

    def listed(self, key: str) -> Sequence:
        """A list of the root to write in; one word alone is a list of one, `none` is an empty one."""
        found = self.part(key, Sequence)
        if isinstance(found, Sequence):
            return found
        items = Sequence(found.span)
        if isinstance(found, Text) and found != "none":
            items.append(found)
        self.root[next(own for own in self.root if own == key)] = items
        return items


def copied(tree: Tree) -> Tree:
    """A mapping or a list with the same parts; a text is never changed."""
    if isinstance(tree, Mapping):
        table = Mapping(tree.span)
        table.update(tree)
        return table
    if isinstance(tree, Sequence):
        items = Sequence(tree.span)
        items.extend(tree)
        return items
    return tree


class _Laying:
    """Lays the changes of one file over one part of the base, in the order written."""

    def __init__(self, about: str, root: Tree, of: Text, folder: str) -> None:
        whole = copied(root)
        self.ground = _Ground(whole if isinstance(whole, Mapping) else Mapping())
        self.about = about
        self.of = of
        self.folder = folder
        self.change: Reasoned = _NONE
        self.differences: list[Difference] = []
        self.faults: list[Diagnostic] = []
        self.touched: dict[tuple[str, str], Text] = {}
        self.after: dict[str, int] = {}

    def done(self) -> Extended:
        """What came of it."""
        return Extended(self.ground.root, tuple(self.differences), tuple(self.faults))

    # What is wrong

    def fault(self, span: Span, code: str, message: str, hint: str) -> None:
        """Note what cannot be done; the base's own part stays."""
        self.faults.append(Diagnostic(span, code, message, hint=hint))

    def unknown(self, name: Text, known: Iterable[str]) -> None:
        """A row or step that the base has not."""
        near = get_close_matches(name, list(known), 1)
        hint = f"write `{near[0]}`" if near else f"write the id of a {self.about} of the base"
        self.fault(name.span, "GL-035", f"the base's `{self.of}` has no {self.about} `{name}`", hint)

    def is_second(self, part: Text, key: str) -> bool:
        """Whether this file has said something about the same thing already, which is reported."""
        first = self.touched.setdefault((part, key), part)
        if first is not part:
            message = f"`{part}` is changed twice in the same point; first on line {first.span.line}"
            self.fault(part.span, "GL-038", message, "keep one of the two changes")
        return first is not part

    def stands(self, label: str, span: Span, was: Typed, now_below: Typed) -> bool:
        """Whether a change may be made: it names what it replaces. What it names may be out of date."""
        if now_below is not None and was is None:
            hint = f"write `was: {said(now_below)}`"
            self.fault(span, "GL-036", f"the base states {label} already, and nothing says what it was", hint)
            return False
        if not same(was, now_below) and was is not None:
            now = (
                f"the base says `{said(now_below)}` now"
                if now_below is not None
                else "the base says nothing now"
            )
            message = f"{label} was `{said(was)}` when this was decided, and {now}"
            hint = "decide again, then write what the base says now under `was`"
            self.faults.append(Diagnostic(span, "GL-037", message, Severity.WARNING, hint))
        return True

    def note(self, name: str, key: str, written: Tree, **more: str) -> None:
        """Keep a difference with who, when and why."""
        about = more.pop("about", self.about)
        span = next(iter(sorted(taken_in(written))), self.of.span)
        self.differences.append(
            Difference(
                about, str(self.of), name, key, span, self.folder,
                by=str(self.change.by), on=str(self.change.on), why=said(self.change.why),
                places=taken_in(written), **more,
            )
        )  # fmt: skip

    # A family

    def set_row(self, change: SetPart) -> None:
        """Set one value of a row."""
        rows = self.ground.table("specs")
        name = next((own for own in rows if own == change.of), None)
        row = copied(rows[name]) if name is not None else None
        if name is None or not isinstance(row, Mapping):
            self.unknown(change.of, rows)
            return
        below, label = row.get(change.key), f"`{change.key}` of `{change.of}`"
        span = change.was.span if isinstance(change.was, Text) else change.key.span
        if self.is_second(change.of, change.key) or not self.stands(label, span, change.was, below):
            return
        former = said(below)
        if below is None and Text("unknown") in row:  # what nobody had published, the shop now says
            former = f"unknown: {said(row.pop(Text('unknown')))}"
        row.pop(change.key, None)
        row[change.key] = change.value
        rows[name] = row
        self.note(str(name), str(change.key), change.value, was=former, now=said(change.value))

    def add_to_family(self, add: Add) -> None:
        """Rows and sources that the base has not."""
        for key, parts in add.parts.items():
            table = self.ground.table("specs" if key == "rows" else "sources")
            self._add(table, parts, "row" if key == "rows" else "source")

    def _add(self, table: Mapping, parts: dict[Text, Typed], about: str) -> None:
        for name, part in parts.items():
            if name in table:
                self._again(name)
                continue
            table[name] = part
            now = said(part.get(Text("title"))) if isinstance(part, dict) else said(part)
            self.note(str(name), ADDED, _pair(name, part), about=about, now=now)

    def _again(self, name: Text) -> None:
        hint = "take it out here; a change says what it replaces"
        self.fault(name.span, "GL-033", f"`{self.of}` of the base has `{name}` already", hint)

    # A procedure

    def step_at(self, name: Text) -> int | None:
        """The place of a step by its id; that there is none is reported."""
        steps = self.ground.listed("steps")
        ids = [str(one.get(Text("id"), "")) if isinstance(one, Mapping) else "" for one in steps]
        if name in ids:
            return ids.index(name)
        self.unknown(name, filter(None, ids))
        return None

    def insert(self, change: Insert) -> None:
        """Steps before or after another; several after the same one stand in the order written."""
        at = self.step_at(change.step)
        if at is None:
            return
        if change.place == "after":
            at += 1 + self.after.get(change.step, 0)
            self.after[str(change.step)] = self.after.get(change.step, 0) + len(change.steps)
        self.ground.listed("steps")[at:at] = change.steps
        for step in change.steps:
            name = step.get(Text("id")) if isinstance(step, Mapping) else None
            now = said(step.get(Text("do"))) if isinstance(step, Mapping) else said(step)
            self.note(said(name), f"put in {change.place} {change.step}", step, now=now)

    def leave_out(self, change: LeaveOut) -> None:
        """Take a step out."""
        at = self.step_at(change.step)
        if at is None or self.is_second(change.step, "do"):
            return
        steps = self.ground.listed("steps")
        step = steps[at]
        below = step.get(Text("do")) if isinstance(step, Mapping) else None
        self.stands(f"`do` of `{change.step}`", change.was.span, change.was, below)
        del steps[at]
        before = steps[at - 1] if at else None
        follows = said(before.get(Text("id"))) if isinstance(before, Mapping) else ""
        self.note(str(change.step), LEFT_OUT, change.step, was=said(below), follows=follows)

    def reword(self, change: SetPart) -> None:
        """Another sentence in the place of a step's own."""
        at = self.step_at(change.of)
        if at is None or self.is_second(change.of, change.key):
            return
        steps = self.ground.listed("steps")
        step = copied(steps[at])
        below = step.get(change.key) if isinstance(step, Mapping) else None
        span = change.was.span if isinstance(change.was, Text) else change.key.span
        label = f"`{change.key}` of `{change.of}`"
        if isinstance(step, Mapping) and self.stands(label, span, change.was, below):
            step.pop(change.key, None)
            step[change.key] = change.value
            steps[at] = step
            self.note(str(change.of), str(change.key), change.value, was=said(below), now=said(change.value))

    def add_to_procedure(self, add: Add) -> None:
        """More tools, parts and the like."""
        for key, parts in add.parts.items():
            if key == "parts":
                if isinstance(self.ground.root.get(Text("parts")), Text):  # `none`
                    self.ground.root[Text("parts")] = Mapping()
                self._add(self.ground.table("parts"), parts, "part")
                continue
            words = self.ground.listed(key)
            for one in parts:
                if one in words:
                    self._again(one)
                else:
                    words.append(one)
                    self.note(str(key), ADDED, one, about="head", now=said(one))

    def stand(self, extension: ProcedureExtension) -> None:
        """Put the shop's own approval in the place of the base's, where the shop has one or changes words."""
        if not self.differences and extension.approved is None and extension.verification is None:
            return
        for key, own in (("approved", _approval(extension)), ("verification", extension.verification)):
            self.ground.root.pop(Text(key), None)
            if own is not None:
                self.ground.root[Text(key)] = own


def _approval(extension: ProcedureExtension) -> Mapping | None:
    """The shop's approval as a part of a file."""
    approved = extension.approved
    if approved is None:
        return None
    table = Mapping(approved.by.span)
    table.update({Text("by"): approved.by, Text("on"): approved.on, Text("wording"): approved.wording})
    return table


def _pair(name: Text, part: Tree) -> Mapping:
    table = Mapping(name.span)
    table[name] = part
    return table


_NONE = FamilyChange.model_construct(by=Text(""), on=Text(""), why=Text(""))

"""What changed in a shop since a revision, with who changed it and why, and what that means for open jobs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path

from builder.checklist import checklists
from builder.diagnostics import Fault, Severity
from builder.edition import edition
from builder.layers import LEFT_OUT, Difference
from builder.manual import Manual, load
from builder.revision.change import Change, Keys
from builder.revision.earlier import Earlier, State
from builder.revision.history import Commit, History, Reasons
from builder.revision.pinned import PinnedJob, pinned_jobs
from builder.revision.renames import Renames, renames
from builder.revision.sections import Section, sections
from builder.revision.written_at import written_at
from builder.yaml_text import Mapping as TreeMapping
from builder.yaml_text import Sequence, Text, Tree, read_file


@dataclass(frozen=True)
class Told:
    """A change, with the commit that made it where that is known."""

    change: Change
    because: Commit | None


@dataclass(frozen=True)
class ToldSection:
    """The changes under one heading."""

    section: Section
    told: tuple[Told, ...]


@dataclass(frozen=True)
class NewEdition:
    """A checklist whose edition changed; one that is new, or is gone, has only one of the two."""

    family: str
    procedure: str
    title: str
    old: str
    new: str


@dataclass(frozen=True)
class Report:
    """All that changed since a commit; `unread` is what could not be read then, and was not compared."""

    since: Commit
    manual: Manual
    """As it lies in the folder now."""
    sections: tuple[ToldSection, ...]
    editions: tuple[NewEdition, ...]
    jobs: tuple[PinnedJob, ...]
    unread: tuple[str, ...]


def changes_since(shop: Path, revision: str) -> Report:
    """What changed in a shop's files since a revision, up to what lies in its folder now.

    Raises:
        Fault: there is no git, no history, or no such revision.
    """
    history = History.of(shop)
    since = history.commit(revision)
    new, unsound = load(shop)
    wrong = next((one for one in unsound if one.severity is Severity.ERROR), None)
    if wrong is not None:
        raise Fault(f"the manual does not read whole: {wrong.span} {wrong.message}", "mend that first")
    then = Earlier(history, new)
    old, unread = then.manual(State(since.number, since.moment))
    names, reasons = renames(old, new), Reasons(history, since)
    told = (_told(shop, section, old, new, reasons) for section in sections(old, new, names))
    return Report(
        since=since,
        manual=new,
        sections=tuple(one for one in told if one.told),
        editions=tuple(_editions(old, new, names)),
        jobs=pinned_jobs(shop, new, names, lambda *of: then.checklist(since, *of)),
        unread=tuple(f"{fault.span}: {fault.code} {fault.message}" for fault in unread),
    )


def _editions(old: Manual, new: Manual, names: Renames) -> Iterator[NewEdition]:
    """The checklists whose edition is another one than before."""
    before = {
        (names.engines.get(family, family), names.procedures.get(name, name)): digest
        for (family, name), digest in _digests(old).items()
    }
    after = _digests(new)
    for family, name in dict.fromkeys((*after, *before)):
        was, now = before.get((family, name), ""), after.get((family, name), "")
        there = new.procedures.get(name) or old.procedures.get(name)
        if was != now:
            yield NewEdition(family, name, f"{there.code} {there.title}" if there else name, was, now)


def _digests(manual: Manual) -> Mapping[tuple[str, str], str]:
    return {
        (str(one.engine.engine), str(one.procedure.procedure)): edition(one) for one in checklists(manual)
    }


def _told(shop: Path, section: Section, old: Manual, new: Manual, reasons: Reasons) -> ToldSection:
    """A section with the commit of each change; what could not be read then is not told as new."""
    asked = _Because(section, new, read_file(shop / section.path, section.path).root, reasons)
    read = (one for one in section.changes if one.old or not old.left_out.intersection(one.keys))
    return ToldSection(section, tuple(Told(one, asked.of(one)) for one in read))


@dataclass(frozen=True)
class _Because:
    """Finds out who made the changes of a section and why."""

    section: Section
    manual: Manual
    root: Tree | None
    reasons: Reasons

    @cached_property
    def differences(self) -> tuple[Difference, ...]:
        """What shops say against this part of their base."""
        names = (self.section.family, self.section.procedure)
        return tuple(one for one in self.manual.differences if one.of and one.of in names)

    def of(self, change: Change) -> Commit | None:
        """The commit of a change; where a shop's own folder made it, in the words that it gives there."""
        if change.old and not change.new:
            return self.of_loss(change)
        if not self.differences:
            line = None if self.root is None else line_of(self.root, change.keys)
            return None if line is None else self.reasons.of_line(self.section.path, line)
        manual, section = self.manual, self.section
        part = manual.engines.get(section.family) or manual.procedures.get(section.procedure)
        place = written_at(part, change.keys)
        if place is None:
            return None
        return self.decided(manual.differs_at.get(place), self.reasons.of_line(place.path, place.line))

    def of_loss(self, change: Change) -> Commit | None:
        """Who took it out."""
        own = (one for one in self.differences if one.key == LEFT_OUT and one.name in change.steps)
        left_out = next(own, None)
        if left_out is not None:
            commit = self.reasons.of_line(left_out.span.path, left_out.span.line)
            return self.decided(left_out, commit)
        words = [change.old.strip("“”"), *change.keys[-1:]]
        asked = (self.reasons.of_loss(path, one) for one in words for path in self.paths)
        return next((one for one in asked if one is not None), None)

    @property
    def paths(self) -> tuple[str, ...]:
        """The files of this part: where it is written, and what is laid over it."""
        inside = "/".join(self.section.path.split("/")[-3:])
        over = (path for path in self.manual.files if path.endswith(f"/{inside}") or path == inside)
        return tuple(dict.fromkeys((self.section.path, *over)))

    def decided(self, difference: Difference | None, commit: Commit | None) -> Commit | None:
        """A commit in the words of the decision that it put into a file."""
        if difference is None or commit is None:
            return commit
        return replace(commit, subject=difference.why, by=difference.by, on=difference.on)


def line_of(root: Tree, keys: Keys) -> int:
    """The line of the last of these keys that the file has, or of its value where that is a word."""
    here, line = root, root.span.line
    for key in keys:
        if isinstance(here, TreeMapping):
            named = next((own for own in here if own == key.removesuffix("_")), None)
            if named is not None:
                here, line = here[named], named.span.line
        elif isinstance(here, Sequence) and key.isdigit() and int(key) < len(here):
            here = here[int(key)]
            line = here.span.line
    return here.span.line if isinstance(here, Text) else line

"""What changed in a shop since a revision, with who changed it and why, and what that means for open jobs."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from builder.checklist import Checklist, checklists
from builder.diagnostics import Diagnostic, Fault
from builder.edition import edition
from builder.manual import Manual, load
from builder.revision.change import Change, Keys
from builder.revision.history import Commit, History, Reasons
from builder.revision.pinned import PinnedJob, pinned_jobs, resolved
from builder.revision.renames import Renames, renames
from builder.revision.sections import Section, sections
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
    new, faults = load(shop)
    if faults:
        raise Fault(
            f"the manual does not read whole: {faults[0].span} {faults[0].message}", "mend that first"
        )
    then = _Then(history, new)
    old, unread = then.manual(since.number)
    names, reasons = renames(old, new), Reasons(history, since)
    told = (_told(shop, section, old.left_out, reasons) for section in sections(old, new, names))
    return Report(
        since=since,
        manual=new,
        sections=tuple(one for one in told if one.told),
        editions=tuple(_editions(old, new, names)),
        jobs=pinned_jobs(shop, new, names, lambda *of: then.checklist(since, *of)),
        unread=tuple(f"{fault.span}: {fault.code} {fault.message}" for fault in unread),
    )


class _Then:
    """Earlier states of a manual, each read from the history once."""

    def __init__(self, history: History, now: Manual) -> None:
        self.history = history
        self.now = now
        self.known: dict[str, tuple[Manual, tuple[Diagnostic, ...]]] = {}
        self.names: dict[str, Renames] = {}

    def manual(self, number: str) -> tuple[Manual, tuple[Diagnostic, ...]]:
        """The manual at a commit, with what could not be read of it."""
        if number not in self.known:
            with tempfile.TemporaryDirectory(prefix="gaugeleaf-") as folder:
                self.history.write_into(Path(folder), number)
                self.known[number] = load(Path(folder))
        return self.known[number]

    def renames(self, number: str) -> Renames:
        """What was renamed since a commit."""
        if number not in self.names:
            self.names[number] = renames(self.manual(number)[0], self.now)
        return self.names[number]

    def checklist(
        self, since: Commit, family: str, procedure: str, wanted: str
    ) -> tuple[Checklist, Renames] | None:
        """The checklist of an edition, sought from the asked commit on and then in those after it."""
        for number in (since.number, *(one.number for one in self.history.touching(since.number))):
            found = resolved(self.manual(number)[0], family, procedure)
            if found is not None and edition(found) == wanted:
                return found, self.renames(number)
        return None


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


def _told(shop: Path, section: Section, unread: frozenset[str], reasons: Reasons) -> ToldSection:
    """A section with the commit of each change; what could not be read then is not told as new."""
    root = read_file(shop / section.path, section.path).root
    read = (one for one in section.changes if one.old or not unread.intersection(one.keys))
    return ToldSection(section, tuple(_because(section, one, root, reasons) for one in read))


def _because(section: Section, change: Change, root: Tree | None, reasons: Reasons) -> Told:
    lost = bool(change.old) and not change.new
    words = change.old.strip("“”") if lost else ""
    found = reasons.of_loss(section.path, words) if lost else None
    if found is None and lost:
        found = reasons.of_loss(section.path, change.keys[-1] if change.keys else "")
    if not lost and root is not None:
        found = reasons.of_line(section.path, line_of(root, change.keys))
    return Told(change, found)


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

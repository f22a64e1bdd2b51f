"""Earlier states of a manual, the shop's own folder and every base that it extended, each read once.

A base that is kept in the same repository is read at the same commit; one in a repository of its own is read
as it was on that day; one that is kept in none is read as it lies now.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import Final, TypeAlias

from builder.checklist import Checklist
from builder.diagnostics import Diagnostic, Fault
from builder.edition import edition
from builder.layers import Layer, layers_of
from builder.layers.bases import SHOP, base_named
from builder.layers.difference import texts
from builder.manual import Manual, load_layers
from builder.revision.history import Commit, History, Keep, whole
from builder.revision.pinned import resolved
from builder.revision.renames import Renames, renames
from builder.yaml_text import Mapping, Sequence, Tree, read_text

Read: TypeAlias = tuple[Manual, tuple[Diagnostic, ...]]

ENGINES: Final = "specs/engines/"
NOT_SAID: Final = frozenset({"specs/terms.yaml", "procedures/redo.yaml"})
"""Tables of which no sheet says anything."""


@dataclass(frozen=True)
class State:
    """A commit of the shop, and the moment up to which commits of other repositories count."""

    number: str
    moment: str


@dataclass(frozen=True)
class Kept:
    """A folder of a manual in a state: its history and the number of its commit there; neither as it lies."""

    folder: Path
    history: History | None = None
    number: str = ""


class Earlier:
    """The states of a manual, and what is the same in them as now."""

    def __init__(self, history: History, now: Manual) -> None:
        self.history = history
        self.now = now
        self.known: dict[State, Read] = {}
        self.alike: dict[tuple[object, ...], Read] = {}
        self.names: dict[State, Renames] = {}
        self.named: dict[str, tuple[str, ...]] = {}

    def manual(self, state: State) -> Read:
        """The manual in a state, with what could not be read of it."""
        if state not in self.known:
            self.known[state] = self._read(self._folders(state), whole)
        return self.known[state]

    def of_family(self, state: State, family: str) -> Manual:
        """The manual in a state with one family alone; states whose files are the same share it."""

        def keep(path: str) -> bool:
            return not path.startswith(ENGINES) or path == f"{ENGINES}{family}.yaml"

        return self._kept_once(tuple(self._folders(state)), keep)

    def of_checklist(self, state: State, family: str, procedure: str) -> Manual:
        """As much of the manual in a state as the edition of one checklist depends on."""
        folders = tuple(self._folders(state))
        wanted = {procedure, *self._named(folders, procedure)}

        def keep(path: str) -> bool:
            if path.startswith(ENGINES) or path in NOT_SAID:
                return path == f"{ENGINES}{family}.yaml"
            return path.count("/") == 1 or PurePosixPath(path).stem in wanted

        return self._kept_once(folders, keep)

    def _kept_once(self, folders: tuple[Kept, ...], keep: Keep) -> Manual:
        """The manual of some files; where they are the same as in another state, the same manual."""
        key = tuple(
            (one.folder, *sorted(one.history.listed(one.number, keep).items())) if one.history else one
            for one in folders
        )
        if key not in self.alike:
            self.alike[key] = self._read(folders, keep)
        return self.alike[key][0]

    def _named(self, folders: tuple[Kept, ...], procedure: str) -> Iterator[str]:
        """What a procedure needs and uses, as its files in these folders say; each content is read once."""
        for one in folders:
            if one.history is None:
                continue
            own = one.history.listed(one.number, lambda path: path.endswith(f"/{procedure}.yaml"))
            for content in own.values():
                if content not in self.named:
                    root = read_text(one.history.asked("cat-file", "blob", content), procedure).root
                    self.named[content] = tuple(_named(root))
                yield from self.named[content]

    def _read(self, folders: Iterator[Kept] | tuple[Kept, ...], keep: Keep) -> Read:
        """Read a manual of folders, the shop's own first, as they were."""
        layers: list[Layer] = []
        with tempfile.TemporaryDirectory(prefix="gaugeleaf-") as place:
            for one in folders:
                shown = Layer.shown_from(self.history.shop, one.folder)
                folder = one.folder
                if one.history is not None:
                    folder = Path(place) / str(len(layers))
                    one.history.write_into(folder, one.number, keep)
                layers.insert(0, Layer(folder, shown))
            return load_layers(tuple(layers))

    def _folders(self, state: State) -> Iterator[Kept]:
        """The folders of a manual in a state: the shop's own, its base, the base of that one."""
        seen: set[Path] = set()
        here: Path | None = self.history.shop
        while here is not None and here.is_dir() and here.resolve() not in seen:
            seen.add(here.resolve())
            kept = self._kept(here, state)
            yield kept
            if kept.history is None:
                yield from (Kept(layer.folder) for layer in reversed(layers_of(here)[0][:-1]))
                return
            named = _base_at(kept.history, kept.number)
            here = here / named if named else None

    def _kept(self, folder: Path, state: State) -> Kept:
        """A folder in a state."""
        if folder == self.history.shop:
            return Kept(folder, self.history, state.number)
        try:
            own = History.of(folder)
        except Fault:
            return Kept(folder)
        number = state.number if own.top == self.history.top else own.at(state.moment)
        return Kept(folder, own, number) if number else Kept(folder)

    def states(self, since: Commit | None = None) -> Iterator[State]:
        """Every state since a commit: that of the commit, then the newest first; all without one."""
        if since is not None:
            yield State(since.number, since.moment)
        touching = self.history.every() if since is None else self.history.touching(since.number)
        commits = {one.moment: one.number for one in touching}
        moments = set(commits)
        for history in self._others():
            moments |= {one.moment for one in history.after(since.moment if since else "0")}
        for moment in sorted(moments, key=int, reverse=True):
            number = commits.get(moment) or self.history.at(moment)
            if number:
                yield State(number, moment)

    def _others(self) -> Iterator[History]:
        """The histories of the bases that are kept in repositories of their own."""
        for layer in layers_of(self.history.shop)[0][:-1]:
            kept = self._kept(layer.folder, State("HEAD", ""))
            if kept.history is not None and kept.history.top != self.history.top:
                yield kept.history

    def renames(self, state: State) -> Renames:
        """What was renamed since a state."""
        if state not in self.names:
            self.names[state] = renames(self.manual(state)[0], self.now)
        return self.names[state]

    def checklist(
        self, since: Commit, family: str, procedure: str, wanted: str
    ) -> tuple[Checklist, Renames] | None:
        """The checklist of an edition, sought from the asked commit on and then in the states after it."""
        for state in self.states(since):
            found = resolved(self.manual(state)[0], family, procedure)
            if found is not None and edition(found) == wanted:
                return found, self.renames(state)
        return None

    def found(
        self, family: str, procedure: str, wanted: str, near: str = ""
    ) -> tuple[Checklist, State] | None:
        """The checklist of an edition in the whole history, sought back from a moment and then after it."""
        every = list(self.states())
        before = [one for one in every if not near or int(one.moment) <= int(near)]
        later = [one for one in reversed(every) if one not in before]
        for state in (*before, *later):
            quick = resolved(self.of_checklist(state, family, procedure), family, procedure)
            if quick is None or edition(quick) != wanted:
                continue
            whole_one = resolved(self.of_family(state, family), family, procedure)
            return (whole_one, state) if whole_one is not None else None
        return None


def _named(tree: Tree | None) -> Iterator[str]:
    """The procedures under `needs` and the worksheets under `use`, wherever in a file."""
    if isinstance(tree, Mapping):
        for key, value in tree.items():
            yield from texts(value) if key in ("needs", "use") else _named(value)
    elif isinstance(tree, Sequence):
        for item in tree:
            yield from _named(item)


def _base_at(history: History, number: str) -> str | None:
    """The base that a folder named at a commit."""
    text = history.asked("show", f"{number}:./{SHOP}")
    return base_named(read_text(text, SHOP))[0] if text else None

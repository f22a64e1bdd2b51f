"""Earlier states of a manual, the shop's own folder and every base that it extended, each read once.

A base that is kept in the same repository is read at the same commit; one in a repository of its own is read
as it was on that day; one that is kept in none is read as it lies now.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from builder.checklist import Checklist
from builder.diagnostics import Diagnostic, Fault
from builder.edition import edition
from builder.layers import Layer, layers_of
from builder.layers.bases import SHOP, base_named
from builder.manual import Manual, load_layers
from builder.revision.history import Commit, History
from builder.revision.pinned import resolved
from builder.revision.renames import Renames, renames
from builder.yaml_text import read_text


@dataclass(frozen=True)
class State:
    """A commit of the shop, and the moment up to which commits of other repositories count."""

    number: str
    moment: str


class Earlier:
    """The states of a manual since a commit, the newest first, and what is the same in them as now."""

    def __init__(self, history: History, now: Manual) -> None:
        self.history = history
        self.now = now
        self.known: dict[State, tuple[Manual, tuple[Diagnostic, ...]]] = {}
        self.names: dict[State, Renames] = {}

    def manual(self, state: State) -> tuple[Manual, tuple[Diagnostic, ...]]:
        """The manual in a state, with what could not be read of it."""
        if state not in self.known:
            with tempfile.TemporaryDirectory(prefix="gaugeleaf-") as folder:
                layers, faults = self._written(state, Path(folder))
                manual, unread = load_layers(layers)
                self.known[state] = manual, (*faults, *unread)
        return self.known[state]

    def _written(self, state: State, folder: Path) -> tuple[tuple[Layer, ...], tuple[Diagnostic, ...]]:
        """The folders of a manual in a state, written out; those not kept in git as they lie."""
        layers: list[Layer] = []
        faults: list[Diagnostic] = []
        seen: set[Path] = set()
        here: Path | None = self.history.shop
        while here is not None and here.resolve() not in seen:
            seen.add(here.resolve())
            shown = Layer.shown_from(self.history.shop, here)
            kept = self._kept(here, state)
            if kept is None:
                below, unread = layers_of(here)
                layers = [
                    *(Layer(one.folder, Layer.shown_from(self.history.shop, one.folder)) for one in below),
                    *layers,
                ]
                return tuple(layers), (*faults, *unread)
            history, number = kept
            place = folder / str(len(layers))
            history.write_into(place, number)
            layers.insert(0, Layer(place, shown))
            named, unread = _base_at(history, number, Layer(here, shown))
            faults += unread
            here = here / named if named else None
        return tuple(layers), tuple(faults)

    def _kept(self, folder: Path, state: State) -> tuple[History, str] | None:
        """The history of a folder with the number of its commit in a state; None where git has none."""
        if folder == self.history.shop:
            return self.history, state.number
        if not folder.is_dir():
            return None
        try:
            own = History.of(folder)
        except Fault:
            return None
        number = state.number if own.top == self.history.top else own.at(state.moment)
        return (own, number) if number else None

    def states(self, since: Commit) -> Iterator[State]:
        """Every state since a commit: that of the commit, then the newest first."""
        yield State(since.number, since.moment)
        commits = {one.moment: one.number for one in self.history.touching(since.number)}
        moments = set(commits)
        for history in self._others():
            moments |= {one.moment for one in history.after(since.moment)}
        for moment in sorted(moments, reverse=True):
            yield State(commits.get(moment) or self.history.at(moment), moment)

    def _others(self) -> Iterator[History]:
        """The histories of the bases that are kept in repositories of their own."""
        for layer in layers_of(self.history.shop)[0][:-1]:
            kept = self._kept(layer.folder, State("HEAD", ""))
            if kept is not None and kept[0].top != self.history.top:
                yield kept[0]

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


def _base_at(history: History, number: str, layer: Layer) -> tuple[str | None, tuple[Diagnostic, ...]]:
    """The base that a folder named at a commit."""
    text = history.asked("show", f"{number}:./{SHOP}")
    if not text:
        return None, ()
    named, faults = base_named(read_text(text, layer.path(SHOP)))
    return named, faults

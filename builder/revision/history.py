"""The shop's own history, kept by git: the files of an earlier revision, and who changed a line and why."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Final, TypeAlias

from builder.diagnostics import Fault
from builder.layers import layers_of
from builder.layers.bases import SHOP
from builder.manual import FOLDERS

FORMAT: Final = "--format=%H%x00%s%x00%an%x00%as%x00%ct%x00"
PARTS: Final = 5
"""Of a commit in that format."""

REGULAR: Final = ("100644", "100755")
"""The modes under which git keeps plain files; links and other repositories are no part of a manual."""

_DAY: Final = re.compile(r"\d{4}-\d\d-\d\d")
_BLAMED: Final = re.compile(rb"([0-9a-f]{40}) \d+ (\d+)")


@dataclass(frozen=True)
class Commit:
    """One change of the shop's files: its number, its first line, by whom, on which day, at which second."""

    number: str
    subject: str
    by: str
    on: str
    moment: str = ""


UNCOMMITTED: Final = Commit("", "not committed yet", "", "")


Keep: TypeAlias = Callable[[str], bool]
"""Which files of a manual are wanted, by their paths."""


def whole(path: str) -> bool:  # noqa: ARG001 - every path alike
    """All files of a manual."""
    return True


def after(moment: str) -> str:
    """What asks git for the commits after a moment, which counts as its own next second."""
    return f"--since={int(moment) + 1}"


@dataclass(frozen=True)
class History:
    """The history of a shop's folder."""

    shop: Path
    git: str

    @classmethod
    def of(cls, shop: Path) -> History:
        """The history of a shop.

        Raises:
            Fault: git is not installed, or the shop's folder is in no repository.
        """
        git = shutil.which("git")
        if git is None:
            raise Fault("git is not installed here", "install git: it keeps the shop's history")
        history = cls(shop, git)
        if history.asked("rev-parse", "--is-inside-work-tree").strip() != "true":
            raise Fault("this shop has no history", "keep its folder in git: `git init`, then commit it")
        return history

    def run(self, *words: str, given: str = "") -> subprocess.CompletedProcess[bytes]:
        """Ask git in the shop's folder, in its own language and without what it does for people alone."""
        plain = {"LC_ALL": "C", "GIT_OPTIONAL_LOCKS": "0", "GIT_TERMINAL_PROMPT": "0"}
        return subprocess.run(  # noqa: S603 - git by its full path; no shell reads the words
            [self.git, "--no-pager", *words],
            cwd=self.shop,
            env=os.environ | plain,
            input=given.encode(),
            capture_output=True,
            check=False,
        )

    def asked(self, *words: str) -> str:
        """What git answers, or nothing where it refuses."""
        done = self.run(*words)
        return done.stdout.decode("utf-8", "replace") if done.returncode == 0 else ""

    def log(self, *words: str) -> tuple[Commit, ...]:
        """Commits as `git log` lists them, newest first."""
        parts = self.asked("log", FORMAT, *words).split("\0")
        every = zip(*(parts[place::PARTS] for place in range(PARTS)), strict=False)
        return tuple(Commit(number.strip(), *more) for number, *more in every)

    def commit(self, revision: str) -> Commit:
        """The commit that a revision names: a number, a tag, `HEAD~3`, or a day, before which it was made.

        Raises:
            Fault: the history has no such revision.
        """
        if _DAY.fullmatch(revision):
            number = self.asked("rev-list", "-1", f"--before={revision} 00:00:00", "HEAD").strip()
        else:
            asked = ("rev-parse", "--verify", "--quiet", "--end-of-options", f"{revision}^{{commit}}")
            number = self.asked(*asked).strip()
        if not number:
            raise Fault(
                f"`{revision}` is no revision of this shop's history", "`git log --oneline` lists them"
            )
        return self.log("-1", number)[0]

    def touching(self, number: str) -> tuple[Commit, ...]:
        """The commits after one that touch the manual, or a base in the same repository, newest first."""
        return self.log(f"{number}..HEAD", "--", *self.places)

    def every(self) -> tuple[Commit, ...]:
        """All commits that touch the manual, or a base in the same repository, newest first."""
        return self.log("HEAD", "--", *self.places)

    def listed(self, number: str, keep: Keep) -> Mapping[str, str]:
        """The manual's files at a commit that are kept: each with the number of its content."""
        listed = self.asked("ls-tree", "-r", "-z", number, "--", *(f"{one}/" for one in FOLDERS))
        entries = [line.partition("\t") for line in listed.split("\0") if line.endswith(".yaml")]
        return {
            path: about.split()[2] for about, _, path in entries if about.split()[0] in REGULAR and keep(path)
        }

    def after(self, moment: str) -> tuple[Commit, ...]:
        """The commits after a moment that touch the manual, newest first."""
        return self.log("HEAD", after(moment), "--", *FOLDERS)

    def at(self, moment: str) -> str:
        """The number of the last commit up to a moment; empty where the history begins later."""
        return self.asked("rev-list", "-1", f"--before={moment}", "HEAD").strip()

    @cached_property
    def top(self) -> str:
        """The folder of the repository."""
        return self.asked("rev-parse", "--show-toplevel").strip()

    @cached_property
    def places(self) -> tuple[str, ...]:
        """Where the manual stands in this repository, as seen from the shop's folder."""
        folders = [
            layer
            for layer in layers_of(self.shop)[0]
            if layer.folder == self.shop or self.holds(layer.folder)
        ]
        return (SHOP, *(layer.path(one) for layer in folders for one in FOLDERS))

    def holds(self, folder: Path) -> bool:
        """Whether a folder is kept in this repository."""
        there, top = folder.resolve(), Path(self.top).resolve()
        return top == there or top in there.parents

    def write_into(self, folder: Path, number: str, keep: Keep = whole) -> None:
        """Write the manual's files as they were at a commit into a folder, those that are kept."""
        kept = self.listed(number, keep)
        answer = self.run("cat-file", "--batch", given="".join(f"{one}\n" for one in kept.values())).stdout
        for path, content in zip(kept, _contents(answer), strict=True):
            target = folder / path
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(content)


def _contents(answer: bytes) -> Iterator[bytes]:
    """The files in the answer of `git cat-file --batch`: each behind a line that ends with its size."""
    place = 0
    while place < len(answer):
        end = answer.index(b"\n", place)
        size = int(answer[place:end].split()[2])
        yield answer[end + 1 : end + 1 + size]
        place = end + size + 2


class Reasons:
    """Who changed what since a commit, and what they wrote about it; asked of git once for each file.

    A base that is kept in a repository of its own is asked of that one; of one that is kept in none, nothing
    is known.
    """

    def __init__(self, history: History, since: Commit) -> None:
        self.history = history
        self.since = since
        self.lines: dict[str, Mapping[int, str]] = {}
        self.commits: dict[str, Mapping[str, Commit]] = {}

    @cached_property
    def bases(self) -> Mapping[str, History | None]:
        """The histories of the bases that are kept elsewhere, by what their paths begin with."""
        apart = (
            layer for layer in layers_of(self.history.shop)[0][:-1] if not self.history.holds(layer.folder)
        )
        return {f"{layer.shown}/": _history_of(layer.folder) for layer in apart}

    def _asked_of(self, path: str) -> tuple[History | None, str]:
        """The history that knows a file, and what it calls it."""
        for beginning, history in self.bases.items():
            if path.startswith(beginning):
                return history, path.removeprefix(beginning)
        return self.history, path

    def _since(self, history: History) -> Mapping[str, Commit]:
        """The commits since then by number."""
        if history.top not in self.commits:
            same = history is self.history
            found = history.log(f"{self.since.number}..HEAD") if same else history.after(self.since.moment)
            self.commits[history.top] = {one.number: one for one in found}
        return self.commits[history.top]

    def of_line(self, path: str, line: int) -> Commit | None:
        """Who last changed a line as it lies in the folder; None where that was earlier."""
        history, own = self._asked_of(path)
        if history is None:
            return None
        if path not in self.lines:
            self.lines[path] = blamed(history, own)
        number = self.lines[path].get(line, "0" * 40)
        return UNCOMMITTED if set(number) == {"0"} else self._since(history).get(number)

    def of_loss(self, path: str, words: str) -> Commit | None:
        """Who took words out of a file."""
        history, own = self._asked_of(path)
        if history is None:
            return None
        reach = f"{self.since.number}..HEAD" if history is self.history else after(self.since.moment)
        found = history.log("-1", f"-S{words}", reach, "--", own)
        if found:
            return found[0]
        return UNCOMMITTED if history.asked("status", "--porcelain", "--", own) else None


def _history_of(folder: Path) -> History | None:
    try:
        return History.of(folder)
    except Fault:
        return None


def blamed(history: History, path: str) -> Mapping[int, str]:
    """The number of the commit that last changed each line; blanks do not count as a change."""
    answer = history.run("blame", "-w", "--porcelain", "--", path).stdout
    heads = (_BLAMED.match(row) for row in answer.split(b"\n"))
    return {int(head.group(2)): head.group(1).decode() for head in heads if head}

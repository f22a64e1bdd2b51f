"""The shop's own history, kept by git: the files of an earlier revision, and who changed a line and why."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Final

from builder.diagnostics import Fault
from builder.manual import FOLDERS

FORMAT: Final = "--format=%H%x00%s%x00%an%x00%as%x00"
REGULAR: Final = ("100644", "100755")
"""The modes under which git keeps plain files; links and other repositories are no part of a manual."""

_DAY: Final = re.compile(r"\d{4}-\d\d-\d\d")
_BLAMED: Final = re.compile(rb"([0-9a-f]{40}) \d+ (\d+)")


@dataclass(frozen=True)
class Commit:
    """One change of the shop's files: its number, its first line, by whom and on which day."""

    number: str
    subject: str
    by: str
    on: str


UNCOMMITTED: Final = Commit("", "not committed yet", "", "")


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
        every = zip(*(parts[place::4] for place in range(4)), strict=False)
        return tuple(Commit(number.strip(), subject, by, on) for number, subject, by, on in every)

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
        """The commits after one that touch the manual, newest first."""
        return self.log(f"{number}..HEAD", "--", *FOLDERS)

    def write_into(self, folder: Path, number: str) -> None:
        """Write the manual's files as they were at a commit into a folder."""
        listed = self.asked("ls-tree", "-r", "-z", number, "--", *(f"{one}/" for one in FOLDERS))
        entries = [line.partition("\t") for line in listed.split("\0") if line.endswith(".yaml")]
        kept = {path: about.split()[2] for about, _, path in entries if about.split()[0] in REGULAR}
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
    """Who changed what since a commit, and what they wrote about it; asked of git once for each file."""

    def __init__(self, history: History, since: Commit) -> None:
        self.history = history
        self.since = since
        self.lines: dict[str, Mapping[int, str]] = {}

    @cached_property
    def commits(self) -> Mapping[str, Commit]:
        """The commits since then by number."""
        return {one.number: one for one in self.history.log(f"{self.since.number}..HEAD")}

    def of_line(self, path: str, line: int) -> Commit | None:
        """Who last changed a line as it lies in the folder; None where that was earlier."""
        if path not in self.lines:
            self.lines[path] = self._blamed(path)
        number = self.lines[path].get(line, "0" * 40)
        return UNCOMMITTED if set(number) == {"0"} else self.commits.get(number)

    def _blamed(self, path: str) -> Mapping[int, str]:
        """The number of the commit that last changed each line; blanks do not count as a change."""
        answer = self.history.run("blame", "-w", "--porcelain", "--", path).stdout
        heads = (_BLAMED.match(row) for row in answer.split(b"\n"))
        return {int(head.group(2)): head.group(1).decode() for head in heads if head}

    def of_loss(self, path: str, words: str) -> Commit | None:
        """Who took words out of a file."""
        found = self.history.log("-1", f"-S{words}", f"{self.since.number}..HEAD", "--", path)
        if found:
            return found[0]
        return UNCOMMITTED if self.history.asked("status", "--porcelain", "--", path) else None

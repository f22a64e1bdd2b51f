"""The page *Your own shop*: its commands exist, its examples read."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import click
import pytest

from builder.cli import main
from builder.model.decode import adapter_of, decode
from builder.model.extension import FamilyExtension, ShopFile
from builder.revision.tidy import tidy
from builder.yaml_text import read_text

PAGE = Path(__file__).parents[2] / "site_demo" / "pages" / "own-shop.md"
TEXT = PAGE.read_text(encoding="utf-8")
BLOCKS = re.findall(r"```(\w+)\n(.*?)```", TEXT, re.DOTALL)
COMMANDS = sorted(
    set(re.findall(r"gaugeleaf ([a-z]+(?: +--[a-z]+)*)", "\n".join(text for _, text in BLOCKS)))
)


@pytest.mark.parametrize("command", COMMANDS)
def test_command_and_its_options_exist(command: str) -> None:
    """Whoever types what the page says is not told that there is no such command."""
    name, *options = command.split()
    known = main.commands[name]

    assert isinstance(known, click.Command)
    assert set(options) <= {option for one in known.params for option in one.opts}


def test_examples_in_yaml_read() -> None:
    """They can be copied as they are."""
    examples = [text for form, text in BLOCKS if form == "yaml"]

    assert len(examples) == TEXT.count("```yaml") > 5
    assert [read_text(text, "example.yaml").faults for text in examples] == [()] * len(examples)


def test_examples_of_a_shop_over_a_base_are_without_faults() -> None:
    """The file that names the base, and the one that says what is different."""
    (shop,) = (text for _, text in BLOCKS if text.startswith("base:"))
    (family,) = (text for _, text in BLOCKS if text.startswith("extends:"))
    read = decode(read_text(shop, "shop.yaml"), adapter_of(ShopFile))
    told = decode(read_text(family, "tallow-four.yaml"), adapter_of(FamilyExtension))

    assert (read.faults, told.faults) == ((), ())
    assert told.value is not None
    assert [change.by for change in told.value.changes] == ["R.T."]


def test_page_names_the_commands_of_revisions() -> None:
    """Tidying, approving, telling changes and moving jobs each have their section."""
    assert {command.split()[0] for command in COMMANDS} == {
        "approve",
        "build",
        "changes",
        "check",
        "job",
        "serve",
        "sheet",
        "tidy",
    }


@pytest.mark.skipif(shutil.which("git") is None or os.name == "nt", reason="no git here, or no shell")
def test_hook_lets_a_sound_commit_through_and_no_faulty_one(
    shop: Path, edited: Callable[[Path, tuple[str, str, str]], None], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The two lines of the page, in a repository of a shop's own."""
    (hook,) = (text for _, text in BLOCKS if text.startswith("#!/bin/sh"))
    monkeypatch.setenv("PATH", f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}")
    (shop / "mkdocs.yml").write_text("site_name: Small shop (invented)\n", encoding="utf-8")
    tidy(shop, write=True)
    git(shop, "init", "--quiet")
    (shop / ".git" / "hooks").mkdir(exist_ok=True)
    (shop / ".git" / "hooks" / "pre-commit").write_text(hook, encoding="utf-8")
    (shop / ".git" / "hooks" / "pre-commit").chmod(0o755)

    sound = git(shop, "commit", "--quiet", "--message", "As it is")
    edited(shop, ("family", "aim: 0.0015 to 0.0018", "aim: 0.0115 to 0.0118"))
    faulty = git(shop, "commit", "--quiet", "--message", "A slip")
    edited(shop, ("family", "aim: 0.0115 to 0.0118", "aim:    0.0015 to 0.0017"))
    untidy = git(shop, "commit", "--quiet", "--message", "Laid out otherwise")

    assert (sound.returncode, faulty.returncode, untidy.returncode) == (0, 1, 1)
    assert "error[GL-213]" in faulty.stdout + faulty.stderr
    assert "would lay out: specs/engines/tallow-four.yaml, 1 line new" in untidy.stdout + untidy.stderr


def git(shop: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """Run git on all files of a shop."""
    who = ["-c", "user.name=R. Tate", "-c", "user.email=", "-c", "core.hooksPath=.git/hooks"]
    if words[0] == "commit":
        subprocess.run(["git", "add", "--all"], cwd=shop, check=True)
    return subprocess.run(["git", *who, *words], cwd=shop, capture_output=True, text=True, check=False)


def test_hooks_that_the_repository_offers_are_those_of_the_page() -> None:
    """The same ids and the same commands, for the same files."""
    (own,) = (text for _, text in BLOCKS if text.startswith("repos:"))
    offered = (PAGE.parents[2] / ".pre-commit-hooks.yaml").read_text(encoding="utf-8")
    said = re.compile(r"(?:id|entry|files|pass_filenames): (.*)")

    assert said.findall(own) == said.findall(offered)

"""The page *Your own shop*: its commands exist, its examples read."""

from __future__ import annotations

import re
from pathlib import Path

import click
import pytest

from builder.cli import main
from builder.model.decode import adapter_of, decode
from builder.model.extension import FamilyExtension, ShopFile
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

    assert len(examples) == 6
    assert [read_text(text, "example.yaml").faults for text in examples] == [()] * 6


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

"""The published schemas: each kind of file has one, and it agrees with what the reader takes."""

from __future__ import annotations

import json

import pytest

from builder.cli import main
from builder.model.decode import adapter_of, decode
from builder.model.extension import SAMPLE, FamilyExtension
from builder.model.schema import PUBLISHED, schema_text
from builder.yaml_text import read_text


@pytest.mark.parametrize("name", PUBLISHED)
def test_schema_is_closed(name: str) -> None:
    """A key that the reader does not know is refused by the schema too."""
    schema = json.loads(schema_text(name))

    assert schema["additionalProperties"] is False
    assert schema["required"]


def test_command_offers_every_schema() -> None:
    """`gaugeleaf schema --of` knows each kind of file."""
    (option,) = [one for one in main.commands["schema"].params if one.name == "name"]

    assert set(option.type.choices) == set(PUBLISHED)  # type: ignore[attr-defined]


def test_sample_of_an_extension_reads() -> None:
    """The file that shows every part of an extension has no faults."""
    read = decode(read_text(SAMPLE, "tallow-four.yaml"), adapter_of(FamilyExtension))

    assert read.faults == ()
    assert read.value is not None
    assert [len(change.done) for change in read.value.changes] == [1, 1]

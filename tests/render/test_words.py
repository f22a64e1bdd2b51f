"""The manual's short names in words."""

from __future__ import annotations

import pytest

from builder.model import layout
from builder.model.base import Text
from builder.model.layout import Condition
from builder.model.procedure import PHASES, ROLES, VERIFICATIONS
from builder.model.spec import LIMIT_KINDS
from builder.render import words
from builder.render.values import ORDER


def condition(*alternatives: dict[str, str]) -> Condition:
    """A condition of alternatives, each trait with its values apart by blanks."""
    return Condition(
        tuple(
            {trait: tuple(map(Text, values.split())) for trait, values in one.items()} for one in alternatives
        )
    )


def test_every_closed_name_of_the_model_has_words() -> None:
    """A new limit kind, phase, role, trait or value of a trait needs its words here; a job has its own."""
    assert tuple(words.LIMITS) == ("job", *LIMIT_KINDS)
    assert sorted(ORDER) == sorted(LIMIT_KINDS)
    assert tuple(words.PHASES) == PHASES
    assert tuple(words.ROLES) == ROLES
    assert tuple(words.VERIFICATIONS) == VERIFICATIONS
    assert tuple(words.TRAITS) == tuple(layout.TRAITS)
    assert set(words.VALUES) == {
        (trait, value) for trait, values in layout.TRAITS.items() for value in values
    }


@pytest.mark.parametrize(
    ("found", "said"),
    [
        (None, ""),
        (condition({"valves": "side"}), "side valves"),
        (condition({"tappets": "solid shim"}), "solid tappets or tappets set by shims"),
        (
            condition({"main_bearings": "poured", "valves": "side"}),
            "main bearings of white metal poured in place and side valves",
        ),
        (
            condition({"cam_drive": "gear"}, {"cam_drive": "chain"}),
            "camshaft driven by timing gears, or camshaft driven by a timing chain",
        ),
    ],
)
def test_condition_on_the_layout_is_told_in_words(found: Condition | None, said: str) -> None:
    """The words follow `on engines with`."""
    assert words.condition(found) == said


def test_roles_and_lists_read_as_a_sentence() -> None:
    """Commas, and one joint before the last."""
    assert words.roles(("builder", "second", "foreman")) == "builder, second person and foreman"
    assert words.listed(()) == ""

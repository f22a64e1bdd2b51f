"""The door to the templates."""

from __future__ import annotations

import pytest
from jinja2 import UndefinedError

from builder.render.environment import environment


def test_text_is_escaped_in_every_template() -> None:
    """Autoescape does not depend on a template's name."""
    assert environment().from_string("{{ view }}").render(view="<b>&") == "&lt;b&gt;&amp;"


def test_missing_name_is_an_error() -> None:
    """A name that the view does not have stops the build; it never leaves a hole on a page."""
    with pytest.raises(UndefinedError):
        environment().from_string("{{ view.nothing }}").render(view=object())

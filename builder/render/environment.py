"""The door to jinja2: templates that escape everything, know no missing name and see one finished view."""

from __future__ import annotations

from functools import cache

from jinja2 import Environment, PackageLoader, StrictUndefined


@cache
def environment() -> Environment:
    """Return the one environment: autoescape on for every template, an unknown name is an error."""
    return Environment(
        loader=PackageLoader("builder.render", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def render(template: str, view: object) -> str:
    """Return the HTML of `template`, which sees nothing but `view`: a frozen dataclass of finished words."""
    return environment().get_template(template).render(view=view)

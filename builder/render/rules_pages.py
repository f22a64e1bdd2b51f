"""The rules reference: what the checks of a manual find, why it matters, what to write instead."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from builder.diagnostics import Severity
from builder.render import addresses
from builder.render.page_parts import Head, Piece, Shelf, head, page, paragraphs
from builder.render.shell import Heading, Page
from builder.rules.catalogue import RULES, Rule

SEVERITIES = {
    Severity.ERROR: "An error: nothing is built while it stands.",
    Severity.WARNING: "A warning: it does not stop a build.",
}

Said = tuple[tuple[Piece, ...], ...]


@dataclass(frozen=True, slots=True)
class RuleView:
    """One rule."""

    code: str
    name: str
    severity: str
    wrong: Said
    why: Said
    instead: Said


@dataclass(frozen=True, slots=True)
class RulesView:
    """The rules reference."""

    head: Head
    rules: tuple[RuleView, ...]


def rules_page(rules: Iterable[Rule] | None = None) -> Page:
    """The rules reference, of the whole catalogue unless `rules` are given."""
    here = addresses.RULES
    listed = tuple(RULES.values()) if rules is None else tuple(rules)
    views = tuple(_rule(rule) for rule in sorted(listed, key=lambda rule: rule.code))
    view = RulesView(
        head(
            here,
            "Rules of the manual",
            "What gaugeleaf check finds, by code. An error stops a build; a warning does not.",
            "Written from the rules themselves: the same words as gaugeleaf why prints.",
        ),
        views,
    )
    headings = tuple(Heading(2, view.code, f"{view.code} {view.name}") for view in views)
    return page(Shelf(here, "Rules of the manual", ("Reference",)), "rules.html", view, headings)


def _rule(rule: Rule) -> RuleView:
    return RuleView(
        code=rule.code,
        name=rule.name.replace("-", " "),
        severity=SEVERITIES[rule.severity],
        wrong=paragraphs(rule.wrong),
        why=paragraphs(rule.why),
        instead=paragraphs(rule.instead),
    )

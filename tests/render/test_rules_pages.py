"""The rules reference."""

from __future__ import annotations

from builder.render.rules_pages import rules_page
from builder.render.search import findings
from builder.rules.catalogue import RULES


def test_every_rule_has_its_section() -> None:
    """Each code is an anchor, and search finds it by code and by name."""
    page = rules_page()

    assert [heading.id for heading in page.headings] == sorted(RULES)
    titles = {finding.location: finding.title for finding in findings(page)}
    for code, rule in RULES.items():
        assert titles[f"rules/index.html#{code}"] == f"{code} {rule.name.replace('-', ' ')}"

"""Whole parts that a shop's folder adds to its base: who added them, when and why, as its history tells."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from builder.diagnostics import Fault
from builder.layers import Difference
from builder.manual import Manual
from builder.revision.history import UNCOMMITTED, Commit, History, blamed


def with_history(shop: Path, manual: Manual) -> Manual:
    """The manual with a reason from git for each addition that gives none itself; unchanged without git."""
    try:
        history = History.of(shop)
    except Fault:
        return manual
    lines = {
        path: blamed(history, path) for path in {one.span.path for one in manual.differences if not one.by}
    }
    commits: dict[str, Commit] = {}

    def told(one: Difference) -> Difference:
        number = lines.get(one.span.path, {}).get(one.span.line, "")
        if one.by or one.folder or not number.strip("0"):
            return one
        if number not in commits:
            commits[number] = next(iter(history.log("-1", number)), UNCOMMITTED)
        commit = commits[number]
        return replace(one, by=commit.by, on=commit.on, why=commit.subject)

    return replace(manual, differences=tuple(map(told, manual.differences)))

"""Two states of a table compared: parts renamed, added, taken out, and changed inside."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from builder.plain import Plain
from builder.revision.change import Change, differences, said, word
from builder.revision.renames import Pairs

ROWS: Final = frozenset({"specs", "limits", "sizes"})
"""Tables of characteristics, which need no word for what they are."""

TELLING: Final = ("new", "wear", "supplier", "aim", "shop", "rule", "expect", "check", "avoid", "unknown")
"""What is told of a part that is new or gone."""


def head_changes(old: Plain, new: Plain) -> Iterator[Change]:
    """What stands before the parts and the steps; each key is its own words."""
    for key in dict.fromkeys((*old, *new)):
        yield from differences(word(key), old.get(key), new.get(key), (key,))


def table_changes(table: str, old: Plain, new: Plain, known: Pairs) -> Iterator[Change]:
    """Every difference between two tables; ids of the old one are renamed already, by `known`."""
    former = {name: called for called, name in known.items()}
    for name in dict.fromkeys((*old, *new)):
        before, after = old.get(name), new.get(name)
        label = titled(table, name, after or before or {})
        if name in former and name in old and name in new:
            yield Change(f"{label}: called {former[name]} before, {name} now", keys=(table, name))
        if (before is None) != (after is None):
            yield Change(label, gist(before), gist(after), (table, name))
        else:
            yield from differences(label, before, after, (table, name))


def titled(table: str, name: str, part: Plain) -> str:
    """What people call a part: title and code, with a word for what it is where it is no characteristic."""
    code = part.get("code")
    shown = f"{part.get('title') or name} ({code})" if isinstance(code, str) else part.get("title") or name
    return shown if table in ROWS else f"{table.removesuffix('s')} {shown}"


def gist(part: Plain) -> str:
    """What matters most of a part that is new or gone: its limits, what is checked, what is avoided."""
    if part is None:
        return ""
    told = [f"{key} {said(_bare(part[key]))}" for key in TELLING if key in part]
    return "; ".join(told) or "as named"


def _bare(value: Plain) -> Plain:
    """A limit for all positions without the empty name of its position."""
    return value[""] if isinstance(value, dict) and list(value) == [""] else value

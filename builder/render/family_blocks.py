"""What the checklist pages of one family have in common, written out once: values, limits, safety boxes."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from markupsafe import Markup, escape

from builder.model.spec import BasicRow
from builder.render.checklist_steps import Words
from builder.render.environment import environment
from builder.render.grids import LimitView
from builder.render.hazards import SafetyBox
from builder.render.spec_tables import RowView
from builder.render.values import Shower, Value


@cache
def _macro(template: str, name: str) -> Callable[[Any], Markup]:
    found: Callable[[Any], Markup] = getattr(environment().get_template(template).module, name)
    return found


@dataclass(frozen=True)
class FamilyBlocks(Shower):
    """Shows the values of a family's rows on its checklist pages, all equally far from what they link to.

    Rows are told apart by identity: the manual that holds them outlives its pages.
    """

    shown: dict[int, tuple[Value, ...]] = field(default_factory=dict)
    drawn: dict[Hashable, Markup] = field(default_factory=dict)

    def values(self, row: BasicRow) -> tuple[Value, ...]:
        """Everything that a row states, found once."""
        if id(row) not in self.shown:
            self.shown[id(row)] = super().values(row)
        return self.shown[id(row)]

    def limit(self, one: LimitView) -> Markup:
        """The limits of a characteristic at the head of a grid."""
        return self._draw(("limit", one.id, one.where), "checklist_parts.html", "limit", one)

    def row(self, one: RowView) -> Markup:
        """A characteristic that a step's own words speak of, in full."""
        return self._draw(("row", one.id), "checklist_parts.html", "row_values", one)

    def words(self, said: Words) -> Markup:
        """A sentence; one without a value in it is only escaped."""
        if len(said) == 1 and said[0].value is None and not said[0].is_amount:
            return escape(said[0].text)
        return self._draw(said, "checklist_parts.html", "words", said)

    def safety(self, box: SafetyBox) -> Markup:
        """A safety box."""
        return self._draw(box, "reference_parts.html", "safety", box)

    def _draw(self, key: Hashable, template: str, macro: str, view: object) -> Markup:
        if key not in self.drawn:
            self.drawn[key] = _macro(template, macro)(view)
        return self.drawn[key]

"""What the page and the printed sheet of a checklist both say of it as a whole."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from markupsafe import Markup

from builder.checklist import Checklist
from builder.edition import stands_approved
from builder.judge.program import limit_rows
from builder.judge.verdict import RULE
from builder.model.procedure import Procedure
from builder.model.spec import StepsRow
from builder.render import words


@dataclass(frozen=True, slots=True)
class SizesView:
    """A size step that a job may have, with the listed sizes."""

    step: str
    title: str
    sizes: tuple[str, ...]


def unproved(checklist: Checklist) -> tuple[str, str]:
    """What stands against using a checklist as it is, and why; empty for one tried and approved."""
    procedure = checklist.procedure
    if procedure.verification == "unverified":
        return "UNVERIFIED.", "Nobody has tried these steps yet, not even at the table."
    if stands_approved(procedure):
        return "", ""
    if procedure.approved is not None:
        who, day = procedure.approved.by, procedure.approved.on
        return "NOT APPROVED.", f"{who} approved an earlier wording on {day}; it has changed since."
    tried = words.VERIFICATIONS.get(procedure.verification, str(procedure.verification))
    return "NOT APPROVED.", f"The wording is {tried}, and nobody has signed for it."


def approval(procedure: Procedure) -> str:
    """Who approved a procedure and when; an approval of other words than these says so."""
    if procedure.approved is None:
        return "not approved"
    signed = f"{procedure.approved.by}, {procedure.approved.on}"
    return signed if stands_approved(procedure) else f"{signed}, in an earlier wording"


def sizes(checklist: Checklist) -> Iterator[SizesView]:
    """The size steps that move any limit of the checklist, with what the family's lists offer."""
    moving = {str(step) for row in limit_rows(checklist).values() for step in row.moves_with}
    for row in checklist.engine.specs.values():
        stated = (row.supplier or row.new or row.shop) if isinstance(row, StepsRow) else None
        if isinstance(row, StepsRow) and stated is not None and row.step in moving:
            title = words.plain(str(row.step)).capitalize()
            yield SizesView(str(row.step), title, tuple(str(one.text) for one in stated.every()[0].value))


def css_text(text: str) -> Markup:
    """A text as a CSS string that can end neither the string nor the style element."""
    safe = "".join(sign if sign.isalnum() or sign in " .,-()" else f"\\{ord(sign):x} " for sign in text)
    return Markup('"{}"').format(Markup(safe))  # noqa: S704 - every sign but letters and digits is escaped


def decision_rule() -> str:
    """The rule by which values are decided, in words."""
    return f"Decided by {RULE.replace('`', '')}."

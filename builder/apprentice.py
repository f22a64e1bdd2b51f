"""What an apprentice may do: each step alone, beside a builder, or not at all until he has learned it.

It follows from what the step says: whether it cannot be undone, who signs at it, what can hurt, what is read.
`apprentice:` on a step says otherwise. `job check` holds the same line: his readings, and his marks on steps
that cannot be undone, want a builder's beside them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from builder.manual import Manual
from builder.model.hazard import Message
from builder.model.procedure import Step

DEADLY = "death"
GRAVE = "serious"


class Standing(StrEnum):
    """How an apprentice stands to a step, the freest first."""

    ALONE = "alone"
    BESIDE = "beside"
    WATCHES = "watches"


class Cause(StrEnum):
    """Why he does not do a step alone."""

    SHOP = "shop"
    IRREVERSIBLE = "irreversible"
    HOLD = "hold"
    READING = "reading"
    DANGER = "danger"
    WARNING = "warning"


@dataclass(frozen=True)
class Reason:
    """A cause, and what it is of: the hold or the hazard by id, else empty."""

    cause: Cause
    of: str = ""


@dataclass(frozen=True)
class Allowed:
    """How an apprentice stands to a step, and why; alone needs no reason."""

    standing: Standing
    reasons: tuple[Reason, ...] = ()


def allowed(manual: Manual, step: Step) -> Allowed:
    """How an apprentice stands to a step."""
    reasons = tuple(_reasons(manual, step))
    if step.apprentice is not None:
        return Allowed(Standing(str(step.apprentice)), (Reason(Cause.SHOP), *reasons))
    if any(reason.cause is Cause.DANGER for reason in reasons):
        return Allowed(Standing.WATCHES, reasons)
    return Allowed(Standing.BESIDE if reasons else Standing.ALONE, reasons)


def _reasons(manual: Manual, step: Step) -> Iterator[Reason]:
    for message in step.safety:
        severity = _severity(manual, message)
        if severity in (DEADLY, GRAVE):
            cause = Cause.DANGER if severity == DEADLY else Cause.WARNING
            yield Reason(cause, str(message.hazard_id or ""))
    if step.irreversible:
        yield Reason(Cause.IRREVERSIBLE)
    if step.hold is not None:
        yield Reason(Cause.HOLD, str(step.hold))
    if any(measure.against for measure in step.measure.values()):
        yield Reason(Cause.READING)


def _severity(manual: Manual, message: Message) -> str:
    """How bad what a message warns of may be; of a declared hazard as it is declared."""
    declared = manual.hazards.get(str(message.hazard_id)) if message.hazard_id is not None else None
    return str(declared.severity if declared is not None else message.severity or "")

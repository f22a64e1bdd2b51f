"""Who may sign a hold: the right role, not whoever did the work, and in a shop of one by its own rule."""

from __future__ import annotations

from collections.abc import Iterable

from builder.jobs.moments import later
from builder.jobs.worked import Worked, latest, roles_of
from builder.model.job import Job
from builder.model.record import Reading, Signature

APART = ("second", "foreman")
"""Roles that are signed by someone who is not the builder of that sheet."""

SECOND = "second"
BUILDER = "builder"

Scope = tuple[Worked, int]
"""A sheet, and the number of the step up to which a hold looks at it."""


def refusal(job: Job, signed: Signature, scopes: Iterable[Scope]) -> str:
    """Why a signature does not count, as the rest of a sentence after the name; empty when it counts."""
    by, role, roles = str(signed.by), str(signed.role), roles_of(job, str(signed.by))
    if not roles:
        return "who is nobody on this job"
    own = [scope for scope in scopes if by in scope[0].doers]
    if role in APART and own:
        return _own_work(job, signed, roles, own)
    return "" if role in roles else f"who does not sign as {role} on this job"


def _own_work(job: Job, signed: Signature, roles: tuple[str, ...], own: list[Scope]) -> str:
    role = str(signed.role)
    if not job.shop_of_one:
        return f"who did the work: the {role} must be someone else"
    if role != SECOND:
        return "" if role in roles else f"who does not sign as {role} on this job"
    if all(is_read_again(worked, number, str(signed.when)) for worked, number in own):
        return ""
    return "who did the work, and has not taken a second set of readings after the first one"


def is_self(job: Job, signed: Signature, scopes: Iterable[Scope]) -> bool:
    """Whether a second's signature is that of the builder himself, as a shop of one may do."""
    return (
        job.shop_of_one
        and signed.role == SECOND
        and any(str(signed.by) in worked.doers for worked, _ in scopes)
    )


def is_read_again(worked: Worked, number: int, before: str) -> bool:
    """Whether every reading up to a step was taken a second time, after the first set and before a moment."""
    places: dict[object, list[Reading]] = {}
    for reading in worked.readings_up_to(number):
        key = (reading.step, reading.name, tuple(reading.at.values()), reading.stage)
        places.setdefault(key, []).append(reading)
    ordered = [sorted(readings, key=lambda one: one.try_) for readings in places.values()]
    first_set = latest(str(readings[0].when) for readings in ordered)
    return all(
        len(readings) > 1
        and later(str(readings[-1].when), first_set)
        and not later(str(readings[-1].when), before)
        for readings in ordered
    )

"""Holds: who signs, what for, and that nothing irreversible is done without one."""

from __future__ import annotations

from collections.abc import Iterator

from builder.checklist import fits
from builder.diagnostics import Severity
from builder.manual import Manual
from builder.model.base import Text
from builder.model.engine import Engine
from builder.model.procedure import ROLES, Procedure, Step
from builder.rules.catalogue import Finding, rule
from builder.rules.references import known_procedure, lost, named
from builder.rules.wording import listed, nearest

_TABLE = "procedures/holds.yaml"


def signed_on(manual: Manual, engine: Engine, name: str) -> bool:
    """Whether a family has a hold; one that is not known counts, it is reported already."""
    hold = manual.holds.get(name)
    return hold is None or fits(engine, hold.when, hold.unless)


@rule("GL-501")
def role_not_known(manual: Manual) -> Iterator[Finding]:
    """A hold is signed by somebody who is none of the roles.

    Why: Nobody has that role on a job, so the hold can never be released. An apprentice signs none.

    Instead: Write `builder`, `second`, `foreman` or `customer`.
    """
    for hold in manual.holds.values():
        for role in hold.by:
            if role not in ROLES:
                hint = nearest(role, ROLES, f"write {listed(ROLES)}")
                yield Finding(role.span, f"`{role}` is not a role that signs", hint)


@rule("GL-502")
def hold_signed_by_nobody(manual: Manual) -> Iterator[Finding]:
    """A hold names no role that signs it.

    Why: A stop that nobody releases is either ignored or never ends.

    Instead: Write `by:` with the roles: `by: [builder, second]`.
    """
    for name, hold in named(manual.holds):
        if not hold.by:
            yield Finding(name.span, f"`{name}` is signed by nobody", "write `by:` with the roles that sign")


@rule("GL-503", Severity.WARNING)
def role_signs_twice(manual: Manual) -> Iterator[Finding]:
    """A hold names the same role twice.

    Why: Two signatures of one person are one.

    Instead: Write each role once; a second look is the role `second`.
    """
    for hold in manual.holds.values():
        for at, role in enumerate(hold.by):
            if role in hold.by[:at]:
                yield Finding(role.span, f"`{role}` signs twice", "write each role once")


def _unguarded(manual: Manual, procedure: Procedure, engine: Engine) -> Iterator[Step]:
    """The irreversible steps of a procedure before which, on a family, nobody has signed anything."""
    if _guarded_from_outside(manual, procedure, engine):
        return
    for step in procedure.steps:
        if not fits(engine, step.when, step.unless):
            continue
        if step.hold is not None and signed_on(manual, engine, step.hold):
            return
        if step.irreversible:
            yield step


def _guarded_from_outside(manual: Manual, procedure: Procedure, engine: Engine) -> bool:
    needed = [need.removeprefix("hold ") for need in procedure.needs if need.startswith("hold ")]
    before = [name for name, hold in manual.holds.items() if procedure.procedure in hold.before]
    return any(signed_on(manual, engine, name) for name in (*needed, *before))


@rule("GL-504")
def irreversible_without_hold(manual: Manual) -> Iterator[Finding]:
    """A step that cannot be undone has no hold at it or before it.

    Why: Nobody is made to look before the metal is gone.

    Instead: Write `hold:` at the step or at one before it, or `hold …` among the procedure's needs.
    """
    for procedure in manual.procedures.values():
        if lost(manual, procedure.procedure.span.path, "steps", "needs") or lost(manual, _TABLE, "holds"):
            continue
        found = {
            str(step.id): step
            for engine in manual.families_of(procedure)
            for step in _unguarded(manual, procedure, engine)
        }
        for step in found.values():
            hint = "write `hold:` here or at a step before, or a hold among the needs"
            yield Finding(step.id.span, f"`{step.id}` cannot be undone and no hold comes before it", hint)


def _only_builder(manual: Manual, procedure: Procedure, engine: Engine) -> Iterator[Step]:
    """The irreversible steps before which, on a family, the builder alone has signed."""
    needed = [need.removeprefix("hold ") for need in procedure.needs if need.startswith("hold ")]
    signed = [
        name for name, hold in manual.holds.items() if procedure.procedure in hold.before or name in needed
    ]
    for step in procedure.steps:
        if fits(engine, step.when, step.unless):
            signed += [str(step.hold)] if step.hold is not None else []
            roles = {
                str(role)
                for name in signed
                if signed_on(manual, engine, name)
                for role in _roles(manual, name)
            }
            if step.irreversible and roles == {"builder"}:
                yield step


def _roles(manual: Manual, name: str) -> tuple[Text, ...]:
    hold = manual.holds.get(name)
    return hold.by if hold is not None else (Text("second"),)


@rule("GL-508", Severity.WARNING)
def irreversible_on_ones_own_word(manual: Manual) -> Iterator[Finding]:
    """Before a step that cannot be undone only the builder has signed.

    Why: Whoever set the tool reads what he meant to set. A second pair of eyes costs a minute and saves a
    block.

    Instead: Let the second person or the foreman sign the hold as well.
    """
    for procedure in manual.procedures.values():
        if lost(manual, procedure.procedure.span.path, "steps", "needs") or lost(manual, _TABLE, "holds"):
            continue
        found = {
            str(step.id): step
            for engine in manual.families_of(procedure)
            for step in _only_builder(manual, procedure, engine)
        }
        for step in found.values():
            message = f"before `{step.id}`, which cannot be undone, only the builder signs"
            yield Finding(step.id.span, message, "let `second` or `foreman` sign the hold as well")


@rule("GL-509", Severity.WARNING)
def hold_signed_by_the_customer_alone(manual: Manual) -> Iterator[Finding]:
    """Only the customer signs a hold.

    Why: A customer agrees to money and scope; he has not read the gauge.

    Instead: Let somebody of the shop sign as well: `by: [foreman, customer]`.
    """
    for name, hold in named(manual.holds):
        if set(hold.by) == {"customer"}:
            yield Finding(
                name.span, f"`{name}` is signed by nobody of the shop", "write `by: [foreman, customer]`"
            )


@rule("GL-505")
def hold_covers_what(manual: Manual) -> Iterator[Finding]:
    """A hold covers, or stands before, a procedure that does not exist.

    Why: A changed reading re-opens the holds that cover it; this one would stay signed.

    Instead: Write the id of a procedure, written or planned.
    """
    for hold in manual.holds.values():
        for name in (*hold.covers, *hold.before):
            if not known_procedure(manual, name):
                known = [*manual.procedures, *manual.planned]
                hint = nearest(name, known, "write the id of a procedure, written or planned")
                yield Finding(name.span, f"`{name}` is not a procedure", hint)


@rule("GL-506", Severity.WARNING)
def hold_never_signed(manual: Manual) -> Iterator[Finding]:
    """No step stops at a hold, no procedure needs it, and it stands before none.

    A hold that covers a procedure which is only planned waits for that procedure.

    Why: It is on no sheet, so what it should make sure of is never looked at.

    Instead: Write `hold:` at the step where work stops, or take the hold out.
    """
    if any(name.startswith("procedures/") for name in manual.left_out):
        return
    used = set(_used(manual))
    for name, hold in named(manual.holds):
        unwritten = any(covered in manual.planned for covered in hold.covers)
        if str(name) not in used and not hold.before and not unwritten:
            yield Finding(
                name.span, f"`{name}` is signed at no step", "write `hold:` at the step where work stops"
            )


def _used(manual: Manual) -> Iterator[str]:
    for procedure in manual.procedures.values():
        yield from (str(step.hold) for step in procedure.steps if step.hold is not None)
    for one in manual.route:
        yield from (need.removeprefix("hold ") for need in one.needs if need.startswith("hold "))


@rule("GL-507")
def hold_not_on_this_family(manual: Manual) -> Iterator[Finding]:
    """A step stops at a hold that none of the families it serves has.

    Why: The stop is printed on no sheet, though the step asks for it.

    Instead: Look at `when:` and `unless:` of the hold, or take the hold off the step.
    """
    for procedure in manual.procedures.values():
        families = manual.families_of(procedure)
        for step in procedure.steps if families else ():
            name = step.hold
            there = [engine for engine in families if fits(engine, step.when, step.unless)]
            if name is not None and there and not any(signed_on(manual, engine, name) for engine in there):
                yield Finding(
                    name.span, f"`{name}` is a hold on no family of this step", "look at `when` of the hold"
                )


@rule("GL-510")
def apprentice_alone_at_a_gate(manual: Manual) -> Iterator[Finding]:
    """A step that cannot be undone, or that stops at a hold, is left to an apprentice alone.

    Why: His mark there does not count until a builder's stands beside it, so the job could never be released.

    Instead: Write `apprentice: beside`, or leave the key out: it then follows from the step.
    """
    for procedure in manual.procedures.values():
        for step in procedure.steps:
            if step.apprentice == "alone" and (step.irreversible or step.hold is not None):
                why = "cannot be undone" if step.irreversible else "stops at a hold"
                message = f"`{step.id}` {why} and is left to an apprentice alone"
                yield Finding(step.apprentice.span, message, "write `apprentice: beside`")

"""Holds: signed by the right people, before what they guard, after what they look at, and still closed.

A hold that covers no procedure is one of a sheet: each sheet that has it as a step is signed by itself. The
others are signed once for the job, on whatever sheet.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from builder.jobs.checks.signers import Scope, is_self, refusal
from builder.jobs.kinds import Finding, Kind, Subject, counted
from builder.jobs.moments import later, moment, shown
from builder.jobs.whole import Whole, hold_words
from builder.jobs.worked import Worked, after, latest
from builder.model.procedure import Hold
from builder.model.record import Signature

END = 10**6
"""The number of a step behind all steps: the whole sheet is looked at."""


@dataclass(frozen=True)
class Beyond:
    """Work that lies behind a hold: the sheet, what was done in words, and when it was begun."""

    worked: Worked
    what: str
    when: str


@dataclass(frozen=True, eq=False)
class HoldCheck:
    """One hold of a job, or of one of its sheets, with its signatures."""

    whole: Whole
    name: str
    hold: Hold
    own: Worked | None = None
    """The sheet, where each sheet has this hold of its own."""

    @property
    def words(self) -> str:
        """The hold in words."""
        return hold_words(self.name, self.hold)

    @cached_property
    def places(self) -> tuple[Worked, ...]:
        """The sheets that have it as a step."""
        if self.own is not None:
            return (self.own,)
        return tuple(one for one in self.whole.final.values() if self.name in one.plan.holds)

    @cached_property
    def scopes(self) -> tuple[Scope, ...]:
        """The sheets that it looks at, each up to the step where it stands."""
        if self.own is not None:
            return ((self.own, self.own.plan.holds[self.name]),)
        covered = (self.whole.final.get(str(name)) for name in self.hold.covers)
        return tuple((one, one.plan.holds.get(self.name, END)) for one in covered if one is not None)

    def signed(self, role: str) -> list[tuple[Worked, Signature]]:
        """The signatures in a role, whether they count or not."""
        found = self.whole.signatures(self.name, role)
        return [one for one in found if self.own is None or one[0] is self.own]

    @cached_property
    def good(self) -> dict[str, list[Signature]]:
        """The signatures that count, by role, in the order of their times."""
        return {str(role): self._good(str(role)) for role in self.hold.by}

    def _good(self, role: str) -> list[Signature]:
        found = [one for _, one in self.signed(role) if not refusal(self.whole.job, one, self.scopes)]
        return sorted(found, key=lambda one: moment(str(one.when)))

    @property
    def is_signed(self) -> bool:
        """Whether every role has a signature that counts."""
        return all(self.good.values())

    @cached_property
    def complete_since(self) -> str:
        """When the last of the roles signed first."""
        return latest(str(found[0].when) for found in self.good.values() if found)

    @cached_property
    def beyond(self) -> tuple[Beyond, ...]:
        """The work behind it that was done."""
        steps = (
            Beyond(worked, f"step {step.number} is marked done", worked.ticked(step))
            for worked in self.places
            for step in worked.steps
            if step.number > worked.plan.holds[self.name] and worked.ticked(step)
        )
        if self.own is not None:
            return tuple(steps)
        guards = (Beyond(worked, _begun(worked), worked.begun) for worked in self.whole.guarded(self.name))
        return (*guards, *steps)

    # Findings

    @cached_property
    def findings(self) -> tuple[Finding, ...]:
        """What is wrong with it: one finding for one cause."""
        if not self.is_signed:
            return tuple(self._wrong() or self._open())
        return tuple(self._afterwards()) or tuple(self._changed())

    def _wrong(self) -> list[Finding]:
        """Signatures that are none, in the roles that have no other."""
        for role, found in self.good.items():
            if not found and self.signed(role):
                worked, signed = self.signed(role)[-1]
                why = refusal(self.whole.job, signed, self.scopes)
                what = f"{self.words} is signed by {signed.by} as {role}, {why}. It is no signature"
                cure = f"Someone who may sign looks at this and signs: {self.hold.check.text}"
                return [self._finding(Kind.WRONG_PERSON, worked, what, cure)]
        return []

    def _open(self) -> Iterator[Finding]:
        """No signature, and work went on."""
        if self.beyond:
            first = self.beyond[0]
            roles = " and the ".join(role for role, found in self.good.items() if not found)
            what = f"{self.words} is not signed by the {roles}, and {first.what} all the same"
            yield self._finding(Kind.PASSED_HOLD, first.worked, what, self._way_back(first.worked))

    def _afterwards(self) -> Iterator[Finding]:
        """Signed, and work had been begun before."""
        early = [one for one in self.beyond if later(self.complete_since, one.when)]
        if early:
            first = early[0]
            since = shown(self.complete_since)
            what = f"{self.words} is signed on {since}, after the work it guards was done: {first.what}"
            yield self._finding(Kind.PASSED_HOLD, first.worked, what, self._way_back(first.worked))

    def _way_back(self, worked: Worked) -> str:
        """How to get back to where the hold can be signed."""
        step = worked.plan.holds.get(self.name)
        back = f"back to step {step}" if step else f"of {worked.plan.code} until it can be seen again"
        return f"Stop. Undo the work {back}, have this looked at and signed, and do it again: {self._check}"

    @property
    def _check(self) -> str:
        return str(self.hold.check.text)

    def _changed(self) -> Iterator[Finding]:
        """Readings that it looks at and that are younger than its signatures."""
        for worked, number in self.scopes if self.own is None else ():
            if later(worked.last_change_up_to(number), self.complete_until) and not self._waits(worked):
                changes = worked.changes_up_to(number)
                younger = after(changes, self.complete_until)
                yield self._late(worked, self.complete_until, len(younger), len(changes))

    def _waits(self, worked: Worked) -> bool:
        """Whether the sheet's own signature is still to come and nothing was done past it."""
        has_own = self.name in worked.plan.holds
        signed = any(worked.signatures(self.name, str(role)) for role in self.hold.by)
        return has_own and not signed and not self.beyond

    def _late(self, worked: Worked, since: str, younger: int, every: int) -> Finding:
        if younger == every:
            what = f"{self.words} was signed on {shown(since)}, before {worked.plan.code} was read"
            return self._finding(Kind.EARLY_HOLD, worked, what, f"Look now, and sign: {self._check}")
        changed = f"{counted(younger, 'reading')} of {worked.plan.code} changed after {shown(since)}"
        what = f"{self.words} is open again: {changed}"
        return self._finding(Kind.REOPENED_HOLD, worked, what, f"Look at them, and sign again: {self._check}")

    def _finding(self, kind: Kind, worked: Worked, what: str, cure: str) -> Finding:
        steps = {str(step.step.hold): str(step.step.id) for step in worked.steps if step.hold is not None}
        subject = Subject(worked.plan.name, hold=self.name)
        return Finding(kind, worked.where(steps.get(self.name, "")), what, cure, (subject,))

    # What else is told

    @property
    def waits(self) -> bool:
        """Whether it is still to be signed and nothing is wrong with it."""
        if self.findings:
            return False
        return not self.is_signed or any(
            later(worked.last_change_up_to(number), self.complete_until) and self._waits(worked)
            for worked, number in (self.scopes if self.own is None else ())
        )

    @cached_property
    def complete_until(self) -> str:
        """When the first of the roles signed last."""
        return min((latest(str(one.when) for one in found) for found in self.good.values()), key=moment)

    @property
    def remarks(self) -> Iterator[str]:
        """Signatures of a builder on his own work, told as what they are."""
        for found in self.good.values():
            for one in found[-1:]:
                if is_self(self.whole.job, one, self.scopes):
                    read = any(worked.readings_up_to(number) for worked, number in self.scopes)
                    how = "self, re-measured" if read else "self"
                    yield f"{self.words}: {how} by {one.by} on {shown(str(one.when))}"


def _begun(worked: Worked) -> str:
    """That a sheet is begun, and how far."""
    marked = f", {counted(len(worked.ticks), 'step')} marked," if worked.ticks else ""
    return f"{worked.plan.code} is begun{marked}"


def hold_checks(whole: Whole) -> Iterator[HoldCheck]:
    """Every hold of a job: of those that each sheet has of its own, one for each sheet."""
    for name, hold in whole.holds.items():
        sheets = [one for one in whole.final.values() if name in one.plan.holds]
        if hold.covers or not sheets:
            yield HoldCheck(whole, name, hold)
        else:
            yield from (HoldCheck(whole, name, hold, one) for one in sheets)


def waiting_holds(whole: Whole, checks: tuple[HoldCheck, ...]) -> list[str]:
    """The holds of the route before the release that are still to be signed, by code."""
    expected = {hold for plan in whole.route for hold in (*plan.holds, *plan.needs_holds)}
    expected |= {name for name, hold in whole.holds.items() if _stands_before(whole, hold)}
    codes = [
        str(one.hold.code)
        for one in checks
        if one.name in expected and one.name != whole.release and one.waits and _is_due_here(whole, one)
    ]
    return sorted(set(codes))


def _stands_before(whole: Whole, hold: Hold) -> bool:
    route = {plan.name for plan in whole.route}
    return any(str(name) in route for name in hold.before)


def _is_due_here(whole: Whole, one: HoldCheck) -> bool:
    """A hold that each sheet has of its own is not awaited here for sheets that are not filed."""
    if one.own is not None or one.hold.covers:
        return True
    return not any(one.name in plan.holds for plan in whole.route)

"""Safety messages: complete, in the right words, before the step that needs them, and not on every step."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from builder.diagnostics import Severity
from builder.manual import Manual
from builder.model.base import Text
from builder.model.hazard import HARMS, SEVERITIES, Hazard, Message
from builder.model.procedure import Procedure, Step
from builder.rules.catalogue import Finding, rule
from builder.rules.references import lost
from builder.rules.wording import listed, nearest

_PARTS = ("hazard", "consequence", "avoid")
_MOST = 3  # messages stand before at most one step in three
_FEW = 6  # in a short procedure the share says nothing
_DEFERS = re.compile(
    r"\b(local|licen[cs]ed?|licen[cs]es?|trained|training|codes?|rules?|law|laws|regulations?|competent|qualified)\b",
    re.IGNORECASE,
)
# What a hazard of this id is implied by, where its own `words` say nothing. Common practice, no source.
_IMPLIED: Mapping[str, tuple[str, ...]] = {
    "lifting": ("hoist", "crane", "sling", "lift the engine", "lift the block"),
    "springs": ("compress the spring", "spring compressor"),
    "lead": ("white metal", "dross", "scrape the bearing"),
    "molten_metal": ("pour", "melt", "ladle"),
    "caustic": ("caustic", "hot tank"),
    "asbestos": ("old gasket",),
    "chrome": ("chrome", "chromed"),
    "fuel_fire": ("fuel line", "prime the carburettor"),
    "rotating": ("start the engine", "running engine", "in the lathe"),
}


def _messages(manual: Manual) -> Iterator[tuple[Step, Message]]:
    """Every message that is written in place."""
    for procedure in manual.procedures.values():
        for step in procedure.steps:
            yield from ((step, message) for message in step.safety if message.hazard_id is None)


@rule("GL-601")
def message_not_complete(manual: Manual) -> Iterator[Finding]:
    """A safety message does not say what the danger is, what it does, and how to keep clear of it.

    Why: A message that only says "careful" is read once and never again.

    Instead: Write `hazard:`, `consequence:` and `avoid:`, with `harm:` and `severity:`; or the id of a
    declared hazard, which has them all.
    """
    for step, message in _messages(manual):
        missing = [part for part in ("harm", "severity", *_PARTS) if getattr(message, part) is None]
        if missing:
            message_at = _first(message) or step.id
            words = f"the message before `{step.id}` does not state {listed(missing)}"
            yield Finding(message_at.span, words, "write it, or name a declared hazard")


def _first(message: Message) -> Text | None:
    """The first thing that a message says, to point at."""
    said = (getattr(message, part) for part in ("harm", "severity", *_PARTS, "as_printed"))
    return min(
        (one for one in said if one is not None),
        key=lambda one: (one.span.line, one.span.column),
        default=None,
    )


def _rated(manual: Manual) -> Iterator[Hazard | Message]:
    yield from manual.hazards.values()
    yield from (message for _, message in _messages(manual))


@rule("GL-602")
def harm_not_known(manual: Manual) -> Iterator[Finding]:
    """A message's harm is neither `person` nor `equipment`.

    Why: The signal word follows from it, and an old book's own word means something else than today's.

    Instead: Write `harm: person` where someone is hurt, `harm: equipment` where only a part is.
    """
    for one in _rated(manual):
        if one.harm is not None and one.harm not in HARMS:
            hint = nearest(one.harm, HARMS, f"write {listed(HARMS)}")
            yield Finding(one.harm.span, f"`{one.harm}` is neither person nor equipment", hint)


@rule("GL-603")
def severity_unlike_harm(manual: Manual) -> Iterator[Finding]:
    """A message's severity does not belong to its harm.

    Why: Danger, warning and caution are for people. A reader who finds them before a scratched journal learns
    to pass them over.

    Instead: Write `death`, `serious`, `moderate` or `minor` for a person, `damage` for equipment.
    """
    for one in _rated(manual):
        known = SEVERITIES.get(one.harm or "")
        if one.severity is not None and known is not None and one.severity not in known:
            whom = "a person" if one.harm == "person" else "equipment"
            message = f"`{one.severity}` is no severity of harm to {whom}"
            yield Finding(one.severity.span, message, nearest(one.severity, known, f"write {listed(known)}"))


@rule("GL-604", Severity.WARNING)
def deferral_to_nobody(manual: Manual) -> Iterator[Finding]:
    """A hazard does not defer to local codes or to licensed or trained practice.

    Why: A checklist is no safety authority. What the law asks for where the shop stands comes first.

    Instead: Write in `defer:` whose rules come first and who does the work where they ask for a licence.
    """
    for hazard in manual.hazards.values():
        if not _DEFERS.search(hazard.defer):
            hint = "name the local rules, or who is licensed or trained for it"
            yield Finding(hazard.defer.span, "this defers to no local rule and to nobody trained", hint)


def _words(manual: Manual) -> Iterator[tuple[str, tuple[str, ...], re.Pattern[str]]]:
    """The words of each hazard in small letters, and the pattern that finds them whole."""
    for name, hazard in manual.hazards.items():
        words = tuple(word.lower() for word in hazard.words) or _IMPLIED.get(str(name), ())
        if words:
            yield str(name), words, re.compile(rf"\b(?:{'|'.join(map(re.escape, words))})\b", re.IGNORECASE)


@rule("GL-605", Severity.WARNING)
def hazard_not_declared(manual: Manual) -> Iterator[Finding]:
    """A step speaks of something dangerous, and neither it nor its procedure names the hazard.

    Why: The message stands before the step only where the hazard is named.

    Instead: Write the hazard's id under `safety:` of the step or `hazards:` of the procedure. If the word
    means something else here, choose another.
    """
    patterns = tuple(_words(manual))
    for procedure in manual.procedures.values():
        if lost(manual, procedure.procedure.span.path, "hazards"):
            continue
        for step in procedure.steps:
            declared = _declared(procedure, step)
            for text in (step.do.text, *(one.do.text for one in step.if_out)):
                yield from _implied(text, declared, patterns)


def _implied(
    text: Text, declared: set[str], patterns: tuple[tuple[str, tuple[str, ...], re.Pattern[str]], ...]
) -> Iterator[Finding]:
    """The hazards that a sentence implies and nobody names."""
    lowered = text.lower()
    for name, words, pattern in patterns:
        implied = name not in declared and any(word in lowered for word in words)
        found = pattern.search(text) if implied else None
        if found:
            message = f"`{found.group()}` implies the hazard `{name}`, which is not named"
            hint = f"write `{name}` under `safety:` of the step or `hazards:` of the procedure"
            yield Finding(text.part(*found.span()), message, hint)


def _declared(procedure: Procedure, step: Step) -> set[str]:
    named = {str(message.hazard_id) for message in step.safety if message.hazard_id is not None}
    return named | set(map(str, procedure.hazards))


@rule("GL-606", Severity.WARNING)
def messages_on_too_many_steps(manual: Manual) -> Iterator[Finding]:
    """Safety messages stand before more than a third of the steps of a procedure.

    Why: Where everything is a warning, nothing is.

    Instead: Name under `hazards:` what holds for the whole procedure, and keep `safety:` for the steps where
    something new begins.
    """
    for procedure in manual.procedures.values():
        warned = sum(bool(step.safety) for step in procedure.steps)
        if len(procedure.steps) >= _FEW and warned * _MOST > len(procedure.steps):
            message = f"{warned} of {len(procedure.steps)} steps have a safety message"
            yield Finding(procedure.procedure.span, message, "name what holds throughout under `hazards:`")


@rule("GL-607")
def message_repeats_a_hazard(manual: Manual) -> Iterator[Finding]:
    """A safety message names a declared hazard and also says something of its own.

    Why: One of the two is printed and the other is lost.

    Instead: Name the hazard alone, or write the whole message.
    """
    for procedure in manual.procedures.values():
        for step in procedure.steps:
            for message in step.safety:
                own = _first(message)
                if message.hazard_id is not None and own is not None:
                    words = f"`{message.hazard_id}` is declared and yet worded here"
                    yield Finding(own.span, words, "name the hazard alone, or write the whole message")

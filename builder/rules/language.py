"""The words of procedures: a command begins with its verb, sentences are short, nothing is vague."""

from __future__ import annotations

import re
from collections.abc import Iterator

from builder.diagnostics import Severity
from builder.manual import Manual
from builder.model.base import Sentence, Text
from builder.model.procedure import Step
from builder.model.spec import SeenRow
from builder.rules.catalogue import Finding, rule
from builder.rules.mentions import sentences
from builder.rules.table import rows
from builder.rules.verbs import BEFORE_VERB, OPENINGS, VERBS

LONGEST_SENTENCE = 20
"""Words of a sentence of a procedure: ASD-STE100 rule 5.1, from memory."""
LONGEST_TITLE = 120

_WORD = re.compile(r"[^\W\d_]+(?:['’-][^\W\d_]+)*")
_SENTENCE_END = re.compile(r"(?<=[.!?:;])\s+(?=\S)")
_BRACKETS = re.compile(r"\([^()]*\)")
_BRACES = re.compile(r"\{[^{}]*\}")
# A number with its unit counts as one word, and so do a hyphenated word and a name in braces.
_NUMBER = re.compile(
    r"[±+-]?\d[\d./½¼¾⅛⅜⅝⅞]*(?:\s*(?:to|±|×|x)\s*[±+-]?\d[\d./]*)*"
    r"(?:\s*(?:cu in|sq in|in|mm|thou|tenths?|lb-ft|lb-in|lbf|lb|N·m|psi|kPa|bar|°F|°C|degF|degC|deg|°|rpm"
    r"|min|s|h|cc|L|oz|g|kg|%))?\b"
)
_VAGUE = re.compile(
    r"\b(as (?:required|necessary|needed|appropriate)|if (?:required|necessary|needed)"
    r"|sufficient(?:ly)?|adequate(?:ly)?"
    r"|proper(?:ly)?|correctly|appropriate(?:ly)?|approximately|approx|reasonable|reasonably|satisfactor(?:y|ily)"
    r"|carefully|with care|snug(?:ly)?|good and tight|nice and \w+|etc|and so on|suitabl[ey])\b",
    re.IGNORECASE,
)
# What every vague word holds: looking for these first is quicker than the pattern by far.
_VAGUE_PARTS = (
    "require", "necessary", "need", "sufficient", "adequate", "proper", "correctly", "appropriate", "approx",
    "reasonabl", "satisfactor", "careful", "with care", "snug", "good and", "nice and", "etc", "so on",
    "suitabl",
)  # fmt: skip
_NO_RESULT = re.compile(
    r"\W*(?:(?:is|are|all|it is|it|everything|looks?|done|and|in) )*"
    r"(?:ok|okay|o\.k\.|good|fine|satisfactory|checked|done|correct|acceptable|right|in order"
    r"|as (?:expected|specified))\W*",
    re.IGNORECASE,
)
_LIMIT = re.compile(
    r"\d\s*(?:in|mm|thou|tenths?|lb-ft|lb-in|N·m|lbf|psi|kPa|bar|°F|°C|degF|degC|rpm|microinch)\b",
    re.IGNORECASE,
)


def _steps(manual: Manual) -> Iterator[Step]:
    for procedure in manual.procedures.values():
        yield from procedure.steps


def _commands(manual: Manual) -> Iterator[Text]:
    """Every sentence that tells a builder to do something."""
    for step in _steps(manual):
        yield step.do.text
        yield from (if_out.do.text for if_out in step.if_out)


def _said(manual: Manual) -> Iterator[Sentence]:
    """Every sentence of every procedure and hold."""
    for step in _steps(manual):
        yield from (one for one, _ in sentences(step))
    yield from (hold.check for hold in manual.holds.values())


def _verb(text: str) -> re.Match[str] | None:
    """The word where the verb of a command should stand: the first, or the first after an opening's comma."""
    first = _WORD.search(text)
    if first is not None and first.group().lower() in OPENINGS and "," in text:
        first = _WORD.search(text, text.index(",") + 1)
    while first is not None and first.group().lower() in BEFORE_VERB:
        first = _WORD.search(text, first.end())
    return first


@rule("GL-701", Severity.WARNING)
def step_not_begun_with_a_verb(manual: Manual) -> Iterator[Finding]:
    """A step does not begin with what is to be done.

    Why: Whoever works from the sheet reads the first word with a spanner in his hand.

    Instead: Begin with the verb: `Fit each cap by its mark.` A condition may stand before it, with a comma:
    `If the gap is too small, file the ring.`
    """
    for text in _commands(manual):
        verb = _verb(text)
        if verb is None or verb.group().lower() not in VERBS:
            start, end = verb.span() if verb else (0, len(text))
            message = f"`{text[start:end]}` is not what is to be done"
            yield Finding(text.part(start, end), message, "begin with the verb, such as `Fit` or `Measure`")


@rule("GL-702", Severity.WARNING)
def sentence_too_long(manual: Manual) -> Iterator[Finding]:
    """A sentence has more than 20 words.

    Why: It is read at arm's length, in bits, between two turns of a spanner.

    Instead: Make two sentences of it. A number with its unit, a hyphenated word and a name in braces count as
    one word.
    """
    for sentence in _said(manual):
        text = sentence.text
        for start, end in _sentences(text):
            words = word_count(text[start:end]) if text.count(" ", start, end) >= LONGEST_SENTENCE else 0
            if words > LONGEST_SENTENCE:
                message = f"this sentence has {words} words"
                yield Finding(
                    text.part(start, end), message, f"write {LONGEST_SENTENCE} or fewer, or two sentences"
                )


def _sentences(text: str) -> Iterator[tuple[int, int]]:
    """Where each sentence of a text begins and ends; a colon ends one too."""
    start = 0
    for found in _SENTENCE_END.finditer(text):
        yield start, found.start()
        start = found.end()
    yield start, len(text)


def word_count(sentence: str) -> int:
    """The words of a sentence; what stands in round brackets is a sentence of its own."""
    plain = _NUMBER.sub(" one ", _BRACES.sub(" one ", _BRACKETS.sub(" ", sentence)))
    return len(_WORD.findall(plain))


@rule("GL-703")
def vague_word(manual: Manual) -> Iterator[Finding]:
    """A sentence uses a word that nobody can check: as required, properly, sufficient, approximately.

    Why: Each builder takes it differently, and nobody can say afterwards whether it was done.

    Instead: Write the value, the number of times, or what is seen when it is right.
    """
    for sentence in _said(manual):
        lowered = sentence.text.lower()
        found = _VAGUE.search(sentence.text) if any(part in lowered for part in _VAGUE_PARTS) else None
        if found:
            message = f"`{found.group()}` cannot be checked"
            yield Finding(
                sentence.text.part(*found.span()), message, "write a value, or what is seen when it is right"
            )


@rule("GL-704")
def result_says_nothing(manual: Manual) -> Iterator[Finding]:
    """What is expected is only "OK", "good" or "checked".

    Why: It cannot be seen or measured. A tick in that box says that somebody had a pen.

    Instead: Write what a person sees, hears, feels or measures when it is right.
    """
    for text in _expected(manual):
        if _NO_RESULT.fullmatch(text):
            yield Finding(
                text.span,
                f"`{text}` is nothing that can be seen or measured",
                "write what is seen when it is right",
            )


def _expected(manual: Manual) -> Iterator[Text]:
    for step in _steps(manual):
        if step.expect is not None:
            yield step.expect.text
        yield from (look.see.text for look in step.look.values())
    yield from (hold.check.text for hold in manual.holds.values())
    yield from (one.expect for _, _, one in rows(manual) if isinstance(one, SeenRow))


@rule("GL-705", Severity.WARNING)
def title_too_long(manual: Manual) -> Iterator[Finding]:
    """A title has more than 120 characters.

    Why: It fits neither the head of a sheet nor a line of the index.

    Instead: Write the thing and the act; the rest belongs into `purpose:`.
    """
    for title in _titles(manual):
        if len(title) > LONGEST_TITLE:
            message = f"this title has {len(title)} characters"
            yield Finding(title.span, message, f"write {LONGEST_TITLE} or fewer")


def _titles(manual: Manual) -> Iterator[Text]:
    yield from (one.title for _, _, one in rows(manual))
    yield from (one.title for one in manual.procedures.values())
    yield from (one.title for one in manual.planned.values())
    yield from (one.title for one in manual.hazards.values())


@rule("GL-706", Severity.WARNING)
def other_name_for_a_part(manual: Manual) -> Iterator[Finding]:
    """A sentence uses a name that the shop's glossary refuses.

    Why: Two names for one part look like two parts to whoever is new.

    Instead: Write the preferred name. The other one stays in the glossary, so that searching for it still
    works.
    """
    preferred = {str(word).lower(): str(name) for name, term in manual.terms.items() for word in term.refuse}
    if not preferred:
        return
    refused = re.compile(rf"\b(?:{'|'.join(map(re.escape, preferred))})s?\b", re.IGNORECASE)
    for sentence in _said(manual):
        found = refused.search(sentence.text)
        if found:
            word = found.group().lower()
            name = preferred.get(word) or preferred[word.removesuffix("s")]
            message = f"`{found.group()}` is called `{name}` here"
            yield Finding(sentence.text.part(*found.span()), message, f"write `{name}`")


@rule("GL-707")
def note_with_a_limit(manual: Manual) -> Iterator[Finding]:
    """A note of a row holds a limit.

    Why: A note is passed over, and no reading is ever judged by it.

    Instead: Write the value under its limit kind, or as a row of its own.
    """
    for _, _, one in rows(manual):
        found = _LIMIT.search(one.note) if one.note is not None else None
        if found and one.note is not None:
            hint = "write it under a limit kind, or as a row of its own"
            yield Finding(one.note.span, "a limit stands in a note", hint)


@rule("GL-708", Severity.WARNING)
def and_mixed_with_or(manual: Manual) -> Iterator[Finding]:
    """A condition mixes "and" with "or".

    Why: `If A and B or C` can be read in two ways, and each builder picks one.

    Instead: Make two sentences of it, or a list.
    """
    for text in _commands(manual):
        first = _WORD.search(text)
        if first is None or first.group().lower() not in {"if", "when", "where"} or "," not in text:
            continue
        condition = text[: text.index(",")].lower()
        if " and " in condition and " or " in condition:
            yield Finding(
                text.part(0, text.index(",")),
                "this condition mixes `and` with `or`",
                "make two sentences of it",
            )


_ACTS = re.compile(r"([A-Za-z]+)(?:, ([a-z]+))+,? and ([a-z]+)\b")


@rule("GL-709", Severity.WARNING)
def three_actions_in_one_step(manual: Manual) -> Iterator[Finding]:
    """A command lists three actions or more, such as `Remove, clean and inspect`.

    Why: One tick then stands for three acts, and nobody knows which one was left out.

    Instead: Make a step of each, or keep to the one action that proves the others.
    """
    for text in _commands(manual):
        verb = _verb(text)
        found = _ACTS.match(text, verb.start()) if verb else None
        acts = [one for one in _WORD.findall(found.group().lower()) if one != "and"] if found else []
        if found and all(one in VERBS for one in acts):
            message = f"`{found.group()}` is {len(acts)} actions in one step"
            yield Finding(text.part(*found.span()), message, "make a step of each")

"""The language of the demonstration's procedures in figures: how long, how begun, how vague, how many names.

Counted plainly here, word by word between blanks, and not by the functions of the rules. The limit of twenty
words is that of ASD-STE100 rule 5.1, from memory. Run with `-s` to see the figures.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from builder.manual import Manual, load
from builder.rules.verbs import VERBS

SHOP = Path(__file__).parents[2]
LONGEST = 20
TERMS = 200
AT_AN_END = re.compile(r"[.!?](?:\s+|$)")
VAGUE = re.compile(
    r"\b(as required|as necessary|if necessary|if needed|adequate|properly|proper|appropriate|suitable"
    r"|sufficient|roughly|approximately|reasonable|satisfactory|carefully|ensure|make sure|should|might"
    r"|normally|usually"
    r"|and so on|etc|a bit|slightly|firmly|gently)\b",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Figures:
    """The sentences to do something (`commands`), and everything else that a step says."""

    commands: tuple[str, ...]
    others: tuple[str, ...]

    @property
    def sentences(self) -> list[str]:
        """Every sentence of every step, a colon or a semicolon ending none."""
        return [each for text in (*self.commands, *self.others) for each in sentences(text)]


@pytest.fixture(scope="module")
def manual() -> Manual:
    """The manual of the demonstration shop."""
    return load(SHOP)[0]


@pytest.fixture(scope="module")
def figures(manual: Manual) -> Figures:
    """What its steps say."""
    steps = [step for procedure in manual.procedures.values() for step in procedure.steps]
    commands = [str(step.do.text) for step in steps]
    commands += (str(rule.do.text) for step in steps for rule in step.if_out)
    others = [
        str(one.text) for step in steps for one in (step.why, step.expect, step.mistake) if one is not None
    ]
    others += (str(look.see.text) for step in steps for look in step.look.values())
    return Figures(tuple(commands), tuple(others))


def sentences(text: str) -> Iterator[str]:
    """The sentences of a text."""
    yield from (part.strip() for part in AT_AN_END.split(text) if part.strip())


def words(sentence: str) -> int:
    """How many words stand between blanks; a name in braces is one."""
    return len(re.sub(r"\{[^}]*\}", "x", sentence).split())


def first_word(text: str) -> str:
    """The first word, or the one after the comma of `If the gap is small, file …`."""
    found = re.match(
        r"(?:(?:If|When|Where|After|Before|With|On|At|For|Below|Above|From|In)\b[^,.]*,\s*)?(?:then )?(\w+)",
        text,
    )
    return found[1].lower() if found else ""


def test_no_sentence_is_longer_than_twenty_words(figures: Figures) -> None:
    """Longest and mean, printed."""
    counts = [words(each) for each in figures.sentences]
    print(  # noqa: T201 - the figures are what this test is for
        f"\n{len(counts)} sentences, {sum(counts) / len(counts):.1f} words on average, longest {max(counts)}"
    )

    assert [each for each in figures.sentences if words(each) > LONGEST] == []


def test_every_command_begins_with_its_verb(figures: Figures) -> None:
    """Steps and corrections in the imperative, printed."""
    others = [text for text in figures.commands if first_word(text) not in VERBS]
    print(  # noqa: T201
        f"\n{len(figures.commands)} commands, {len(figures.commands) - len(others)} begin with their verb"
    )

    assert others == []


def test_no_word_is_vague(figures: Figures) -> None:
    """A longer list of vague words than the rule's; none of them anywhere."""
    found = [(word[0], each) for each in figures.sentences if (word := VAGUE.search(each))]
    print(f"\n{len(found)} vague words in {len(figures.sentences)} sentences")  # noqa: T201

    assert found == []


def test_each_part_has_one_name(manual: Manual, figures: Figures) -> None:
    """No step uses a name that the glossary refuses, and the glossary refuses many."""
    refused = {str(word).lower(): str(name) for name, term in manual.terms.items() for word in term.refuse}
    every = "\n".join(figures.sentences).lower()
    used = {word: name for word, name in refused.items() if re.search(rf"\b{re.escape(word)}s?\b", every)}
    print(f"\n{len(manual.terms)} terms, {len(refused)} refused names, {len(used)} of them used")  # noqa: T201

    assert used == {}
    assert len(refused) > 60


def test_terms_are_many_and_each_says_more_than_itself(manual: Manual) -> None:
    """Two hundred or more, each with its meaning, nearly all with another word for it."""
    bare = [name for name, term in manual.terms.items() if not term.synonyms()]

    assert len(manual.terms) >= TERMS
    assert all(len(str(term.meaning).split()) >= 3 for term in manual.terms.values())
    assert len(bare) < len(manual.terms) / 20, bare

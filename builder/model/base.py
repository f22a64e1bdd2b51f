"""What every part of the typed manual is made of: strict frozen models whose words know their place."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Annotated, Any, TypeVar

from pydantic import BaseModel, ConfigDict, PlainValidator, WithJsonSchema

from builder.diagnostics import Fault
from builder.yaml_text import Mapping, Sequence, Text

T = TypeVar("T")


class StrictModel(BaseModel):
    """A frozen part of the manual: undeclared keys are refused, the docstring under a field is its page."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", use_attribute_docstrings=True, arbitrary_types_allowed=True
    )


@lru_cache(maxsize=65536)
def placeless(text: str) -> Text:
    """A text that stands in no file; records say the same words so often that each is made once."""
    return Text(text)


def text_of(tree: object) -> Text:
    """The scalar that stands here; a list or a mapping is a fault."""
    if isinstance(tree, Text):
        return tree
    if isinstance(tree, str):
        return placeless(tree)
    raise Fault("a list or a mapping stands where one value belongs", "write one value after the colon")


def word_of(tree: object) -> Text:
    """A scalar that says something; an empty one is a fault."""
    text = text_of(tree)
    if not text.strip():
        raise Fault("nothing is written here", "write the value, or remove the key")
    return text


def words_of(tree: object) -> tuple[Text, ...]:
    """A list of words; one word alone is a list of one, `none` is an empty list said on purpose."""
    if isinstance(tree, str):
        word = word_of(tree)
        return () if word == "none" else (word,)
    if isinstance(tree, list | tuple):
        return tuple(word_of(item) for item in tree)
    raise Fault("a mapping stands where a list belongs", "write one item a line, each after `- `")


def flag_of(tree: object) -> bool:
    """`true` or `false`; YAML's other spellings are plain words here."""
    if isinstance(tree, bool):
        return tree
    text = text_of(tree)
    if text in {"true", "false"}:
        return text == "true"
    raise Fault(f"`{text}` is neither `true` nor `false`", "write `true` or `false`")


def whole_of(tree: object) -> int:
    """A whole number, not negative."""
    text = tree if isinstance(tree, int) else text_of(tree)
    if isinstance(text, int):
        return text
    if not re.fullmatch(r"\d{1,6}", text):
        raise Fault(f"`{text}` is not a whole number", "write digits only")
    return int(text)


def string_schema(about: str, **more: Any) -> WithJsonSchema:  # noqa: ANN401 - JSON Schema values are of any kind
    """The published schema of a value that is written as one scalar."""
    return WithJsonSchema({"type": "string", "description": about, **more})


Word = Annotated[Text, PlainValidator(word_of), string_schema("A word or a line of text, as typed.")]
Flag = Annotated[bool, PlainValidator(flag_of), WithJsonSchema({"enum": [True, False, "true", "false"]})]
Whole = Annotated[int, PlainValidator(whole_of), WithJsonSchema({"type": ["integer", "string"]})]
Words = Annotated[
    tuple[Text, ...],
    PlainValidator(words_of),
    WithJsonSchema({"anyOf": [{"type": "string"}, {"type": "array", "items": {"type": "string"}}]}),
]


@dataclass(frozen=True)
class Mention:
    """A characteristic or worked-out name in braces inside a sentence, and its offsets there."""

    name: str
    start: int
    end: int


@dataclass(frozen=True)
class Sentence:
    """A sentence of a procedure; `{main.clearance}` inside it stands for that family's value."""

    text: Text
    mentions: tuple[Mention, ...]


_BRACES = re.compile(r"\{([^{}]*)\}|[{}]")


def sentence_of(tree: object) -> Sentence:
    """Read a sentence and find what it mentions in braces."""
    text = word_of(tree)
    mentions = []
    for found in _BRACES.finditer(text) if "{" in text or "}" in text else ():
        name = found.group(1)
        if name is None or not re.fullmatch(r"[a-z][a-z0-9_.]*", name):
            raise Fault(
                f"`{found.group()}` is not the name of a value",
                "write the id of a characteristic in braces, as in `{main.clearance}`",
                found.start(),
                found.end(),
            )
        mentions.append(Mention(name, found.start(), found.end()))
    return Sentence(text, tuple(mentions))


SentenceField = Annotated[
    Sentence, PlainValidator(sentence_of), string_schema("A sentence; {id} stands for the family's value.")
]


def items_of(tree: object) -> list[tuple[Text, Any]]:
    """The pairs of a mapping with their keys as texts; anything else is a fault."""
    if not isinstance(tree, dict):
        raise Fault(
            "one value or a list stands where a mapping belongs", "write `name: value` lines, indented"
        )
    return [(key if isinstance(key, Text) else Text(key), value) for key, value in tree.items()]


__all__ = [
    "Flag",
    "Mapping",
    "Mention",
    "Sentence",
    "SentenceField",
    "Sequence",
    "StrictModel",
    "Text",
    "Whole",
    "Word",
    "Words",
    "flag_of",
    "items_of",
    "sentence_of",
    "string_schema",
    "text_of",
    "whole_of",
    "word_of",
    "words_of",
]

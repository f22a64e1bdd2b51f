"""The demonstration manual read once, the vectors of the ranking, and the browser's ranking behind a pipe."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from builder.lookup import Index, Lookup, as_data, rank
from builder.lookup.index import Family, Field, Subject, index_of
from builder.manual import Manual, load

SHOP = Path(__file__).parents[2]
ANSWER = Path(__file__).with_name("answer.cjs")
VECTORS = Path(__file__).parents[1] / "vectors" / "lookup" / "ranking.json"
Ranked = Callable[[Index, str, int], dict[str, Any]]


TWO = ("pellbrook-35-eight", "tarnwick-222h-six")


@pytest.fixture(scope="session")
def whole() -> Manual:
    """The manual of the demonstration shop."""
    return load(SHOP)[0]


@pytest.fixture(scope="session")
def manual(whole: Manual) -> Manual:
    """That manual with two families only, one with poured bearings and one with shells."""
    return replace(whole, engines={name: whole.engines[name] for name in TWO})


@pytest.fixture(scope="session")
def lookup(manual: Manual) -> Lookup:
    """The two families made ready for questions."""
    return Lookup(manual)


def rank_as_data(index: Index, query: str, family: int) -> dict[str, Any]:
    """What the ranking gives, as the browser writes it; -1 stands for no family."""
    ranking = rank(index, query, None if family < 0 else family)
    return {
        "hits": [[hit.subject, hit.points] for hit in ranking.hits],
        "family": -1 if ranking.family is None else ranking.family,
        "unmatched": ranking.unmatched,
    }


@pytest.fixture(scope="session")
def ranked() -> Ranked:
    """The function that ranks in Python and writes the result as the browser does."""
    return rank_as_data


@pytest.fixture(scope="session")
def invented() -> Index:
    """The index of the invented list in the vectors."""
    data = json.loads(VECTORS.read_text("utf-8"))
    return index_of(
        (Family(name, tuple(words)) for name, words in data["families"]),
        (
            Subject(
                each["id"],
                tuple(each["families"]),
                tuple((Field(field), tuple(phrase.split(" "))) for field, phrase in each["phrases"]),
            )
            for each in data["subjects"]
        ),
    )


@pytest.fixture(scope="session")
def vectors(invented: Index) -> dict[str, Any]:
    """The shared vectors; with WRITE_VECTORS set, written anew from Python first."""
    data: dict[str, Any] = json.loads(VECTORS.read_text("utf-8"))
    if os.environ.get("WRITE_VECTORS"):
        data["index"] = as_data(invented)
        for query in data["queries"]:
            query.update(rank_as_data(invented, query["query"], query["chosen"]))
        VECTORS.write_text(_written(data), encoding="utf-8")
    return data


def _written(data: dict[str, Any]) -> str:
    """The file's text: a subject or a query a line."""
    parts = []
    for key, value in data.items():
        rows = (
            [json.dumps(each, ensure_ascii=False) for each in value] if key in ("subjects", "queries") else []
        )
        text = "[\n" + ",\n".join(rows) + "\n]" if rows else json.dumps(value, ensure_ascii=False)
        parts.append(f'"{key}": {text}')
    return "{" + ",\n".join(parts) + "}\n"


@pytest.fixture(scope="session")
def browser() -> Iterator[Callable[[dict[str, Any]], Any]]:
    """Ask the browser's ranking one question; see answer.cjs."""
    node = shutil.which("node")
    if node is None:
        pytest.skip("NOT COMPARED: node is not installed, so the browser's ranking was not run at all")
    with subprocess.Popen(
        [node, str(ANSWER)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, encoding="utf-8"
    ) as process:
        assert process.stdin
        assert process.stdout
        questions, answers = process.stdin, process.stdout

        def ask(question: dict[str, Any]) -> Any:  # noqa: ANN401 - JSON of any shape
            questions.write(json.dumps(question) + "\n")
            questions.flush()
            line = answers.readline()
            assert line, "the browser's ranking stopped"
            return json.loads(line)

        yield ask

"""The index of phrases."""

from __future__ import annotations

import json

from builder.lookup.index import Family, Field, Index, Phrase, Subject, as_data, index_of

END_FLOAT = ("end", "float")


def small() -> Index:
    """Two characteristics that share a phrase."""
    return index_of(
        [Family("tallow-four", ("tallow", "four"))],
        [
            Subject("crank.end_float", (0,), ((Field.NAME, ("crank", *END_FLOAT)), (Field.TERM, END_FLOAT))),
            Subject("cam.end_float", (0,), ((Field.TERM, END_FLOAT), (Field.SYNONYM, END_FLOAT))),
        ],
    )


def test_index_numbers_words_and_keeps_shared_phrases_once() -> None:
    """Words stand in alphabetical order; a subject uses a phrase once, by its weightiest field."""
    found = small()

    assert found.words == ("crank", "end", "float")
    assert found.phrases == (Phrase((0, 1, 2), ((6, 0),)), Phrase((1, 2), ((5, 1),)))
    assert found.lists == ((0,), (0, 1))
    assert found.phrases_of == ((0,), (0, 1), (0, 1))


def test_index_finds_words_by_their_beginning() -> None:
    """The words that begin alike stand together."""
    found = small()

    assert list(found.beginning("e")) == [1]
    assert list(found.beginning("")) == [0, 1, 2]
    assert list(found.beginning("z")) == []
    assert found.number_of("float") == 2
    assert found.number_of("floa") is None


def test_index_goes_to_the_browser_as_plain_data() -> None:
    """Rows are written flat with their lengths, lists as steps, groups of families once each."""
    assert as_data(small()) == {
        "version": 1,
        "families": [["tallow-four", ["tallow", "four"]]],
        "words": "crank end float",
        "phrases": [[3, 2], [0, 1, 2, 1, 2]],
        "uses": [[2, 2], [6, 0, 5, 1]],
        "lists": [[1, 2], [0, 0, 1]],
        "subjects": "crank.end_float cam.end_float",
        "had_by": [[[0]], [0, 0]],
    }
    assert json.dumps(as_data(small()))


def test_an_index_of_nothing_is_empty() -> None:
    """A manual without rows has an index without words."""
    assert as_data(index_of([], []))["words"] == ""

"""From the manual's rows and terms to phrases."""

from __future__ import annotations

from builder.lookup.index import Index
from builder.lookup.subjects import in_order, manual_index
from builder.lookup.words import folded
from builder.manual import Manual
from builder.model.bench import Term
from builder.model.engine import Engine


def engine(name: str, specs: dict[str, dict[str, object]]) -> Engine:
    """A small invented family."""
    return Engine.model_validate(
        {"engine": name, "title": f"{name.title()} (invented)", "layout": {}, "features": {}, "specs": specs}
    )


def fields(index: Index, subject: str) -> dict[str, int]:
    """The phrases of a subject with their weights."""
    number = index.subjects.index(subject)
    return {
        " ".join(index.words[word] for word in phrase.words): weight
        for phrase in index.phrases
        for weight, users in phrase.uses
        if number in index.lists[users]
    }


def text_row(title: str, **more: object) -> dict[str, object]:
    """A row in words."""
    return {"kind": "text", "title": title, "new": "as found [common practice]", **more}


def test_row_is_found_by_id_title_code_own_words_terms_and_synonyms() -> None:
    """The weights are those of the ranking; a code stands in three ways."""
    manual = Manual(
        engines={
            "tallow": engine(
                "tallow",
                {"crank.end_float": text_row("Crankshaft end float", code="CRK-09", words=["thrust"])},
            )
        },
        terms={
            "end float": Term.model_validate({"meaning": "Travel.", "american": ["end play"]}),
            "crankshaft": Term.model_validate(
                {"meaning": "Shaft.", "misspelt": ["crank shaft"], "see": ["crank.end_float"]}
            ),
        },
    )

    assert fields(manual_index(manual), "crank.end_float") == {
        "crank end float": 3,
        "crankshaft end float": 6,
        "thrust": 6,
        "crk 09": 7,
        "crk09": 7,
        "crk9": 7,
        "crankshaft": 5,
        "crank shaft": 5,
        "end float": 4,
        "end play": 4,
    }


def test_one_word_synonym_does_not_call_up_its_term() -> None:
    """`plug` is said for a sparking plug, but a core plug is none."""
    term = Term.model_validate({"meaning": "Fires.", "also": ["plug"], "american": ["spark plug"]})
    manual = Manual(
        engines={"tallow": engine("tallow", {"plugs.core": text_row("Core plug")})},
        terms={"sparking plug": term},
    )

    assert fields(manual_index(manual), "plugs.core") == {"plug core": 3, "core plug": 6}


def test_families_with_the_same_id_share_a_subject() -> None:
    """Both titles find it; each family knows whether it has it."""
    manual = Manual(
        engines={
            "tallow": engine("tallow", {"main.cap": text_row("Main cap nuts")}),
            "sedge": engine(
                "sedge", {"main.cap": text_row("Main cap bolts"), "head.cap": text_row("Head cap")}
            ),
        }
    )
    index = manual_index(manual)

    assert index.subjects == ("main.cap", "head.cap")
    assert index.had_by == ((0, 1), (1,))
    assert set(fields(index, "main.cap")) == {"main cap", "main cap nut", "main cap bolt"}


def test_every_characteristic_and_every_term_of_the_demonstration_is_indexed(manual: Manual) -> None:
    """Every row is a subject, and every phrase of a term that leads to a row finds it."""
    index = manual_index(manual)
    known = set(index.words)

    assert set(index.subjects) == {name for _, name, _ in manual.rows()}
    assert {word for _, _, row in manual.rows() for word in folded(row.title)} <= known
    leading = {name: term for name, term in manual.terms.items() if set(term.see) & set(index.subjects)}
    assert {
        word for name, term in leading.items() for text in (name, *term.synonyms()) for word in folded(text)
    } <= known


def test_tables_are_merged_into_one_order() -> None:
    """A row that only a later family has stands before the row that follows it there, or last of all."""
    assert in_order([("a", "c"), ("z", "a", "b", "c", "d"), ()]) == ("z", "a", "b", "c", "d")
    assert in_order([("a", "b", "e"), ("a", "c", "d", "e")]) == ("a", "b", "c", "d", "e")
    assert in_order([]) == ()

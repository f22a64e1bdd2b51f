"""The catalogue: permanent codes, names of faults, pages in three parts; no fault hides another."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builder.diagnostic_formats import as_lines
from builder.diagnostics import Diagnostic, Severity
from builder.manual import Manual, load
from builder.rules import RULES, Finding, Rule, catalogue, check

BASE = Path(__file__).parent / "base"
ENGINE = "specs/engines/tallow-four.yaml"
PROCEDURE = "procedures/crank/fit-mains.yaml"
SUBJECTS = {
    "reading": "01",
    "layers": "0",
    "values": "2",
    "limits": "2",
    "fits": "2",
    "fasteners": "2",
    "lists": "2",
    "references": "3",
    "layout": "3",
    "mentions": "3",
    "route": "3",
    "steps": "4",
    "holds": "5",
    "safety": "6",
    "language": "7",
    "instruments": "8",
    "formulas": "8",
    "worksheets": "9",
}
"""The first digit of the codes in each file of rules."""


@pytest.mark.parametrize("rule", RULES.values(), ids=lambda rule: rule.code)
def test_page_says_what_is_wrong_why_and_what_instead(rule: Rule) -> None:
    """Each part of a page is whole sentences; `wrong` is one sentence or two, not an order."""
    parts = (rule.wrong, rule.why, rule.instead)

    assert all(
        part.strip() == part and (part[0].isupper() or part[0] == "`") and part.endswith((".", "`", ":"))
        for part in parts
    )
    assert re.fullmatch(r"GL-\d{3}", rule.code)
    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)+", rule.name)


def test_names_are_unique() -> None:
    """No two rules have the same name, as no two have the same code."""
    assert len({rule.name for rule in RULES.values()}) == len(RULES)


def test_rule_is_named_after_its_function_and_stands_in_its_subject() -> None:
    """The name is the function's, and the hundreds of the code tell the file."""
    odd = [
        rule.code
        for rule in RULES.values()
        if rule.check is not None
        and (
            rule.check.__name__.replace("_", "-") != rule.name
            or rule.code[3] not in SUBJECTS[rule.check.__module__.rpartition(".")[2]]
        )
    ]

    assert odd == []


def found(shop: Path) -> list[Diagnostic]:
    """Everything that is wrong with a shop."""
    manual, unread = load(shop)
    return sorted([*unread, *check(manual)])


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A copy of the small clean shop."""
    return Path(shutil.copytree(BASE, tmp_path / "shop"))


def change(shop: Path, path: str, old: str, new: str) -> None:
    """Put one text in the place of another that stands there once."""
    text = (shop / path).read_text(encoding="utf-8")
    assert text.count(old) == 1
    (shop / path).write_text(text.replace(old, new), encoding="utf-8")


def test_three_faults_in_three_files_are_three_diagnostics(shop: Path) -> None:
    """A fault of reading, one of shape and one of sense are all found in one run, and nothing else is."""
    change(shop, "specs/terms.yaml", "american: [babbitt]", "american: [babbitt")
    change(shop, ENGINE, "wear: 1.8720 in min", "wear: 1.8720 in mni")
    change(shop, PROCEDURE, "at_most: 3 passes\n        then: bore", "then: bore")

    assert [(str(one.span), one.code) for one in found(shop)] == [
        ("procedures/crank/fit-mains.yaml:40:15", "GL-343"),
        ("specs/engines/tallow-four.yaml:25:18", "GL-104"),
        ("specs/terms.yaml:5:8", "GL-005"),
    ]


def test_unread_row_makes_nobody_complain_of_its_absence(shop: Path) -> None:
    """What refers to a row that could not be read is no second fault."""
    change(shop, ENGINE, "new: 1.8740 to 1.8745 in [manual p. 22]", "new: 1,8740 to 1.8745 in [manual p. 22]")

    assert [one.code for one in found(shop)] == ["GL-104"]


@pytest.mark.parametrize(
    "path",
    [
        ENGINE,
        PROCEDURE,
        "specs/instruments.yaml",
        "specs/hazards.yaml",
        "specs/terms.yaml",
        "procedures/holds.yaml",
        "procedures/planned.yaml",
        "procedures/redo.yaml",
    ],
)
def test_unread_file_makes_nobody_complain_of_its_absence(shop: Path, path: str) -> None:
    """A whole file that does not read is one diagnostic, whatever the others say of it."""
    (shop / path).write_text("{\n", encoding="utf-8")

    assert [(one.span.path, one.code) for one in found(shop)] == [(path, "GL-005")]


def test_warning_and_error_keep_their_weight(shop: Path) -> None:
    """The severity of a diagnostic is that of its rule."""
    change(shop, PROCEDURE, "do: Bore the metal.", "do: The metal is bored.")
    change(shop, PROCEDURE, "do: Measure each journal and each bore.", "do: Measure each journal properly.")

    weights = {one.code: one.severity for one in found(shop)}

    assert weights == {"GL-701": Severity.WARNING, "GL-703": Severity.ERROR}
    assert all(weights[code] is RULES[code].severity for code in weights)


def test_empty_folder_has_no_faults(tmp_path: Path) -> None:
    """A shop that has written nothing yet has done nothing wrong."""
    assert as_lines(found(tmp_path)) == ""


def test_no_code_is_given_twice(monkeypatch: pytest.MonkeyPatch) -> None:
    """A second rule of the same code is refused when it is registered."""
    monkeypatch.setattr(catalogue, "RULES", dict(RULES))

    def another(_: Manual) -> Iterator[Finding]:
        """Something is wrong.

        Why: It is.

        Instead: Do otherwise.
        """
        yield from ()

    with pytest.raises(ValueError, match=r"GL-214 is taken by wear-limit-on-wrong-side"):
        catalogue.rule("GL-214")(another)


def test_rule_without_a_page_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """A rule whose docstring lacks one of the three parts is not registered."""
    monkeypatch.setattr(catalogue, "RULES", dict(RULES))

    def bare(_: Manual) -> Iterator[Finding]:
        """Something is wrong."""
        yield from ()

    with pytest.raises(ValueError, match="the page of GL-999 needs"):
        catalogue.rule("GL-999")(bare)


KEYS = (
    "engine title layout features specs kind new wear follows each of code main main.bore shaft clearance "
    "torque order steps spread {} [] none 1-2-3"
)
WORDS = st.sampled_from(
    [*KEYS.split(), "- ", ": ", "\n", "\n  ", "\n    ", "1.5 in", "0.5 to 0.6 in [m 1]", "a - b", "'", '"']
)
SNIPPETS = st.lists(WORDS, max_size=40).map("".join)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(
    text=st.one_of(st.text(max_size=200), SNIPPETS),
    path=st.sampled_from([ENGINE, PROCEDURE, "specs/hazards.yaml"]),
)
def test_any_text_in_any_file_gives_diagnostics_and_no_traceback(shop: Path, text: str, path: str) -> None:
    """Whatever stands in a file, the check ends, and writes what it found."""
    (shop / path).write_bytes(text.encode("utf-8", "replace"))

    as_lines(found(shop))


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(data=st.data(), path=st.sampled_from([ENGINE, PROCEDURE, "procedures/holds.yaml"]))
def test_any_line_may_be_lost_or_doubled(shop: Path, data: st.DataObject, path: str) -> None:
    """A sound file with lines lost or doubled is still checked to its end."""
    lines = (BASE / path).read_text(encoding="utf-8").splitlines(keepends=True)
    for _ in range(data.draw(st.integers(1, 3))):
        at = data.draw(st.integers(0, len(lines) - 1))
        lines[at : at + 1] = data.draw(
            st.sampled_from([[], [lines[at]] * 2, [lines[at].upper()], [lines[at][::-1]]])
        ) or [""]
    (shop / path).write_text("".join(lines), encoding="utf-8")

    as_lines(found(shop))

"""`gaugeleaf calc`: a list, a form, an answer with its steps, and what is said where there is none."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from builder.cli import main
from builder.model.worksheet import SAMPLE

SOURCES = "sources:\n  heywood: {title: Handbook of engines (invented), kind: handbook}\n"
LASH = """\
worksheet: lash_shim
code: [K16, K22]
title: Lash by shims
subject: valves
about: The shim that gives the wanted lash.
source: heywood p. 3
inputs: {fitted: in, found: in, wanted: in}
is: {shim: fitted + found - wanted}
shows: {shim: in}
examples:
  - given: {fitted: "0.100", found: "0.012", wanted: "0.010"}
    gives: {shim: "0.102"}
    from: arithmetic
"""


@pytest.fixture
def calc(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A shop with two worksheets, in which the command stands."""
    sheets = tmp_path / "specs" / "worksheets"
    sheets.mkdir(parents=True)
    (tmp_path / "mkdocs.yml").write_text("", encoding="utf-8")
    (tmp_path / "specs" / "sources.yaml").write_text(SOURCES, encoding="utf-8")
    (sheets / "compression_ratio.yaml").write_text(SAMPLE, encoding="utf-8")
    (sheets / "lash_shim.yaml").write_text(LASH, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def run(*words: str) -> Result:
    """What the command prints and its exit code."""
    return CliRunner().invoke(main, ["calc", *words])


@pytest.mark.usefixtures("calc")
def test_without_a_name_all_are_listed() -> None:
    """Worksheets stand under their subjects."""
    found = run()

    assert found.exit_code == 0
    assert found.output.splitlines() == [
        "Valves and springs",
        "  lash_shim          Lash by shims",
        "",
        "Volumes and ratios",
        "  compression_ratio  Compression ratio from measured volumes",
    ]


@pytest.mark.usefixtures("calc")
def test_without_values_the_form_is_shown() -> None:
    """Inputs with their units, formulas as on paper, and an example to copy."""
    found = run("compression-ratio")

    assert found.exit_code == 0
    assert found.output.splitlines() == [
        "Compression ratio from measured volumes (K16)",
        "common practice, no source",
        "What the ratio is before the head goes on for good.",
        "",
        "  bore       in in",
        "  stroke     in in",
        "  clearance  Clearance volume; in cc [70.9 cc]",
        "",
        "  swept = π ÷ 4 × bore² × stroke",
        "  ratio = (swept + clearance) ÷ clearance",
        "",
        "for example:",
        '  gaugeleaf calc compression_ratio bore="101.6 mm" stroke="76.2 mm" clearance="81.548526 cc"',
    ]


@pytest.mark.usefixtures("calc")
def test_answer_comes_with_every_step() -> None:
    """Inputs, each formula with its numbers, the answer, what to mind; the exit code is 0."""
    found = run("compression_ratio", "bore=3 1/2", "stroke=4.5 in")

    assert found.exit_code == 0
    assert found.output.splitlines() == [
        "Compression ratio from measured volumes (K16)",
        "common practice, no source",
        "",
        "  bore       3 1/2 in",
        "  stroke     4.5 in",
        "  clearance  70.9 cc (default)",
        "",
        "  swept = π ÷ 4 × bore² × stroke",
        "        = π ÷ 4 × (3 1/2 in)² × 4.5 in = 709.48 cc (43.295 cu in)",
        "  ratio = (swept + clearance) ÷ clearance",
        "        = (709.48 cc + 70.9 cc) ÷ 70.9 cc = 11.007",
        "",
        "ratio: 11.007",
        "mind: Measure the volume with the plug in.",
    ]


@pytest.mark.usefixtures("calc")
def test_no_answer_says_why_and_exits_with_one() -> None:
    """What cannot be read is said with what to write instead, and goes with every later step."""
    found = run("compression_ratio", "bore=3,5", "stroke=4")

    assert found.exit_code == 1
    assert "  bore       `bore`: `3,5` has a comma for a decimal point (write `3.5`)" in found.output
    assert "ratio: `bore`: `3,5` has a comma for a decimal point" in found.output


@pytest.mark.usefixtures("calc")
def test_code_names_a_worksheet_where_only_one_bears_it() -> None:
    """K22 is one worksheet; K16 is two, and both are named."""
    assert run("k22", "fitted=0.100", "found=0.012", "wanted=0.010").output.splitlines()[-1] == (
        "shim: 0.1020 in (2.591 mm)"
    )
    assert "`K16` names no one worksheet; there are `compression_ratio`, `lash_shim`" in run("K16").output


@pytest.mark.usefixtures("calc")
def test_source_is_told_by_its_title() -> None:
    """The second line names the publication and the place."""
    assert run("lash_shim").output.splitlines()[1] == "Handbook of engines (invented), p. 3"


@pytest.mark.usefixtures("calc")
@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("compresion_ratio",), "names no one worksheet; did you mean `compression_ratio`"),
        (("lash_shim", "fited=1"), "`fited` is no input; did you mean `fitted`"),
        (("lash_shim", "0.010"), "`0.010` is not `name=value`"),
    ],
)
def test_misuse_exits_with_two(words: tuple[str, ...], said: str) -> None:
    """Names that nobody knows get the nearest one; nothing is worked out."""
    found = run(*words)

    assert found.exit_code == 2
    assert said in found.output

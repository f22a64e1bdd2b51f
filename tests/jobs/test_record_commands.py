"""The commands over the records of several jobs, at the prompt."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from builder.cli import main

ROOT = Path(__file__).parents[2]
JOBS = ROOT / "tests" / "data" / "jobs"


@pytest.fixture
def prompt(monkeypatch: pytest.MonkeyPatch) -> CliRunner:
    """A prompt in the demonstration shop."""
    monkeypatch.chdir(ROOT)
    return CliRunner()


def folders(*numbers: str) -> list[str]:
    """The folders of demonstration jobs."""
    return [str(JOBS / number) for number in numbers]


def test_compare_prints_the_family_and_its_builders_first(prompt: CliRunner) -> None:
    """Plain words come first; the exit code is 0, since a comparison blames nobody."""
    told = prompt.invoke(main, ["job", "compare", *folders("T-0217", "T-0224")])

    assert told.exit_code == 0
    assert told.output.splitlines()[:3] == [
        "Tarnwick 222-H Six (invented): 2 jobs, by builder: L.M. T-0217; R.T. T-0224",
        "",
        "What the builders set otherwise",
    ]


def test_compare_takes_a_folder_named_twice_once(prompt: CliRunner) -> None:
    """A job does not confirm itself."""
    told = prompt.invoke(main, ["job", "compare", "--format", "json", *folders("T-0217", "T-0217")])

    (family,) = json.loads(told.output)
    assert (family["jobs"], family["characteristics"]) == (["T-0217"], [])


def test_compare_writes_one_page_that_asks_for_nothing(prompt: CliRunner, tmp_path: Path) -> None:
    """The page holds its style and its drawings, and names no other file."""
    page = tmp_path / "compared.html"

    told = prompt.invoke(main, ["job", "compare", "--html", str(page), *folders("T-0217", "T-0224")])

    html = page.read_text("utf-8")
    assert (told.exit_code, told.output) == (0, f"wrote {page}\n")
    assert html.count('<svg class="gl-drawing"') > 20
    assert not [sign for sign in ("src=", "<link ", 'href="../', "@import") if sign in html]


def test_compare_refuses_one_page_for_two_families(prompt: CliRunner, tmp_path: Path) -> None:
    """A page is of one family; which ones these jobs are of is said."""
    page = tmp_path / "compared.html"

    told = prompt.invoke(main, ["job", "compare", "--html", str(page), *folders("T-0217", "P-0331")])

    assert told.exit_code == 2
    assert "a page is of one family, these jobs are of pellbrook-35-eight, tarnwick-222h-six" in told.output
    assert not page.exists()

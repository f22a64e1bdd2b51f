"""The commands that write a job's record and papers: names, exit codes, refusals that lose nothing."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from builder.cli import main
from builder.job_files import PAPERS

ROOT = Path(__file__).parents[1]


@pytest.fixture
def shop(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """The demonstration shop to stand in, and a folder for copies of its jobs."""
    monkeypatch.chdir(ROOT)
    for job in ("T-0217", "P-0331", "T-0252", "T-0224"):
        shutil.copytree(ROOT / "tests" / "data" / "jobs" / job, tmp_path / job)
    return tmp_path


def run(*words: str | Path) -> Result:
    """Run `gaugeleaf job …`."""
    return CliRunner().invoke(main, ["job", *map(str, words)])


def test_record_of_a_released_engine_is_written_under_its_own_name(shop: Path) -> None:
    """T-0217: exit 0, the file is there, its words are whole."""
    done = run("report", shop / "T-0217", "--out", shop)
    place = shop / "T-0217-build-record.html"

    assert (done.exit_code, done.output) == (0, f"wrote {place}\n")
    assert place.read_text("utf-8").endswith("</html>")


def test_record_of_an_engine_that_may_not_go_is_written_and_exits_1(shop: Path) -> None:
    """P-0331: whoever calls the command is told, and so is whoever reads the record."""
    done = run("report", shop / "P-0331", "--out", shop)

    assert done.exit_code == 1
    assert "P-0331 is NOT RELEASED: the record says so at its head" in done.output
    assert "NOT RELEASED: 10 open points" in (shop / "P-0331-build-record.html").read_text("utf-8")


def test_record_as_pdf_is_a_pdf(shop: Path) -> None:
    """`--pdf` goes through the same door as the sheets."""
    done = run("papers", shop / "T-0217", "card", "--pdf", "--paper", "letter", "--out", shop)

    assert done.exit_code == 0
    assert (shop / "T-0217-card.pdf").read_bytes().startswith(b"%PDF-")


def test_come_back_shows_what_has_worn_since_the_job_beside_it(shop: Path) -> None:
    """T-0252 names T-0224, whose folder lies beside it; without that folder the wear is left out."""
    run("report", shop / "T-0252", "--out", shop)
    told = (shop / "T-0252-build-record.html").read_text("utf-8")
    assert "Cylinder leakage: worn most at cylinder 4, 3 percent, of 6 points" in told

    shutil.rmtree(shop / "T-0224")
    run("report", shop / "T-0252", "--out", shop, "--force")
    told = (shop / "T-0252-build-record.html").read_text("utf-8")
    assert "Wear since it left" not in told
    assert "oil pressure falls at hot idle" in told


def test_record_that_is_there_is_not_written_over_unasked(shop: Path) -> None:
    """A second run is refused until someone says `--force`."""
    place = shop / "record.html"
    place.write_text("mine", "utf-8")

    refused = run("report", shop / "T-0217", "--out", place)
    assert refused.exit_code == 2
    assert f"`{place}` is there already" in refused.output
    assert place.read_text("utf-8") == "mine"
    assert run("report", shop / "T-0217", "--out", place, "--force").exit_code == 0


def test_job_that_does_not_read_is_told_with_its_line(shop: Path) -> None:
    """No page is made of a job file that is nonsense; the fault has its place, and no traceback is seen."""
    path = shop / "T-0217" / "job.yaml"
    path.write_text(path.read_text("utf-8").replace("basis: rebuilt", "basis: polished"), "utf-8")

    for command in ("report", "papers"):
        done = run(command, shop / "T-0217", "--out", shop)
        assert done.exit_code == 1
        assert "`polished` is not known here" in done.output
        assert "T-0217/job.yaml:6" in done.output
    assert list(shop.glob("T-0217-*")) == []


def test_family_that_the_manual_does_not_have_is_refused(shop: Path) -> None:
    """A record needs the spec table that it is held against."""
    path = shop / "T-0217" / "job.yaml"
    text = path.read_text("utf-8").replace("engine: tarnwick-222h-six", "engine: tarnwick")
    path.write_text(text, "utf-8")

    done = run("report", shop / "T-0217", "--out", shop)
    assert done.exit_code == 2
    assert "`tarnwick` is no family of this manual" in done.output


def test_all_papers_are_written_or_those_that_are_named(shop: Path) -> None:
    """Without names every paper that the job has something for."""
    done = run("papers", shop / "T-0217", "--out", shop)
    names = [f"wrote {shop / f'T-0217-{name}.html'}" for name in PAPERS]
    assert (done.exit_code, done.output.splitlines()) == (0, names)

    done = run("papers", shop / "T-0224", "--out", shop)
    assert [line.rpartition("-")[2] for line in done.output.splitlines()] == ["tickets.html", "card.html"]


def test_paper_that_a_job_has_nothing_for_says_what_it_wants(shop: Path) -> None:
    """An estimate needs prices."""
    done = run("papers", shop / "T-0224", "estimate", "--out", shop)

    assert done.exit_code == 2
    assert "job T-0224 has nothing for the paper `estimate`; write `estimate` into job.yaml" in done.output


def test_several_papers_do_not_go_into_one_file(shop: Path) -> None:
    """`--out` with the name of a file is for one paper."""
    done = run("papers", shop / "T-0217", "--out", shop / "all.html")

    assert done.exit_code == 2
    assert "4 papers do not go into one file" in done.output

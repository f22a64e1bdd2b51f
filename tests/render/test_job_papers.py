"""The papers of a job before and after the work: whole texts, hostile words, what is still to be signed."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Callable
from functools import cache
from html import unescape
from pathlib import Path
from typing import Any

import pytest

from builder.job_files import PAPERS, paper, report, sound
from builder.manual import Manual, load

ROOT = Path(__file__).parents[2]
JOBS = ROOT / "tests" / "data" / "jobs"

Compare = Callable[[str, str], None]


@cache
def manual() -> Manual:
    """The manual of the demonstration shop."""
    found, faults = load(ROOT)
    assert faults == ()
    return found


@pytest.fixture
def clean(tmp_path: Path) -> Path:
    """A copy of the clean job T-0217."""
    return Path(shutil.copytree(JOBS / "T-0217", tmp_path / "T-0217"))


def made(folder: Path, name: str) -> str:
    """A paper of a job as HTML."""
    return paper(*sound(manual(), folder), name)


def lines(html: str) -> str:
    """What a paper says, a line for each row, sentence and fact; cells set apart by bars."""
    body = html.partition("</style>")[2].partition("<body")[2].partition(">")[2]
    body = re.sub(r"\s*\n\s*", " ", body)
    body = re.sub(r"</t[hd]>|</dt>", " | ", body)
    body = re.sub(r"</(?:tr|p|li|h1|h2|h3|dd|div)>", "\n", body)
    plain = unescape(re.sub(r"<[^>]+>", "", body))
    told = [" ".join(line.split()).removesuffix(" |") for line in plain.splitlines()]
    return "\n".join(line for line in told if line.strip(" |")) + "\n"


def change(folder: Path, old: str, new: str) -> None:
    """Put one text of `job.yaml` in the place of another that stands there once."""
    path = folder / "job.yaml"
    text = path.read_text("utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), "utf-8")


@pytest.mark.parametrize("name", PAPERS)
def test_paper_says_all_that_it_is_for(name: str, same_as_golden: Compare) -> None:
    """Each paper of T-0217, whole; `--update` writes it anew, to be read in the diff."""
    same_as_golden(f"T-0217-{name}.txt", lines(made(JOBS / "T-0217", name)))


def test_estimate_without_decision_waits_for_ticks_and_signatures(clean: Path) -> None:
    """Before the customer decides there is a range, an empty box for each way, and lines to sign on."""
    change(clean, "stage: block, option: A, by", "stage: block, by")
    change(clean, "stage: crank, option: A, by", "stage: crank, by")
    path = next((clean / "sheets").glob("P12-*"))
    sheet = json.loads(path.read_text("utf-8"))
    sheet["holds"] = [one for one in sheet["holds"] if one["hold"] != "stage-authorised"]
    path.write_text(json.dumps(sheet), "utf-8")

    said = lines(made(clean, "estimate"))
    assert "9544.00 to 11748.00 GBP\nNot everything is decided yet.\n" in said
    assert said.count("☐") == 6
    assert "☒" not in said
    assert "Foreman\nname and signature date\n" in said
    assert "Customer\nname and signature date\n" in said
    assert "As decided | not yet" in said


def test_ticket_that_is_still_out_has_a_box_for_each_reading(clean: Path) -> None:
    """A row of empty boxes for each main and crankpin, to be filled in when the piece comes home."""
    text = (clean / "job.yaml").read_text("utf-8")
    text = re.sub(r"    back: .*?    certificate: HCG 5521 \(invented\)\n", "", text, flags=re.DOTALL)
    (clean / "job.yaml").write_text(text, "utf-8")

    said = lines(made(clean, "tickets"))
    boxes = "| | | | ☐ in ☐ out |"
    assert "On return: main journal diameter CRK-01\n" in said
    assert [line for line in said.splitlines() if line.endswith(boxes)] == [
        f"{label} {boxes}" for labels in ("1234", "123456") * 3 for label in labels
    ]


def test_size_that_came_home_wrong_stands_out_in_its_frame(clean: Path) -> None:
    """What is not as asked for is `OUT` in a black frame."""
    change(clean, '"3": 2.6138 in, "4": 2.6137 in}', '"3": 2.6134 in, "4": 2.6137 in}')

    html = made(clean, "tickets")
    assert "3 | 2.6134 in | OUT | K.O." in lines(html)
    assert html.count('class="number out"') == 1


HOSTILE = "<script>alert(1)</script>\\\"'</style>{{ 7 }}"


def test_hostile_words_are_words(clean: Path) -> None:
    """What a job file says ends up as text, in the page and in its margins, wherever it stands."""
    change(clean, "owner: H. Vance (invented)", f'owner: "{HOSTILE}"')
    change(clean, "engine_number: H6-222-04417 (invented)", f'engine_number: "{HOSTILE}"')
    change(clean, "note: Clean job.", f'note: "{HOSTILE} Clean job.')
    change(clean, "crankshaft ground to 0.010 in under.\n", 'crankshaft ground to 0.010 in under."\n')
    change(clean, "    - The rocker shaft is known", f'    - "{HOSTILE}"\n    - The rocker shaft is known')
    change(clean, "      - Leave the thrust faces", f'      - "{HOSTILE}"\n      - Leave the thrust faces')
    change(clean, "title: Cylinder block\n", f'title: "{HOSTILE}"\n')

    papers = [made(clean, name) for name in PAPERS]
    _, record = report(manual(), clean)
    for html in (*papers, record):
        assert "<script" not in html
        assert html.count("</style>") == 1
        assert "&lt;script&gt;alert(1)&lt;/script&gt;" in html


def again(sheet: dict[str, Any], hold: str) -> None:
    """Read everything of a sheet a second time before a hold is signed, and sign it oneself."""
    when = next(one["when"] for one in sheet["holds"] if one["hold"] == hold)
    early = "2026-05-27T00:00:01Z"
    for one in [*sheet["readings"], *sheet["ticks"], *sheet["looks"]]:
        one["when"] = early
    sheet["readings"] += [{**one, "try": 2, "when": when} for one in sheet["readings"]]
    sheet["holds"] = [{**one, "by": "L.M."} if one["hold"] == hold else one for one in sheet["holds"]]


def test_record_of_a_shop_of_one_says_self_measured_again(clean: Path) -> None:
    """Where a second would sign, no second name stands: the builder measured it twice and says so."""
    change(clean, "basis: rebuilt\n", "basis: rebuilt\nshop_of_one: true\n")
    change(clean, "  L.M.: {role: builder,", "  L.M.: {role: [builder, second],")
    path = next((clean / "sheets").glob("P13-*"))
    sheet = json.loads(path.read_text("utf-8"))
    again(sheet, "cam-bearings-unmarked")
    path.write_text(json.dumps(sheet), "utf-8")

    _, html = report(manual(), clean)
    said = lines(html)
    assert "second person | L. Marr (L.M.), self, re-measured | " in said
    assert "This is a shop of one." in said


def test_card_of_an_engine_that_may_not_go_is_a_draft() -> None:
    """P-0331 has no oil pressure read and is not released: the card says so at its head."""
    said = lines(made(JOBS / "P-0331", "card"))

    assert "NOT RELEASED\n" in said
    assert "read on this engine" not in said

"""A checklist in one file, carried to another folder, opened from a disk with the network off."""

from __future__ import annotations

import json
from collections.abc import Iterator
from itertools import groupby
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, Page

Json = dict[str, Any]

ROOT = Path(__file__).parents[2]
CASE: Json = json.loads((ROOT / "tests/vectors/judge/mains-clean.json").read_text("utf-8"))
READINGS: list[Json] = CASE["sheet"]["readings"]

pytestmark = pytest.mark.browser


class Tablet:
    """A tablet that opens the file, notes what is asked for and what is complained of."""

    def __init__(self, browser: Browser, file: Path, width: int = 900) -> None:
        self.said: list[str] = []
        self.asked: list[str] = []
        self.context = browser.new_context(
            viewport={"width": width, "height": 1100}, timezone_id="UTC", accept_downloads=True, offline=True
        )
        self.page: Page = self.context.new_page()
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.page.on("console", lambda message: self.said.append(message.text))
        self.page.on("pageerror", lambda error: self.said.append(str(error)))
        self.page.clock.set_fixed_time("2026-03-16T10:00:00Z")
        self.page.goto(file.as_uri())

    def begin(self) -> None:
        """Fill in the job, its people and its gauges, and sign what must stand signed before."""
        page, job = self.page, CASE["job"]
        page.get_by_label("Job number").fill(job["number"])
        page.get_by_label("Job number").press("Tab")
        for step, size in job["sizes"].items():
            if page.locator(f"[data-size={step}]").count():
                page.locator(f"[data-size={step}]").select_option(size)
        for initials, person in job["people"].items():
            row = self.last("[data-person]")
            row.locator("[data-initials]").fill(initials)
            row.locator("[data-initials]").press("Tab")
            for role in {"builder", *person["role"]}:
                row.locator(f"input[value={role}]").set_checked(role in person["role"])
        for number, gauge in job["gauges"].items():
            row = self.last("[data-gauge-row]")
            row.locator("[data-instrument]").select_option(gauge["instrument"])
            row.locator("[data-due]").fill(gauge["due"])
            row.locator("[data-set-to]").fill(gauge.get("set_to", ""))
            row.locator("[data-number]").fill(number)
            row.locator("[data-number]").press("Tab")
        self.sign("crank-accepted", "second", "K.O.")
        self.sign("parts-received", "builder", "L.M.")
        self.sign("parts-received", "foreman", "R.S.")

    def last(self, rows: str) -> Locator:
        """The last row as it is now: once it is filled in, another one follows."""
        found = self.page.locator(rows)
        return found.nth(found.count() - 1)

    def sign(self, hold: str, role: str, by: str) -> None:
        """Sign a hold."""
        row = self.page.locator(f"[data-hold={hold}] [data-role={role}]")
        row.locator("[data-signer]").select_option(by)
        row.locator("[data-sign]").click()

    def type_readings(self) -> None:
        """Type the readings by keyboard."""
        for (step, name), group in groupby(READINGS, key=lambda one: (one["step"], one["name"])):
            self.page.locator(f"[data-step={step}] [data-grid={name}] [data-blank]").first.focus()
            for reading in group:
                self.page.keyboard.type(reading["typed"])
                self.page.keyboard.press("Enter")

    def clearances(self) -> list[tuple[str, str]]:
        """Each main's clearance with its verdict."""
        rows = self.page.locator("[data-step=mains] [data-result=clearance] [data-place]").all()
        return [
            (
                (row.locator("[data-value]").text_content() or "").strip(),
                (row.locator("[data-verdict-cell]").text_content() or "").strip(),
            )
            for row in rows
        ]

    def typed(self) -> list[str]:
        """What stands in the boxes that are filled in."""
        boxes = self.page.locator("[data-step=mains] [data-blank]").all()
        return [value for box in boxes if (value := box.input_value())]

    def save(self, folder: Path) -> Path:
        """Save the record to a file."""
        with self.page.expect_download() as waiting:
            self.page.get_by_role("button", name="Save the record to a file").click()
        place = folder / waiting.value.suggested_filename
        waiting.value.save_as(place)
        return place


@pytest.fixture
def tablets(chromium: Browser, carried: Path) -> Iterator[Any]:
    """Tablets with empty memories that open the file."""
    made: list[Tablet] = []

    def make(width: int = 900) -> Tablet:
        made.append(Tablet(chromium, carried, width))
        return made[-1]

    yield make
    for one in made:
        one.context.close()


def test_job_filled_in_comes_out_as_printed_and_is_there_after_a_reload(tablets: Any) -> None:  # noqa: ANN401
    """Clearances and verdicts of the clean job; only the file is asked for, nothing complained of."""
    tablet = tablets()
    tablet.begin()
    tablet.type_readings()
    shown = tablet.clearances()

    assert [verdict for _, verdict in shown] == ["in"] * len(CASE["expected"])
    assert [value.split(" ")[0] for value, _ in shown] == [least for _, least, *_ in CASE["expected"]]

    tablet.page.reload()

    assert tablet.clearances() == shown
    assert tablet.typed() == [reading["typed"] for reading in READINGS]
    assert set(tablet.asked) == {tablet.page.url}
    assert tablet.said == []


def test_record_is_the_one_that_the_site_and_the_command_line_read(tablets: Any, tmp_path: Path) -> None:  # noqa: ANN401
    """Saved from one tablet, opened on another: the same readings and the same verdicts."""
    first, second = tablets(), tablets(390)
    first.begin()
    first.type_readings()
    saved = first.save(tmp_path)
    record = json.loads(saved.read_text("utf-8"))

    assert [one["typed"] for one in record["readings"]] == [one["typed"] for one in READINGS]
    assert record["procedure"] == "fit-shell-bearings"

    second.page.set_input_files("#gl-open", saved)
    second.page.locator("#gl-message").wait_for()

    assert second.typed() == [reading["typed"] for reading in READINGS]
    assert (second.said, set(second.asked)) == ([], {second.page.url})


def test_record_of_another_checklist_is_told_in_words(tablets: Any, tmp_path: Path) -> None:  # noqa: ANN401
    """There is no page beside the file to which a link could lead."""
    strange = tmp_path / "strange.json"
    record = {**CASE["sheet"], "procedure": "fit-poured-mains", "engine": "pellbrook-35-eight"}
    strange.write_text(json.dumps(record), encoding="utf-8")
    tablet = tablets()

    tablet.page.set_input_files("#gl-open", strange)
    message = tablet.page.locator("#gl-message")
    message.wait_for()

    assert "Open it in the file of fit-poured-mains for pellbrook-35-eight." in message.inner_text()
    assert message.locator("a").count() == 0


def test_script_from_outside_the_file_is_stopped(tablets: Any) -> None:  # noqa: ANN401
    """The policy holds: a script or a handler put into the page does not run."""
    tablet = tablets()

    tablet.page.evaluate(
        """() => {
          const script = document.createElement("script");
          script.textContent = "globalThis.ran = true";
          document.body.append(script);
          document.body.insertAdjacentHTML("beforeend", '<img src="x" onerror="globalThis.ran = true">');
        }"""
    )

    assert tablet.page.evaluate("globalThis.ran") is None
    assert any("Content Security Policy" in line for line in tablet.said)


@pytest.mark.parametrize("width", [360, 1300])
def test_nothing_runs_off_the_side(tablets: Any, width: int) -> None:  # noqa: ANN401
    """Usable on a phone and on a desk."""
    page = tablets(width).page

    assert page.evaluate("document.documentElement.scrollWidth") <= width

"""A checklist filled in by keyboard, from a disk, with the network off: printed jobs come out as printed."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator, Mapping
from itertools import groupby
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Locator, Page, expect

from builder.checklist import Checklist, checklists
from builder.edition import edition
from builder.jobs.written import plain
from builder.judge import Judgement, judge
from builder.judge.program import shared
from builder.manual import Manual, load
from builder.model.base import Text
from builder.model.decode import adapter_of
from builder.model.job import Job
from builder.model.record import Said, Sheet
from builder.number import show_number
from builder.render.bench import SHARED, checklist_page, program_asset, script
from builder.render.shell import Asset, Site
from builder.said import changes, in_short

Json = dict[str, Any]

ROOT = Path(__file__).parents[2]
VECTORS = ROOT / "tests" / "vectors" / "judge"
FILLED = ("fit-shell-bearings", "fit-poured-mains", "lay-in-crankshaft")
MARK = {"in": "in", "out": "out", "not read": "not read", "no limit": "no limit"}

pytestmark = pytest.mark.browser


def printed(name: str) -> Json:
    """A printed job as its file holds it."""
    case: Json = json.loads((VECTORS / f"{name}.json").read_text("utf-8"))
    return case


@pytest.fixture(scope="session")
def every() -> Mapping[str, Checklist]:
    """The checklists that are filled in, by `engine/procedure`."""
    manual, faults = load(ROOT)
    assert faults == ()
    found = (one for one in checklists(manual) if one.procedure.procedure in FILLED)
    return {f"{one.engine.engine}/{one.procedure.procedure}": one for one in found}


@pytest.fixture(scope="session")
def site(
    every: Mapping[str, Checklist],
    build_through_mkdocs: Callable[..., Path],
    tmp_path_factory: pytest.TempPathFactory,
) -> Path:
    """Their pages on disk, in the shell of the site."""
    manual: Manual = next(iter(every.values())).manual
    assets = [Asset(SHARED, script("shared", shared(manual)))]
    assets += map(program_asset, every.values())
    pages = tuple(map(checklist_page, every.values()))
    return build_through_mkdocs(Site(pages, tuple(assets), (), ()), tmp_path_factory.mktemp("shop"))


def words(shown: Locator) -> str:
    """The words of an element in one line, whether or not it is in sight."""
    return " ".join((shown.text_content() or "").split())


class Bench:
    """A builder at a tablet: what is typed, and what the page says to it."""

    def __init__(self, context: BrowserContext, site: Path) -> None:
        self.site, self.said, self.requests = site, [], []
        context.set_offline(True)
        context.set_default_timeout(10_000)
        self.page: Page = context.new_page()
        self.page.on("request", lambda request: self.requests.append(request.url))
        self.page.on("console", lambda message: self.said.append(message.text))
        self.page.on("pageerror", lambda error: self.said.append(str(error)))

    def open(self, case: Json, day: str = "2026-03-19") -> None:
        """Open the checklist of a case on a day."""
        self.page.clock.set_fixed_time(f"{day}T10:00:00Z")
        self.page.goto(
            f"file://{self.site}/checklists/{case['sheet']['engine']}/{case['sheet']['procedure']}.html"
        )
        self.page.wait_for_function("Gaugeleaf.page")

    def fill_job(self, job: Json) -> None:
        """Fill in the job block."""
        page = self.page
        page.get_by_label("Job number").fill(job["number"])
        page.get_by_label("Job number").press("Tab")
        page.get_by_label("Engine number").fill(job["engine_number"])
        page.get_by_label("Room temperature").fill("68 degF")
        for step, size in job["sizes"].items():
            if page.locator(f"[data-size={step}]").count():
                page.locator(f"[data-size={step}]").select_option(size)
        for initials, person in job["people"].items():
            row = page.locator("[data-person]").nth(page.locator("[data-person]").count() - 1)
            row.locator("[data-initials]").fill(initials)
            row.locator("[data-initials]").press("Tab")
            for role in ("builder", *person["role"]):
                row.locator(f"input[value={role}]").set_checked(role in person["role"])
        for number, gauge in job["gauges"].items():
            row = page.locator("[data-gauge-row]").nth(page.locator("[data-gauge-row]").count() - 1)
            row.locator("[data-instrument]").select_option(gauge["instrument"])
            row.locator("[data-due]").fill(gauge["due"])
            row.locator("[data-set-to]").fill(gauge.get("set_to", ""))
            row.locator("[data-number]").fill(number)
            row.locator("[data-number]").press("Tab")

    def sign(self, hold: str, role: str, by: str) -> str:
        """Sign a hold and give what the page says to it."""
        row = self.page.locator(f"[data-hold={hold}] [data-role={role}]")
        row.locator("[data-signer]").select_option(by)
        row.locator("[data-sign]").click()
        return row.locator("[data-signed]").inner_text()

    def grid(self, step: str, name: str) -> Locator:
        """The boxes of a measurement."""
        return self.page.locator(f"[data-step={step}] [data-grid={name}] [data-blank]")

    def type_readings(self, readings: list[Json]) -> None:
        """Type readings by keyboard alone, grid by grid: digits, Enter, digits, Enter."""
        for (step, name), group in groupby(readings, key=lambda one: (one["step"], one["name"])):
            self.grid(step, name).first.focus()
            for reading in group:
                self.page.keyboard.type(reading["typed"])
                self.page.keyboard.press("Enter")

    def row(self, step: str, name: str, place: str) -> tuple[str, str]:
        """A worked-out value and what stands beside it, as the page shows them."""
        row = self.page.locator(f"[data-step={step}] [data-result={name}] [data-place='{place}']")
        return words(row.locator("[data-value]")), words(row.locator("[data-verdict-cell]"))

    def mains(self, steps: tuple[str, str]) -> list[list[str | None]]:
        """Each main as the record prints it: least, most, out-of-round, taper, verdict."""
        first, last = steps
        count = self.page.locator(f"[data-step={last}] [data-result=clearance] [data-place]").count()
        return [self.main(first, last, str(number)) for number in range(1, count + 1)]

    def main(self, first: str, last: str, main: str) -> list[str | None]:
        """One main."""
        shown = [self.row(last, "clearance", main)]
        shown += [self.row(first, name, main) for name in ("out_of_round", "taper")]
        words = " ".join(marks for _, marks in shown)
        if "not read" in words:
            return [main, None, None, None, None, "suspect" if "suspect" in words else "not read"]
        least, most = shown[0][0].removesuffix(" in").split(" to ")
        ends = [value.removesuffix(" in") for value, _ in shown[1:]]
        return [main, least, most, *ends, "out" if "out" in words.split() else "in"]

    def record(self, tmp_path: Path) -> Json:
        """The record saved to a file, as it stands in the file."""
        with self.page.expect_download() as waiting:
            self.page.get_by_role("button", name="Save the record to a file").click()
        path = tmp_path / waiting.value.suggested_filename
        waiting.value.save_as(path)
        found: Json = json.loads(path.read_text("utf-8"))
        return found

    @property
    def outside(self) -> list[str]:
        """The requests that left the disk."""
        return [url for url in self.requests if not url.startswith(("file:", "blob:", "data:"))]


@pytest.fixture
def tablet(chromium: Browser) -> Iterator[Callable[..., BrowserContext]]:
    """A tablet with an empty memory; several stand apart from one another."""
    made: list[BrowserContext] = []

    def make(width: int = 900) -> BrowserContext:
        made.append(
            chromium.new_context(
                viewport={"width": width, "height": 1100}, timezone_id="UTC", accept_downloads=True
            )
        )
        return made[-1]

    yield make
    for context in made:
        context.close()


def begin(context: BrowserContext, site: Path, case: Json) -> Bench:
    """Open the checklist of a case, fill in the job block, sign the holds before the first step."""
    bench = Bench(context, site)
    bench.open(case, "2026-03-16")
    bench.fill_job(case["job"])
    bench.sign("crank-accepted", "second", "K.O.")
    bench.sign("parts-received", "builder", "L.M.")
    bench.sign("parts-received", "foreman", "R.S.")
    return bench


@pytest.fixture
def by_hand(tablet: Callable[..., BrowserContext], site: Path) -> tuple[Bench, Json]:
    """The clean job's mains, begun by hand, the job block open."""
    case = printed("mains-clean")
    return begin(tablet(), site, case), case


@pytest.fixture(scope="session")
def kept() -> dict[str, str]:
    """What the browser kept when the clean job was begun, so that most tests need not type that again."""
    return {}


@pytest.fixture
def clean(tablet: Callable[..., BrowserContext], site: Path, kept: dict[str, str]) -> tuple[Bench, Json]:
    """The clean job's mains, begun and opened again."""
    case, context = printed("mains-clean"), tablet()
    if not kept:
        page = begin(context, site, case).page
        kept.update(page.evaluate("Object.fromEntries(Object.entries(localStorage))"))
        context = tablet()
    bench = Bench(context, site)
    bench.open(case, "2026-03-16")
    bench.page.evaluate("kept => Object.assign(localStorage, kept)", kept)
    bench.open(case, "2026-03-16")
    return bench, case


def test_clean_mains_typed_by_keyboard_come_out_as_printed(clean: tuple[Bench, Json]) -> None:
    """Every clearance, out-of-round, taper, verdict of the clean job; no flag, no request, no complaint."""
    bench, case = clean

    bench.type_readings(case["sheet"]["readings"])

    assert bench.mains(("mains", "mains")) == case["expected"]
    assert bench.page.locator("[data-step=mains] .gl-flag").count() == 0
    assert bench.page.locator("[data-step=mains] [data-shown-rule]").count() == 0
    assert (bench.outside, bench.said) == ([], [])


def test_faulty_mains_name_each_fault(tablet: Callable[..., BrowserContext], site: Path) -> None:
    """Main 3 out, main 4 suspect by its size step, all by their gauge; no amount; locked behind holds."""
    case = printed("mains-faulty")
    bench = Bench(tablet(), site)
    bench.open(case)
    bench.fill_job(case["job"])
    for hold in ("crank-accepted", "metal-bonded"):
        bench.sign(hold, "second", "K.O.")
    bench.type_readings([one for one in case["sheet"]["readings"] if one["step"] == "size"])

    assert bench.grid("measure", "bore").first.is_disabled()
    assert words(bench.page.locator("#step-measure [data-locked]")) == "Locked until H05 is signed."

    for hold in ("first-cut", "finishing-cut"):
        bench.sign(hold, "second", "K.O.")
    bench.type_readings([one for one in case["sheet"]["readings"] if one["step"] == "measure"])

    assert bench.mains(("size", "measure")) == case["expected"]
    assert bench.row("measure", "clearance", "3") == ("0.0033 to 0.0036 in", "least in most out suspect")
    assert bench.row("measure", "clearance", "1") == ("0.0020 to 0.0021 in", "in suspect")
    reasons = bench.page.locator("[data-step=size] [data-grid=journal] .gl-reasons li").all_text_contents()
    assert reasons == [
        "20 places: OM-23 was due on 2026-03-12 and was used on 2026-03-19.",
        "main 4, plane front, axis A: it is exactly the size step 0.020 in over its mates.",
    ]
    out = bench.page.locator("[data-step=measure] [data-shown-rule]")
    assert out.count() == 1
    assert words(out.locator("[data-found]")) == "most clearance 0.0036 in, limit 0.0015 to 0.0025 in"
    assert "Retake the suspect readings first" in words(out)
    assert (bench.outside, bench.said) == ([], [])


def test_saved_record_is_judged_alike_on_the_command_line(
    clean: tuple[Bench, Json], every: Mapping[str, Checklist], tmp_path: Path
) -> None:
    """What the page saves the command line reads, and each worked-out value and verdict is the page's."""
    bench, case = clean
    bench.type_readings(case["sheet"]["readings"])

    sheet = bench.record(tmp_path)

    name = f"{sheet['engine']}/{sheet['procedure']}"
    read = adapter_of(Sheet).validate_python(sheet)
    of = judge(every[name], read, adapter_of(Job).validate_python(case["job"]), "final")
    worked = {out: one for step in every[name].steps for out in step.work_outs for one in [step.step.id]}
    mine = [one for one in of.judgements if one.name in worked]
    groups = groupby(sorted(mine, key=place_of), key=place_of)
    for (step, result, place), ends in groups:
        assert bench.row(step, result, place) == said(list(ends)), (step, result, place)
    assert [one["typed"] for one in sheet["readings"]] == [one["typed"] for one in case["sheet"]["readings"]]
    assert {one["gauge"] for one in sheet["readings"]} == {"OM-14", "BG-05"}
    assert sheet["readings"][0]["when"] == "2026-03-16T10:00:00Z"


def place_of(one: Judgement) -> tuple[str, str, str]:
    """Where a worked-out value stands on the page."""
    return one.step, one.name, "|".join(one.at.values())


def said(ends: list[Judgement]) -> tuple[str, str]:
    """A worked-out value as the page should show it: digits and verdict."""
    ends.sort(key=lambda one: ("least", "most", "").index(one.end))
    flags = " ".join(dict.fromkeys(str(flag) for one in ends for flag in one.flags))
    verdicts = {str(one.verdict) for one in ends}
    marks = verdicts.pop() if len(verdicts) == 1 else " ".join(f"{one.end} {one.verdict}" for one in ends)
    if any(one.value is None for one in ends):
        return "–", f"{marks} {flags}".strip()
    shown = [
        show_number(one.unit.from_base(one.value), 4) for one in ends if one.unit and one.value is not None
    ]
    return f"{' to '.join(shown)} in", f"{marks} {flags}".strip()


def test_builder_may_not_sign_for_a_second_person(clean: tuple[Bench, Json]) -> None:
    """The builder's own name on a second's hold is refused in words; the second's opens what follows."""
    bench, case = clean
    bench.type_readings(case["sheet"]["readings"])

    refused = bench.sign("bearings-witnessed", "second", "L.M.")
    open_still = words(bench.page.locator("[data-hold=bearings-witnessed] [data-open]"))
    signed = bench.sign("bearings-witnessed", "second", "K.O.")

    assert refused == "L.M. did the work on this sheet. The second person must be someone else."
    assert open_still == "H11 is not signed by the second person."
    assert signed == "Signed by K.O., 2026-03-16 10:00"


def test_next_procedure_is_locked_until_the_bearings_were_witnessed(clean: tuple[Bench, Json]) -> None:
    """Nothing of laying in may be ticked before H11; signed on the sheet of the mains it counts there."""
    bench, case = clean
    bench.type_readings(case["sheet"]["readings"])
    lay_in = {"sheet": {**case["sheet"], "procedure": "lay-in-crankshaft"}}
    bench.open(lay_in, "2026-03-16")
    before = bench.page.locator("[data-hold=bearings-witnessed]").get_attribute("data-state")
    locked = bench.page.locator("[data-tick]").first.is_disabled()

    bench.open(case, "2026-03-16")
    bench.sign("bearings-witnessed", "second", "K.O.")
    bench.open(lay_in, "2026-03-16")

    assert (before, locked) == ("open", True)
    assert bench.page.locator("[data-hold=bearings-witnessed]").get_attribute("data-state") == "released"
    assert bench.page.locator("[data-hold=galleries-proved]").get_attribute("data-state") == "open"
    assert bench.page.locator("[data-tick]").first.is_disabled()


def test_changed_reading_opens_its_hold_again(clean: tuple[Bench, Json]) -> None:
    """A reading that a hold covers is changed after the signature: the hold is open, and says by what."""
    bench, case = clean
    bench.type_readings(case["sheet"]["readings"])
    bench.sign("bearings-witnessed", "second", "K.O.")

    bench.page.clock.set_fixed_time("2026-03-16T11:00:00Z")
    bench.grid("mains", "journal").first.fill("2.6139")
    bench.grid("mains", "journal").first.press("Tab")

    assert bench.page.locator("[data-hold=bearings-witnessed] [data-open]").inner_text() == (
        "H11 is open again: journal at main 1, plane front, axis T was changed after the signature."
    )


def test_everything_is_there_after_a_reload(by_hand: tuple[Bench, Json]) -> None:
    """Readings, ticks, looks, signatures and the job block stand again, and the page says where one was."""
    bench, case = by_hand
    bench.type_readings(case["sheet"]["readings"])
    bench.page.locator("#step-shells [data-look=main_shells] input[value=yes]").first.check()
    bench.page.locator("#step-boxes [data-tick]").check()
    before = [box.input_value() for box in bench.page.locator(".gl-reading").all()]

    bench.page.reload()

    assert [box.input_value() for box in bench.page.locator(".gl-reading").all()] == before
    assert bench.page.locator("#step-shells [data-look=main_shells] input[value=yes]").first.is_checked()
    assert bench.page.locator("#step-boxes [data-tick]").is_checked()
    assert words(bench.page.locator("#step-boxes [data-done-by]")) == "L.M., 2026-03-16 10:00"
    assert bench.page.get_by_label("Job number").input_value() == "T-0217"
    assert bench.page.locator("#gl-where").inner_text() == "Where I was: 2"
    assert bench.mains(("mains", "mains")) == case["expected"]


def test_record_and_job_open_on_another_tablet(
    clean: tuple[Bench, Json], tablet: Callable[..., BrowserContext], site: Path, tmp_path: Path
) -> None:
    """Saved on one tablet, opened on another: the job, then the record, and all verdicts are the same."""
    bench, case = clean
    bench.type_readings(case["sheet"]["readings"])
    sheet = bench.record(tmp_path)
    with bench.page.expect_download() as waiting:
        bench.page.get_by_role("button", name="Save the job to a file").click()
    waiting.value.save_as(tmp_path / "job.yaml")
    other = Bench(tablet(360), site)
    other.open(case)

    other.page.locator("#gl-open").set_input_files(tmp_path / "job.yaml")
    other.page.locator("#gl-open").set_input_files(tmp_path / "T-0217-fit-shell-bearings.json")
    other.page.get_by_text("The record of job T-0217 is open: 40 readings.").wait_for()

    assert other.mains(("mains", "mains")) == case["expected"]
    assert other.record(tmp_path) == sheet
    assert json.loads((tmp_path / "job.yaml").read_text("utf-8")) == {
        **case["job"],
        "sizes": {"main_undersize": "0.010 in", "pin_undersize": "0.010 in"},
    }
    assert other.said == []


def test_correction_keeps_the_old_value_with_its_reason(clean: tuple[Bench, Json], tmp_path: Path) -> None:
    """A changed reading leaves the old one struck through; the reason is asked for and kept."""
    bench, case = clean
    bench.type_readings(case["sheet"]["readings"][:1])
    box = bench.grid("mains", "journal").first

    box.fill("2.6139")
    box.press("Tab")
    changes = bench.page.locator("[data-step=mains] [data-grid=journal] [data-changes]")
    asked = words(changes)
    changes.get_by_role("button", name="read again").click()

    assert words(changes.locator("s")) == "2.6138"
    assert "Why?" in asked
    assert words(changes) == "main 1, plane front, axis T: 2.6138 L.M., read again"
    sheet = bench.record(tmp_path)
    assert [one["typed"] for one in sheet["readings"]] == ["2.6139"]
    assert [(one["was"], one["why"]) for one in sheet["corrections"]] == [("2.6138", "read again")]


def test_entry_that_cannot_be_read_is_refused_beside_its_box(clean: tuple[Bench, Json]) -> None:
    """A comma is refused in words with the right form; the entry is kept and is no reading."""
    bench, _ = clean
    box = bench.grid("mains", "journal").first

    box.fill("2,6138")
    box.press("Tab")

    said_beside = words(bench.page.locator("[data-step=mains] [data-grid=journal] .gl-said").first)
    assert said_beside == "“2,6138” has a comma for a decimal point: write “2.6138”"
    assert box.get_attribute("aria-invalid") == "true"
    assert "0 of" in bench.page.locator("[data-count]").inner_text()


def test_refused_entry_takes_the_place_of_no_reading(clean: tuple[Bench, Json], tmp_path: Path) -> None:
    """Over a reading that stands, an entry that cannot be read is refused; the reading goes on standing."""
    bench, case = clean
    bench.type_readings(case["sheet"]["readings"][:1])
    box = bench.grid("mains", "journal").first

    box.fill("2,6139")
    box.press("Tab")
    beside = words(bench.page.locator("[data-step=mains] [data-grid=journal] .gl-said").first)
    box.fill("2.6138")
    box.press("Tab")

    assert beside == ("“2,6139” has a comma for a decimal point: write “2.6139”. 2.6138 still stands.")
    assert words(bench.page.locator("[data-step=mains] [data-grid=journal] .gl-said").first) == "in"
    sheet = bench.record(tmp_path)
    assert ([one["typed"] for one in sheet["readings"]], sheet["corrections"]) == (["2.6138"], [])


def test_pass_of_a_correction_is_counted_and_what_follows_is_a_new_try(
    tablet: Callable[..., BrowserContext], site: Path, tmp_path: Path
) -> None:
    """Out, with the amount told; the pass written down; the reading after it a second try, the first kept."""
    case = printed("mains-faulty")
    case["job"]["gauges"]["OM-23"]["due"] = "2026-12-31"
    bench = Bench(tablet(), site)
    bench.open(case)
    bench.fill_job(case["job"])
    for hold in ("crank-accepted", "metal-bonded", "first-cut", "finishing-cut"):
        bench.sign(hold, "second", "K.O.")
    bench.type_readings(case["sheet"]["readings"])
    out = bench.page.locator("[data-step=measure] [data-shown-rule]")
    told = words(out)

    out.locator("[data-pass]").click()
    bench.page.clock.set_fixed_time("2026-03-19T12:00:00Z")
    for index, typed in ((12, "2.4812"), (15, "2.4813")):
        bench.grid("measure", "bore").nth(index).fill(typed)
        bench.grid("measure", "bore").nth(index).press("Tab")

    assert "Take one shim leaf of 0.0020 in (0.051 mm) out of each side." in told
    assert "Pass 1 of at most 1." in told
    assert bench.row("measure", "clearance", "3") == ("0.0015 to 0.0017 in", "in edge off aim")
    sheet = bench.record(tmp_path)
    assert [(one["step"], one["rule"], one["pass"], one["amount"]) for one in sheet["passes"]] == [
        ("measure", 2, 1, "0.0020 in")
    ]
    assert [one["typed"] for one in sheet["readings"] if one["try"] == 2] == ["2.4812", "2.4813"]
    assert sheet["corrections"] == []


def test_two_jobs_on_one_tablet_do_not_mix(by_hand: tuple[Bench, Json]) -> None:
    """Another job number opens an empty sheet with the same people and gauges; the first comes back whole."""
    bench, case = by_hand
    bench.type_readings(case["sheet"]["readings"][:4])

    bench.page.get_by_label("Job number").fill("T-0218")
    bench.page.get_by_label("Job number").press("Tab")
    second = [box.input_value() for box in bench.grid("mains", "journal").all()]
    sizes = bench.page.locator("[data-size=main_undersize]").input_value()
    bench.page.get_by_label("Job number").fill("T-0217")
    bench.page.get_by_label("Job number").press("Tab")
    first = [box.input_value() for box in bench.grid("mains", "journal").all()]

    assert (set(second), sizes) == ({""}, "")
    assert first[:5] == ["2.6138", "2.6138", "2.6138", "2.6137", ""]


def test_arrows_move_through_a_grid_as_on_paper(clean: tuple[Bench, Json]) -> None:
    """Enter goes on, down and up stay in the column, right and left move at the end of what is typed."""
    bench, _ = clean
    boxes = bench.grid("mains", "journal")
    boxes.first.focus()
    seen = []

    for key in ("Enter", "ArrowDown", "ArrowRight", "ArrowLeft", "ArrowUp", "Shift+Enter"):
        bench.page.keyboard.press(key)
        seen.append(bench.page.evaluate("document.activeElement.getAttribute('aria-label')"))

    assert seen == [
        "main 1, plane front, axis A",
        "main 2, plane front, axis A",
        "main 2, plane rear, axis T",
        "main 2, plane front, axis A",
        "main 1, plane front, axis A",
        "main 1, plane front, axis T",
    ]


FULL = "Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError'); };"


def test_full_storage_is_told_and_nothing_typed_is_lost(
    tablet: Callable[..., BrowserContext], site: Path, tmp_path: Path
) -> None:
    """When the browser keeps nothing the page says so at once, and the record can still be saved."""
    case = printed("mains-clean")
    context = tablet()
    context.add_init_script(FULL)
    bench = Bench(context, site)
    bench.open(case)
    bench.page.get_by_label("Job number").fill("T-0217")
    bench.page.get_by_label("Job number").press("Tab")

    message = bench.page.locator("#gl-message").inner_text()

    assert message.startswith("The browser's storage is full. What you fill in now is lost")
    assert bench.record(tmp_path)["job"] == "T-0217"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("{", "broken.json is no record: it is not JSON, or it is cut off. Nothing was changed."),
        ('{"sheet": 2}', "broken.json is no record: it is of format 2, this page reads format 1"),
        ('{"sheet": 1}', "broken.json is no record: “job” is not as it should be. Nothing was changed."),
        ("[]", "broken.json is no record: it is not a record. Nothing was changed."),
    ],
)
def test_broken_file_is_refused_in_words(
    text: str, words: str, clean: tuple[Bench, Json], tmp_path: Path
) -> None:
    """A file that is no record changes nothing and says what is wrong with it."""
    bench, _ = clean
    (tmp_path / "broken.json").write_text(text, "utf-8")

    bench.page.locator("#gl-open").set_input_files(tmp_path / "broken.json")

    assert bench.page.locator("#gl-message .gl-told").inner_text().startswith(words)


def test_record_of_another_edition_opens_with_a_notice(clean: tuple[Bench, Json], tmp_path: Path) -> None:
    """What was filled in on another edition is shown, with both editions and what has lost its box."""
    bench, case = clean
    lost = {**case["sheet"]["readings"][0], "name": "gone"}
    sheet = {**case["sheet"], "edition": "00000000", "readings": [*case["sheet"]["readings"], lost]}
    (tmp_path / "old.json").write_text(json.dumps(sheet), "utf-8")

    bench.page.locator("#gl-open").set_input_files(tmp_path / "old.json")
    asked = bench.page.locator("#gl-choose p").inner_text()
    bench.page.get_by_role("button", name="The file; put the other aside").click()
    notice = bench.page.locator("#gl-message .gl-told").filter(has_text="edition 00000000").inner_text()

    there = "There is a record of job T-0217 here already, with 0 readings; the file has 41."
    assert asked == f"{there} Which one is to stand?"
    assert "Without a box here now, but kept in the record: 1 of its readings (mains: gone)." in notice
    assert bench.mains(("mains", "mains")) == case["expected"]

    bench.page.get_by_role("button", name="Go on with this edition").click()

    remark = bench.page.locator("#gl-notes").input_value()
    assert re.search(r"Moved from edition 00000000 to [0-9a-f]{8}\.$", remark)


def test_notice_of_another_edition_says_what_has_changed(
    clean: tuple[Bench, Json], every: Mapping[str, Checklist], tmp_path: Path
) -> None:
    """The same sentences as at the prompt; going on takes the edition up and keeps that it was another."""
    bench, case = clean
    checklist = every["tarnwick-222h-six/fit-shell-bearings"]
    now = in_short(checklist)
    steps = {
        name: Text("2") if number in (1, 2) else one for number, (name, one) in enumerate(now.steps.items())
    }
    del steps[next(iter(steps))]
    before = Said(
        steps={Text("old-step"): Text("1"), **steps},
        limits={**now.limits, Text("main.clearance"): Text("new 0.0010 to 0.0020 in")},
        rest={**now.rest, Text("holds"): Text("3")},
    )
    sheet = {**case["sheet"], "edition": "00000000", "said": plain(before)}
    (tmp_path / "old.json").write_text(json.dumps(sheet), "utf-8")

    bench.page.locator("#gl-open").set_input_files(tmp_path / "old.json")
    bench.page.get_by_role("button", name="The file; put the other aside").click()
    told = bench.page.locator("#gl-message .gl-changed li").all_inner_texts()
    bench.page.get_by_role("button", name="Go on with this edition").click()

    assert told == [line.replace("`old-step`", "“old-step”") for line in changes(before, checklist)]
    assert "Main bearing oil clearance: new 0.0010 to 0.0020 in before, new 0.0010 to 0.0026 in" in told[3]
    taken = bench.record(tmp_path)
    assert (taken["edition"], taken["said"]) == (edition(checklist), plain(now))
    assert [one["text"] for one in taken["notes"]] == [
        f"Moved from edition 00000000 to {edition(checklist)}."
    ]


def write_beside(step: Locator) -> None:
    """A remark, a photo, and that main 4 is not done, on a step."""
    step.locator("[data-more] summary").click()
    step.locator("[data-remark]").fill("Main 3 was dressed.")
    step.locator("[data-add-remark]").click()
    picture = {"name": "0117.jpg", "mimeType": "image/jpeg", "buffer": b"picture"}
    step.locator("[data-picture]").set_input_files([picture])
    step.locator("[data-caption]").fill("the score")
    step.locator("[data-add-photo]").click()
    step.locator("[data-skip-at]").select_option(label="main 4")
    step.locator("[data-reason]").fill("cap at the welder's")
    step.locator("[data-add-skip]").click()


def test_remark_photo_and_what_is_not_done_stand_on_their_step(
    clean: tuple[Bench, Json], tmp_path: Path
) -> None:
    """They are in the record that the command line reads, there after a reload, and are taken back singly."""
    bench, case = clean
    bench.type_readings([one for one in case["sheet"]["readings"] if one["at"]["main"] != "4"])
    step = bench.page.locator("#step-mains")
    open_before = words(step.locator("[data-missing]"))
    write_beside(step)
    sheet = adapter_of(Sheet).validate_python(bench.record(tmp_path))
    bench.page.reload()

    expect(step.locator("[data-told-here] li")).to_have_count(3)
    assert "not read" in open_before
    assert [words(line.locator("span").first) for line in step.locator("[data-told-here] li").all()] == [
        "Not done (main 4), because: cap at the welder's L.M., 2026-03-16 10:00",
        "Remark: Main 3 was dressed. L.M., 2026-03-16 10:00",
        "Photo 0117.jpg: the score L.M., 2026-03-16 10:00",
    ]
    assert "not read" not in words(step.locator("[data-missing]"))
    assert words(bench.grid("mains", "journal").last.locator("+ .gl-said")) == "not done"
    assert [(one.step, one.at, one.reason) for one in sheet.skipped] == [
        ("mains", {"main": "4"}, "cap at the welder's")
    ]
    assert [(one.file, one.caption) for one in sheet.photos] == [("0117.jpg", "the score")]
    assert [one.text for one in sheet.notes] == ["Main 3 was dressed."]
    step.locator("[data-told-here] button").first.click()

    assert "not read" in words(step.locator("[data-missing]"))


def test_shop_of_one_signs_after_a_second_set_of_readings(
    by_hand: tuple[Bench, Json], tmp_path: Path
) -> None:
    """The boxes are empty again; the first set stays; the hold says self, re-measured, no second name."""
    bench, case = by_hand
    bench.page.get_by_label("Shop of one").check()
    bench.type_readings(case["sheet"]["readings"])
    early = bench.sign("bearings-witnessed", "second", "L.M.")

    bench.page.clock.set_fixed_time("2026-03-16T14:00:00Z")
    bench.page.locator("#gl-set").select_option("second")
    empty = {box.input_value() for box in bench.grid("mains", "journal").all()}
    once = words(bench.grid("mains", "journal").first.locator("+ .gl-said"))
    bench.type_readings(case["sheet"]["readings"])
    bench.page.clock.set_fixed_time("2026-03-16T15:00:00Z")
    signed = bench.sign("bearings-witnessed", "second", "L.M.")

    assert early == (
        "L.M. did the work on this sheet. In a shop of one every reading is taken a second time first, "
        "after the whole first set."
    )
    assert (empty, once) == ({""}, "read once")
    assert signed == "Signed by L.M. (self, re-measured), 2026-03-16 15:00"
    assert bench.mains(("mains", "mains")) == case["expected"]
    readings = bench.record(tmp_path)["readings"]
    assert sorted({one["try"] for one in readings}) == [1, 2]
    assert len(readings) == 2 * len(case["sheet"]["readings"])


SLACK = {"V": "2.4830", "L45": "2.4828", "R45": "2.4828"}


def test_pass_is_counted_at_its_own_position(
    tablet: Callable[..., BrowserContext], site: Path, tmp_path: Path
) -> None:
    """Two mains are slack: the pass at one leaves the other's count and its readings alone."""
    case = printed("mains-faulty")
    case["job"]["gauges"]["OM-23"]["due"] = "2026-12-31"
    bench = Bench(tablet(), site)
    bench.open(case)
    bench.fill_job(case["job"])
    for hold in ("crank-accepted", "metal-bonded", "first-cut", "finishing-cut"):
        bench.sign(hold, "second", "K.O.")
    slack = {("measure", "5", axis): typed for axis, typed in SLACK.items()}
    bench.type_readings(
        [
            {**one, "typed": slack.get((one["step"], one["at"]["main"], one["at"]["axis"]), one["typed"])}
            for one in case["sheet"]["readings"]
        ]
    )
    outs = bench.page.locator("[data-step=measure] [data-shown-rule]")
    before = [words(out.locator("[data-passes]")) for out in outs.all()]

    outs.first.locator("[data-pass]").click()
    bench.page.clock.set_fixed_time("2026-03-19T12:00:00Z")
    for index in (12, 24):
        bench.grid("measure", "bore").nth(index).fill("2.4827")
        bench.grid("measure", "bore").nth(index).press("Tab")

    after = [words(out.locator("[data-passes]")) for out in outs.all()]
    sheet = bench.record(tmp_path)
    assert before == ["Pass 1 of at most 1."] * 2
    assert after == ["The one pass is used: the foreman decides.", "Pass 1 of at most 1."]
    assert [one["at"] for one in sheet["passes"]] == [{"main": "3"}]
    assert [(one["at"]["main"], one["try"]) for one in sheet["readings"] if one["typed"] == "2.4827"] == [
        ("5", 1),
        ("3", 2),
    ]
    assert [one["of"]["at"]["main"] for one in sheet["corrections"]] == ["5"]


PRIVATE = """Object.defineProperty(globalThis, 'localStorage', {
  get() { throw new DOMException('denied', 'SecurityError'); },
});"""


def test_private_window_is_told_and_the_record_can_be_saved(
    tablet: Callable[..., BrowserContext], site: Path, tmp_path: Path
) -> None:
    """Where even asking for storage is refused, the page works, says so, and saves to a file."""
    context = tablet()
    context.add_init_script(PRIVATE)
    bench = Bench(context, site)
    bench.open(printed("mains-clean"))
    bench.page.get_by_label("Job number").fill("T-0217")
    bench.page.get_by_label("Job number").press("Tab")

    message = bench.page.locator("#gl-message").inner_text()

    assert message.startswith("The browser keeps nothing here (private window, or storage switched off).")
    assert bench.record(tmp_path)["job"] == "T-0217"


def test_page_says_when_the_paper_that_led_to_it_is_of_another_edition(
    tablet: Callable[..., BrowserContext], site: Path
) -> None:
    """The code on a sheet names its edition; the page's own edition says nothing."""
    sheet = printed("mains-clean")["sheet"]
    place = (site / "checklists" / sheet["engine"] / f"{sheet['procedure']}.html").as_uri()
    page = tablet().new_page()
    page.goto(f"{place}#edition-00000000")
    said = page.locator("#gl-message .gl-told").first.inner_text()
    own = page.evaluate("Gaugeleaf.program.edition")

    assert said == (
        f"The sheet of paper is of edition 00000000; this page is edition {own}. "
        "Ask the foreman which one the job is on before you go on."
    )
    fresh = tablet().new_page()
    fresh.goto(f"{place}#edition-{own}")
    assert fresh.locator("#gl-message").is_hidden()

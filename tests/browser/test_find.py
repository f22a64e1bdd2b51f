"""*Find a value* as a builder uses it: from a disk, the network off, by keyboard and by thumb."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from builder.manual import Manual, load
from builder.model.base import Text
from builder.render.find import find_page, lookup_assets
from builder.render.find_job import jobs_in
from builder.render.find_job_data import job_file
from builder.render.shell import Page as SitePage
from builder.render.shell import Site

SHOP = Path(__file__).parents[2]
HOSTILE = '</script><img src=x onerror="document.title=1"><b>bold</b> & `code` {{ 7 * 7 }}'
TWO = ("pellbrook-35-eight", "tarnwick-222h-six")
BuildSite = Callable[..., Path]
Tab = Any


def built(build_through_mkdocs: BuildSite, folder: Path, manual: Manual) -> str:
    """The address of the page on disk."""
    home = SitePage("index.html", "Home", '<h1 id="home">Sample shop</h1>', (), ())
    site = Site((home, find_page(manual)), tuple(lookup_assets(manual)), (), ())
    return (build_through_mkdocs(site, folder, strict=False) / "find.html").as_uri()


@pytest.fixture(scope="module")
def address(build_through_mkdocs: BuildSite, tmp_path_factory: pytest.TempPathFactory) -> str:
    """The look-up of the demonstration shop with two of its families."""
    return built(build_through_mkdocs, tmp_path_factory.mktemp("find"), two_families())


@pytest.fixture(scope="module")
def many(build_through_mkdocs: BuildSite, tmp_path_factory: pytest.TempPathFactory) -> str:
    """The look-up of a shop with ten families that share one table."""
    manual = two_families()
    engine = next(iter(manual.engines.values()))
    names = [f"eight-{number}" for number in range(1, 11)]
    engines = {name: engine.model_copy(update={"engine": name, "title": name.title()}) for name in names}
    return built(build_through_mkdocs, tmp_path_factory.mktemp("many"), replace(manual, engines=engines))


def two_families() -> Manual:
    """The demonstration's manual with one family of poured bearings and one of shells."""
    manual, _ = load(SHOP)
    return replace(manual, engines={name: manual.engines[name] for name in TWO})


@pytest.fixture(scope="module")
def hostile(build_through_mkdocs: BuildSite, tmp_path_factory: pytest.TempPathFactory) -> str:
    """The look-up of a shop whose every text wants to be markup."""
    manual = two_families()
    name, engine = next(iter(manual.engines.items()))
    row = engine.specs[Text("crank.end_float")]
    mean = {key: Text(HOSTILE) for key in ("title", "why", "condition", "note", "code")}
    spoilt = row.model_copy(update=mean)
    specs = {**engine.specs, Text("crank.end_float"): spoilt}
    engines = {name: engine.model_copy(update={"title": Text(HOSTILE), "specs": specs})}
    folder = tmp_path_factory.mktemp("hostile")
    return built(build_through_mkdocs, folder, replace(manual, engines=engines))


@pytest.fixture
def phone(chromium: Browser) -> Iterator[Page]:
    """A page of phone size with a finger, offline."""
    context = chromium.new_context(viewport={"width": 360, "height": 740}, has_touch=True, offline=True)
    yield context.new_page()
    context.close()


def look_up(page: Page, words: str) -> Locator:
    """Type words into the box; gives the open answer."""
    page.locator("#find-words").fill("")
    page.locator("#find-words").press_sequentially(words)
    return page.locator(".gl-find-open")


def families(page: Page) -> list[str]:
    """The families of the open answer."""
    return page.locator(".gl-find-open .gl-value-title").all_inner_texts()


def test_end_play_finds_end_float_of_both_families_with_no_request_outside(tab: Tab, address: str) -> None:
    """Value, kind, source and page of both, from the disk alone."""
    tab.page.goto(address)
    answer = look_up(tab.page, "end play")

    expect(answer.locator(".gl-find-name")).to_contain_text("Crankshaft end float")
    assert families(tab.page) == ["Pellbrook Series 35 Eight", "Tarnwick 222-H Six"]
    first = answer.locator(".gl-find-family").first
    assert first.locator(".gl-value-main").inner_text() == "0.004 to 0.008 in"
    assert first.locator(".gl-value-kind").inner_text() == "new the maker's limits for assembly"
    expect(first).to_contain_text("0.012 in max (0.30 mm max) only for a part left untouched")
    expect(first.locator(".gl-source")).to_have_text("Pellbrook Series 35 workshop manual, 1935, p. 31")
    expect(first).to_contain_text("thrust at main 3")
    expect(tab.page.locator("#find-terms")).to_have_text("“end play” is end float, said in America")
    assert tab.outside == []
    assert [line for line in tab.console if line.startswith("error")] == []


def test_every_keystroke_filters(tab: Tab, address: str) -> None:
    """Three letters already give what begins so; the fourth narrows it."""
    tab.page.goto(address)
    counts = []
    for end in range(1, 5):
        look_up(tab.page, "nip "[:end].strip() or "n")
        counts.append(int(tab.page.locator("#find-count").inner_text().split()[0]))

    assert counts == sorted(counts, reverse=True)
    assert counts[2] < counts[0]


def test_metric_switch_turns_every_value_and_is_remembered(tab: Tab, address: str) -> None:
    """The printed value stands under the converted one, and the next visit begins in metric."""
    tab.page.goto(f"{address}#q=end+play&engine=tarnwick-222h-six")
    value = tab.page.locator(".gl-find-open .gl-find-value").first
    assert value.inner_text().split("\n") == ["0.003 to 0.007 in", "", "0.08 to 0.17 mm"]

    tab.page.locator("label:has(#find-metric)").click()

    assert value.inner_text().split("\n") == ["0.08 to 0.17 mm", "", "printed as 0.003 to 0.007 in"]
    expect(tab.page.locator(".gl-find-side")).to_contain_text("0.27 mm max")
    tab.page.goto("about:blank")
    tab.page.goto(address)
    expect(tab.page.locator("#find-metric")).to_be_checked()


def test_engine_chosen_is_remembered_and_hides_the_others(tab: Tab, address: str) -> None:
    """One family's row alone, opened in full; on the next visit as well."""
    tab.page.goto(address)
    tab.page.locator("#find-engine").select_option("pellbrook-35-eight")
    look_up(tab.page, "main clearance")

    assert families(tab.page) == ["Pellbrook Series 35 Eight"]
    expect(tab.page.locator(".gl-find-more")).to_have_attribute("open", "")
    expect(tab.page.locator(".gl-find-open")).to_contain_text(
        "Bore the worked-out amount more out of the bearing."
    )
    tab.page.goto("about:blank")
    tab.page.goto(address)
    expect(tab.page.locator("#find-engine")).to_have_value("pellbrook-35-eight")


def test_address_holds_the_query_so_that_it_can_be_linked_to(tab: Tab, address: str) -> None:
    """What is typed goes into the address once typing rests; an address brings it back."""
    tab.page.goto(address)
    look_up(tab.page, "ring gap")
    tab.page.wait_for_url("**#q=ring+gap")

    tab.page.goto("about:blank")
    tab.page.goto(f"{address}#q=head+torque&engine=tarnwick-222h-six&units=metric")

    expect(tab.page.locator("#find-words")).to_have_value("head torque")
    assert families(tab.page) == ["Tarnwick 222-H Six"]
    expect(tab.page.locator("#find-metric")).to_be_checked()


def test_keyboard_alone_finds_opens_and_clears(tab: Tab, address: str) -> None:
    """`/` to the box, arrows along the answers, Enter opens, Esc clears."""
    page = tab.page
    page.goto(address)
    page.locator("h1").click()
    page.keyboard.press("/")
    page.keyboard.type("end float")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    focused = page.locator(":focus")
    expect(focused).to_contain_text("Camshaft end float")

    page.keyboard.press("Enter")

    expect(page.locator(".gl-find-open")).to_have_count(1)
    expect(page.locator(".gl-find-open .gl-find-name")).to_contain_text("Camshaft end float")
    expect(focused).to_have_attribute("aria-expanded", "true")
    page.keyboard.press("ArrowUp")
    page.keyboard.press("ArrowUp")
    expect(page.locator("#find-words")).to_be_focused()
    page.keyboard.press("Enter")
    expect(focused).to_contain_text("Camshaft end float")
    page.keyboard.press("Escape")
    expect(page.locator("#find-words")).to_have_value("")
    expect(page.locator("#find-words")).to_be_focused()


def test_what_the_chosen_engine_has_not_is_never_shown_for_it(tab: Tab, address: str) -> None:
    """A solid tappet has no collapsed gap: nothing stands large, the other engine's is offered."""
    tab.page.goto(f"{address}#q=collapsed+gap&engine=pellbrook-35-eight")

    expect(tab.page.locator(".gl-find-open")).to_have_count(0)
    expect(tab.page.locator(".gl-find-nothing")).to_contain_text(
        "Nothing matches all of “collapsed gap” in the tables of Pellbrook Series 35 Eight."
    )

    tab.page.locator("[data-all]").click()

    assert families(tab.page) == ["Tarnwick 222-H Six"]
    expect(tab.page.locator("#find-engine")).to_have_value("")


def test_many_families_stand_a_line_each_and_unfold(tab: Tab, many: str) -> None:
    """Each with its value; one touch shows the whole row; those that find no room are counted."""
    tab.page.goto(f"{many}#q=end+play")
    lines = tab.page.locator(".gl-find-open .gl-find-row")

    assert lines.count() == 6
    assert lines.first.inner_text().split("\n") == ["Eight-1", "0.004 to 0.008 in new"]
    expect(tab.page.locator(".gl-find-open")).to_contain_text("And 4 more engines: choose one above.")
    lines.first.locator("summary").first.click()
    expect(lines.first.locator(".gl-value-main")).to_have_text("0.004 to 0.008 in")
    expect(lines.first).to_contain_text("thrust at main 3")


def test_mate_leads_to_its_own_row(tab: Tab, address: str) -> None:
    """What a fit follows from opens with one touch."""
    tab.page.goto(f"{address}#q=main+clearance&engine=pellbrook-35-eight")

    tab.page.locator(".gl-find-mate", has_text="Main journal diameter").click()

    expect(tab.page.locator(".gl-find-open .gl-find-name")).to_contain_text("Main journal diameter CRK-01")
    expect(tab.page.locator(".gl-find-sizes")).to_contain_text("2.4795 to 2.4800 in")


def test_count_and_first_value_are_told_to_a_screen_reader(tab: Tab, address: str) -> None:
    """Once typing rests: how many answers, the first one, its values by family."""
    tab.page.goto(address)
    look_up(tab.page, "end play")

    expect(tab.page.locator("#find-said")).to_have_text(
        "4 answers. First: Crankshaft end float, Pellbrook Series 35 Eight 0.004 to 0.008 in, new; "
        "Tarnwick 222-H Six 0.003 to 0.007 in, new"
    )
    assert tab.page.locator("#find-said").get_attribute("role") == "status"
    assert tab.page.get_by_label("Name, code, or what you call it").count() == 1


def test_page_works_where_the_browser_refuses_to_remember(chromium: Browser, address: str) -> None:
    """Storage that throws costs the memory, not the answer."""
    context = chromium.new_context(offline=True)
    page = context.new_page()
    errors: list[str] = []
    page.on("pageerror", lambda error: errors.append(str(error)))
    page.add_init_script(
        "Object.defineProperty(window, 'localStorage', { get() { throw new DOMException('refused'); } })"
    )
    page.goto(address)
    page.locator("#find-engine").select_option("tarnwick-222h-six")
    look_up(page, "babbit")

    expect(page.locator(".gl-find-open .gl-find-name")).to_contain_text("Main bearing bore")
    assert errors == []
    context.close()


def test_hostile_text_comes_out_as_text(tab: Tab, hostile: str) -> None:
    """Markup in a title, a code, a condition, a remark and a query is read, not obeyed."""
    tab.page.goto(hostile)
    look_up(tab.page, "end play")

    expect(tab.page.locator(".gl-find-open .gl-find-name")).to_have_text(f"{HOSTILE} {HOSTILE}")
    expect(tab.page.locator(".gl-find-open .gl-value-title")).to_have_text(HOSTILE)
    expect(tab.page.locator(".gl-find-open")).to_contain_text(f"Why{HOSTILE}")
    look_up(tab.page, "<b>zqxj</b>")
    expect(tab.page.locator(".gl-find-nothing")).to_contain_text("“<b>zqxj</b>”")
    assert tab.page.locator("#find-results :is(img, b, script)").count() == 0
    assert tab.page.title() != "1"
    assert tab.outside == []


@pytest.mark.parametrize("query", ["end play", "run in", "main journal", "bore size", "squish", ""])
def test_nothing_runs_off_a_phone_and_a_thumb_hits_what_it_aims_at(
    phone: Page, address: str, query: str
) -> None:
    """At 360 px nothing is wider than the screen; box, choices and hits are 44 px high or more."""
    phone.goto(address)
    look_up(phone, query)

    assert phone.evaluate("document.documentElement.scrollWidth") == 360
    targets = "#find-words, #find-engine, .gl-find-units label, .gl-find-hit-button, #find-results .gl-button"
    low = phone.evaluate(
        "(all) => [...document.querySelectorAll(all)].map((each) => each.getBoundingClientRect().height)",
        targets,
    )
    assert min(low) >= 44


def test_thumb_opens_another_answer(phone: Page, address: str) -> None:
    """A tap on a closed answer opens it and closes the first."""
    phone.goto(f"{address}#q=end+play")

    phone.locator(".gl-find-hit-button", has_text="Big-end side clearance").tap()

    expect(phone.locator(".gl-find-open")).to_have_count(1)
    expect(phone.locator(".gl-find-open .gl-find-name")).to_contain_text("Big-end side clearance")


@pytest.fixture(scope="module")
def with_jobs(build_through_mkdocs: BuildSite, tmp_path_factory: pytest.TempPathFactory) -> str:
    """The look-up of two families with the demonstration's jobs to choose from."""
    manual = two_families()
    jobs = jobs_in(manual, SHOP / "tests" / "data" / "jobs")
    home = SitePage("index.html", "Home", '<h1 id="home">Sample shop</h1>', (), ())
    site = Site((home, find_page(manual)), tuple(lookup_assets(manual, jobs)), (), ())
    folder = build_through_mkdocs(site, tmp_path_factory.mktemp("jobs"), strict=False)
    return (folder / "find.html").as_uri()


def test_job_chosen_shows_its_sizes_and_its_readings(tab: Tab, with_jobs: str) -> None:
    """Moved limits large, the book's small, each main with its verdict; remembered, and in the address."""
    tab.page.goto(with_jobs)
    tab.page.locator("#find-job").select_option("P-0331")
    expect(tab.page.locator("#find-job-said")).to_contain_text(
        "Job P-0331; engine S35-8-1182 (invented); rebuilt; bore oversize 0.020 in"
    )
    answer = look_up(tab.page, "mian jurnal")

    expect(answer.locator(".gl-value-main")).to_have_text("2.4795 to 2.4800 in")
    expect(answer).to_contain_text(
        "2.4995 to 2.5000 in (63.488 to 63.500 mm) what this job has goes before it"
    )
    row = answer.locator(".gl-find-readings").first.locator("tr").nth(3)
    assert row.inner_text().split("\t") == [
        "main 4",
        "2.4797 to 2.4998 in 62.984 to 63.495 mm",
        "out, suspect",
    ]
    expect(tab.page.locator("#find-engine")).to_have_value("pellbrook-35-eight")
    tab.page.wait_for_url("**job=P-0331*")
    tab.page.goto("about:blank")
    tab.page.goto(with_jobs)
    expect(tab.page.locator("#find-job")).to_have_value("P-0331")
    assert tab.outside == []
    assert [line for line in tab.console if line.startswith("error")] == []


def test_another_engine_leaves_the_job(tab: Tab, with_jobs: str) -> None:
    """Nothing of a job is shown for a family that is not its own."""
    tab.page.goto(f"{with_jobs}#q=what+do+i+finish+to&job=P-0331")
    expect(tab.page.locator(".gl-find-open")).to_contain_text("3.1764 in")

    tab.page.locator("#find-engine").select_option("tarnwick-222h-six")

    expect(tab.page.locator("#find-job")).to_have_value("")
    expect(tab.page.locator("#find-job-said")).to_be_empty()
    expect(tab.page.locator(".gl-find-open .gl-value-main").first).to_have_text("3.5200 to 3.5205 in")
    expect(tab.page.locator(".gl-find-readings")).to_have_count(0)


def test_a_jobs_file_is_opened_and_anything_else_refused(tab: Tab, with_jobs: str, tmp_path: Path) -> None:
    """A file of `gaugeleaf job look-up` does as a job of the list; links that lead elsewhere make it none."""
    name, text = job_file(two_families(), SHOP / "tests" / "data" / "jobs" / "T-0217")
    own, strange, hostile = (tmp_path / each for each in (name, "strange.json", "hostile.json"))
    own.write_text(text, "utf-8")
    strange.write_text('{"number": 1}', "utf-8")
    hostile.write_text(text.replace("checklists/", "javascript:"), "utf-8")
    tab.page.goto(f"{with_jobs}#q=end+play")

    tab.page.locator("#find-job-file").set_input_files(own)
    expect(tab.page.locator("#find-job-said")).to_contain_text("Job T-0217;")
    expect(tab.page.locator(".gl-find-open .gl-find-readings").first).to_contain_text("0.005 in")
    for other in (strange, hostile):
        tab.page.locator("#find-job-file").set_input_files(other)
        expect(tab.page.locator("#find-job-said")).to_contain_text("This is no job of the look-up.")


@pytest.mark.parametrize("query", ["main journal", "spring pressure", "what do i finish to"])
def test_a_job_on_a_phone_runs_off_nowhere(phone: Page, with_jobs: str, query: str) -> None:
    """Tables of readings and both choices fit 360 px."""
    phone.goto(f"{with_jobs}#job=P-0331")
    look_up(phone, query)
    expect(phone.locator(".gl-find-readings").first).to_be_visible()

    assert phone.evaluate("document.documentElement.scrollWidth") == 360

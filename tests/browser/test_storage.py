"""What a browser keeps for pages from a disk: Chromium has none for one that asks before it is quite open."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

RELOADS = 300

WATCH = """
  const own = Object.getOwnPropertyDescriptor(window, "localStorage");
  const query = LockManager.prototype.query;
  window.asked = [];
  let hasAnswered = false;
  LockManager.prototype.query = function () {
    return query.call(this).finally(() => { hasAnswered = true; });
  };
  Object.defineProperty(window, "localStorage", { configurable: true, get() {
    window.asked.push(hasAnswered);
    return own.get.call(window);
  } });
"""
"""Notes for each time a page asks for its storage whether the browser had answered the page by then."""

SILENT = "LockManager.prototype.query = () => new Promise(() => {});"
REFUSING = "LockManager.prototype.query = () => Promise.reject(new DOMException('no', 'SecurityError'));"
WITHOUT = "Object.defineProperty(Navigator.prototype, 'locks', { value: undefined });"

pytestmark = pytest.mark.browser


@contextmanager
def opened(chromium: Browser, path: Path, before: str = "") -> Iterator[Page]:
    """The page in a browser of its own, a script run before all others."""
    context = chromium.new_context(offline=True, bypass_csp=True)  # the tests ask it for expressions
    context.add_init_script(before)
    page = context.new_page()
    page.goto(path.as_uri())
    yield page
    context.close()


@pytest.mark.parametrize("path", ["index.html", "find.html", "checklists/sample.html"])
def test_pages_of_the_site_ask_for_storage_once_the_browser_has_answered(
    chromium: Browser, sample: Path, path: str
) -> None:
    """The shade is all that most pages keep."""
    with opened(chromium, sample / path, WATCH) as page:
        page.wait_for_function("asked.length > 0")
        page.wait_for_load_state("networkidle")
        assert page.evaluate("asked.every(Boolean)")


def test_checklist_asks_for_storage_once_the_browser_has_answered(chromium: Browser, carried: Path) -> None:
    """And shows its job block then."""
    with opened(chromium, carried, WATCH) as page:
        page.wait_for_function("Gaugeleaf.page")
        assert page.evaluate("asked.length > 0 && asked.every(Boolean)")


@pytest.mark.parametrize("before", [SILENT, REFUSING, WITHOUT], ids=["silent", "refusing", "without"])
def test_browser_that_does_not_answer_does_not_hold_the_page_up(
    chromium: Browser, carried: Path, before: str
) -> None:
    """The page starts without an answer, after two seconds at the most, and keeps what is typed."""
    with opened(chromium, carried, before) as page:
        page.wait_for_function("globalThis.Gaugeleaf && Gaugeleaf.page", timeout=5_000)
        page.get_by_label("Job number").fill("T-0217")
        page.get_by_label("Job number").press("Tab")
        assert page.evaluate("localStorage.getItem('gaugeleaf/1/job/T-0217')") is not None


@pytest.mark.slow
def test_what_was_typed_is_there_after_every_reload(chromium: Browser, carried: Path) -> None:
    """Hundreds of times; a page that asks for its storage in its head is without it some of those times."""
    with opened(chromium, carried) as page:
        page.wait_for_function("Gaugeleaf.page")
        page.get_by_label("Job number").fill("T-0217")
        page.get_by_label("Job number").press("Tab")
        shown = 0
        for _ in range(RELOADS):
            page.reload()
            page.wait_for_function("Gaugeleaf.page")
            shown += page.get_by_label("Job number").input_value() == "T-0217"
        assert shown == RELOADS

"""What search reads: every page cut at its headings, as plain text, in files that load from a disk."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from dataclasses import dataclass
from html import unescape

from builder.render.shell import ASSETS, SEARCH_WORKER, Asset, Page

SEARCH_LEVEL = 3
"""The deepest heading that is a search result of its own; what stands deeper is found under that heading."""

_UNREAD = re.compile(
    r"<(h1|script|style|svg|template|select|button)\b.*?</\1>|<(\w+)\b[^>]*\sdata-search-exclude\b[^>]*>.*?</\2>|<[^>]*>",
    re.DOTALL,
)
_HEADING = re.compile(r"<h([1-6])\b[^>]*\bid=\"([^\"]+)\"[^>]*>.*?</h\1>", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that search can lead to: where it is, its title, and its text without markup."""

    location: str
    title: str
    text: str


def findings(page: Page) -> tuple[Finding, ...]:
    """Return what search may find in `page`: the page, and each of its headings down to `SEARCH_LEVEL`."""
    if not page.searchable:
        return ()
    titles = {heading.id: heading.text for heading in page.headings if 1 < heading.level <= SEARCH_LEVEL}
    marks = [mark for mark in _HEADING.finditer(page.html) if mark[2] in titles]
    ends = [mark.start() for mark in marks] + [len(page.html)]
    found = [Finding(page.path, page.title, _words(page.html[: ends[0]]))]
    for mark, end in zip(marks, ends[1:], strict=True):
        found.append(Finding(f"{page.path}#{mark[2]}", titles[mark[2]], _words(page.html[mark.end() : end])))
    return tuple(found)


def _words(html: str) -> str:
    return " ".join(unescape(_UNREAD.sub(" ", html)).split())


def search_files(found: Iterable[Finding]) -> tuple[Asset, ...]:
    """Return the files that search loads: its worker, and what can be found, for a disk and for a server.

    What can be found stays one text inside them: the page passes it on unread and the worker takes it apart,
    so that a large manual never holds the page up.
    """
    rows = [(finding.location, finding.title, finding.text) for finding in found]
    docs = json.dumps(rows, separators=(",", ":"), ensure_ascii=False)
    index = json.dumps({"config": {}, "docs": docs}, separators=(",", ":"), ensure_ascii=False)
    worker = (ASSETS / "workers" / "search.js").read_text("utf-8")
    return (
        Asset("search/search_index.json", index),
        Asset("search/search_index.js", f"var __index={_in_script(index)};\n"),
        Asset(SEARCH_WORKER, f"Gaugeleaf.searchWorker({_in_script(json.dumps(worker))});\n"),
    )


def _in_script(data: str) -> str:
    # JSON is script but for these two ends of a line
    return data.replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")

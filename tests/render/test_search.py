"""What search reads of a page, and what its worker answers."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path
from typing import Any

import pytest

from builder.render.search import Finding, findings, search_files
from builder.render.shell import ASSETS, Heading, Page

HTML = """\
<h1 id="t">Fit <em>poured</em> mains</h1><p>Caps &amp; nuts.</p><script>var hidden;</script>
<h2 id="safety">Safety</h2><p>Lead dust.</p><p data-search-exclude class="x">not this</p>
<svg><text>nor this</text></svg><h3 id="bore">Bore</h3><p>0.0015 in</p>
<h4 id="deep">Deep</h4><p>under Bore</p><h2>No id</h2><p>nor cut here</p>
"""
HEADINGS = (
    Heading(1, "t", "Fit poured mains"), Heading(2, "safety", "Safety"), Heading(3, "bore", "Bore"),
    Heading(4, "deep", "Deep"),
)  # fmt: skip


def test_page_is_cut_at_its_listed_headings_down_to_the_third() -> None:
    """Each finding is plain text: no markup, no script, nothing marked as not for search."""
    assert findings(Page("p16.html", "Fit poured mains", HTML, HEADINGS, ())) == (
        Finding("p16.html", "Fit poured mains", "Caps & nuts."),
        Finding("p16.html#safety", "Safety", "Lead dust."),
        Finding("p16.html#bore", "Bore", "0.0015 in Deep under Bore No id nor cut here"),
    )


def test_page_not_for_search_is_not_found() -> None:
    """A sheet for print has all its words from the checklist, which is found instead."""
    assert findings(Page("p16.html", "Sheet", HTML, HEADINGS, (), searchable=False)) == ()


def test_files_for_a_disk_and_for_a_server_say_the_same() -> None:
    """The script is the JSON with a name, and the ends of line that only script knows are escaped."""
    index, script, worker = search_files([Finding("a.html", "A", "line\u2028end </script> ½")])

    data = json.loads(index.content)
    assert json.loads(data["docs"]) == [["a.html", "A", "line\u2028end </script> ½"]]
    assert isinstance(script.content, str)
    assert json.loads(script.content.removeprefix("var __index=").removesuffix(";\n")) == data
    assert "\u2028" not in script.content
    assert (index.path, script.path) == ("search/search_index.json", "search/search_index.js")
    assert isinstance(worker.content, str)
    source = (ASSETS / "workers/search.js").read_text("utf-8")
    assert json.loads(worker.content.removeprefix("Gaugeleaf.searchWorker(").removesuffix(");\n")) == source


ROWS = [
    ["specs.html", "Tallow Four spec tables", "All values of the family."],
    ["specs.html#CRK-09", "Main bearing oil clearance", "CRK-09 new 0.0012 to 0.0022 in <cold>"],
    ["specs.html#CRK-11", "Crankshaft end float", "CRK-11 new 0.004 to 0.008 in"],
    ["p16.html", "Fit poured main bearings", "Bore the bearings, then measure each clearance."],
    ["p19.html", "Set end play", "End float is end play."],
]

ASK = """
const self = globalThis.self = {}; const answers = [];
self.postMessage = message => answers.push(message);
require('node:vm').runInThisContext(require('node:fs').readFileSync(process.argv[1], 'utf8'));
const [rows, queries] = JSON.parse(process.argv[2]);
self.onmessage({data: {type: 0, data: {config: {}, docs: JSON.stringify(rows)}}});
for (const query of queries) self.onmessage({data: {type: 2, data: query}});
console.log(JSON.stringify(answers));
"""


def ask(*queries: str) -> list[list[list[dict[str, Any]]]]:
    """Give `queries` to the worker and return the pages of each answer, each a list of places, best first."""
    command = ["node", "-e", ASK, str(ASSETS / "workers/search.js"), json.dumps([ROWS, queries])]
    done = subprocess.run(command, check=True, capture_output=True, text=True)
    ready, *answers = json.loads(done.stdout)
    assert ready == {"type": 1}
    assert [answer["type"] for answer in answers] == [3] * len(queries)
    return [answer["data"]["items"] for answer in answers]


def places(query: str) -> list[str]:
    """Where the worker's answer to `query` leads, best first."""
    return [item["location"] for group in ask(query)[0] for item in group]


@pytest.mark.parametrize(
    ("query", "found"),
    [
        ("crk-09", ["specs.html#CRK-09", "specs.html"]),
        ("0.0012", ["specs.html#CRK-09", "specs.html"]),
        ("clear", ["specs.html#CRK-09", "specs.html", "p16.html"]),
        ("clearances", ["specs.html#CRK-09", "specs.html", "p16.html"]),
        ("END float", ["specs.html#CRK-11", "specs.html", "p19.html"]),
        ('"end play"', ["p19.html"]),
        ("tallow float", ["specs.html#CRK-11", "specs.html"]),
        ("babbitt", []),
        ("  ", []),
        ("(.*)[", []),
    ],
)
def test_query_finds_whole_half_and_plural_words_codes_and_values(query: str, found: list[str]) -> None:
    """All words must stand in a place; a page's title counts for its places, and a group names its page."""
    assert places(query) == found


def test_query_with_an_unknown_word_shows_what_holds_most_of_it() -> None:
    """Where no place holds all words, those that hold most come, and each says which word it lacks."""
    [[place, page]] = ask("babbitt end float crankshaft")[0]

    assert place["location"] == "specs.html#CRK-11"
    assert place["terms"] == {"babbitt": False, "end": True, "float": True, "crankshaft": True}
    assert page["location"] == "specs.html"


def test_answer_marks_the_words_and_escapes_the_text() -> None:
    """What the page shows is HTML: signs of the text are escaped, found words marked."""
    [[place, _]] = ask("cold")[0]

    assert place["text"] == "CRK-09 new 0.0012 to 0.0022 in &lt;<mark>cold</mark>&gt;"


def test_node_reads_the_worker_that_the_site_carries() -> None:
    """The worker is one classic script without imports, as a text must be that becomes a worker."""
    source = Path(ASSETS / "workers/search.js").read_text("utf-8")

    assert "import" not in source
    assert "require" not in source

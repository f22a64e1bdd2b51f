"""Checklists in one file: all inside, nothing from outside, and a policy that says so."""

from __future__ import annotations

import re
import shutil
import subprocess
from base64 import b64encode
from hashlib import sha256
from html import unescape
from html.parser import HTMLParser

import pytest

from builder.checklist import checklists
from builder.judge.program import shared
from builder.manual import Manual
from builder.render import one_file
from builder.render.bench import SCRIPTS, SHARED, checklist_page, program_asset, script
from builder.render.one_file import ON_EVERY_PAGE
from builder.render.shell import ASSETS, Asset, Page


def parts(manual: Manual) -> tuple[tuple[Page, ...], tuple[Asset, ...]]:
    """The pages of a manual's checklists, and the data by which they judge."""
    every = tuple(checklists(manual))
    assets = (Asset(SHARED, script("shared", shared(manual))), *map(program_asset, every))
    return tuple(map(checklist_page, every)), assets


@pytest.fixture(scope="module")
def html(small: Manual) -> str:
    """The small shop's checklist in one file."""
    (made,) = one_file.one_files(*parts(small))
    assert made.path == "onefile/tallow-four/fit-poured-mains.html"
    return str(made.content)


class Contents(HTMLParser):
    """The policy, the inlined parts, the links and the ids of a file."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.policy = ""
        self.inline: dict[str, list[str]] = {"script": [], "style": []}
        self.asked: list[str] = []
        self.ids: set[str] = set()
        self.handlers: list[str] = []
        self.within = ""
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note what an element asks for."""
        known = {name: value or "" for name, value in attrs}
        if known.get("http-equiv") == "Content-Security-Policy":
            self.policy = known["content"]
        self.asked += [known[name] for name in ("href", "src", "action") if name in known]
        self.handlers += [name for name in known if name.startswith("on") or name == "style"]
        self.ids |= {known["id"]} if "id" in known else set()
        self.within = tag if tag in self.inline else ""

    def handle_data(self, data: str) -> None:
        """Note an inlined part."""
        if self.within:
            self.inline[self.within].append(data)

    def handle_endtag(self, tag: str) -> None:  # noqa: ARG002 - the signature is the library's
        """An inlined part ends."""
        self.within = ""


def test_policy_allows_just_the_inlined_parts_by_their_hashes(html: str) -> None:
    """Every script and style has its hash there; nothing else is allowed, from outside or inside."""
    found = Contents(html)

    def hashes(kind: str) -> set[str]:
        digests = (sha256(text.encode()).digest() for text in found.inline[kind])
        return {f"'sha256-{b64encode(digest).decode()}'" for digest in digests}

    rules = dict(rule.strip().split(" ", 1) for rule in found.policy.split(";"))
    assert set(rules.pop("script-src").split()) == hashes("script")
    assert set(rules.pop("style-src").split()) == hashes("style")
    assert rules == {
        "default-src": "'none'",
        "img-src": "data: blob:",
        "base-uri": "'none'",
        "form-action": "'none'",
    }
    assert found.handlers == []


def test_nothing_leads_out_of_the_file(html: str) -> None:
    """Every link leads to a place in it; what led to other pages is words."""
    found = Contents(html)

    assert {link[0] for link in found.asked} == {"#"}
    assert {link[1:] for link in found.asked} <= found.ids
    assert "Tallow Four instruction book (invented)" in html


def test_file_holds_every_script_once_in_order(html: str) -> None:
    """The library, the data of all checklists, the data of this one, then what starts the page."""
    text = "".join(Contents(html).inline["script"])
    marks = [
        "Gaugeleaf.exact = ",
        "Gaugeleaf.judging = ",
        "Gaugeleaf.shared = ",
        "Gaugeleaf.program = ",
        "Gaugeleaf.page = new",
    ]
    places = [text.find(mark) for mark in marks]

    assert -1 not in places
    assert places == sorted(places)
    assert all(text.count(mark) == 1 for mark in marks)


def test_page_in_the_file_is_the_page_of_the_site(small: Manual, html: str) -> None:
    """Word for word, less the way to other pages."""

    def words(text: str) -> list[str]:
        return unescape(re.sub(r"<(style|script)[^>]*>.*?</\1>|<[^>]+>", " ", text, flags=re.DOTALL)).split()

    (page,), _ = parts(small)
    without = re.sub(r'<p class="gl-also">.*?</p>', "", page.html, flags=re.DOTALL)
    article = html.partition('<article class="gl-article"')[2].partition(">")[2].partition("</article>")[0]

    assert words(article) == words(without)


@pytest.mark.parametrize("name", [*ON_EVERY_PAGE, *SCRIPTS, "checklist"])
def test_slim_script_is_the_same_program(name: str) -> None:
    """Only whole lines of remarks and indents go; node still takes it, and it cannot end its element."""
    text = one_file.slim((ASSETS / "js" / f"{name}.js").read_text("utf-8"))
    node = shutil.which("node")
    assert node is not None

    assert subprocess.run([node, "--check", "-"], input=text.encode(), check=False).returncode == 0
    assert "</script" not in text
    assert not re.search(r"(?m)^\s*(//|/\*)", text)


def test_slim_keeps_what_looks_like_a_remark_inside_a_line() -> None:
    """Addresses and strings stay whole."""
    assert (
        one_file.slim('/* A. */\n  a = "x // y"; // kept\n\n    // gone\n  b();\n')
        == 'a = "x // y"; // kept\nb();\n'
    )

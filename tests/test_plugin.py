"""The entrance for MkDocs: what it hands over, what it refuses, and that two builds are the same bytes."""

from __future__ import annotations

import logging
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from mkdocs.exceptions import Abort

from builder import plugin
from builder.diagnostics import Diagnostic, Severity, Span
from builder.render.shell import Asset, Heading, Page, Site

BuildSite = Callable[..., Path]

FAULT = Diagnostic(
    Span("specs/engines/tallow.yaml", 14, 9, 14, 20), "GL-214", "`new` has no unit", hint="write `0.0015 in`"
)
REMARK = Diagnostic(FAULT.span, "GL-300", "`aim` is wider than `new`", Severity.WARNING)


def page(path: str, title: str, section: tuple[str, ...] = ()) -> Page:
    """A page with two headings, its words in its HTML."""
    html = f'<h1 id="top">{title}</h1><p>About {title}.</p><h2 id="more">More of {title}</h2><p>Words.</p>'
    return Page(
        path, title, html, (Heading(1, "top", title), Heading(2, "more", f"More of {title}")), section
    )


PAGES = (
    page("index.html", "Home"),
    page("find.html", "Find a value"),
    page("engines/tallow/index.html", "Tallow Four", ("Engines", "Tallow Four")),
    page("engines/tallow/specs.html", "Spec tables", ("Engines", "Tallow Four")),
)
SITE = Site(
    PAGES, (Asset("assets/data/rows.js", "var rows = [];\n"), Asset("a/photo.bin", b"\x00\xff")), (), ()
)


def with_diagnostics(*found: Diagnostic) -> Site:
    """The sample site with something to say."""
    return Site(PAGES, SITE.assets, found, ())


def listing(folder: Path) -> dict[str, bytes]:
    """Every file under `folder` by its path."""
    return {
        file.relative_to(folder).as_posix(): file.read_bytes() for file in folder.rglob("*") if file.is_file()
    }


def test_site_holds_our_pages_and_files_and_of_the_theme_only_its_script(
    build_through_mkdocs: BuildSite, tmp_path: Path
) -> None:
    """Nothing lies in the site that no page loads: no second style sheet, no source maps, no fonts."""
    built = listing(build_through_mkdocs(SITE, tmp_path))

    ours = {path for path in built if not re.fullmatch(r"assets/javascripts/bundle\.\w+\.min\.js", path)}
    assert len(built) - len(ours) == 1
    scripts_of_other_rooms = {path for path in ours if re.match(r"assets/(js|css)/", path)}
    assert ours - scripts_of_other_rooms == {
        "index.html", "find.html", "engines/tallow/index.html", "engines/tallow/specs.html",
        "assets/data/rows.js", "a/photo.bin", "assets/mark.svg", "assets/print.css", "assets/site.css",
        "assets/search-worker.js", "search/search_index.js", "search/search_index.json",
    }  # fmt: skip
    assert {"assets/js/shade.js", "assets/js/search-start.js"} <= scripts_of_other_rooms
    assert built["a/photo.bin"] == b"\x00\xff"


def test_html_of_a_page_is_handed_over_untouched(build_through_mkdocs: BuildSite, tmp_path: Path) -> None:
    """MkDocs neither reads nor converts a finished page: Markdown signs in it stay what they are."""
    html = '<h1 id="top">*Stars* and `ticks`</h1>\n\n    <pre># no heading {{ no.template }}</pre>\n'
    site = Site(
        (Page("index.html", "Stars", html, (Heading(1, "top", "*Stars* and `ticks`"),), ()),), (), (), ()
    )

    built = build_through_mkdocs(site, tmp_path)

    assert html in (built / "index.html").read_text("utf-8")


def test_two_builds_are_the_same_bytes(build_through_mkdocs: BuildSite, tmp_path: Path) -> None:
    """No clock, no random name and no order of a folder reaches the site."""
    first = listing(build_through_mkdocs(SITE, tmp_path / "one"))
    second = listing(build_through_mkdocs(SITE, tmp_path / "two"))

    assert first == second


def test_pages_load_nothing_from_outside(build_through_mkdocs: BuildSite, tmp_path: Path) -> None:
    """Every script, style sheet and picture is named by a path inside the site, and no script is inline."""
    built = build_through_mkdocs(SITE, tmp_path)

    for file in built.rglob("*.html"):
        html = file.read_text("utf-8")
        loads = re.findall(r"<(?:script|link|img)\b[^>]*?(?:src|href)=\"([^\"]+)\"", html)
        assert loads
        assert all((file.parent / load).resolve().is_file() for load in loads), loads
        assert re.findall(r"<script(?![^>]*\bsrc=)[^>]*>", html) == [
            '<script id="__config" type="application/json">'
        ]


def test_theme_plugins_that_a_shop_lists_change_nothing(
    build_through_mkdocs: BuildSite, tmp_path: Path
) -> None:
    """With the theme's own search and offline plugins listed, the same site comes out."""
    listed = "site_name: Gaugeleaf sample shop (invented)\ndocs_dir: pages\ntheme: material\n"
    plain = listing(build_through_mkdocs(SITE, tmp_path / "plain", listed + "plugins: [gaugeleaf]\n"))
    more = listing(
        build_through_mkdocs(SITE, tmp_path / "more", listed + "plugins: [search, offline, gaugeleaf]\n")
    )

    assert more == plain


def test_own_markdown_pages_stand_in_the_index_and_in_search(
    build_through_mkdocs: BuildSite, tmp_path: Path
) -> None:
    """A shop's Markdown home page comes first; its other pages stand on a shelf of their own."""
    (tmp_path / "pages").mkdir()
    (tmp_path / "pages/index.md").write_text("# Our shop\n\nWelcome.\n", encoding="utf-8")
    (tmp_path / "pages/rules.md").write_text("# House rules\n\n## Gauges\n\nWipe them.\n", encoding="utf-8")
    site = Site(PAGES[1:], (), (), ())

    built = build_through_mkdocs(site, tmp_path)

    html = (built / "rules.html").read_text("utf-8")
    shown = re.findall(r"<a href=\"([^\"]+)\"[^>]*>([^<]+)</a>", html[html.index('id="gl-index"') :])
    assert shown[:5] == [
        ("index.html", "Home"),
        ("find.html", "Find a value"),
        ("engines/tallow/index.html", "Engines"),
        ("rules.html", "Shop pages"),
        ("rules.html", "House rules"),
    ]
    assert (
        '[\\"rules.html#gauges\\",\\"Gauges\\",\\"Wipe them.\\"]'
        in (built / "search/search_index.json").read_text()
    )


def test_shop_without_a_home_page_gets_one_and_another_keeps_its_own(
    build_through_mkdocs: BuildSite, tmp_path: Path
) -> None:
    """Whoever opens the folder finds a way in; what the shop wrote itself is never written over."""
    site = Site(PAGES[1:], (), (), (), page("index.html", "The shop's manual"))

    bare = build_through_mkdocs(site, tmp_path / "bare")
    (tmp_path / "own" / "pages").mkdir(parents=True)
    (tmp_path / "own" / "pages" / "index.md").write_text("# Our own page\n", "utf-8")
    own = build_through_mkdocs(site, tmp_path / "own")

    assert "About The shop's manual." in (bare / "index.html").read_text("utf-8")
    assert "Our own page" in (own / "index.html").read_text("utf-8")
    assert "About The shop's manual." not in (own / "index.html").read_text("utf-8")


def test_faulty_manual_leaves_the_last_good_site(
    build_through_mkdocs: BuildSite, tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    """An error stops the build before MkDocs empties the folder; its place and its hint are logged."""
    good = listing(build_through_mkdocs(SITE, tmp_path))

    with pytest.raises(Abort), caplog.at_level(logging.ERROR):
        build_through_mkdocs(with_diagnostics(FAULT), tmp_path)

    assert listing(tmp_path / "site") == good
    assert [record.message for record in caplog.records] == [
        "gaugeleaf: specs/engines/tallow.yaml:14:9: GL-214 `new` has no unit (write `0.0015 in`)",
        "1 error in the manual: nothing was built, the last good site stays",
    ]


def test_warning_builds_the_site_but_fails_a_strict_build(
    build_through_mkdocs: BuildSite, tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    """A warning is said and nothing more, unless `--strict` asks for a clean manual."""
    site = with_diagnostics(REMARK)

    build_through_mkdocs(site, tmp_path, strict=False)
    assert (tmp_path / "site/index.html").is_file()
    assert "specs/engines/tallow.yaml:14:9: GL-300 `aim` is wider than `new`" in caplog.text

    with pytest.raises(Abort):
        build_through_mkdocs(site, tmp_path, strict=True)


def test_build_site_says_why_nothing_was_built(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The command line gets one sentence, or an empty one when the site stands."""
    shop_file = tmp_path / "mkdocs.yml"
    shop_file.write_text(
        "site_name: x\ndocs_dir: pages\ntheme: material\nplugins: [gaugeleaf]\n", encoding="utf-8"
    )
    (tmp_path / "pages").mkdir()

    monkeypatch.setattr(plugin, "build", lambda *_of, **_more: with_diagnostics(FAULT, FAULT))
    assert plugin.build_site(shop_file, strict=False) == (
        "2 errors in the manual: nothing was built, the last good site stays"
    )
    monkeypatch.setattr(plugin, "build", lambda *_of, **_more: SITE)
    assert plugin.build_site(shop_file, strict=False) == ""
    assert (tmp_path / "site/index.html").is_file()


def test_navigation_follows_the_sections_in_their_order() -> None:
    """MkDocs gets each page once, nested as its section says, own pages round them."""
    assert plugin.navigation(PAGES[1:], ["index.md", "rules.md"]) == [
        "index.md",
        {"Find a value": "find.md"},
        {"Engines": [{"Tallow Four": [
            {"Tallow Four": "engines/tallow/index.md"}, {"Spec tables": "engines/tallow/specs.md"},
        ]}]},
        {"Shop pages": ["rules.md"]},
    ]  # fmt: skip


def test_contents_nest_by_level_and_come_back_flat() -> None:
    """A heading stands under the nearest one before it of a higher rank, also where a rank is left out."""
    headings = (
        Heading(1, "a", "A"), Heading(3, "b", "B"), Heading(2, "c", "C"), Heading(3, "d", "D"),
        Heading(1, "e", "E"),
    )  # fmt: skip

    contents = plugin.contents_of(headings)

    assert str(contents) == "A - #a\n    B - #b\n    C - #c\n        D - #d\nE - #e\n"
    assert plugin.headings_of(contents) == headings


def test_server_watches_the_shop_files() -> None:
    """While serving, a change of a watched path builds again."""
    hooks = plugin.GaugeleafPlugin()
    hooks.site = Site((), (), (), (Path("specs"), Path("procedures")))
    watched: list[str] = []

    class Server:
        def watch(self, path: str) -> None:
            watched.append(path)

        def set_app(self, app: object) -> None:
            watched.append(getattr(app, "__name__", ""))

        def serve_request(self) -> None:
            """Answer."""

    hooks.on_serve(Server(), config=None, builder=None)  # type: ignore[arg-type]

    assert watched == ["specs", "procedures", "answer"]


@pytest.mark.parametrize(
    ("method", "status"),
    [("GET", "200 OK"), ("HEAD", "200 OK"), ("POST", "405"), ("PUT", "405"), ("DELETE", "405")],
)
def test_served_site_is_read_and_never_written(method: str, status: str) -> None:
    """Whatever would write is refused before MkDocs sees it."""
    told: list[str] = []

    def page(_environ: object, start: Callable[[str, list[tuple[str, str]]], object]) -> list[bytes]:
        start("200 OK", [])
        return [b"page"]

    answer = plugin.only_read(page)({"REQUEST_METHOD": method}, lambda said, _: told.append(said))  # type: ignore[arg-type]

    assert told[0].startswith(status)
    assert list(answer) == ([b"page"] if status == "200 OK" else [])


def test_content_policy_stands_in_a_built_page_and_not_in_a_served_one(
    build_through_mkdocs: BuildSite, tmp_path: Path
) -> None:
    """A built page refuses all from outside; a served one carries MkDocs's inline reload script."""
    built = build_through_mkdocs(SITE, tmp_path / "built") / "index.html"
    served = build_through_mkdocs(SITE, tmp_path / "served", command="serve") / "index.html"

    assert "default-src 'none'" in built.read_text("utf-8")
    assert "Content-Security-Policy" not in served.read_text("utf-8")

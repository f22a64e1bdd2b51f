"""The page of changes: only where a shop asks for it and git can tell; the same bytes each time."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from builder.plugin import build_site
from builder.render.changes import changes_page
from builder.render.shell import Site
from builder.revision.report import changes_since
from builder.site import build, with_changes

pytestmark = pytest.mark.skipif(shutil.which("git") is None, reason="no git here")

Git = Callable[..., str]
Commit = Callable[[Path, str, str, str], str]
Edited = Callable[[Path, tuple[str, str, str]], None]

SHOP_FILE = """\
site_name: Small shop (invented)
docs_dir: pages
theme: {name: material}
plugins:
  - gaugeleaf: {changes_since: "2026-03-01"}
"""


@pytest.fixture
def changed_shop(shop: Path, git: Git, commit: Commit, edited: Edited) -> Path:
    """A shop in which an aim and a step changed after the first commit."""
    (shop / "pages").mkdir()
    (shop / "pages" / "index.md").write_text("# Small shop\n", encoding="utf-8")
    (shop / "mkdocs.yml").write_text(SHOP_FILE, encoding="utf-8")
    git(shop, "init", "--quiet")
    commit(shop, "R. Tate", "2026-02-01", "The shop as it was")
    edited(shop, ("family", "aim: 0.0015", "aim: 0.0014"))
    edited(shop, ("mains", "do: Bore the metal.", "do: Bore <b>it</b>."))
    commit(shop, "K. Oakes", "2026-03-02", "The rear main ran dry & hot")
    return shop


def test_page_tells_each_change_with_its_reason(changed_shop: Path) -> None:
    """What was, what is, whose commit; words of the shop stand as text and never as markup."""
    page = changes_page(changes_since(changed_shop, "2026-03-01"))

    assert page.path == "changes.html"
    assert [(one.id, one.text) for one in page.headings] == [
        ("tallow-four-invented", "Tallow Four (invented)"),
        ("p16-fit-the-main-bearings", "P16 Fit the main bearings"),
        ("new-editions", "New editions"),
    ]
    assert '<a href="engines/tallow-four/index.html">Tallow Four (invented)</a>' in page.html
    assert "<p>Before: <del>0.0015 to 0.0018 in</del></p>" in page.html
    assert "<p>Now: <ins>0.0014 to 0.0018 in</ins></p>" in page.html
    assert "Bore &lt;b&gt;it&lt;/b&gt;." in page.html
    assert page.html.count("The rear main ran dry &amp; hot (K. Oakes, 2026-03-02)") == 2


def test_site_has_the_page_only_where_git_can_tell(
    changed_shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An unknown revision, or no git, leaves the site as it is; else one page more, the same each time."""
    site = build(changed_shop)
    once, again = (with_changes(site, changed_shop, "HEAD~1") for _ in range(2))

    assert once == again
    assert [page.path for page in once.pages if page not in site.pages] == ["changes.html"]
    assert with_changes(site, changed_shop, "nowhere") is site
    monkeypatch.setenv("PATH", str(changed_shop))
    assert with_changes(site, changed_shop, "HEAD~1") is site
    assert isinstance(site, Site)


def test_shop_file_asks_for_the_page(changed_shop: Path) -> None:
    """`changes_since` in `mkdocs.yml` puts the page on its shelf of the site."""
    assert build_site(changed_shop / "mkdocs.yml", strict=True) == ""

    text = (changed_shop / "site" / "changes.html").read_text(encoding="utf-8")
    assert "<del>0.0015 to 0.0018 in</del>" in text
    assert "changes.html" in (changed_shop / "site" / "hazards.html").read_text(encoding="utf-8")

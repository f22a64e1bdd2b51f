"""The entrance for MkDocs: `plugins: [gaugeleaf]`. Hooks only; the work is done by `builder.site`."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from importlib import import_module
from pathlib import Path
from typing import Any, Literal

from mkdocs.config.base import Config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.livereload import LiveReloadServer
from mkdocs.plugins import BasePlugin, CombinedEvent, event_priority, get_plugin_logger
from mkdocs.structure.files import File, Files
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page as MkDocsPage
from mkdocs.structure.toc import AnchorLink, TableOfContents, get_toc
from mkdocs.utils import write_file

from builder.diagnostics import Diagnostic, Severity
from builder.render import shell

log = get_plugin_logger("gaugeleaf")

WORKER_SHIM = "assets/js/iframe-worker-local.js"
"""The theme's offline plugin fetches a shim of its own unless a listed one has `iframe-worker` in its name."""

OWN_SHELF = "Shop pages"
"""The section of the index under which a shop's own Markdown pages stand."""

THEME_FILES = re.compile(r"assets/javascripts/(bundle|workers/search)\.\w+\.min\.js$")
"""The files of the theme that our pages load; the others are left out of the site."""


class GaugeleafConfig(Config):
    """No options: the shop's folder is the one in which `mkdocs.yml` stands."""


class FinishedPage(MkDocsPage):
    """A page whose HTML stands already, so that MkDocs neither reads nor converts it."""

    def __init__(self, page: shell.Page, file: File, config: MkDocsConfig) -> None:
        super().__init__(page.title, file, config)
        self.finished = page

    def read_source(self, config: MkDocsConfig) -> None:  # noqa: ARG002 - the signature is MkDocs's
        """Say which template to use, and that search gets its entries from us."""
        self.markdown = ""
        self.meta = {"template": f"{self.finished.template or 'main'}.html", "search": {"exclude": True}}

    def render(self, config: MkDocsConfig, files: Files) -> None:  # noqa: ARG002 - the signature is MkDocs's
        """Hand over the HTML with its table of contents."""
        self.content = self.finished.html
        self.toc = contents_of(self.finished.headings)
        self.present_anchor_ids = {heading.id for heading in self.finished.headings}


class GaugeleafPlugin(BasePlugin[GaugeleafConfig]):
    """Builds the shop's manual, hands its pages to MkDocs and draws the shell round them."""

    serving = False
    site = shell.Site((), (), (), ())
    index = shell.Index.of(())

    def on_startup(self, *, command: Literal["build", "gh-deploy", "serve"], dirty: bool) -> None:  # noqa: ARG002
        """Remember whether pages will carry the reload script, which the content policy would stop."""
        self.serving = command == "serve"

    @event_priority(100)
    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Put our templates before the theme's and our worker shim before its offline plugin looks for one."""
        after_own = 1 if config.theme.custom_dir else 0
        if str(shell.THEME) not in config.theme.dirs:
            config.theme.dirs.insert(after_own, str(shell.THEME))
        config.extra["polyfills"] = [WORKER_SHIM, *config.extra.get("polyfills", [])]
        if not config.site_url:  # both name pages by their place on a server, which a folder on a disk has not
            config.theme.static_templates -= {"sitemap.xml", "404.html"}
        return config

    def on_pre_build(self, *, config: MkDocsConfig) -> None:
        """Build the manual; refuse a faulty one now, before MkDocs empties the folder of the last good site."""
        shop = Path(config.config_file_path).parent
        self.site = import_module("builder.site").build(shop)
        report(self.site.diagnostics)

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """Add every page and file of the manual, and drop the theme's files that no page of ours loads."""
        own = [file.src_uri for file in files.documentation_pages()]
        for file in [file for file in files if is_unused(file, config)]:
            files.remove(file)
        written = {asset.path: asset for asset in (*shell.shell_assets(), *self.site.assets)}
        for path, asset in written.items():
            files.append(File.generated(config, path, content=asset.content))
        for page in self.site.pages:
            file = File.generated(config, source_of(page.path), content="")
            FinishedPage(page, file, config)
            files.append(file)
        if config.nav is None:
            config.nav = navigation(self.site.pages, own)
        return files

    def on_env(self, env: Any, *, config: MkDocsConfig, files: Files) -> None:  # noqa: ANN401, ARG002
        """Shelve all pages in the index, once the titles of the shop's own Markdown pages are known."""
        self.index = shell.Index.of((*self._entries(), *own_entries(files)))

    def _entries(self) -> Iterator[shell.Entry]:
        for page in self.site.pages:
            yield shell.Entry(page.path, page.title, page.section)

    def on_page_context(
        self, context: Any, *, page: MkDocsPage, config: MkDocsConfig, nav: Navigation  # noqa: ANN401, ARG002
    ) -> Any:  # noqa: ANN401 - a template's context holds anything
        """Hand the template what it draws round the page."""
        headings = page.finished.headings if isinstance(page, FinishedPage) else headings_of(page.toc)
        policy = "" if self.serving else shell.POLICY
        context["shell"] = shell.frame(self.index, page.url or shell.HOME, headings, policy)
        return context

    @event_priority(100)
    def _give_search_its_entries(self, *, config: MkDocsConfig) -> None:
        search = config.plugins.get("material/search")
        if search is None:
            return
        for page in self.site.pages:
            for found in shell.findings(page):
                entry = {"location": found.location, "title": found.title, "text": found.text}
                search.search_index.entries.append(entry)

    @event_priority(-200)  # the theme's offline plugin writes the script at -100
    def _hand_search_over_unread(self, *, config: MkDocsConfig) -> None:
        index = Path(config.site_dir, "search/search_index.json")
        if not index.is_file():
            return
        write(config, shell.search_index(index.read_text("utf-8")))
        worker = next(Path(config.site_dir, "assets/javascripts/workers").glob("search.*.js"))
        write(config, shell.search_worker(worker.read_text("utf-8")))

    on_post_build = CombinedEvent(_give_search_its_entries, _hand_search_over_unread)
    """Give search its entries before the theme writes them out; then make scripts of them and of its worker."""

    def on_serve(self, server: LiveReloadServer, *, config: MkDocsConfig, builder: Any) -> None:  # noqa: ANN401, ARG002
        """Build again when one of the shop's files changes."""
        for path in self.site.watch:
            server.watch(str(path))


def report(diagnostics: tuple[Diagnostic, ...]) -> None:
    """Log what is wrong with the manual.

    Raises:
        PluginError: when there is an error among `diagnostics`.
    """
    for found in diagnostics:
        line = f"{found.span}: {found.code} {found.message}" + (f" ({found.hint})" if found.hint else "")
        (log.error if found.severity is Severity.ERROR else log.warning)(line)
    errors = sum(found.severity is Severity.ERROR for found in diagnostics)
    if errors:
        raise PluginError(f"{errors} errors in the manual: nothing was built, the last good site is untouched")


def is_unused(file: File, config: MkDocsConfig) -> bool:
    """Tell whether `file` is one of the theme's that no page of ours loads."""
    return file.src_dir != config.docs_dir and file.src_dir in config.theme.dirs and not THEME_FILES.match(file.src_uri)


def source_of(path: str) -> str:
    """Return the name under which MkDocs takes the page `path` for a page: `a/b.html` becomes `a/b.md`."""
    return path.removesuffix(".html") + ".md"


def navigation(pages: tuple[shell.Page, ...], own: list[str]) -> list[Any]:
    """Return MkDocs's `nav` for the manual's `pages` by their sections, and the shop's `own` Markdown pages."""
    nav: list[Any] = []
    shelves: dict[tuple[str, ...], list[Any]] = {(): nav}
    for page in pages:
        shelf_for(page.section, shelves).append({page.title: source_of(page.path)})
    if own:
        nav.append({OWN_SHELF: own})
    return nav


def shelf_for(section: tuple[str, ...], shelves: dict[tuple[str, ...], list[Any]]) -> list[Any]:
    """Return the list for `section` out of `shelves`, putting it into its outer section's when it is new."""
    if section not in shelves:
        shelves[section] = []
        shelf_for(section[:-1], shelves).append({section[-1]: shelves[section]})
    return shelves[section]


def own_entries(files: Files) -> Iterator[shell.Entry]:
    """Yield what the index needs of the shop's own Markdown pages."""
    for file in files.documentation_pages():
        if file.page is not None and not isinstance(file.page, FinishedPage):
            yield shell.Entry(file.page.url or shell.HOME, str(file.page.title), (OWN_SHELF,))


def contents_of(headings: tuple[shell.Heading, ...]) -> TableOfContents:
    """Return `headings` as MkDocs's table of contents, each under the nearest one of a higher rank."""
    top: list[Mapping[str, Any]] = []
    open_lists = [(0, top)]
    for heading in headings:
        while open_lists[-1][0] >= heading.level:
            open_lists.pop()
        token = {"level": heading.level, "id": heading.id, "name": heading.text, "children": []}
        open_lists[-1][1].append(token)
        open_lists.append((heading.level, token["children"]))  # type: ignore[arg-type]
    return get_toc(top)  # type: ignore[arg-type]


def headings_of(contents: TableOfContents | list[AnchorLink]) -> tuple[shell.Heading, ...]:
    """Return MkDocs's table of contents of a Markdown page as headings."""
    found: list[shell.Heading] = []
    for link in contents:
        found += [shell.Heading(link.level, link.id, link.title), *headings_of(link.children)]
    return tuple(found)


def write(config: MkDocsConfig, asset: shell.Asset) -> None:
    """Write `asset` into the site after MkDocs has written its own files."""
    content = asset.content if isinstance(asset.content, bytes) else asset.content.encode()
    write_file(content, str(Path(config.site_dir, asset.path)))

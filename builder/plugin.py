"""The entrance for MkDocs: `plugins: [gaugeleaf]`. Hooks only; the work is done by `builder.site`.

Also the two ways in which the command line has MkDocs work: `build_site` and `serve_site`.
"""

from __future__ import annotations

import logging
import re
import sys
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any, Literal
from wsgiref.types import StartResponse, WSGIApplication, WSGIEnvironment

from mkdocs.commands import build as mkdocs_build
from mkdocs.commands import serve as mkdocs_serve
from mkdocs.config import load_config
from mkdocs.config.base import Config
from mkdocs.config.config_options import Type
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import Abort, PluginError
from mkdocs.livereload import LiveReloadServer
from mkdocs.plugins import BasePlugin, event_priority, get_plugin_logger
from mkdocs.structure.files import File, Files
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page as MkDocsPage
from mkdocs.structure.toc import AnchorLink, TableOfContents, get_toc
from mkdocs.utils import write_file

from builder.diagnostics import Diagnostic, Severity
from builder.jobs.start import JOBS
from builder.render import search, shell
from builder.render.site_index import HOME, Entry, Index
from builder.site import build, with_changes

log = get_plugin_logger("gaugeleaf")

OWN_SHELF = "Shop pages"
"""The section of the index under which a shop's own Markdown pages stand."""

THEME_FILES = re.compile(r"assets/javascripts/bundle\.\w+\.min\.js$")
"""The files of the theme that our pages load; the others are left out of the site."""


class GaugeleafConfig(Config):  # type: ignore[no-untyped-call]  # MkDocs's own base is untyped there
    """The shop's folder is the one in which `mkdocs.yml` stands."""

    changes_since = Type((str, int, date), default="")
    """A revision of the shop's history, or a day: the site gets a page of what changed since then."""
    jobs = Type(str, default=JOBS)
    """The folder of the shop's jobs: each can be chosen in *Find a value*."""

    job_pages = Type(bool, default=False)
    """Whether each job gets a page and its build record: not by itself, since a record names its owner."""


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


class GaugeleafPlugin(BasePlugin[GaugeleafConfig]):  # type: ignore[no-untyped-call]
    """Builds the shop's manual, hands its pages to MkDocs and draws the shell round them."""

    serving = False
    site = shell.Site((), (), (), ())
    own_pages: tuple[shell.Page, ...] = ()
    index = Index.of(())
    surround = shell.Surround()

    def on_startup(self, *, command: Literal["build", "gh-deploy", "serve"], dirty: bool) -> None:  # noqa: ARG002
        """Remember whether pages will carry the reload script, which the content policy would stop."""
        self.serving = command == "serve"

    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Put our templates before the theme's."""
        after_own = 1 if config.theme.custom_dir else 0
        if str(shell.THEME) not in config.theme.dirs:
            config.theme.dirs.insert(after_own, str(shell.THEME))
        config.use_directory_urls = False  # a link must name the file that a disk holds
        # both name pages by their place on a server, which a folder on a disk has not; one bears today's date
        config.theme.static_templates -= {"sitemap.xml", "404.html"}
        return config

    def on_pre_build(self, *, config: MkDocsConfig) -> None:
        """Build the manual; refuse a faulty one now, before MkDocs empties the last good site."""
        shop = Path(config.config_file_path).parent
        self.site = build(shop, config.site_url or "", self.config.jobs, job_pages=self.config.job_pages)
        report(self.site.diagnostics)
        if self.config.changes_since:
            self.site = with_changes(self.site, shop, str(self.config.changes_since))

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """Add every page and file of the manual, and drop the theme's files that no page of ours loads."""
        own = sorted((file.src_uri for file in files.documentation_pages()), key=home_first)
        if source_of(HOME) not in own and self.site.home is not None:
            self.site = replace(self.site, pages=(self.site.home, *self.site.pages))
        drop_theme_files(files, config)
        bundle = next(file.src_uri for file in files if THEME_FILES.match(file.src_uri))
        self.surround = shell.Surround("" if self.serving else shell.POLICY, bundle)
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
        """Shelve all pages in the index, once the shop's own Markdown pages have their titles."""
        self.own_pages = tuple(own_pages(files))
        pages = sorted((*self.site.pages, *self.own_pages), key=lambda page: page.path != HOME)
        self.index = Index.of(tuple(entry_of(page) for page in pages))

    def on_page_context(
        self,
        context: Any,  # noqa: ANN401 - a template's context holds anything
        *,
        page: MkDocsPage,
        config: MkDocsConfig,  # noqa: ARG002
        nav: Navigation,  # noqa: ARG002
    ) -> Any:  # noqa: ANN401
        """Hand the template what it draws round the page."""
        headings = page.finished.headings if isinstance(page, FinishedPage) else headings_of(page.toc)
        context["shell"] = shell.frame(self.index, page.url or HOME, headings, self.surround)
        return context

    @event_priority(-200)  # after the theme's search and offline plugins, where a shop lists them
    def on_post_build(self, *, config: MkDocsConfig) -> None:
        """Write what search reads, over what the theme's own plugins may have written."""
        pages = (*self.site.pages, *self.own_pages)
        for asset in search.search_files(found for page in pages for found in search.findings(page)):
            write(config, asset)

    def on_serve(self, server: LiveReloadServer, *, config: MkDocsConfig, builder: Any) -> None:  # noqa: ANN401, ARG002
        """Build again when one of the shop's files changes; let nobody do anything but read."""
        for path in self.site.watch:
            server.watch(str(path))
        server.set_app(only_read(server.serve_request))


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
        raise PluginError(f"{counted(errors)} in the manual: nothing was built, the last good site stays")


def counted(errors: int) -> str:
    """Return the number of errors in words: `1 error`, `2 errors`."""
    return "1 error" if errors == 1 else f"{errors} errors"


def drop_theme_files(files: Files, config: MkDocsConfig) -> None:
    """Take out of `files` those of the theme that no page of ours loads."""
    dirs = {folder for folder in config.theme.dirs if folder != config.theme.custom_dir}
    for file in [file for file in files if file.src_dir in dirs and not THEME_FILES.match(file.src_uri)]:
        files.remove(file)


def source_of(path: str) -> str:
    """Return the name under which MkDocs takes the page `path` for a page: `a/b.html` becomes `a/b.md`."""
    return path.removesuffix(".html") + ".md"


def home_first(source: str) -> tuple[bool, str]:
    """Return the key that sorts the home page before all others."""
    return source != source_of(HOME), source


def navigation(pages: tuple[shell.Page, ...], own: list[str]) -> list[Any]:
    """Return MkDocs's `nav`: the manual's `pages` by sections, round them the shop's `own` Markdown pages."""
    home = [source for source in own if source == source_of(HOME)]
    nav: list[Any] = [*home]
    shelves: dict[tuple[str, ...], list[Any]] = {(): nav}
    for page in pages:
        shelf_for(page.section, shelves).append({page.title: source_of(page.path)})
    if own != home:
        nav.append({OWN_SHELF: own[len(home) :]})
    return nav


def shelf_for(section: tuple[str, ...], shelves: dict[tuple[str, ...], list[Any]]) -> list[Any]:
    """Return the list for `section` out of `shelves`, putting it into its outer section's when it is new."""
    if section not in shelves:
        shelves[section] = []
        shelf_for(section[:-1], shelves).append({section[-1]: shelves[section]})
    return shelves[section]


def entry_of(page: shell.Page) -> Entry:
    """Return the line of the index for `page`; the home page is called home, whatever its own title."""
    return Entry(page.path, "Home" if page.path == HOME else page.title, page.section)


def own_pages(files: Files) -> Iterator[shell.Page]:
    """Yield the shop's own Markdown pages, which MkDocs has read and converted."""
    for file in files.documentation_pages():
        page = file.page
        if page is not None and not isinstance(page, FinishedPage):
            path, headings = page.url or HOME, headings_of(page.toc)
            section = () if path == HOME else (OWN_SHELF,)
            yield shell.Page(path, str(page.title), page.content or "", headings, section)


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


def build_site(config_file: Path, *, strict: bool) -> str:
    """Build the site of the shop whose `mkdocs.yml` this is; return why it was not built, or nothing."""
    listen(logging.WARNING)
    config = load_config(str(config_file), strict=strict)
    config.plugins.on_startup(command="build", dirty=False)
    try:
        mkdocs_build.build(config)
    except Abort as refused:
        return str(refused.__context__ or refused)
    finally:
        config.plugins.on_shutdown()
    return ""


def serve_site(config_file: Path, address: str) -> str:
    """Serve the site of the shop whose `mkdocs.yml` this is at `host:port`, built again after each change.

    Returns when it is stopped, or why it was not served.
    """
    listen(logging.INFO)
    try:
        mkdocs_serve.serve(str(config_file), dev_addr=address)
    except Abort as refused:
        return str(refused.__context__ or refused)
    except OSError as refused:
        return f"cannot serve at {address}: {(refused.strerror or str(refused)).lower()}"
    return ""


def only_read(app: WSGIApplication) -> WSGIApplication:
    """An application that answers requests to read and refuses all others."""

    def answer(environ: WSGIEnvironment, start: StartResponse) -> Iterable[bytes]:
        if environ["REQUEST_METHOD"] in ("GET", "HEAD"):
            return app(environ, start)
        start("405 Method Not Allowed", [("Allow", "GET, HEAD"), ("Content-Length", "0")])
        return []

    return answer


def listen(level: int) -> None:
    """Let MkDocs and the plugin say on the error stream what is at least as grave as `level`."""
    handler = logging.StreamHandler(sys.stderr)
    handler.addFilter(lambda record: record.name != mkdocs_build.__name__ or record.levelno < logging.ERROR)
    logger = logging.getLogger("mkdocs")
    logger.handlers[:] = [handler]
    logger.setLevel(level)

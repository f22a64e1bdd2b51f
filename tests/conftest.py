"""What several test folders need: a site built through MkDocs from pages that a test makes up."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Literal

import pytest
from hypothesis import settings
from mkdocs.commands.build import build as build_site
from mkdocs.config import load_config

from builder.render.shell import Site

settings.register_profile("shared machine", deadline=None)  # a busy machine is no fault of the product
settings.load_profile("shared machine")

SHOP_FILE = """\
site_name: Gaugeleaf sample shop (invented)
docs_dir: pages
theme:
  name: material
plugins:
  - gaugeleaf
"""

BuildSite = Callable[..., Path]
Command = Literal["build", "serve"]


def build_into(
    site: Site, shop: Path, shop_file: str = SHOP_FILE, *, strict: bool = True, command: Command = "build"
) -> Path:
    """Build `site` in the folder `shop` through MkDocs; return the folder of the finished site."""
    (shop / "pages").mkdir(parents=True, exist_ok=True)
    (shop / "mkdocs.yml").write_text(shop_file, encoding="utf-8")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("builder.plugin.build", lambda _shop: site)
        config = load_config(str(shop / "mkdocs.yml"), strict=strict)
        config.plugins.on_startup(command=command, dirty=False)
        build_site(config)
    return shop / "site"


@pytest.fixture(scope="session")
def build_through_mkdocs() -> BuildSite:
    """The function that builds a made-up site through MkDocs and the plugin."""
    return build_into


def pytest_addoption(parser: pytest.Parser) -> None:
    """`--update` writes the finished pages that tests compare with, instead of comparing; read the diff."""
    parser.addoption("--update", action="store_true", help="write the golden files instead of comparing")

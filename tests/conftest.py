"""What several test folders need: a site built through MkDocs, and the browser's evaluator behind a pipe."""

from __future__ import annotations

import json
import shutil
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, Literal

import pytest
from hypothesis import settings
from mkdocs.commands.build import build as build_site
from mkdocs.config import load_config

from builder.formula import export_units
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

ANSWER = Path(__file__).parent / "js" / "answer.cjs"

BuildSite = Callable[..., Path]
Command = Literal["build", "serve"]


def build_into(
    site: Site, shop: Path, shop_file: str = SHOP_FILE, *, strict: bool = True, command: Command = "build"
) -> Path:
    """Build `site` in the folder `shop` through MkDocs; return the folder of the finished site."""
    (shop / "pages").mkdir(parents=True, exist_ok=True)
    (shop / "mkdocs.yml").write_text(shop_file, encoding="utf-8")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("builder.plugin.build", lambda *_of, **_more: site)
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


@pytest.fixture(scope="session")
def formula_browser() -> Iterator[Callable[[dict[str, Any]], Any]]:
    """Ask the browser's scripts one question; see tests/js/answer.cjs."""
    node = shutil.which("node")
    if node is None:
        pytest.skip("NOT COMPARED: node is not installed, so the browser's evaluator was not run at all")
    with subprocess.Popen(
        [node, str(ANSWER)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, encoding="utf-8"
    ) as process:
        assert process.stdin
        assert process.stdout
        questions, answers = process.stdin, process.stdout

        def ask(question: dict[str, Any]) -> Any:  # noqa: ANN401 - JSON of any shape
            questions.write(json.dumps(question) + "\n")
            questions.flush()
            line = answers.readline()
            assert line, "the browser's scripts stopped"
            return json.loads(line)

        ask({"units": export_units()})
        yield ask
        questions.close()

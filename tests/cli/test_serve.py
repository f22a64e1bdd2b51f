"""`gaugeleaf serve`: this machine alone unless told otherwise, and then said loudly."""

from __future__ import annotations

import logging
import socket
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from builder import plugin
from builder.cli import main


@pytest.fixture
def served(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The addresses at which the command has the site served, instead of serving it."""
    addresses: list[str] = []
    (tmp_path / "mkdocs.yml").write_text("site_name: Small shop (invented)\n", encoding="utf-8")
    monkeypatch.chdir(tmp_path)

    def note(_shop_file: Path, address: str) -> str:
        addresses.append(address)
        return ""

    monkeypatch.setattr(plugin, "serve_site", note)
    return addresses


def serve(*words: str) -> Result:
    """Run the command."""
    return CliRunner().invoke(main, ["serve", *words])


@pytest.mark.parametrize("address", ["", "127.0.0.1:8000", "localhost:80", "[::1]:8000", "127.0.0.2:8000"])
def test_this_machine_alone_is_served_without_a_word(served: list[str], address: str) -> None:
    """Nobody else can read it."""
    done = serve("--address", address) if address else serve()

    assert (done.output, done.exit_code, served) == ("", 0, [address or "127.0.0.1:8000"])


@pytest.mark.parametrize("address", ["192.168.1.20:8000", "0.0.0.0:8000", "shop.example:80", "[::]:8000"])
def test_the_network_is_served_with_a_warning(served: list[str], address: str) -> None:
    """Who can read it, that nobody can write, and how to stop."""
    done = serve("--address", address)

    assert done.output == (
        f"WARNING: while this runs, everyone on this network can read the manual at {address}. "
        "Nothing can be written through it. Stop it with Ctrl+C.\n"
    )
    assert served == [address]


@pytest.mark.parametrize("address", ["nowhere", "8000", ":8000", "a:b", "127.0.0.1:0", "127.0.0.1:70000"])
def test_what_is_no_address_is_a_misuse(served: list[str], address: str) -> None:
    """The message shows how one is written."""
    done = serve("--address", address)

    assert done.exit_code == 2
    assert f"`{address}` is no address; write it as in `192.168.1.20:8000`" in done.output
    assert served == []


@pytest.fixture
def quiet() -> Iterator[None]:
    """What MkDocs says goes where it went before, once the test is over."""
    logger = logging.getLogger("mkdocs")
    handlers, level = list(logger.handlers), logger.level
    yield
    logger.handlers[:] = handlers
    logger.setLevel(level)


@pytest.mark.usefixtures("quiet")
def test_address_in_use_is_told_in_one_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """No traceback: what is wrong, and that it was not served."""
    (tmp_path / "mkdocs.yml").write_text(
        "site_name: Small shop (invented)\ntheme: {name: material}\nplugins: [gaugeleaf]\n", encoding="utf-8"
    )
    (tmp_path / "docs").mkdir()
    (tmp_path / "docs" / "index.md").write_text("# Small shop\n", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    with socket.create_server(("127.0.0.1", 0)) as taken:
        address = f"127.0.0.1:{taken.getsockname()[1]}"
        done = serve("--address", address)

    assert done.exit_code == 1
    assert f"cannot serve at {address}: address already in use" in done.output

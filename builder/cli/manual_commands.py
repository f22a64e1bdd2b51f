"""The commands for the manual as a whole: check, build, serve, and what explains it."""

from __future__ import annotations

import sys
from importlib import import_module

import click

from builder.cli.entrance import main
from builder.cli.shop import SHOP_FILE, say, shop_folder
from builder.diagnostic_formats import FORMATS

HIGHEST_PORT = 65535


@main.command()
@click.option("--format", "form", type=click.Choice(FORMATS), default="text", help="How faults are written.")
def check(form: str) -> None:
    """Check every file of the manual; all faults come in one go."""
    from builder.rules import check_shop, has_errors  # noqa: PLC0415 - the other commands start without the rules

    shop = shop_folder()
    manual, diagnostics = check_shop(shop)
    say(shop, diagnostics, form)
    if not (diagnostics or manual.engines or manual.procedures):
        click.echo("and nothing to check: no file in specs/engines/, none in procedures/", err=True)
    sys.exit(1 if has_errors(diagnostics) else 0)


@main.command()
@click.option("--strict", is_flag=True, help="Let warnings stop the build too.")
def build(strict: bool) -> None:
    """Build the site; a manual with errors leaves the last good site as it is."""
    shop = shop_folder()
    message = import_module("builder.plugin").build_site(shop / SHOP_FILE, strict=strict)
    if message:
        click.echo(message, err=True)
        sys.exit(1)
    click.echo(f"built {shop / 'site'}")


@main.command()
@click.option(
    "--address",
    default="127.0.0.1:8000",
    show_default=True,
    help="Where to serve; loopback unless told otherwise.",
)
def serve(address: str) -> None:
    """Serve the site to read, and build it again when a file changes.

    Nothing can be written through it: what is filled in stays in the browser until it is saved to a file.
    """
    host, shop = _host(address), shop_folder()
    if not _is_loopback(host):
        click.echo(
            f"WARNING: while this runs, everyone on this network can read the manual at {address}. "
            "Nothing can be written through it. Stop it with Ctrl+C.",
            err=True,
        )
    message = import_module("builder.plugin").serve_site(shop / SHOP_FILE, address)
    if message:
        click.echo(message, err=True)
        sys.exit(1)


def _host(address: str) -> str:
    """The host of `127.0.0.1:8000` or `[::1]:8000`."""
    host, found, port = address.rpartition(":")
    if not found or not host or not port.isdigit() or not 0 < int(port) <= HIGHEST_PORT:
        raise click.UsageError(f"`{address}` is no address; write it as in `192.168.1.20:8000`")
    return host


def _is_loopback(host: str) -> bool:
    """Whether an address means this machine alone."""
    return host in ("localhost", "[::1]") or host.startswith("127.")


@main.command()
@click.argument("code")
def why(code: str) -> None:
    """Explain a fault by its code: what is wrong, why it matters, what to write instead."""
    from builder.rules import RULES  # noqa: PLC0415 - the other commands start without it

    found = RULES.get(code.upper())
    if found is None:
        raise click.UsageError(f"there is no rule `{code}`; the codes run from {min(RULES)} to {max(RULES)}")
    click.echo(f"{found.code} {found.name} ({found.severity})\n\n{found.wrong}\n")
    click.echo(f"Why it matters: {found.why}\n\nWrite instead: {found.instead}")


@main.command()
@click.option(
    "--of",
    "name",
    type=click.Choice(
        ["engine", "procedure", "engine-extension", "procedure-extension", "worksheet", "job", "sheet"]
    ),
    default="engine",
    show_default=True,
)
def schema(name: str) -> None:
    """Print the JSON Schema of one kind of file, for editors."""
    click.echo(import_module("builder.model.schema").schema_text(name))

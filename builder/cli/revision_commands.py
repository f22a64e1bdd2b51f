"""The commands for a manual that changes: approve, tidy, changes."""

from __future__ import annotations

import sys
from datetime import UTC, datetime
from importlib import import_module

import click

from builder.cli.entrance import main
from builder.cli.shop import refusals, shop_folder


@main.command()
@click.argument("procedure")
@click.option("--by", required=True, metavar="NAME", help="Who approves it.")
@click.option("--how", type=click.Choice(["table-top", "on-engine"]), help="How it was tried.")
def approve(procedure: str, by: str, how: str | None) -> None:
    """Approve a procedure, by id or code, in its present wording: who, when and which go into its file."""
    approving, shop = import_module("builder.revision.approve"), shop_folder()
    with refusals(shop):
        done = approving.approve(shop, procedure, by, datetime.now(UTC).astimezone().date(), how)
    click.echo("\n".join(approving.lines(done)))


@main.command()
@click.option("--check", "only", is_flag=True, help="Change nothing; exit 1 where something would change.")
def tidy(only: bool) -> None:
    """Lay the files out: keys in one order, one value a line; no word and no comment is lost."""
    tidying = import_module("builder.revision.tidy")
    found = tidying.tidy(shop_folder(), write=not only)
    click.echo("\n".join(tidying.lines(found, written=not only)))
    sys.exit(1 if any(one.refused or only for one in found) else 0)


@main.command()
@click.argument("engine")
@click.argument("procedure")
@click.argument("old", required=False, default="")
@click.argument("new", required=False, default="")
@click.option("--last", default=10, show_default=True, help="How many editions to list.")
def editions(engine: str, procedure: str, old: str, new: str, last: int) -> None:
    """List the editions that a checklist has had, each with who changed it, why, and what was new in it.

    With OLD, tell that edition and the present one apart in words; with OLD and NEW, those two.
    """
    files, telling, shop = (
        import_module("builder.sheet_files"), import_module("builder.revision.issues"), shop_folder()
    )  # fmt: skip
    with refusals(shop):
        order = files.order(
            import_module("builder.manual").load(shop)[0], engine, procedure, files.Form.PAPER
        )
        (present,) = order.checklists
        if old:
            told = telling.compared(shop, present, old.lower(), new.lower())
            click.echo("\n".join(told) or "they say the same")
        else:
            click.echo("\n".join(telling.lines(present, telling.issues(shop, present, max(1, last)))))


@main.command()
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
def differences(form: str) -> None:
    """Tell in what this shop differs from the base that `shop.yaml` names, who decided it, when and why."""
    shop, telling = shop_folder(), import_module("builder.render.differences")
    manual, faults = import_module("builder.manual").load(shop)
    manual = import_module("builder.revision.added").with_history(shop, manual)
    if form == "json":
        click.echo(telling.as_json(manual))
    else:
        click.echo("\n".join(telling.lines(manual)).strip())
    if faults:
        click.echo(f"`gaugeleaf check` tells {len(faults)} more that must be looked at", err=True)


@main.command()
@click.option("--since", required=True, metavar="REV", help="A commit, a tag, or a day as 2026-03-02.")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
def changes(since: str, form: str) -> None:
    """Tell in words what changed since a revision, by whom and why, and what open jobs must do again."""
    shop, telling = shop_folder(), import_module("builder.revision.words")
    with refusals(shop):
        report = import_module("builder.revision.report").changes_since(shop, since)
    click.echo("\n".join(telling.lines(report)) if form == "text" else telling.as_json(report))

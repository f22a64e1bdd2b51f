"""The commands that write the papers of a job."""

from __future__ import annotations

import sys
from importlib import import_module
from pathlib import Path
from typing import Any

import click

from builder.cli.entrance import job
from builder.cli.shop import FOLDER, pinned_plans, refusals, shop_folder, sound_manual

PLACE = click.Path(path_type=Path)
SIZE = click.Choice(["a4", "letter"])


@job.command("report")
@click.argument("folder", type=FOLDER)
@click.option("--pdf", "as_pdf", is_flag=True, help="A PDF for the printer.")
@click.option("--paper", "size", type=SIZE, help="The size of paper.  [default for a PDF: a4]")
@click.option(
    "--earlier", type=FOLDER, help="The folder of the job it comes back from.  [default: beside it]"
)
@click.option("--out", type=PLACE, help="The file to write.  [default: named by the job]")
@click.option("--force", is_flag=True, help="Write over a file that is there.")
def job_report(folder: Path, earlier: Path | None, size: str | None, **asked: Any) -> None:  # noqa: ANN401 - options by name
    """Write the owner's build record of a job as one page that needs nothing beside itself.

    The record of an engine that may not be released says so at its head, with every open point; the command
    exits 1 then.
    """
    shop, files = shop_folder(), import_module("builder.job_files")
    with refusals(folder.resolve().parent):
        manual, wish = sound_manual(shop), files.Wish(size=size or "", **asked)
        made = files.write_report(manual, folder.resolve(), wish, earlier, pinned_plans(shop, manual))
    click.echo(f"wrote {made.path}")
    if not made.may_be_released:
        click.echo(f"{folder.resolve().name} is NOT RELEASED: the record says so at its head", err=True)
        sys.exit(1)


@job.command("papers")
@click.argument("folder", type=FOLDER)
@click.argument("names", nargs=-1, type=click.Choice(["condition", "estimate", "tickets", "card"]))
@click.option("--pdf", "as_pdf", is_flag=True, help="PDFs for the printer.")
@click.option("--paper", "size", type=SIZE, help="The size of paper.  [default for a PDF: a4]")
@click.option("--out", type=PLACE, help="The folder, or for one paper the file, to write.")
@click.option("--force", is_flag=True, help="Write over files that are there.")
def job_papers(folder: Path, names: tuple[str, ...], size: str | None, **asked: Any) -> None:  # noqa: ANN401 - options by name
    """Write the papers of a job: condition report, estimate, outside tickets, card for the first 500 miles.

    The estimate has the customer's authority to sign. Without NAMES every paper is written that the job has
    something for.
    """
    shop, files = shop_folder(), import_module("builder.job_files")
    with refusals(folder.resolve().parent):
        manual, wish = sound_manual(shop), files.Wish(size=size or "", **asked)
        plans = pinned_plans(shop, manual)
        for place in files.write_papers(manual, folder.resolve(), names, wish, plans):
            click.echo(f"wrote {place}")

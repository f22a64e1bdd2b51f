"""The command that writes sheets."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from importlib import import_module
from pathlib import Path
from typing import Any

import click

from builder.cli.entrance import main
from builder.cli.shop import FOLDER, refusals, shop_folder, sound_job, sound_manual


@main.command()
@click.argument("engine")
@click.argument("procedure", required=False, default="")
@click.option("--pack", is_flag=True, help="Every sheet of the family, in the order of the route.")
@click.option("--one-file", is_flag=True, help="A checklist to fill in on a screen, all in one HTML file.")
@click.option("--pdf", is_flag=True, help="A PDF for the printer.")
@click.option("--fillable", is_flag=True, help="A PDF whose blanks are filled in on a screen.")
@click.option(
    "--paper", type=click.Choice(["a4", "letter"]), help="The size of paper.  [default for a PDF: a4]"
)
@click.option(
    "--out", type=click.Path(path_type=Path), help="The file to write.  [default: named by what it is]"
)
@click.option(
    "--edition", default="", help="An older edition, as it was: eight digits from a sheet or a record."
)
@click.option("--job", "folder", type=FOLDER, help="For this job, with what was decided for it.")
@click.option("--force", is_flag=True, help="Write over a file that is there.")
def sheet(
    engine: str,
    procedure: str,
    out: Path | None,
    edition: str,
    folder: Path | None,
    **asked: Any,  # noqa: ANN401 - options by name
) -> None:
    """Write the sheet of a procedure for a family, to print or to fill in: `gaugeleaf sheet pellbrook P16`.

    ENGINE and PROCEDURE are ids, codes, or beginnings that leave no doubt.
    """
    files, shop = import_module("builder.sheet_files"), shop_folder()
    with refusals(shop):
        force, manual = asked.pop("force"), replace(sound_manual(shop), served_at=files.served_at(shop))
        form = files.form_of(procedure, **asked)
        order = files.order(manual, engine, procedure, form, asked["paper"] or "")
        if folder is not None:
            order = files.for_job(order, sound_job(folder))
        if edition:
            order = files.older(shop, manual, order, edition.strip().lower())
        place = files.write(order, out, force=force, tell=partial(click.echo, err=True))
    click.echo(f"wrote {place}")

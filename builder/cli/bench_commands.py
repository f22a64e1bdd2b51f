"""The commands for the bench: find a value, work a worksheet out, choose pairs."""

from __future__ import annotations

import sys
from importlib import import_module
from pathlib import Path

import click

from builder.cli.entrance import main
from builder.cli.shop import FOLDER, pinned_plans, refusals, shop_folder


@main.command()
@click.argument("words", nargs=-1, required=True)
@click.option("--engine", help="Only this family.")
@click.option("--metric", is_flag=True, help="Show metric values first.")
@click.option("--job", "folder", type=FOLDER, help="For this job's sizes, sheets and readings: its folder.")
def find(words: tuple[str, ...], engine: str | None, metric: bool, folder: Path | None) -> None:
    """Find a value: any words for it, British or American, half words too."""
    from builder.render.find_lines import found_lines  # noqa: PLC0415 - the other commands start without it

    shop = shop_folder()
    manual, _ = import_module("builder.manual").load(shop)
    with refusals(folder.resolve().parent if folder else shop):
        asked = import_module("builder.render.find_job")
        job = asked.on_job(manual, folder.resolve(), pinned_plans(shop, manual)) if folder else None
        family = engine or (job.family if job is not None else None)
        lines = found_lines(manual, " ".join(words), family, metric=metric, job=job)
    if not lines:
        click.echo("nothing found: try fewer letters, or another word for it", err=True)
        sys.exit(1)
    click.echo("\n".join(lines))


@main.command()
@click.argument("worksheet", required=False)
@click.argument("values", nargs=-1, metavar="[NAME=VALUE]...")
def calc(worksheet: str | None, values: tuple[str, ...]) -> None:
    """Work a worksheet out: `gaugeleaf calc ring_gap bore="3 1/2" rate=0.004`.

    Without values it shows what to type; without a worksheet it lists them all.
    """
    manual, _ = import_module("builder.manual").load(shop_folder())
    words = import_module("builder.worksheet.words")
    if worksheet is None:
        click.echo("\n".join(words.list_lines(manual)).strip())
        return
    sheets = words.found(manual, worksheet)
    if len(sheets) != 1:
        known = [str(one.worksheet) for one in sheets or manual.worksheets.values()]
        raise click.UsageError(f"`{worksheet}` names no one worksheet; {words.nearest_to(worksheet, known)}")
    if not values:
        click.echo("\n".join(words.form_lines(manual, sheets[0])))
        return
    worked = import_module("builder.worksheet").work(sheets[0], _typed(values))
    if worked.strange:
        known = list(map(str, sheets[0].inputs))
        raise click.UsageError(
            f"`{worked.strange[0]}` is no input; {words.nearest_to(worked.strange[0], known)}"
        )
    click.echo("\n".join(words.answer_lines(manual, worked)))
    sys.exit(1 if worked.answer.value is None else 0)


def _typed(values: tuple[str, ...]) -> dict[str, str]:
    """`bore=3.5` as a name and a text."""
    pairs = [value.partition("=") for value in values]
    wrong = next(("".join(pair) for pair in pairs if not pair[1] or not pair[0]), None)
    if wrong is not None:
        raise click.UsageError(f"`{wrong}` is not `name=value`; put quotes round a value with a blank in it")
    return {name.strip(): value for name, _, value in pairs}


@main.command("pair")
@click.argument("holes")
@click.argument("shafts")
@click.option("--aim", required=True, help="The fit to aim at, as in `0.0015 in`.")
def pair_parts(holes: str, shafts: str, aim: str) -> None:
    """Choose which shaft goes into which hole, for fits nearest the aim.

    HOLES and SHAFTS are measured sizes set apart by commas, the unit after the last: "3.5504, 3.5506 in".
    """
    from builder.diagnostics import Fault  # noqa: PLC0415 - the other commands start without it
    from builder.jobs.pairing import typed_pairing_lines  # noqa: PLC0415 - the other commands start without it

    try:
        lines = typed_pairing_lines(holes, shafts, aim)
    except Fault as fault:
        raise click.UsageError(f"{fault.message}; {fault.hint}") from None
    click.echo("\n".join(lines))

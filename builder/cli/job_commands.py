"""The commands for the record of one engine."""

from __future__ import annotations

import sys
from importlib import import_module
from pathlib import Path
from typing import Any

import click

from builder.cli.entrance import job
from builder.cli.shop import FOLDER, JSON_FILE, pinned_plans, refusals, say, shop_folder, sound_manual
from builder.diagnostics import Severity


@job.command("start")
@click.argument("number")
@click.option("--engine", required=True, help="The family: the name of a file in specs/engines/.")
@click.option("--basis", type=click.Choice(["rebuilt", "overhauled"]), default="rebuilt", show_default=True)
@click.option("--people", default="", help="As in `R.T.=builder, K.O.=second+builder`.")
@click.option("--in", "parent", type=click.Path(path_type=Path), help="The folder of jobs.  [default: jobs]")
def job_start(number: str, engine: str, basis: str, people: str, parent: Path | None) -> None:
    """Start a job: its folder, with a job.yaml to complete."""
    from builder.jobs import people_of, start  # noqa: PLC0415 - the other commands start without it

    shop = shop_folder()
    manual, _ = import_module("builder.manual").load(shop)
    with refusals(shop):
        made = start(manual, (parent or shop / "jobs") / number, engine, basis, people_of(people))
    click.echo(f"started {number}: complete {made}")


@job.command("add")
@click.argument("folder", type=FOLDER)
@click.argument("files", type=JSON_FILE, nargs=-1, required=True)
def job_add(folder: Path, files: tuple[Path, ...]) -> None:
    """Put sheets that a page saved into a job folder; one that is there already is merged with it."""
    from builder.jobs import add_file  # noqa: PLC0415 - the other commands start without it

    manual, _ = import_module("builder.manual").load(shop_folder())
    for file in files:
        with refusals(file.parent):
            _tell_filed(add_file(manual, folder.resolve(), file))


@job.command("enter")
@click.argument("folder", type=FOLDER)
@click.argument("procedure")
@click.argument("entries", nargs=-1, required=True)
@click.option("--by", required=True, help="Initials of who read and wrote the paper.")
@click.option("--when", default="", help="As in 2026-03-19 or 2026-03-19T10:20:00Z.  [default: now]")
@click.option("--run", type=click.Choice(["mock_up", "final"]), default="final", show_default=True)
@click.option(
    "--stage",
    type=click.Choice(["as_found", "as_machined", "final", "after_run"]),
    default="final",
    show_default=True,
)
@click.option("--gauge", default="", help="The gauge of all readings that name none of their own.")
@click.option("--setting", default="", help="What that gauge was set to, as in `2.4800 in`.")
@click.option("--try", "number", type=int, default=1, show_default=True)
@click.option("--room", default="", help="The room, as in `68 degF`.")
def job_enter(folder: Path, procedure: str, entries: tuple[str, ...], **of: Any) -> None:  # noqa: ANN401 - options by name
    """Type in a sheet of paper by the codes beside its boxes.

    ENTRIES are `CRK-01 M3 F T = 2.4798`, with `@ OM-23` behind it for a gauge of its own, `step 3 = done`,
    `H11 second = K.O.`, `look 5 M3 = yes`, `pass 6.1 M3 = 0.0020 in`, `step 4 skipped = why`,
    `CRK-01 M3 F T skipped = why`, `remark 3 = words` and `photo 3 = file, what it shows`.
    """
    from builder.jobs import enter_paper  # noqa: PLC0415 - the other commands start without it

    manual, _ = import_module("builder.manual").load(shop_folder())
    with refusals(folder.resolve().parent):
        _tell_filed(enter_paper(manual, folder.resolve(), procedure, entries, of))


def _tell_filed(filed: Any) -> None:  # noqa: ANN401 - a `Filed` of the jobs, which are imported late
    for conflict in filed.conflicts:
        click.echo(f"conflict: {conflict}")
    click.echo(f"filed {filed.path}")


@job.command("look-up")
@click.argument("folder", type=FOLDER)
@click.option(
    "--to", type=click.Path(dir_okay=False, path_type=Path), help="The file.  [default: NUMBER.look-up.json]"
)
def job_look_up(folder: Path, to: Path | None) -> None:
    """Write a file of a job that the page *Find a value* opens: its sizes, its sheets, its readings."""
    from builder.render.find_job_data import job_file  # noqa: PLC0415 - the other commands start without it

    manual, _ = import_module("builder.manual").load(shop_folder())
    with refusals(folder.resolve().parent):
        name, text = job_file(manual, folder.resolve())
    made = to or Path(name)
    made.write_text(text, encoding="utf-8")
    click.echo(f"wrote {made}: open it on the page Find a value")


@job.command("check")
@click.argument("folders", type=FOLDER, nargs=-1, required=True)
@click.option("--values/--open", default=None, help="Every value too, or the open points alone.")
def job_check(folders: tuple[Path, ...], values: bool | None) -> None:
    """Judge every sheet of a job and name every open point, in the order to deal with them.

    Exits 1 while an engine may not be released.
    """
    from builder.jobs.many import check_folders  # noqa: PLC0415 - the other commands start without it

    manual, faults = import_module("builder.manual").load(shop_folder())
    if faults:
        say(shop_folder(), faults, "text")
    every = values if values is not None else len(folders) == 1
    held = any(fault.severity is Severity.ERROR for fault in faults)
    earlier = import_module("builder.revision.pins").Pins(shop_folder(), manual)
    for outcome in check_folders(
        manual, [folder.resolve() for folder in folders], values=every, earlier=earlier
    ):
        if outcome.faults:
            say(outcome.folder.parent, outcome.faults, "text")
        click.echo("\n".join(outcome.lines))
        held |= not outcome.may_be_released
    sys.exit(1 if held else 0)


@job.command("wear")
@click.argument("folder", type=FOLDER)
@click.argument("earlier", type=FOLDER, required=False)
def job_wear(folder: Path, earlier: Path | None) -> None:
    """Show what has worn since an engine left: FOLDER as found beside the job it comes back from."""
    from builder.jobs.come_back import compared_lines  # noqa: PLC0415 - the other commands start without it

    manual, _ = import_module("builder.manual").load(shop_folder())
    with refusals(folder.resolve().parent):
        plans = pinned_plans(shop_folder(), manual)
        click.echo("\n".join(compared_lines(manual, folder.resolve(), earlier and earlier.resolve(), plans)))


@job.command("move")
@click.argument("folder", type=FOLDER)
@click.argument("procedure")
@click.option("--by", required=True, help="Initials of who decides it.")
@click.option("--why", required=True, help="Why, in a sentence.")
def job_move(folder: Path, procedure: str, by: str, why: str) -> None:
    """Move a procedure of a job, by id or code, from the edition of its sheets to the present one.

    Who, when, why, and what must be done again go into job.yaml.
    """
    moving, shop = import_module("builder.revision.move"), shop_folder()
    manual = sound_manual(shop)
    with refusals(folder.resolve().parent):
        done = moving.move(shop, manual, folder.resolve(), moving.Decided(procedure, by, why))
    click.echo("\n".join(moving.lines(done)))

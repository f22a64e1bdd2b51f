"""The commands over the records of several jobs: compare them, trace what they used, export them."""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from importlib import import_module
from pathlib import Path
from typing import Any

import click

from builder.cli.entrance import job
from builder.cli.shop import FOLDER, pinned_plans, refusals, say, shop_folder


@job.command("compare")
@click.argument("folders", type=FOLDER, nargs=-1, required=True)
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
@click.option("--html", type=click.Path(path_type=Path, dir_okay=False), help="Write one page with plots.")
def job_compare(folders: tuple[Path, ...], form: str, html: Path | None) -> None:
    """Compare jobs of a family: what the builders set otherwise, odd values, drift, loops, gauges."""
    plans, jobs = read_jobs(folders)
    compared = import_module("builder.jobs.compared")
    families = compared.families(jobs)
    if html is not None and len(families) != 1:
        raise click.UsageError(f"a page is of one family, these jobs are of {', '.join(families) or 'none'}")
    found = [compared.compare(plans, plans.manual.engines[name], every) for name, every in families.items()]
    if html is not None:
        with refusals(shop_folder()):
            write(html, import_module("builder.render.comparison").comparison_file(found[0]))
        click.echo(f"wrote {html}")
    elif form == "json":
        plain = import_module("builder.jobs.compared.plain").plain
        click.echo(json.dumps([plain(one) for one in found], indent=1, ensure_ascii=False))
    else:
        lines = import_module("builder.jobs.compared.words").lines
        click.echo("\n\n".join("\n".join(lines(one)) for one in found))


@job.command("trace")
@click.argument("what", nargs=-1, required=True)
@click.option("--in", "parent", type=FOLDER, help="The folder of jobs.  [default: the shop's job folders]")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
def job_trace(what: tuple[str, ...], parent: Path | None, form: str) -> None:
    """Trace a batch, a gauge, an outside shop, a ticket, a part or a job through all jobs of the shop.

    Readings taken with a gauge that it set count as its own. Exits 1 when nothing bears the name.
    """
    from builder.jobs.folder import job_folders  # noqa: PLC0415 - the other commands start without it

    folders = (
        job_folders(shop_folder())
        if parent is None
        else sorted(path.parent for path in parent.glob("*/job.yaml"))
    )
    _, jobs = read_jobs(folders)
    asked, tracing = " ".join(what), import_module("builder.jobs.trace")
    found = tracing.trace(jobs, asked)
    words = import_module("builder.jobs.trace_words")
    if form == "json":
        click.echo(json.dumps(words.trace_plain(found), indent=1, ensure_ascii=False))
    elif found:
        click.echo("\n".join(words.trace_lines(found)))
    else:
        near = tracing.nearest(jobs, asked)
        hint = f"; did you mean {', '.join(near)}?" if near else ""
        click.echo(f"nothing on {len(jobs)} jobs bears the name `{asked}`{hint}", err=True)
    sys.exit(0 if found else 1)


@job.command("export")
@click.argument("folders", type=FOLDER, nargs=-1, required=True)
@click.option(
    "--csv", "tables", type=click.Path(path_type=Path, file_okay=False), help="A folder for CSV files."
)
@click.option("--sqlite", type=click.Path(path_type=Path, dir_okay=False), help="One SQLite file.")
def job_export(folders: tuple[Path, ...], tables: Path | None, sqlite: Path | None) -> None:
    """Write jobs as tables for other tools; the table `columns` says what each column holds.

    Every reading stands as typed and as a number. In CSV a text that a spreadsheet would run begins with '.
    """
    if tables is None and sqlite is None:
        raise click.UsageError("say what to write: --csv FOLDER, --sqlite FILE, or both")
    _, jobs = read_jobs(folders)
    exported = import_module("builder.jobs.exported")
    rows = exported.rows_of(jobs)
    with refusals(shop_folder()):
        if tables is not None:
            click.echo(f"wrote {len(exported.write_csv(tables, rows))} files into {tables}")
        if sqlite is not None:
            exported.write_sqlite(sqlite, rows)
            click.echo(f"wrote {sqlite}")


def write(path: Path, text: str) -> None:
    """Write a file whole; a Fault says why it cannot be written."""
    from builder.diagnostics import Fault  # noqa: PLC0415 - the other commands start without it
    from builder.jobs.safe import reason, write_whole  # noqa: PLC0415 - the other commands start without it

    try:
        write_whole(path, text)
    except OSError as error:
        raise Fault(f"`{path}` cannot be written: {reason(error)}", "name another place") from None


def read_jobs(folders: Sequence[Path]) -> tuple[Any, list[Any]]:
    """The checklists of the shop and the jobs of these folders, checked; exits where one does not read."""
    from builder.jobs import check_job, read_job  # noqa: PLC0415 - the other commands start without it

    manual, faults = import_module("builder.manual").load(shop_folder())
    if faults:
        say(shop_folder(), faults, "text")
    plans = pinned_plans(shop_folder(), manual)
    named = tuple(dict.fromkeys(folder.resolve() for folder in folders))
    jobs = [check_job(manual, read_job(folder), plans) for folder in named]
    unread = [(folder, one.faults) for folder, one in zip(named, jobs, strict=True) if one.faults]
    for folder, found in unread:
        say(folder.parent, found, "text")
    if unread:
        sys.exit(1)
    return plans, jobs

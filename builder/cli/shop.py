"""What every command shares: the shop it stands in, faults told, texts refused."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import click

from builder.diagnostic_formats import lines_of, written
from builder.diagnostics import Diagnostic

SHOP_FILE = "mkdocs.yml"
FOLDER = click.Path(exists=True, file_okay=False, path_type=Path)
JSON_FILE = click.Path(exists=True, dir_okay=False, path_type=Path)


def shop_folder() -> Path:
    """The shop folder that the command stands in: the nearest one upward with `mkdocs.yml`."""
    here = Path.cwd()
    for folder in (here, *here.parents):
        if (folder / SHOP_FILE).is_file():
            return folder
    raise click.UsageError(f"no shop folder here: `{SHOP_FILE}` is in neither this folder nor one above it")


def _lines(shop: Path, path: str) -> list[str]:
    try:
        return lines_of((shop / path).read_text("utf-8", errors="replace"))
    except OSError:
        return []


def say(shop: Path, diagnostics: tuple[Diagnostic, ...], form: str) -> None:
    """Tell faults in one of the formats."""
    click.echo(written(diagnostics, form, lambda path: _lines(shop, path)), nl=False)


@contextmanager
def refusals(shop: Path) -> Iterator[None]:
    """A refused text is a misuse of the command; files that do not read are told one by one."""
    from builder.diagnostics import Fault  # noqa: PLC0415 - the other commands start without it

    try:
        yield
    except Fault as fault:
        unread = getattr(fault, "faults", ())
        if unread:
            say(shop, unread, "text")
            sys.exit(1)
        raise click.UsageError("; ".join(filter(None, (fault.message, fault.hint)))) from None


def sound_manual(shop: Path) -> Any:  # noqa: ANN401 - a `Manual`, which is imported late
    """The shop's manual; when it has errors they are told, and the command ends."""
    from builder.rules import check_shop, has_errors  # noqa: PLC0415 - the other commands start without it

    manual, diagnostics = check_shop(shop)
    if has_errors(diagnostics):
        say(shop, diagnostics, "text")
        click.echo("the manual has errors: no sheet was written", err=True)
        sys.exit(1)
    return manual


def sound_job(folder: Path) -> Any:  # noqa: ANN401 - a `Job`, which is imported late
    """The job of a folder; when its file does not read, the faults are told, and the command ends."""
    from builder.jobs.folder import read_job_file  # noqa: PLC0415 - the other commands start without it

    own = folder.resolve()
    job, faults = read_job_file(own)
    if job is None or faults:
        say(own.parent, faults, "text")
        sys.exit(1)
    return job


def pinned_plans(shop: Path, manual: Any) -> Any:  # noqa: ANN401 - a `Manual` and its `Plans`, imported late
    """The plans by which jobs are judged: each sheet by the edition that it is on."""
    from builder.jobs.plan import Plans  # noqa: PLC0415 - the other commands start without it
    from builder.revision.pins import Pins  # noqa: PLC0415 - the other commands start without it

    return Plans(manual, Pins(shop, manual))

"""The command line: arguments in, lines out, an exit code; the work is done on the floors below.

Exit codes: 0 clean, 1 the shop's files or the engine have faults, 2 the command was misused.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from functools import partial
from importlib import import_module
from pathlib import Path
from typing import Any

import click

from builder import __version__
from builder.diagnostic_formats import FORMATS, lines_of, written
from builder.diagnostics import Diagnostic

SHOP_FILE = "mkdocs.yml"


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


def _say(shop: Path, diagnostics: tuple[Diagnostic, ...], form: str) -> None:
    click.echo(written(diagnostics, form, lambda path: _lines(shop, path)), nl=False)


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="gaugeleaf")
def main() -> None:
    """Check, build and look up the manual of an engine shop.

    Works on the shop folder it stands in: the one with mkdocs.yml.
    """


@main.command()
@click.option("--format", "form", type=click.Choice(FORMATS), default="text", help="How faults are written.")
def check(form: str) -> None:
    """Check every file of the manual; all faults come in one go."""
    from builder.rules import check_shop, has_errors  # noqa: PLC0415 - the other commands start without the rules

    shop = shop_folder()
    _, diagnostics = check_shop(shop)
    _say(shop, diagnostics, form)
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
    """Serve the site and build it again when a file changes."""
    import_module("builder.plugin").serve_site(shop_folder() / SHOP_FILE, address)


@main.command()
@click.argument("code")
def why(code: str) -> None:
    """Explain a fault by its code: what is wrong, why it matters, what to write instead."""
    from builder.rules import RULES  # noqa: PLC0415 - as above

    found = RULES.get(code.upper())
    if found is None:
        raise click.UsageError(f"there is no rule `{code}`; the codes run from {min(RULES)} to {max(RULES)}")
    click.echo(f"{found.code} {found.name} ({found.severity})\n\n{found.wrong}\n")
    click.echo(f"Why it matters: {found.why}\n\nWrite instead: {found.instead}")


@main.command()
@click.option(
    "--of",
    "name",
    type=click.Choice(["engine", "procedure", "worksheet", "job", "sheet"]),
    default="engine",
    show_default=True,
)
def schema(name: str) -> None:
    """Print the JSON Schema of one kind of file, for editors."""
    click.echo(import_module("builder.model.schema").schema_text(name))


@main.command()
@click.argument("words", nargs=-1, required=True)
@click.option("--engine", help="Only this family.")
@click.option("--metric", is_flag=True, help="Show metric values first.")
def find(words: tuple[str, ...], engine: str | None, metric: bool) -> None:
    """Find a value: any words for it, British or American, half words too."""
    from builder.diagnostics import Fault  # noqa: PLC0415 - as above
    from builder.render.find_lines import found_lines  # noqa: PLC0415 - as above

    manual, _ = import_module("builder.manual").load(shop_folder())
    try:
        lines = found_lines(manual, " ".join(words), engine, metric=metric)
    except Fault as fault:
        raise click.UsageError(f"{fault.message}; {fault.hint}") from None
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


@main.command()
@click.argument("procedure")
@click.option("--by", required=True, metavar="NAME", help="Who approves it.")
@click.option("--how", type=click.Choice(["table-top", "on-engine"]), help="How it was tried.")
def approve(procedure: str, by: str, how: str | None) -> None:
    """Approve a procedure, by id or code, in its present wording: who, when and which go into its file."""
    approving, shop = import_module("builder.revision.approve"), shop_folder()
    with _refusals(shop):
        done = approving.approve(shop, procedure, by, datetime.now(UTC).astimezone().date(), how)
    click.echo("\n".join(approving.lines(done)))


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
@click.option("--force", is_flag=True, help="Write over a file that is there.")
def sheet(engine: str, procedure: str, out: Path | None, force: bool, **asked: Any) -> None:  # noqa: ANN401 - options by name
    """Write the sheet of a procedure for a family, to print or to fill in: `gaugeleaf sheet pellbrook P16`.

    ENGINE and PROCEDURE are ids, codes, or beginnings that leave no doubt.
    """
    files, shop = import_module("builder.sheet_files"), shop_folder()
    with _refusals(shop):
        form = files.form_of(procedure, **asked)
        order = files.order(_sound_manual(shop), engine, procedure, form, asked["paper"] or "")
        place = files.write(order, out, force=force, tell=partial(click.echo, err=True))
    click.echo(f"wrote {place}")


def _sound_manual(shop: Path) -> Any:  # noqa: ANN401 - a `Manual`, which is imported late
    """The shop's manual; when it has errors they are told, and the command ends."""
    from builder.rules import check_shop, has_errors  # noqa: PLC0415 - as above

    manual, diagnostics = check_shop(shop)
    if has_errors(diagnostics):
        _say(shop, diagnostics, "text")
        click.echo("the manual has errors: no sheet was written", err=True)
        sys.exit(1)
    return manual


@main.command()
@click.option("--check", "only", is_flag=True, help="Change nothing; exit 1 where something would change.")
def tidy(only: bool) -> None:
    """Lay the files out: keys in one order, one value a line; no word and no comment is lost."""
    tidying = import_module("builder.revision.tidy")
    found = tidying.tidy(shop_folder(), write=not only)
    click.echo("\n".join(tidying.lines(found, written=not only)))
    sys.exit(1 if any(one.refused or only for one in found) else 0)


@main.command()
@click.option("--since", required=True, metavar="REV", help="A commit, a tag, or a day as 2026-03-02.")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
def changes(since: str, form: str) -> None:
    """Tell in words what changed since a revision, by whom and why, and what open jobs must do again."""
    shop, telling = shop_folder(), import_module("builder.revision.words")
    with _refusals(shop):
        report = import_module("builder.revision.report").changes_since(shop, since)
    click.echo("\n".join(telling.lines(report)) if form == "text" else telling.as_json(report))


@main.group()
def job() -> None:
    """Work on the record of one engine."""


FOLDER = click.Path(exists=True, file_okay=False, path_type=Path)
JSON_FILE = click.Path(exists=True, dir_okay=False, path_type=Path)


@contextmanager
def _refusals(shop: Path) -> Iterator[None]:
    """A refused text is a misuse of the command; files that do not read are told one by one."""
    from builder.diagnostics import Fault  # noqa: PLC0415 - as above

    try:
        yield
    except Fault as fault:
        unread = getattr(fault, "faults", ())
        if unread:
            _say(shop, unread, "text")
            sys.exit(1)
        raise click.UsageError("; ".join(filter(None, (fault.message, fault.hint)))) from None


@job.command("start")
@click.argument("number")
@click.option("--engine", required=True, help="The family: the name of a file in specs/engines/.")
@click.option("--basis", type=click.Choice(["rebuilt", "overhauled"]), default="rebuilt", show_default=True)
@click.option("--people", default="", help="As in `R.T.=builder, K.O.=second+builder`.")
@click.option("--in", "parent", type=click.Path(path_type=Path), help="The folder of jobs.  [default: jobs]")
def job_start(number: str, engine: str, basis: str, people: str, parent: Path | None) -> None:
    """Start a job: its folder, with a job.yaml to complete."""
    from builder.jobs import people_of, start  # noqa: PLC0415 - as above

    shop = shop_folder()
    manual, _ = import_module("builder.manual").load(shop)
    with _refusals(shop):
        made = start(manual, (parent or shop / "jobs") / number, engine, basis, people_of(people))
    click.echo(f"started {number}: complete {made}")


@job.command("add")
@click.argument("folder", type=FOLDER)
@click.argument("files", type=JSON_FILE, nargs=-1, required=True)
def job_add(folder: Path, files: tuple[Path, ...]) -> None:
    """Put sheets that a page saved into a job folder; one that is there already is merged with it."""
    from builder.jobs import add_file  # noqa: PLC0415 - as above

    manual, _ = import_module("builder.manual").load(shop_folder())
    for file in files:
        with _refusals(file.parent):
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
    and `H11 second = K.O.`.
    """
    from builder.jobs import enter_paper  # noqa: PLC0415 - as above

    manual, _ = import_module("builder.manual").load(shop_folder())
    with _refusals(folder.resolve().parent):
        _tell_filed(enter_paper(manual, folder.resolve(), procedure, entries, of))


def _tell_filed(filed: Any) -> None:  # noqa: ANN401 - a `Filed` of the jobs, which are imported late
    for conflict in filed.conflicts:
        click.echo(f"conflict: {conflict}")
    click.echo(f"filed {filed.path}")


@job.command("check")
@click.argument("folders", type=FOLDER, nargs=-1, required=True)
@click.option("--values/--open", default=None, help="Every value too, or the open points alone.")
def job_check(folders: tuple[Path, ...], values: bool | None) -> None:
    """Judge every sheet of a job and name every open point, in the order to deal with them.

    Exits 1 while an engine may not be released.
    """
    from builder.jobs.many import check_folders  # noqa: PLC0415 - as above

    manual, faults = import_module("builder.manual").load(shop_folder())
    if faults:
        _say(shop_folder(), faults, "text")
    every = values if values is not None else len(folders) == 1
    held = bool(faults)
    for outcome in check_folders(manual, [folder.resolve() for folder in folders], values=every):
        if outcome.faults:
            _say(outcome.folder.parent, outcome.faults, "text")
        click.echo("\n".join(outcome.lines))
        held |= not outcome.may_be_released
    sys.exit(1 if held else 0)


@job.command("wear")
@click.argument("folder", type=FOLDER)
@click.argument("earlier", type=FOLDER, required=False)
def job_wear(folder: Path, earlier: Path | None) -> None:
    """Show what has worn since an engine left: FOLDER as found beside the job it comes back from."""
    from builder.jobs.come_back import compared_lines  # noqa: PLC0415 - as above

    manual, _ = import_module("builder.manual").load(shop_folder())
    with _refusals(folder.resolve().parent):
        click.echo("\n".join(compared_lines(manual, folder.resolve(), earlier and earlier.resolve())))


@main.command("pair")
@click.argument("holes")
@click.argument("shafts")
@click.option("--aim", required=True, help="The fit to aim at, as in `0.0015 in`.")
def pair_parts(holes: str, shafts: str, aim: str) -> None:
    """Choose which shaft goes into which hole, for fits nearest the aim.

    HOLES and SHAFTS are measured sizes set apart by commas, the unit after the last: "3.5504, 3.5506 in".
    """
    from builder.diagnostics import Fault  # noqa: PLC0415 - as above
    from builder.jobs.pairing import typed_pairing_lines  # noqa: PLC0415 - as above

    try:
        lines = typed_pairing_lines(holes, shafts, aim)
    except Fault as fault:
        raise click.UsageError(f"{fault.message}; {fault.hint}") from None
    click.echo("\n".join(lines))

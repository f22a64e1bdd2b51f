"""A sheet asked for by name: which checklists are meant, the file that it becomes, and its name."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from difflib import get_close_matches
from enum import StrEnum
from pathlib import Path
from typing import Final

from builder.checklist import Checklist, resolve
from builder.diagnostics import Fault
from builder.edition import edition
from builder.judge.program import program, shared
from builder.manual import Manual
from builder.model.engine import Engine
from builder.model.job import Job
from builder.model.procedure import Planned, Procedure
from builder.render import bench, one_file, paper, pdf
from builder.revision.pins import Pins
from builder.yaml_text import Mapping as Tree
from builder.yaml_text import Text, read_file

PDF_SIZE: Final = "a4"
"""The paper of a PDF where nobody asks for another; HTML takes the printer's."""

CODE: Final = re.compile(r"[A-Za-z]\d+")

MOST_NAMED: Final = 6
"""How many candidates a hint names."""


class Form(StrEnum):
    """What a sheet is made into; the value stands in the file's name."""

    PAPER = "sheet.html"
    PDF = "sheet.pdf"
    FILLABLE = "form.pdf"
    ONE_FILE = "checklist.html"


@dataclass(frozen=True, slots=True)
class Order:
    """What was asked for: checklists of one family, in what form, on which size of paper."""

    checklists: tuple[Checklist, ...]
    form: Form
    size: str = ""
    is_pack: bool = False
    edition: str = ""
    """The older edition that was asked for."""
    job: Job | None = None
    """The job that it is for; a blank sheet without one."""

    @property
    def file_name(self) -> str:
        """`pellbrook-35-eight-P16-sheet.pdf`, or `…-pack.pdf`."""
        first = self.checklists[0]
        what = "all" if self.is_pack else str(first.procedure.code)
        older = f"-{self.edition}" if self.edition else ""
        head = str(self.job.number) if self.job is not None else str(first.engine.engine)
        return f"{head}-{what}{older}-{self.form}"


def form_of(
    procedure: str, *, pack: bool, one_file: bool, pdf: bool, fillable: bool, paper: str | None
) -> Form:
    """What is to be made, from what was asked for.

    Raises:
        Fault: when two wishes contradict each other, or neither a procedure nor a pack is named.
    """
    if pack and procedure:
        raise Fault(
            f"a pack holds every procedure, and `{procedure}` is named beside it", "leave one of them out"
        )
    if not pack and not procedure:
        raise Fault("no procedure is named", "write its id or code, or --pack for every sheet of the family")
    others = {"--pack": pack, "--pdf": pdf, "--fillable": fillable, "--paper": bool(paper)}
    beside = next((option for option, is_asked in others.items() if is_asked), "")
    if one_file and beside:
        raise Fault(f"--one-file is for a screen and does not go with {beside}", "leave one of them out")
    if one_file:
        return Form.ONE_FILE
    if fillable:
        return Form.FILLABLE
    return Form.PDF if pdf else Form.PAPER


def order(manual: Manual, engine: str, procedure: str, form: Form, size: str = "") -> Order:
    """Ask for one sheet, or without a procedure for every sheet of a family, by what was typed.

    Raises:
        Fault: when a name is nobody's or could be more than one, or no procedure serves the family.
    """
    family = engine_named(manual, engine)
    if procedure:
        return Order((resolve(manual, family, procedure_named(manual, family, procedure)),), form, size)
    checklists = paper.of_family(manual, family)
    if not checklists:
        raise Fault(f"no procedure serves `{family.engine}` yet", "write one under procedures/")
    return Order(checklists, form, size, is_pack=True)


def older(shop: Path, manual: Manual, present: Order, wanted: str) -> Order:
    """Ask for the sheet of an order as it was in an older edition, found again in the shop's history.

    Raises:
        Fault: when it is a pack, or the history has no such edition of the sheet.
    """
    if present.is_pack:
        raise Fault("a pack holds many editions, and --edition names one", "name the procedure as well")
    (checklist,) = present.checklists
    if edition(checklist) == wanted:
        return present
    family, name = str(checklist.engine.engine), str(checklist.procedure.procedure)
    found = Pins(shop, manual).found(family, name, wanted)
    if found is None:
        raise Fault(
            f"the shop's history has no edition `{wanted}` of {checklist.procedure.code}",
            f"the present one is {edition(checklist)}; `gaugeleaf changes --since REV` tells those before it",
        )
    return replace(present, checklists=(found[0],), edition=wanted)


def for_job(blank: Order, job: Job) -> Order:
    """Ask for the sheet of an order for one job.

    Raises:
        Fault: when the job is of another family, or the form has no room for a job.
    """
    family = blank.checklists[0].engine.engine
    if job.engine != family:
        raise Fault(f"{job.number} is a `{job.engine}`, not a `{family}`", "name the job's own family")
    if blank.is_pack or blank.form is Form.ONE_FILE:
        raise Fault("only a single sheet of paper is written for a job", "name the procedure, on paper")
    return replace(blank, job=job)


def served_at(shop: Path) -> str:
    """The `site_url` of a shop's `mkdocs.yml`; empty where it is not set, or set by something else."""
    root = read_file(shop / "mkdocs.yml", "mkdocs.yml").root
    address = root.get(Text("site_url")) if isinstance(root, Tree) else None
    return str(address) if isinstance(address, Text) else ""


def write(order: Order, out: Path | None, *, force: bool, tell: paper.Tell = paper.silent) -> Path:
    """Write the file that was asked for, where it was asked for or under its own name; say where.

    Raises:
        Fault: when a file is there already, when it cannot be written, or when a PDF cannot be made.
    """
    place = out or Path(order.file_name)
    if place.is_dir():
        place = place / order.file_name
    if place.exists() and not force:
        raise Fault(
            f"`{place}` is there already", "write --force to write over it, or --out for another name"
        )
    if not place.parent.is_dir():
        raise Fault(f"there is no folder `{place.parent}`", "make it first, or write --out for another place")
    made = content(order, tell)
    try:
        place.write_bytes(made)
    except OSError as refused:
        raise Fault(f"`{place}` cannot be written: {refused.strerror}") from None
    return place


def content(order: Order, tell: paper.Tell = paper.silent) -> bytes:
    """The file that was asked for; `tell` hears of each sheet of a pack.

    Raises:
        Fault: when it is a PDF, and what makes them is not installed.
    """
    one, form, size = order.checklists[0], order.form, order.size
    fillable = form is Form.FILLABLE
    if form is Form.ONE_FILE:
        return _alone(one).encode()
    if form is Form.PAPER:
        if order.is_pack:
            return paper.pack(order.checklists, size, tell).encode()
        return paper.sheet(one, size, job=order.job).encode()
    if order.is_pack:
        return pdf.pack_pdf(order.checklists, size or PDF_SIZE, fillable=fillable, tell=tell)
    return pdf.sheet_pdf(one, size or PDF_SIZE, fillable=fillable, job=order.job)


def _alone(checklist: Checklist) -> str:
    scripts = {
        bench.SHARED: bench.script("shared", shared(checklist.manual)),
        bench.program_path(checklist): bench.script("program", program(checklist)),
    }
    return one_file.one_file(bench.checklist_page(checklist), scripts)


# Names as they are typed


def engine_named(manual: Manual, typed: str) -> Engine:
    """The family of this id, or of the only id that begins so."""
    every = {str(name): engine for name, engine in manual.engines.items()}
    return every[_the_one(typed, every, "family")]


def procedure_named(manual: Manual, engine: Engine, typed: str) -> Procedure:
    """The procedure of this id or code that serves the family, or the only one whose id begins so."""
    serves = {str(one.procedure): one for one in manual.route if manual.applies(one, engine)}
    coded = {str(one.code).lower(): str(one.procedure) for one in manual.route}
    name = coded.get(typed.strip().lower(), typed)
    if CODE.fullmatch(name.strip()):
        codes = list(coded)
        raise Fault(
            f"there is no procedure `{typed}`",
            f"the codes run from {codes[0].upper()} to {codes[-1].upper()}",
        )
    other = manual.step_named(name)
    if other is not None and name not in serves:
        raise Fault(
            f"{other.code} `{name}` does not serve `{engine.engine}`", "its layout asks for another one"
        )
    found = serves[_the_one(name, serves, "procedure")]
    if isinstance(found, Planned):
        raise Fault(f"{found.code} `{found.procedure}` is planned and not written yet")
    return found


def _the_one(typed: str, every: Mapping[str, object], what: str) -> str:
    """The name that was typed, or the only one that begins so."""
    wanted = typed.strip().lower()
    begins = [name for name in every if wanted and name.lower().startswith(wanted)]
    if wanted in every or len(begins) == 1:
        return wanted if wanted in every else begins[0]
    if begins:
        raise Fault(f"`{typed}` begins more than one {what}", f"write one of {_named(begins)}")
    near = get_close_matches(wanted, every, 1)
    raise Fault(f"there is no {what} `{typed}`", f"did you mean {_named(near)}?" if near else _known(every))


def _known(every: Mapping[str, object]) -> str:
    """What there is, in a few words."""
    names = list(every)
    if len(names) <= MOST_NAMED:
        return f"there are {_named(names)}"
    return f"there are {len(names)}, from `{names[0]}` to `{names[-1]}`"


def _named(names: list[str]) -> str:
    return ", ".join(f"`{name}`" for name in names[:MOST_NAMED]) + (" …" if len(names) > MOST_NAMED else "")

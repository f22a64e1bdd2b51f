"""The pages of a shop's jobs: the list of all, a page for each, and for each family its jobs side by side."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from builder.jobs import CheckedJob, Plans
from builder.jobs.come_back import Worn, worn, worn_lines
from builder.jobs.compared import compare, families
from builder.jobs.kinds import counted
from builder.jobs.words import outcome_line
from builder.manual import Manual
from builder.model.engine import Engine
from builder.model.job import Job
from builder.render import addresses
from builder.render.comparison import comparison_page
from builder.render.job_papers.build_record import build_record
from builder.render.job_views import (
    JobLine,
    JobsView,
    JobView,
    findings,
    gauges,
    holds,
    identity,
    lots,
    sheets,
    tickets,
)
from builder.render.page_parts import Link, Shelf, head, is_invented, page
from builder.render.shell import Asset, Heading, Page

ORIGIN = "Written from the job folders: the same words as gaugeleaf job check prints."
SECTION = ("Jobs",)
ENOUGH = 2
"""Jobs of a family from which on they are compared."""


def job_pages(plans: Plans, jobs: Sequence[CheckedJob]) -> Iterator[Page]:
    """The list, the jobs, the comparisons."""
    by_family = families(jobs)
    compared = [name for name, every in by_family.items() if len(every) >= ENOUGH]
    yield _list(jobs, compared)
    for checked in jobs:
        yield _job(plans.manual, checked, jobs, compared)
    for name in compared:
        yield comparison_page(compare(plans, plans.manual.engines[name], by_family[name]))


def job_records(jobs: Sequence[CheckedJob]) -> Iterator[Asset]:
    """The build record of each job, as the owner gets it."""
    for checked in jobs:
        if checked.whole is not None:
            html = build_record(checked, _worn(checked, jobs))
            yield Asset(addresses.build_record(checked.folder.name), html)


def _earlier(checked: CheckedJob, jobs: Sequence[CheckedJob]) -> CheckedJob | None:
    job = checked.folder.job
    named = str(job.earlier.job) if job is not None and job.earlier is not None else ""
    return next((one for one in jobs if named and one.folder.name == named), None)


def _worn(checked: CheckedJob, jobs: Sequence[CheckedJob]) -> tuple[Worn, ...]:
    earlier = _earlier(checked, jobs)
    return worn(earlier, checked) if earlier is not None else ()


# The list


def _list(jobs: Sequence[CheckedJob], compared: Sequence[str]) -> Page:
    here = addresses.JOBS
    invented = any(one.whole is not None and is_invented(one.whole.engine) for one in jobs)
    open_jobs = sum(not one.may_be_released for one in jobs)
    lead = f"{counted(len(jobs), 'job')}, {open_jobs} of them with something open."
    engines = {str(one.whole.engine.engine): one.whole.engine for one in jobs if one.whole is not None}
    view = JobsView(
        head(here, "Jobs", lead, ORIGIN, invented=invented),
        tuple(_line(here, one) for one in jobs),
        tuple(
            Link(f"{engines[name].title}: its jobs side by side", addresses.link(here, there))
            for name in compared
            for there in (addresses.jobs_compared(name),)
        ),
    )
    headings = (Heading(2, "compared", "Side by side"),) if compared else ()
    return page(Shelf(here, "All jobs", SECTION), "jobs.html", view, headings)


def _line(here: str, checked: CheckedJob) -> JobLine:
    name, whole = checked.folder.name, checked.whole
    return JobLine(
        Link(name, addresses.link(here, addresses.job(name))),
        _family(here, whole.engine) if whole is not None else Link("not known"),
        outcome_line(checked).removeprefix(f"{name} ").rstrip("."),
        str(len(checked.findings) + len(checked.faults)),
    )


def _family(here: str, engine: Engine) -> Link:
    return Link(str(engine.title), addresses.link(here, addresses.engine_page(str(engine.engine))))


# A job


def _job(manual: Manual, checked: CheckedJob, jobs: Sequence[CheckedJob], compared: Sequence[str]) -> Page:
    name = checked.folder.name
    here, whole = addresses.job(name), checked.whole
    invented = whole is not None and is_invented(whole.engine)
    title = f"{name}: {whole.engine.title}" if whole is not None else name
    wear = worn_lines(whole.engine, _worn(checked, jobs)) if whole is not None else ()
    view = JobView(
        head=head(here, title, outcome_line(checked), ORIGIN, invented=invented),
        ways=tuple(_ways(here, checked, jobs, compared)),
        identity=tuple(identity(checked)),
        faults=tuple(f"{one.span}: {one.code} {one.message}" for one in checked.faults),
        findings=tuple(findings(here, checked)),
        waiting=checked.waiting,
        remarks=checked.remarks,
        sheets=tuple(sheets(here, checked)),
        holds=tuple(holds(here, checked)),
        lots=tuple(lots(checked)),
        tickets=tuple(tickets(checked)),
        gauges=tuple(gauges(manual, checked)),
        wear=tuple(line for line in wear if not line.startswith(" ")),
    )
    return page(Shelf(here, title, SECTION), "job.html", view, tuple(_headings(view)))


def _headings(view: JobView) -> Iterator[Heading]:
    yield Heading(2, "open", "Open points")
    named = (
        ("sheets", "Sheets", view.sheets),
        ("holds", "Holds", view.holds),
        ("parts", "Parts", view.lots),
        ("outside", "Outside work", view.tickets),
        ("gauges", "Gauges", view.gauges),
        ("wear", "Worn since it left", view.wear),
        ("remarks", "Remarks", view.remarks),
    )
    yield from (Heading(2, anchor, title) for anchor, title, there in named if there)


def _ways(
    here: str, checked: CheckedJob, jobs: Sequence[CheckedJob], compared: Sequence[str]
) -> Iterator[Link]:
    job, whole = checked.folder.job, checked.whole
    if job is None or whole is None:
        return
    yield Link("Build record", addresses.link(here, addresses.build_record(checked.folder.name)))
    yield _family(here, whole.engine)
    if str(whole.engine.engine) in compared:
        there = addresses.jobs_compared(str(whole.engine.engine))
        yield Link("Side by side with its family's other jobs", addresses.link(here, there))
    yield from _came_back(here, job, jobs)


def _came_back(here: str, job: Job, jobs: Sequence[CheckedJob]) -> Iterator[Link]:
    """The job it comes back from, and those as which it came back, where they have pages."""
    for one in jobs:
        other, name = one.folder.job, one.folder.name
        there = addresses.link(here, addresses.job(name))
        if job.earlier is not None and str(job.earlier.job) == name:
            yield Link(f"Comes back from {name}", there)
        elif other is not None and other.earlier is not None and other.earlier.job == job.number:
            yield Link(f"Came back as {name}", there)

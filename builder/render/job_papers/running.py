"""The run-in and the power of an engine, as a record tells them."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from builder.jobs.check import CheckedJob
from builder.jobs.runs import HORSEPOWER, PowerRun, RunIn, RunStage, power_runs, run_ins
from builder.judge import Judgement
from builder.judge.words import value_words
from builder.quantity import Quantity, show
from builder.render import words
from builder.render.charts import schedule
from builder.render.job_papers.curves import RPM, power_curve
from builder.render.job_papers.documents import Block, Section
from builder.render.job_papers.limits import limit_words, line_verdict, look_of, number_words, unit_words
from builder.render.job_papers.tables import Cell, Table
from builder.render.lines import Drawing
from builder.render.page_parts import raised
from builder.render.values import printed


def run_section(checked: CheckedJob) -> Section:
    """The run-in and the power; that there was none is said."""
    blocks = [block for run in run_ins(checked) for block in _run_in(run)]
    blocks += [block for run in power_runs(checked) for block in _power(run)]
    if not blocks:
        blocks = [Block(words=("No reading of a run-in or a power check is filed in this record.",))]
    return Section("run", "Run-in and power", tuple(blocks), look="page")


# The run-in


def _run_in(run: RunIn) -> Iterator[Block]:
    asked = list(run.row.columns)
    head = [
        Cell("stage", "thing", rows=2, is_head=True),
        Cell("asked", "stage", columns=len(asked), is_head=True),
    ]
    head.append(Cell("read at the end of the stage", "stage", columns=len(run.names), is_head=True))
    head.append(Cell("verdict", rows=2, is_head=True))
    units = {str(name): symbol for name, symbol in run.row.columns.items()}
    second = [
        Cell(_headed(name, printed(str(units[name]))), "number", is_head=True) for name in map(str, asked)
    ]
    second += [Cell(_headed(name, _unit(run, name)), "number", is_head=True) for name in run.names]
    rows = tuple((_stage(run, stage),) for stage in run.stages)
    drawn = schedule(run.row)
    title = f"Run-in ({run.code})"
    yield Block(
        title,
        facts=tuple(_limits(run)),
        table=Table((tuple(head), tuple(second)), rows),
        drawing=Drawing(drawn.svg, f"The stages that the table asks for. {drawn.caption}") if drawn else None,
        look="run",
    )


def _headed(name: str, unit: str) -> str:
    return f"{words.plain(name).lower()}, {unit}" if unit else words.plain(name).lower()


def _unit(run: RunIn, name: str) -> str:
    found = next((stage.read[name] for stage in run.stages if name in stage.read), None)
    return unit_words(found.unit) if found is not None else ""


def _stage(run: RunIn, stage: RunStage) -> tuple[Cell, ...]:
    cells = [Cell(str(stage.number), "thing", is_head=True)]
    cells += [Cell(_asked(stage.asked.get(str(name))), "number") for name in run.row.columns]
    for name in run.names:
        one = stage.read.get(name)
        cells.append(Cell(number_words(one, one.unit), look_of(one)) if one else Cell("", "number"))
    line = [(((name.lower(),), ""), one) for name, one in stage.read.items()]
    limited = [(column, one) for column, one in line if one.decision.by is not None]
    return (*cells, Cell(line_verdict(limited) if limited else "no reading", "verdict"))


def _asked(found: Quantity | None) -> str:
    return found.number.text if found is not None else "–"


def _limits(run: RunIn) -> Iterator[tuple[str, str]]:
    for name in run.names:
        bands = [stage.read[name].decision.by for stage in run.stages if name in stage.read]
        for band in dict.fromkeys(band for band in bands if band is not None):
            yield name, limit_words(band)


# The power


def _power(run: PowerRun) -> Iterator[Block]:
    torque = run.torque_unit.label
    names = (
        "speed, rpm",
        f"torque observed, {torque}",
        f"torque corrected, {torque}",
        "power observed, hp",
        "power corrected, hp",
    )
    head = tuple(Cell(name, "number", is_head=True) for name in names)
    rows = tuple(
        (
            (
                Cell(_shown(run, one.speed, "rpm"), "number", is_head=True),
                Cell(_shown(run, one.torque, "torque"), "number"),
                Cell(_shown(run, one.corrected_torque, "torque"), "number"),
                Cell(_shown(run, one.power, "power"), "number"),
                Cell(_shown(run, one.corrected_power, "power"), "number"),
            ),
        )
        for one in run.points
    )
    yield Block(
        f"Power ({run.code})",
        facts=tuple(_factor(run)),
        table=Table((head,), rows),
        drawing=power_curve(run),
        look="run",
    )


def _shown(run: PowerRun, value: Fraction | None, what: str) -> str:
    if value is None:
        return "–"
    of, places = {"rpm": (RPM, 0), "torque": (run.torque_unit, 1), "power": (HORSEPOWER, 1)}[what]
    return show(of.from_base(value), of, places).removesuffix(f" {of.symbol}")


def _factor(run: PowerRun) -> Iterator[tuple[str, str]]:
    if run.factor is not None and run.factor.value is not None:
        factor = number_words(run.factor, run.factor.unit).removesuffix(" ratio")
        yield "Correction", f"{raised(run.correction.removeprefix('Correction, '))}: factor {factor}"
    for title, one in run.verdicts:
        yield raised(title), _held(one)


def _held(one: Judgement) -> str:
    limit = f" ({limit_words(one.decision.by)})" if one.decision.by is not None else ""
    return printed(f"{value_words(one)}, {line_verdict([(((), ''), one)])}{limit}")

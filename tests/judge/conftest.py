"""The manual of the two invented families, and both judges: the command line's and the browser's."""

from __future__ import annotations

import json
import shutil
import subprocess
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest

from builder.checklist import Checklist, checklists
from builder.judge import JudgedSheet, judge
from builder.judge.program import program, shared
from builder.manual import Manual, load
from builder.model.decode import adapter_of
from builder.model.job import Job
from builder.model.record import Sheet

ROOT = Path(__file__).parents[2]
ANSWER = ROOT / "tests" / "js" / "judge_answer.cjs"
SHEET, JOB = adapter_of(Sheet), adapter_of(Job)

Json = dict[str, Any]


@pytest.fixture(scope="session")
def manual() -> Manual:
    """The manual of the demonstration shop."""
    found, faults = load(ROOT)
    assert faults == ()
    return found


@pytest.fixture(scope="session")
def every(manual: Manual) -> Mapping[str, Checklist]:
    """Every checklist by `engine/procedure`."""
    return {f"{one.engine.engine}/{one.procedure.procedure}": one for one in checklists(manual)}


@pytest.fixture(scope="session")
def judged(every: Mapping[str, Checklist]) -> Callable[[Json, Json | None, str], JudgedSheet]:
    """Judge a sheet and a job, given as plain data, on the command line's side."""

    def judge_plain(sheet: Json, job: Json | None, stage: str) -> JudgedSheet:
        checklist = every[f"{sheet['engine']}/{sheet['procedure']}"]
        read_job = JOB.validate_python(job) if job else None
        return judge(checklist, SHEET.validate_python(sheet), read_job, stage)

    return judge_plain


@pytest.fixture(scope="session")
def said() -> Callable[[JudgedSheet], Json]:
    """A judged sheet as plain data, in the form in which the browser's judge answers."""

    def say(of: JudgedSheet) -> Json:
        judgements = [
            {
                "step": one.step,
                "name": one.name,
                "end": one.end,
                "at": {str(side): str(label) for side, label in one.at.items()},
                "characteristic": one.characteristic,
                "value": None if one.value is None else str(one.value),
                "unit": one.unit.symbol if one.unit else "",
                "verdict": str(one.verdict),
                "flags": [str(flag) for flag in one.flags],
                "reasons": list(one.reasons),
                "by": [str(band.kind), *(None if end is None else str(end) for end in (band.low, band.high))]
                if (band := one.decision.by)
                else None,
            }
            for one in of.judgements
        ]
        corrections = [
            {
                "step": one.step,
                "at": {str(side): str(label) for side, label in one.at.items()},
                "rule": one.rule,
                "amount": None if one.amount is None else str(one.amount),
                "unit": one.unit.symbol if one.unit else "",
            }
            for one in of.corrections
        ]
        return {"judgements": judgements, "corrections": corrections}

    return say


@pytest.fixture(scope="session")
def node(
    manual: Manual, every: Mapping[str, Checklist], tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Callable[[Json], Any]]:
    """Ask the page's own scripts one question, in one node process; see tests/js/judge_answer.cjs."""
    program_of_node = shutil.which("node")
    if program_of_node is None:
        pytest.skip("NOT COMPARED: node is not installed, so the browser's judge was not run at all")
    data = tmp_path_factory.mktemp("programs") / "programs.json"
    programs = {name: program(one) for name, one in every.items()}
    data.write_text(json.dumps({"shared": shared(manual), "programs": programs}), "utf-8")
    command = [program_of_node, str(ANSWER), str(data)]
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, encoding="utf-8"
    ) as process:
        assert process.stdin
        assert process.stdout
        questions, answers = process.stdin, process.stdout

        def ask(question: Json) -> Any:  # noqa: ANN401 - JSON of any shape
            questions.write(json.dumps(question) + "\n")
            questions.flush()
            line = answers.readline()
            assert line, "the browser's judge stopped"
            return json.loads(line)

        yield ask
        questions.close()


@pytest.fixture(scope="session")
def browser(node: Callable[[Json], Any]) -> Callable[[Json, Json | None, str], Json]:
    """Judge a sheet and a job with the page's own scripts."""

    def judge_there(sheet: Json, job: Json | None, stage: str) -> Json:
        name = f"{sheet['engine']}/{sheet['procedure']}"
        answer: Json = node({"program": name, "sheet": sheet, "job": job, "stage": stage})
        return answer

    return judge_there

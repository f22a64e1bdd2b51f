"""The worksheets of the demonstration shop, found by listing, and the browser's scripts behind a pipe."""

from __future__ import annotations

import json
import shutil
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from builder.manual import Manual, load
from builder.model.decode import adapter_of, decode
from builder.model.worksheet import SAMPLE, Worksheet
from builder.worksheet.exported import exported, exported_units
from builder.yaml_text import read_text

ROOT = Path(__file__).parents[2]
ANSWER = ROOT / "tests" / "js" / "worksheet_answer.cjs"

Ask = Callable[[Worksheet, dict[str, str]], dict[str, Any]]


def read(text: str) -> Worksheet:
    """A worksheet from its YAML, which must be without faults."""
    decoded = decode(read_text(text, "specs/worksheets/sheet.yaml"), adapter_of(Worksheet))
    assert decoded.faults == ()
    assert isinstance(decoded.value, Worksheet)
    return decoded.value


@pytest.fixture(scope="session")
def shop() -> Manual:
    """The manual of the demonstration shop."""
    return load(ROOT)[0]


@pytest.fixture(scope="session")
def sample() -> Worksheet:
    """The worksheet that the model shows as its sample."""
    return read(SAMPLE)


@pytest.fixture(scope="session")
def odd() -> tuple[Worksheet, ...]:
    """Two worksheets that have every sort of input between them."""
    return tuple(read(text) for text in ODD)


@pytest.fixture(scope="session")
def browser(
    shop: Manual, odd: tuple[Worksheet, ...], tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Ask]:
    """Have the browser's scripts work a worksheet out; see tests/js/worksheet_answer.cjs."""
    node = shutil.which("node")
    if node is None:
        pytest.skip("NOT COMPARED: node is not installed, so the browser's worksheets were not run at all")
    every = {str(one.worksheet): one for one in (*shop.worksheets.values(), *odd)}
    file = tmp_path_factory.mktemp("worksheets") / "sheets.json"
    sheets = {name: exported(shop, one) for name, one in every.items()}
    file.write_text(json.dumps({"shared": exported_units(), "sheets": sheets}), encoding="utf-8")
    with subprocess.Popen(
        [node, str(ANSWER), str(file)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        encoding="utf-8",
    ) as process:
        assert process.stdin
        assert process.stdout
        questions, answers = process.stdin, process.stdout

        def ask(worksheet: Worksheet, given: dict[str, str]) -> dict[str, Any]:
            questions.write(json.dumps({"sheet": str(worksheet.worksheet), "given": given}) + "\n")
            questions.flush()
            line = answers.readline()
            assert line, "the browser's scripts stopped"
            answer: dict[str, Any] = json.loads(line)
            return answer

        yield ask
        questions.close()


SIZES = """\
worksheet: odd_sizes
title: Oversize to choose
about: Every sort of input there is.
subject: measuring
source: common practice, no source
inputs:
  largest: in
  standard: {unit: in, default: 3.1875 in}
  offered: {unit: in, list: true}
  readings: {unit: in, list: true}
is:
  needed: largest - standard + 0.010 * inch
  choose: first_at_least(offered, needed)
  near: nearest(offered, needed)
  spread_of_all: max(readings, item) - min(readings, item)
  share: spread_of_all / mean(readings, item)
shows: {needed: in, choose: in, near: in, spread_of_all: {unit: thou, decimals: 2}, share: percent}
examples:
  - given: {largest: 3.1992 in, offered: "0.020, 0.030 in", readings: "1, 2, 3"}
    gives: {choose: 0.030 in}
    from: arithmetic
"""
ANGLES = """\
worksheet: odd_angles
title: Angles and heat
about: Angles told from dead centre, temperatures and differences of them.
subject: measuring
source: common practice, no source
caution: Look twice.
inputs:
  opens: {unit: deg, datum: BTDC}
  closes: {unit: deg, datum: ABDC}
  swing: deg
  cold: degF
  rise: Fdeg
is:
  duration: opens + 180 * deg + closes
  hot: cold + rise
  rise_again: hot - cold
  lift: sin(swing)
  steep: exp(100 * lift * rise / (1 * Fdeg))
shows: {duration: deg, hot: degF, rise_again: Fdeg, lift: {unit: ratio, decimals: 9}}
examples:
  - given: {opens: "10", closes: "50", swing: "30", cold: "68", rise: "1"}
    gives: {duration: 240 deg}
    from: arithmetic
"""
ODD = (SIZES, ANGLES)

"""Where each page of the site is, and the link that leads from one to another."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final
from urllib.parse import quote

from builder.render.shell import FIND, relative

ENGINES: Final = "engines/index.html"
PROCEDURES: Final = "procedures/index.html"
HAZARDS: Final = "hazards.html"
HOLDS: Final = "holds.html"
APPRENTICE: Final = "apprentice.html"
GLOSSARY: Final = "glossary.html"
INSTRUMENTS: Final = "instruments.html"
SOURCES: Final = "sources.html"
RULES: Final = "rules/index.html"
DIFFERENCES: Final = "differences.html"
CHANGES: Final = "changes.html"
JOBS: Final = "jobs/index.html"
WORKSHEETS: Final = "worksheets/index.html"
STYLE: Final = "assets/css/reference.css"


def slug(words: str) -> str:
    """Words as an anchor: lower case, a dash for all that is neither letter nor digit."""
    return re.sub(r"[^\w.]+", "-", words.lower()).strip("-")


def link(here: str, there: str) -> str:
    """Return the link from the page `here` to `there`, a path with or without an anchor."""
    path, mark, anchor = there.partition("#")
    return f"{_way(here, path)}{mark}{_quoted(anchor)}"


@lru_cache(maxsize=1 << 14)
def _way(here: str, path: str) -> str:
    return "" if path == here else quote(relative(here, path))


@lru_cache(maxsize=1 << 14)
def _quoted(anchor: str) -> str:
    return quote(anchor, safe="=")


def engine_page(engine: str, page: str = "index") -> str:
    """A page of a family: `index`, `specs`, `route`, `torque`, `kit` or `sources`."""
    return f"engines/{engine}/{page}.html"


def row(engine: str, name: str) -> str:
    """A characteristic in a family's spec tables."""
    return f"{engine_page(engine, 'specs')}#{name}"


def procedure_page(procedure: str) -> str:
    """A written procedure, for all families."""
    return f"procedures/{procedure}.html"


def planned(procedure: str) -> str:
    """A procedure that is not written yet, in the list of all."""
    return f"{PROCEDURES}#{procedure}"


def checklist_page(engine: str, procedure: str) -> str:
    """A procedure filled in for a family."""
    return f"checklists/{engine}/{procedure}.html"


def sheet_page(engine: str, procedure: str) -> str:
    """The printed sheet of a checklist."""
    return f"sheets/{engine}/{procedure}.html"


def older_sheet(engine: str, procedure: str, edition: str) -> str:
    """The printed sheet of a checklist as it was in an older edition."""
    return f"sheets/{engine}/{procedure}-{edition}.html"


def wall_card(engine: str) -> str:
    """A family's wall card."""
    return f"wallcards/{engine}.html"


def one_file(engine: str, procedure: str) -> str:
    """A checklist in one file, to be carried away."""
    return f"onefile/{engine}/{procedure}.html"


def job(number: str) -> str:
    """The page of a job."""
    return f"jobs/{slug(number)}.html"


def build_record(number: str) -> str:
    """The build record of a job, in one file."""
    return f"jobs/{slug(number)}-record.html"


def jobs_compared(engine: str) -> str:
    """The jobs of a family side by side."""
    return f"jobs/compare-{engine}.html"


def worksheet(name: str) -> str:
    """A worksheet."""
    return f"worksheets/{name}.html"


def hold(name: str) -> str:
    """A hold point."""
    return f"{HOLDS}#{name}"


def hazard(name: str) -> str:
    """A hazard."""
    return f"{HAZARDS}#{name}"


def instrument(name: str) -> str:
    """An instrument."""
    return f"{INSTRUMENTS}#{name}"


def term(name: str) -> str:
    """A word of the trade."""
    return f"{GLOSSARY}#{slug(name)}"


def source(name: str, engine: str = "") -> str:
    """A source: a family's own, or without a family one that all share."""
    return f"{engine_page(engine, 'sources') if engine else SOURCES}#{slug(name)}"


def find(words: str) -> str:
    """The look-up with these words already typed."""
    return f"{FIND}#q={words.replace('&', ' ')}"


def rule(code: str) -> str:
    """A rule of the manual's checks."""
    return f"{RULES}#{code}"


def step(procedure: str, name: str) -> str:
    """A step of a written procedure."""
    return f"{procedure_page(procedure)}#{name}"

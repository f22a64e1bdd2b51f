"""The catalogue of rules: registered once, run together, each with its page."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TypeAlias

from builder import collector
from builder.diagnostics import Diagnostic, Severity, Span
from builder.manual import Manual, load

Check: TypeAlias = "Callable[[Manual], Iterator[Finding]]"


@dataclass(frozen=True)
class Finding:
    """What a rule found: where, what is wrong, what to write instead."""

    span: Span
    message: str
    hint: str = ""


@dataclass(frozen=True)
class Rule:
    """A rule of the catalogue: its permanent code, its name, and the three parts of its page."""

    code: str
    name: str
    severity: Severity
    wrong: str
    why: str
    instead: str
    check: Check | None


RULES: dict[str, Rule] = {}


def rule(code: str, severity: Severity = Severity.ERROR) -> Callable[[Check], Check]:
    """Register a generator function as a rule."""

    def register(check: Check) -> Check:
        _add(code, severity, check.__name__, inspect.getdoc(check) or "", check)
        return check

    return register


def reader_fault(code: str, name: str, page: str, severity: Severity = Severity.ERROR) -> None:
    """Give a page to a fault that is found while a file is read, before any rule runs."""
    _add(code, severity, name, inspect.cleandoc(page), None)


def _add(code: str, severity: Severity, name: str, page: str, check: Check | None) -> None:
    if code in RULES:
        raise ValueError(f"{code} is taken by {RULES[code].name}")
    wrong, _, rest = page.partition("\n\nWhy: ")
    why, found, instead = rest.partition("\n\nInstead: ")
    if not (wrong and why and found and instead):
        raise ValueError(f"the page of {code} needs a first paragraph, `Why: ` and `Instead: `")
    RULES[code] = Rule(code, name.replace("_", "-"), severity, wrong, why, instead, check)


def check(manual: Manual) -> Iterator[Diagnostic]:
    """Run every rule over a manual."""
    for one in sorted(RULES.values(), key=lambda one: one.code):
        if one.check is not None:
            for found in one.check(manual):
                yield Diagnostic(found.span, one.code, found.message, one.severity, found.hint)


def check_shop(shop: Path) -> tuple[Manual, tuple[Diagnostic, ...]]:
    """Read a shop's files and check them; all faults come in one go, in the order of the files."""
    with collector.still():
        manual, faults = load(shop)
        return manual, tuple(sorted({*faults, *check(manual)}))


def has_errors(diagnostics: tuple[Diagnostic, ...]) -> bool:
    """Whether anything stands in the way of a build."""
    return any(found.severity is Severity.ERROR for found in diagnostics)


def _subjects() -> None:
    """Import every subject of the package, so that a new file of rules needs no list."""
    for module in pkgutil.iter_modules([str(Path(__file__).parent)]):
        if module.name != "catalogue":
            importlib.import_module(f"builder.rules.{module.name}")


_subjects()

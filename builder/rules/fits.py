"""Fits and their parts: what follows from what, and what moves when a job takes a size step."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from builder.diagnostics import Fault
from builder.formula import Bounds, Holds, Scope, Shape, dimension_of, kind_of, names_of, parse
from builder.formula.interval import Range, interval
from builder.limit import Limit
from builder.manual import Manual, feature, row
from builder.model.base import Text
from builder.model.engine import Engine
from builder.model.kinds import CLEARANCES, KINDS
from builder.model.spec import LimitRow, StepsRow
from builder.model.written import Cited, Formula, Stated
from builder.quantity import show
from builder.rules.catalogue import Finding, rule
from builder.rules.limits import Band, band_at
from builder.rules.linear import CONSTANT, terms
from builder.rules.references import lost
from builder.rules.table import dimension, in_force, limit_rows, place, unsound
from builder.rules.wording import listed, nearest
from builder.units import IDENTIFIERS, Unit


@dataclass(frozen=True)
class _Fit:
    """A row that follows from others: its family, its formula and its parts by name."""

    manual: Manual
    engine: Engine
    name: str
    row: LimitRow
    follows: Formula
    parts: Mapping[str, LimitRow]
    counts: Mapping[str, Fraction] | None
    """How many times each part counts, where the formula is a plain sum."""
    bare: bool
    """Whether only parts and numbers stand in the formula, no units."""

    def positions(self) -> tuple[str, ...]:
        """The grades or positions at which fit and parts are stated apart; one empty one where not."""
        rows = (self.row, *self.parts.values())
        if self.row.same == "grade":
            return tuple(dict.fromkeys(str(grade) for one in rows for grade in one.grades)) or ("",)
        stated = [in_force(one) for one in rows if not one.grades]
        keys = dict.fromkeys(str(key) for found in stated if found for key in found.by if key)
        return tuple(keys) or ("",)

    def range_at(self, position: str) -> Range | None:
        """What the formula gives there with the limits of the parts; None where it cannot be told."""
        bands: dict[str, Band] = {}
        for name, part in self.parts.items():
            stated = in_force(part)
            band = self._band(part, stated, position) if stated else None
            if band is None:
                return None
            bands[name] = band
        if self.counts is not None:
            return _summed(self.counts, bands)
        limits = {name: Bounds.of(band.low, band.high) for name, band in bands.items()}
        cell = interval(self.follows.node, Scope(limits=limits)).cells[0]
        return cell if isinstance(cell, Range) else None

    def _band(self, part: LimitRow, stated: Stated[Limit], position: str) -> Band | None:
        """The band of a part at a position of the fit; a part that is stated elsewhere only has none here."""
        seat = self._seat(part, position)
        if seat and not part.grades and stated.at(seat) is None:
            return None
        return band_at(self.manual, stated, seat)

    def _seat(self, part: LimitRow, position: str) -> str:
        """The position of a part that meets this position of the fit: rod R1 sits on crankpin 1."""
        own = feature(self.engine, self.row.each) if self.row.each is not None else None
        seats = own.on.get(part.each or "", {}) if own is not None else {}
        return seats.get(position, position)


def _summed(counts: Mapping[str, Fraction], bands: Mapping[str, Band]) -> Range:
    """The range of a sum: each part at the end that makes it least, and at the other."""
    constant = counts.get(CONSTANT, Fraction(0))
    lows: list[Fraction | None] = [constant]
    highs: list[Fraction | None] = [constant]
    for name, band in bands.items():
        count = counts[name]
        least, most = (band.low, band.high) if count >= 0 else (band.high, band.low)
        lows.append(None if least is None else count * least)
        highs.append(None if most is None else count * most)
    return Range(_total(lows), _total(highs))


def _total(ends: list[Fraction | None]) -> Fraction | None:
    known = [end for end in ends if end is not None]
    return sum(known, Fraction(0)) if len(known) == len(ends) else None


@lru_cache(maxsize=1)
def _fits(manual: Manual) -> tuple[_Fit, ...]:
    """Every row that follows from rows which are all there."""
    return tuple(_following(manual))


def _following(manual: Manual) -> Iterator[_Fit]:
    for engine, name, one in limit_rows(manual):
        if one.follows is None:
            continue
        used, counts, bare = _reading(str(one.follows.text))
        mates = [(part, row(engine, part)) for part in used]
        parts = {part: mate for part, mate in mates if isinstance(mate, LimitRow)}
        if parts and len(parts) == len(mates):
            yield _Fit(manual, engine, str(name), one, one.follows, parts, counts, bare)


@lru_cache(maxsize=4096)
def _reading(text: str) -> tuple[tuple[str, ...], Mapping[str, Fraction] | None, bool]:
    """The rows that a formula names, how many times each counts, and whether no unit stands in it.

    Families have the same fits, so that most formulas come again and again.
    """
    node = parse(text)
    names = dict.fromkeys(name.name for name in names_of(node))
    used = tuple(name for name in names if name != "pi" and name not in IDENTIFIERS)
    return used, terms(node), len(used) == len(names)


def _measures(fit: _Fit) -> Fault | None:
    """Why a formula does not give what its row measures; None where it does, or where a part is not known."""
    shapes = {name: dimension(fit.engine, part) for name, part in fit.parts.items()}
    names = {name: Shape(found, holds=Holds.EXACT) for name, found in shapes.items() if found is not None}
    wanted = dimension(fit.engine, fit.row)
    if len(names) < len(shapes) or wanted is None:
        return None
    if fit.bare and fit.counts is not None and all(found == wanted for found in shapes.values()):
        return None
    try:
        own = dimension_of(fit.follows.node, names).dimension
    except Fault as fault:
        return None if "is no reading" in fault.message else fault
    if own == wanted:
        return None
    return Fault(
        f"`{fit.follows.text}` gives {kind_of(own)}, and `{fit.name}` is {kind_of(wanted)}",
        "look at the formula again",
    )


@rule("GL-232")
def follows_measures_otherwise(manual: Manual) -> Iterator[Finding]:
    """The formula under `follows` cannot be worked out, or gives something else than the row measures.

    Why: A clearance made of a length and a torque is a slip in a name.

    Instead: Write a formula of rows that measure the same: `main.bore - main.journal`.
    """
    for fit in _fits(manual):
        fault = _measures(fit)
        if fault is not None:
            yield Finding(fit.follows.text.part(fault.start, fault.end), fault.message, fault.hint)


@rule("GL-230")
def fit_unlike_its_parts(manual: Manual) -> Iterator[Finding]:
    """A printed fit is not what the limits of its parts give.

    Why: One of the values is misread or misprinted. Parts all inside their limits would then give a fit that
    is out, or a fit inside its limits would need parts that are out.

    Instead: Look at the values again in the book. Where the maker fits parts by selection or with shims, say
    so under `differs:`.
    """
    for fit in _fits(manual):
        stated = in_force(fit.row)
        if stated is None or fit.row.differs is not None or _measures(fit) is not None:
            continue
        for position in fit.positions():
            printed = stated.at(position)
            found = fit.range_at(position)
            if printed and found and id(printed) not in unsound(manual) and _differs(printed.value, found):
                yield _unlike(fit, printed, found, position)
                break


def _differs(printed: Limit, found: Range) -> bool:
    """Whether an end that is printed is not the end that follows, rounded as it is printed."""
    half = Fraction(0) if printed.decimals is None else printed.unit.factor / (2 * 10**printed.decimals)
    ends = ((printed.low_base, found.low), (printed.high_base, found.high))
    return any(one is not None and (other is None or abs(one - other) > half) for one, other in ends)


def _unlike(fit: _Fit, printed: Cited[Limit], found: Range, position: str) -> Finding:
    where = f" at {position}" if position else ""
    gives = _shown(found, printed.value)
    message = f"`{fit.follows.text}` gives {gives}{where}, but `{printed.body}` is printed"
    return Finding(
        place(printed), message, "look at all the values again, or say under `differs` why they differ"
    )


def _shown(found: Range, like: Limit) -> str:
    places = like.decimals if like.decimals is not None else 4
    low, high = (None if end is None else like.unit.from_base(end) for end in (found.low, found.high))
    if low is not None and high is not None:
        return f"{_number(low, like.unit, places)} to {show(high, like.unit, places)}"
    if low is None and high is None:
        return "no limit"
    return (
        f"{show(high, like.unit, places)} max"
        if high is not None
        else f"{show(low or Fraction(0), like.unit, places)} min"
    )


def _number(value: Fraction, unit: Unit, places: int) -> str:
    return show(value, unit, places).removesuffix(unit.symbol).rstrip()


@rule("GL-231")
def differs_from_nothing(manual: Manual) -> Iterator[Finding]:
    """A row says why a fit differs from its parts, but names no parts or does not differ.

    Why: An excuse that is not needed hides the next misprint.

    Instead: Write `follows:` with the formula, or remove `differs:`.
    """
    fits = {(str(fit.engine.engine), fit.name): fit for fit in _fits(manual)}
    for engine, name, one in limit_rows(manual):
        if one.differs is None:
            continue
        fit = fits.get((str(engine.engine), str(name)))
        if one.follows is None:
            yield Finding(
                one.differs.span, f"`{name}` differs from no parts", "write `follows`, or remove `differs`"
            )
        elif fit is not None and _agrees(fit):
            message = f"`{name}` is just what `{one.follows.text}` gives"
            yield Finding(one.differs.span, message, "remove `differs`")


def _agrees(fit: _Fit) -> bool:
    stated = in_force(fit.row)
    pairs = [(stated.at(position), fit.range_at(position)) for position in fit.positions()] if stated else []
    return bool(pairs) and all(one and found and not _differs(one.value, found) for one, found in pairs)


@rule("GL-234")
def size_step_on_a_fit(manual: Manual) -> Iterator[Finding]:
    """A clearance is said to move with a size step of the job.

    Why: Journal and bearing go to the next undersize together; the clearance between them stays. A limit that
    moved by the step would pass an engine that seizes, or one that knocks.

    Instead: Remove `moves_with` from the fit, and give it to the sizes that the fit is made of.
    """
    for _, name, one in limit_rows(manual):
        if one.moves_with and one.kind in CLEARANCES:
            key = next(iter(one.moves_with))
            message = f"`{name}` is a {KINDS[one.kind].words}, which does not move with `{key}`"
            yield Finding(key.span, message, "give `moves_with` to the sizes it is made of")


def _offered(engine: Engine) -> set[str]:
    return {
        str(one.step) for one in engine.specs.values() if isinstance(one, StepsRow) and one.step is not None
    }


@rule("GL-235")
def size_step_not_offered(manual: Manual) -> Iterator[Finding]:
    """A size moves with a step that no list of the family offers.

    Why: A job that took such a step could not say by how much, and the name is most often misspelt.

    Instead: Write `step:` with this name on the row that lists the sizes, or correct the name.
    """
    for engine in manual.engines.values():
        offered = _offered(engine)
        said: set[str] = set()
        for one in engine.specs.values():
            for step in one.moves_with if isinstance(one, LimitRow) and one.kind not in CLEARANCES else ():
                if (
                    step not in offered
                    and step not in said
                    and not lost(manual, engine.engine.span.path, "specs")
                ):
                    said.add(str(step))
                    hint = nearest(step, offered, f"write `step: {step}` on the row that lists the sizes")
                    yield Finding(step.span, f"`{step}` is offered by no list of sizes", hint)


@rule("GL-236")
def fit_moves_with_a_size_step(manual: Manual) -> Iterator[Finding]:
    """The sizes of a fit do not move together: a size step of the job would change the fit.

    Why: On an undersize job the limits of the journal would move and those of its bearing would not, and
    every reading of the one or the other would be called out.

    Instead: Give each size of the fit `moves_with` with the right factor: journal and bore -1, a shell wall
    1/2.
    """
    for fit in _fits(manual):
        if fit.row.kind in CLEARANCES and fit.counts is not None:
            for step in dict.fromkeys(str(step) for part in fit.parts.values() for step in part.moves_with):
                if _moves_by(fit, fit.counts, step):
                    yield _moving(fit, step)


def _moves_by(fit: _Fit, counts: Mapping[str, Fraction], step: str) -> Fraction:
    """How many times the step the fit would move."""
    factors = ((counts[name], part.moves_with.get(Text(step))) for name, part in fit.parts.items())
    return sum((count * Fraction(factor) for count, factor in factors if factor is not None), Fraction(0))


def _moving(fit: _Fit, step: str) -> Finding:
    still = [name for name, part in fit.parts.items() if step not in part.moves_with]
    why = (
        f"; {listed(still)} {'does' if len(still) == 1 else 'do'} not move"
        if still
        else "; the factors do not cancel"
    )
    message = f"`{fit.name}` would change with `{step}`{why}"
    return Finding(fit.follows.text.span, message, "give each size of the fit `moves_with` and its factor")


@rule("GL-237")
def same_grade_of_nothing(manual: Manual) -> Iterator[Finding]:
    """A fit holds between parts of the same grade, but none of its parts has grades.

    Why: Either the grades were forgotten, and any part is taken for any other, or the word is in the wrong
    row.

    Instead: Write `grades:` on the parts, or remove `same`.
    """
    for engine, _, one in limit_rows(manual):
        if one.same is None:
            continue
        mates = [row(engine, used.name) for used in names_of(one.follows.node)] if one.follows else []
        graded = any(isinstance(mate, LimitRow) and mate.grades for mate in mates)
        if one.same != "grade":
            yield Finding(one.same.span, f"`{one.same}` is nothing that parts share", "write `same: grade`")
        elif not graded and not any(
            used.name in manual.left_out for used in (names_of(one.follows.node) if one.follows else ())
        ):
            yield Finding(
                one.same.span,
                "no part of this fit has grades",
                "write `grades` on its parts, or remove `same`",
            )

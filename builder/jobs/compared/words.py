"""A comparison in plain words: what is set otherwise, what is odd, what drifts, what went round again."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import count

from builder.conversion import other_system
from builder.jobs.compared import Comparison, Loops, Repeats, Series
from builder.jobs.compared.loops import SheetLoops
from builder.jobs.compared.series import FEW, RISK, Odd
from builder.jobs.kinds import counted
from builder.judge.bounds import Band
from builder.judge.words import WHOSE, band_words
from builder.model.spec import LimitRow
from builder.quantity import DATUMS, show
from builder.units import Unit, partner

FITS = frozenset({"clearance", "end_float", "backlash", "gap"})
SIZES = frozenset({"bore", "depth", "shaft", "thickness", "width", "lift", "height", "length"})
NO_STUDY = "not told: a study takes two people who each read two places twice or more"
TOO_FEW = "there are too few jobs to tell a builder's habit from one engine"

# Values


def amount(value: Fraction | float, unit: Unit, places: int) -> str:
    """A difference in its unit, and in the other system: `0.0002 in (0.005 mm)`."""
    base, beside = Fraction(value), partner(unit)
    if base and not round(base / unit.factor, places):
        places += 1
    own = show(base / unit.factor, unit, places)
    if beside is None:
        return own
    step = unit.factor / 10**places
    fine = next(digits for digits in count() if beside.factor <= step * 10**digits)
    return f"{own} ({show(base / beside.factor, beside, fine)})"


def shown(series: Series, value: Fraction) -> str:
    """A value in its unit, in one digit more where it would be rounded; an angle from its dead centre."""
    datum = _datum(series)
    own = series.unit.from_base(value) * (DATUMS[datum][1] if datum else 1)
    exact = (own * 10**series.places).denominator == 1
    told = show(own, series.unit, series.places if exact else series.places + 1)
    return f"{told} {datum}".rstrip()


def _datum(series: Series) -> str:
    """The dead centre that its limit counts from; empty where it counts from none."""
    band = next((one.band for one in series.points if one.band is not None), None)
    return band.printed[0].value.datum if band is not None else ""


def ways(series: Series) -> tuple[str, str]:
    """The words for less and for more of a characteristic."""
    kind = str(series.row.kind) if isinstance(series.row, LimitRow) else ""
    if _datum(series):
        return "earlier", "later"
    if kind in FITS:
        return "tighter", "looser"
    return ("smaller", "larger") if kind in SIZES else ("lower", "higher")


def limit_words(series: Series) -> str:
    """The limit of standard size, and whose it is; empty where there is none."""
    band = standard(series)
    if band is None:
        return ""
    if len(band.printed) == 1:
        limit = band.printed[0].value
        beside = limit.second or other_system(limit)
        told = limit.text if beside is None or beside.text in limit.text else f"{limit.text} ({beside.text})"
        return f"{told}, {WHOSE[band.kind]}"
    return band_words(band)


def standard(series: Series) -> Band | None:
    """The limit of the first value, brought back to standard size."""
    band = next((one.band for one in series.points if one.band is not None), None)
    if band is None:
        return None
    low, high = (None if bound is None else bound - band.moved for bound in (band.low, band.high))
    return Band(low, high, band.kind, band.printed)


# Lines


def lines(found: Comparison) -> Iterator[str]:
    """The whole comparison for a reader: plain words first, numbers last."""
    yield head_line(found)
    for title, said in sections(found):
        yield from ("", title)
        yield from (f"  {line}" for line in said)
    yield from ("", "Numbers") if found.series else ()
    yield from (f"  {line}" for series in found.series for line in number_lines(series))
    yield from ("", *notes(found)) if found.series else ()


def head_line(found: Comparison) -> str:
    """The family, its jobs and their builders."""
    builders: dict[str, dict[str, None]] = {}
    for series in found.series:
        for job in series.jobs:
            builders.setdefault(job.builder, {})[job.job] = None
    said = "; ".join(f"{name} {', '.join(sorted(jobs))}" for name, jobs in sorted(builders.items()))
    return f"{found.engine.title}: {counted(len(found.jobs), 'job')}" + (
        f", by builder: {said}" if said else ""
    )


OTHERWISE = "What the builders set otherwise"


def sections(found: Comparison) -> Iterator[tuple[str, tuple[str, ...]]]:
    """The plain words under their titles."""
    told = (f"{one.title}, {one.code}: {difference_words(one)}" for one in told_series(found))
    yield OTHERWISE, (*told, *rest_lines(found))
    yield from other_sections(found)


def other_sections(found: Comparison) -> Iterator[tuple[str, tuple[str, ...]]]:
    """What is told beside the differences between builders."""
    yield "Odd values", tuple(odd_lines(found.series)) or (f"none, where {FEW} or more could be compared",)
    yield "Places that come out otherwise time after time", tuple(place_lines(found.series)) or ("none",)
    yield "Drift over the jobs", tuple(drift_lines(found.series)) or (_no_drift(found.series),)
    yield "Work that went round again", tuple(loop_lines(found.loops)) or ("none",)
    yield "Gauges", tuple(gauge_lines(found.repeats)) or (NO_STUDY,)


def told_series(found: Comparison) -> list[Series]:
    """What the builders set otherwise, the largest difference for its gauge first."""
    return sorted((one for one in found.series if one.is_told), key=lambda one: -_weight(one))


def rest_lines(found: Comparison) -> Iterator[str]:
    """What they set alike, and how much of the rest chance would bring about."""
    if not found.series:
        yield "no characteristic was read on two jobs: there is nothing to compare yet"
        return
    rest = sum(not one.is_told for one in found.series)
    if rest:
        others = "1 other characteristic" if rest == 1 else f"{rest} other characteristics"
        yield f"{others}: alike, as far as the gauges can tell"
    tested = [one.chance for one in found.series if one.chance is not None]
    if any(chance < RISK for chance in tested):
        by_chance = f"of {len(tested)} so tested, {len(tested) * RISK:.1f} would look so by chance alone"
        yield f"read these with care: {by_chance}"


def _weight(series: Series) -> float:
    return float(series.difference) / (series.uncertainty or float(series.unit.factor))


def difference_words(series: Series) -> str:
    """Who sets it otherwise than whom and by how much, and whether that is a habit."""
    (base, own), *others = series.means.items()
    said = [
        _beside(series, name, value - own, base)
        for name, value in others
        if float(abs(value - own)) >= series.uncertainty
    ]
    if not said:
        (low, least), *_, (high, most) = sorted(series.means.items(), key=lambda item: item[1])
        said = [_beside(series, low, least - most, high)]
    return f"{' and '.join(said)}; {chance_words(series)}"


def _beside(series: Series, name: str, by: Fraction, base: str) -> str:
    """One builder beside another: `R.T. sets it 0.0002 in tighter than L.M.`."""
    kind = str(series.row.kind) if isinstance(series.row, LimitRow) else ""
    does = "sets it" if kind in FITS else "has it"
    told = amount(abs(by), series.unit, series.places)
    return f"{name} {does} {told} {ways(series)[by > 0]} than {base}"


def chance_words(series: Series) -> str:
    """Whether a difference is more than one builder's own engines differ by."""
    jobs = counted(len(series.jobs), "job")
    if series.chance is None:
        return f"{jobs}: {TOO_FEW}"
    told = f"chance alone gives as much in {series.chance:.0%} of cases, {jobs}"
    if series.chance < RISK:
        return f"more than the engines of one builder differ ({told})"
    return f"the engines of one builder differ as much ({told})"


def odd_lines(every: Iterable[Series]) -> Iterator[str]:
    """Values that stand out from their own engine, and engines that stand out from the others."""
    for series in every:
        for odd in series.odd:
            yield f"{series.title}, {series.code}: {_odd(series, odd)}"
        if series.odd_job is not None:
            yield f"{series.title}, {series.code}: the whole engine: {_odd(series, series.odd_job)}"


def _odd(series: Series, odd: Odd) -> str:
    value, beside = (shown(series, one) for one in (odd.value, odd.beside))
    where = f", {odd.where}" if odd.where else ""
    return f"{odd.job} ({odd.builder}){where}: {value} beside {beside} of the others"


def place_lines(every: Iterable[Series]) -> Iterator[str]:
    """Places that come out otherwise than their mates on job after job."""
    for series in every:
        if series.odd_place:
            by = series.by_position[series.odd_place]
            way = ways(series)[by > 0]
            told = amount(abs(by), series.unit, series.places)
            jobs = counted(len(series.jobs), "job")
            what = f"{series.odd_place} is {told} {way} than its engine, over {jobs}"
            yield f"{series.title}, {series.code}: {what}"


def drift_lines(every: Iterable[Series]) -> Iterator[str]:
    """What rises or falls from job to job."""
    for series in every:
        line = series.trend
        if line is not None and series.drifts:
            way = "falls" if line.slope < 0 else "rises"
            month = amount(abs(line.slope) * 30, series.unit, series.places + 1)
            told = f"chance alone gives as much in {line.chance:.0%} of cases"
            jobs = counted(len(series.jobs), "job")
            yield f"{series.title}, {series.code}: {way} by {month} in 30 days over {jobs} ({told})"


def _no_drift(every: Sequence[Series]) -> str:
    told = sum(one.trend is not None for one in every)
    if not told:
        return f"not told: a drift takes {FEW} jobs or more"
    return f"none in {counted(told, 'characteristic')} that {FEW} jobs or more have read"


def loop_lines(every: Iterable[Loops]) -> Iterator[str]:
    """Passes, readings taken again and entries corrected, procedure by procedure."""
    for loops in every:
        said = [text for sheet in loops.sheets if (text := _sheet_words(sheet))]
        if said:
            yield f"{loops.code} {loops.title}, {counted(len(loops.sheets), 'sheet')}: {'; '.join(said)}"


def _sheet_words(sheet: SheetLoops) -> str:
    counts = (
        (sheet.number, "1 pass", f"{sheet.number} passes"),
        (sheet.again, "1 reading taken again", f"{sheet.again} readings taken again"),
        (sheet.corrected, "1 entry corrected", f"{sheet.corrected} entries corrected"),
    )
    said = [one if number == 1 else many for number, one, many in counts if number]
    return f"{sheet.job} ({sheet.builder}) {', '.join(said)}" if said else ""


def gauge_lines(every: Iterable[Repeats]) -> Iterator[str]:
    """What repeat readings say of a gauge and of the people who read it."""
    for one in every:
        who = " and ".join(one.people)
        times = f"{one.study.parts} places, {one.study.repeats} times each by {who}"
        yield f"{one.gauge} on {one.title}, {one.job}, {one.code}: {times}"
        again, apart = (amount(value, one.unit, 5) for value in (2 * one.repeat, one.apart))
        yield f"one person comes back to within {again} (2 sigma); the means of {who} lie {apart} apart"
        if one.of_band is not None:
            share = f"gauge and people take {one.of_band:.0%} of the limit's width (6 sigma)"
            yield f"{share}: {_fit(one.of_band)}"


def _fit(share: float) -> str:
    """What a share of the limit's width means; a tenth and three tenths are common practice, no source."""
    if share <= 0.1:  # noqa: PLR2004 - see above
        return "it is fit for this limit"
    if share <= 0.3:  # noqa: PLR2004 - see above
        return "it will do for this limit"
    return "near the limit it cannot tell in from out, so such a value is read again"


def number_lines(series: Series) -> Iterator[str]:
    """The numbers of one characteristic: the limit, each builder, the spreads."""
    limit = limit_words(series)
    yield f"{series.title}, {series.code}" + (f"; limit {limit}" if limit else "")
    for name, jobs in series.builders.items():
        each = ", ".join(f"{job.job} {shown(series, job.mean)}" for job in jobs)
        whole = shown(series, series.means[name])
        yield f"  {name}: {whole}, {counted(sum(len(job.points) for job in jobs), 'value')} ({each})"
    yield f"  {spread_words(series)}"


def spread_words(series: Series) -> str:
    """The spreads and the ratios of the analysis of variance."""
    said = ["one value for each engine"]
    if any(len(job.points) > 1 for job in series.jobs):
        said = [f"in one engine {amount(series.in_engine, series.unit, series.places + 1)} (1 sigma)"]
    for title, found in (("engines", series.by_job), ("places", series.by_place)):
        if found.ratio is not None:
            free = f"{found.between_free} and {found.within_free}"
            said.append(
                f"between and within builders by {title} F = {found.ratio:.2f} ({free} degrees of freedom)"
            )
    return "; ".join(said)


def notes(found: Comparison) -> Iterator[str]:
    """How the numbers came about."""
    if found.series:
        yield "Sizes are brought back to standard size. Of a fit the middle of its two ends is compared."
        yield "Each engine counts once for its builder: places of one engine hang together."
        yield "Differences from the U of one value on are told. Odd is what Grubbs calls so, over 2 U away."

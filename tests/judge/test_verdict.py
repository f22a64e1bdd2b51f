"""One value against its limits: the truth table of the judging rules, as data."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.judge.bounds import NO_LIMITS, Band, Limits
from builder.judge.verdict import Decision, Flag, Verdict, decide

THOU = Fraction(254, 10_000_000)
"""One thou in metres."""


def band(low: int | None, high: int | None, kind: str = "new") -> Band:
    """A band in thou."""
    return Band(None if low is None else low * THOU, None if high is None else high * THOU, kind, ())


NEW, AIM, WEAR = band(10, 20), band(14, 16, "aim"), band(None, 40, "wear")
BOTH = Limits(NEW, AIM, WEAR)


def judged(value: float, limits: Limits, *, untouched: bool = False, u: float = 0, end: str = "") -> Decision:
    """Judge a value and its U, both in thou."""
    return decide(Fraction(value) * THOU, (Fraction(u) * THOU) ** 2, limits, untouched=untouched, end=end)


def said(decision: Decision) -> str:
    """The verdict and its flags in words, with the kind of the limit that decided."""
    by = f" by {decision.by.kind}" if decision.by else ""
    return ", ".join([str(decision.verdict), *map(str, decision.flags)]) + by


@pytest.mark.parametrize(
    ("value", "limits", "untouched", "expected"),
    [
        # Machined or new: the limit in force alone decides, wear never passes it.
        (15, BOTH, False, "in by new"),
        (12, BOTH, False, "in, off aim by new"),
        (20, BOTH, False, "in, off aim by new"),
        (10, BOTH, False, "in, off aim by new"),
        (21, BOTH, False, "out by new"),
        (33, BOTH, False, "out by new"),
        (9, BOTH, False, "out by new"),
        # Untouched: the limit in force, else wear.
        (15, BOTH, True, "in by new"),
        (21, BOTH, True, "in, inside wear only by wear"),
        (40, BOTH, True, "in, inside wear only by wear"),
        (41, BOTH, True, "out by wear"),
        # What has no wear limit is judged by the limit in force, as found too.
        (21, Limits(NEW), True, "out by new"),
        # What has only a wear limit: an untouched part by it, a new one by nothing.
        (30, Limits(wear=WEAR), True, "in by wear"),
        (41, Limits(wear=WEAR), True, "out by wear"),
        (30, Limits(wear=WEAR), False, "no limit"),
        # An aim alone fails nothing.
        (99, Limits(aim=AIM), False, "no limit"),
        (99, NO_LIMITS, True, "no limit"),
    ],
)
def test_truth_table_of_verdicts(value: int, limits: Limits, untouched: bool, expected: str) -> None:
    """Each row of the judging table gives its words."""
    assert said(judged(value, limits, untouched=untouched)) == expected


@pytest.mark.parametrize(
    ("value", "u", "expected"),
    [
        (20, 0, "in by new"),  # nothing is nearer than a U of nothing
        (20, 1, "in, edge by new"),
        (19, 1, "in by new"),  # exactly U away is not nearer than U
        (19.5, 1, "in, edge by new"),
        (20.5, 1, "out, edge by new"),
        (21, 1, "out by new"),
        (10.5, 1, "in, edge by new"),
        (9.5, 1, "out, edge by new"),
        (15, 5, "in by new"),
        (15, 6, "in, edge by new"),
    ],
)
def test_edge_is_strictly_nearer_than_the_uncertainty(value: float, u: float, expected: str) -> None:
    """`edge` stands beside the verdict on either side of a limit, only strictly nearer than U."""
    assert said(judged(value, Limits(NEW), u=u)) == expected


@pytest.mark.parametrize(
    ("end", "value", "expected"),
    [
        ("least", 9, "out by new"),
        ("least", 10, "in, off aim by new"),
        ("least", 99, "in by new"),
        ("most", 99, "out by new"),
        ("most", 20, "in, off aim by new"),
        ("most", 1, "in by new"),
    ],
)
def test_each_end_of_a_fit_has_its_own_bound(end: str, value: int, expected: str) -> None:
    """The least clearance is held against the lower bound alone, the most against the upper alone."""
    assert said(judged(value, BOTH, end=end)) == expected


def test_least_of_a_limit_without_lower_bound_has_no_limit() -> None:
    """Where the limit has no lower bound, the smaller end of a fit is only recorded."""
    assert said(judged(1, Limits(band(None, 20)), end="least")) == "no limit"


thous = st.integers(-60, 60)


@given(value=thous, low=thous, high=thous)
def test_equality_is_inside(value: int, low: int, high: int) -> None:
    """A value is in exactly when it is not below the lower and not above the upper bound."""
    low, high = sorted((low, high))

    assert (judged(value, Limits(band(low, high))).verdict is Verdict.IN) == (low <= value <= high)


@given(value=thous, low=thous, width=st.integers(0, 20), u=st.integers(0, 10))
def test_uncertainty_never_changes_a_verdict(value: int, low: int, width: int, u: int) -> None:
    """Simple acceptance: U may flag a value and never moves it from `in` to `out` or back."""
    limits = Limits(band(low, low + width))

    assert judged(value, limits, u=u).verdict is judged(value, limits).verdict


@given(value=thous, high=thous, worn=st.integers(0, 20))
def test_wear_never_passes_a_rebuilt_part(value: int, high: int, worn: int) -> None:
    """A part that was machined or is new comes out the same whether or not there is a wear limit."""
    limits, alone = Limits(band(None, high), wear=band(None, high + worn, "wear")), Limits(band(None, high))

    assert judged(value, limits) == judged(value, alone)


@given(value=thous, low=thous, width=st.integers(0, 20), narrower=st.integers(0, 10))
def test_aim_fails_nothing(value: int, low: int, width: int, narrower: int) -> None:
    """The aim may set a flag and never decides."""
    new = band(low, low + width)
    aimed = judged(value, Limits(new, band(low + narrower, low + width - narrower, "aim")))
    plain = judged(value, Limits(new))

    assert (aimed.verdict, set(aimed.flags) - {Flag.OFF_AIM}) == (plain.verdict, set(plain.flags))

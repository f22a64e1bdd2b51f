"""Features: how they are counted and where they stand."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.diagnostics import Fault
from builder.model.base import Text
from builder.model.engine import Feature, feature_of


def feature(**written: object) -> Feature:
    """A feature as a file writes it."""
    return feature_of(
        {
            Text(key): [Text(one) for one in value] if isinstance(value, list) else Text(str(value))
            for key, value in written.items()
        }
    )


def test_rows_are_counted_along() -> None:
    """`rows: 2` of six: one to three, then four to six, each from the front."""
    found = feature(names=6, rows=2, first_row="camshaft side")

    assert found.rows == (("1", "2", "3"), ("4", "5", "6"))
    assert found.first_row == "camshaft side"


def test_abreast_is_counted_across() -> None:
    """`abreast: 2` of six: one and two lie side by side at the front."""
    assert feature(names=6, abreast=2).rows == (("1", "3", "5"), ("2", "4", "6"))


def test_each_bank_is_laid_by_itself() -> None:
    """Names of another letter begin another head."""
    names = ["L1", "L2", "L3", "L4", "R1", "R2", "R3", "R4"]

    assert feature(names=names, abreast=2).rows == (("L1", "L3"), ("L2", "L4"), ("R1", "R3"), ("R2", "R4"))


@given(st.integers(1, 6), st.integers(1, 20), st.booleans())
def test_every_name_stands_in_one_place(rows: int, length: int, is_along: bool) -> None:
    """So many rows, all as long, which together are the names."""
    count = rows * length
    laid = feature(names=count, **{"rows" if is_along else "abreast": rows}).rows

    assert len(laid) == rows
    assert {len(row) for row in laid} == {length}
    assert sorted(int(name) for row in laid for name in row) == list(range(1, count + 1))


@pytest.mark.parametrize(
    ("written", "message"),
    [
        ({"names": 7, "rows": 2}, "`2` does not divide the names"),
        ({"names": 6, "abreast": "two"}, "`two` does not divide the names"),
        ({"names": 6, "rows": 0}, "`0` does not divide the names"),
        ({"names": 6, "rows": 2, "abreast": 3}, "`rows` and `abreast` are both given"),
        ({"names": 6, "row": 2}, "`row` is not known here"),
    ],
)
def test_rows_that_cannot_be_are_refused(written: dict[str, object], message: str) -> None:
    """With what is wrong in words."""
    with pytest.raises(Fault, match=message) as refused:
        feature(**written)

    assert refused.value.hint

"""A checked job in lines: limits in the fractions they were printed in, angles from their own dead centre."""

from __future__ import annotations

from typing import Any

from builder.jobs.words import job_lines

Copy = Any  # of conftest.py, which is no module to import from


def test_limit_in_a_fraction_of_an_inch_is_told_as_printed(clean: Copy) -> None:
    """`3/8 in max` is not rounded to no inches at all."""
    lines = [line.strip() for line in job_lines(clean.check())]

    assert "one: 0.2500 in  in  (3/8 in max, new)" in lines
    assert "valve I1: 0.020 in  in  (1/16 in max, shop limit)" in lines


def test_angle_is_told_from_the_dead_centre_of_its_limit(clean: Copy) -> None:
    """14.5 degrees before top dead centre is told as it was read, and not as a negative angle."""
    lines = [line.strip() for line in job_lines(clean.check())]

    assert "one: 14.5 deg BTDC  in  (14 ± 2 deg BTDC, new)" in lines
    assert "one: 16.5 deg ATDC  in  (16 ± 2 deg ATDC, new)" in lines
    assert not [line for line in lines if line.startswith("one: -14.5 deg")]

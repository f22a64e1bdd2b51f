"""Outside work: the sizes to hold move with the job, and what comes home closes the ticket by its sizes."""

from __future__ import annotations

from typing import Any

from builder.jobs.outside import held, returned

Copy = Any  # of conftest.py, which is no module to import from


def asked(copy: Copy) -> dict[str, Any]:
    """What the ticket of the clean job asks for, by characteristic."""
    whole = copy.check().whole
    return {one.name: one for one in held(whole, whole.job.tickets["OT-118"])}


def found(copy: Copy) -> list[str]:
    """What is wrong with the tickets of a job."""
    return [one.what for one in copy.found() if str(one.kind) == "ticket"]


def test_sizes_to_hold_are_those_of_the_book_moved_by_this_job(clean: Copy) -> None:
    """A size that the ticket does not write is the limit in force with 0.010 in taken off."""
    written = asked(clean)["main.journal"].bands
    clean.job("      main.journal: 2.6135 to 2.6140 in\n", "")
    clean.job("hold: [main.fillet,", "hold: [main.journal, main.fillet,")

    resolved = asked(clean)["main.journal"].bands
    ends = [{(band.low, band.high) for band in bands.values()} for bands in (written, resolved)]
    assert ends[0] == ends[1]
    assert list(resolved) == ["1", "2", "3", "4"]


def test_ticket_that_writes_another_size_than_the_book_shows_both(clean: Copy) -> None:
    """The grinder reads the ticket; whoever signs it sees what the manual says."""
    assert asked(clean)["main.journal"].book is None
    clean.job("      main.journal: 2.6135 to 2.6140 in\n", "      main.journal: 2.6035 to 2.6040 in\n")

    assert asked(clean)["main.journal"].book is not None


def test_size_that_came_home_wrong_is_a_finding(clean: Copy) -> None:
    """A journal below its size is named with its position."""
    clean.job('"3": 2.6138 in, "4": 2.6137 in}', '"3": 2.6134 in, "4": 2.6137 in}')

    assert found(clean) == [
        "ticket OT-118, crankshaft: main journal diameter is not as asked for: main 3 2.6134 in"
    ]


def test_size_on_its_limit_is_as_asked_for(clean: Copy) -> None:
    """Equality is inside."""
    clean.job('"3": 2.6138 in, "4": 2.6137 in}', '"3": 2.6135 in, "4": 2.6140 in}')

    assert found(clean) == []


def test_size_that_nobody_wrote_down_is_a_finding(clean: Copy) -> None:
    """A name alone closes no ticket: the size is on the ticket, or on a filed sheet."""
    clean.job("      main.fillet: 0.100 in\n", "")

    assert found(clean) == [
        "ticket OT-118, crankshaft: nothing is written down of its main journal fillet radius on return"
    ]


def test_sheets_filed_after_the_return_close_a_ticket(clean: Copy) -> None:
    """Journals that were measured at the fitting of the shells need not be typed in twice."""
    text = (clean.folder / "job.yaml").read_text("utf-8")
    line = next(one for one in text.splitlines() if one.startswith('      main.journal: {"1"'))
    clean.job(f"{line}\n", "")
    whole = clean.check().whole

    sizes = returned(whole, whole.job.tickets["OT-118"], asked(clean)["main.journal"])
    assert {one.at for one in sizes} == {"1", "2", "3", "4"}
    assert all(one.is_in and one.by == "L.M." for one in sizes)
    assert found(clean) == []

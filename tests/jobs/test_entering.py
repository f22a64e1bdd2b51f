"""A sheet of paper typed in: what is no reading goes into the same lists as the page writes."""

from __future__ import annotations

import pytest

from builder.diagnostics import Fault
from builder.jobs.entering import Entered, entered
from builder.jobs.folder import read_job_file
from builder.jobs.written import plain
from builder.manual import Manual
from builder.model.job import Job
from builder.said import in_short

OF = Entered(by="L.M.", when="2026-03-16T10:00:00Z", gauge="OM-14")
SIGNED = {"by": "L.M.", "when": "2026-03-16T10:00:00Z"}


@pytest.fixture
def job(clean) -> Job:  # noqa: ANN001 - the copy of the folder's conftest
    """The clean job."""
    found, faults = read_job_file(clean.folder)
    assert found is not None
    assert faults == ()
    return found


def typed(manual: Manual, job: Job, *entries: str, of: str = "P18") -> dict[str, list[dict[str, object]]]:
    """What entries make, by list; the empty lists left out."""
    made = plain(entered(manual, job, of, entries, OF))
    return {name: value for name, value in made.items() if isinstance(value, list) and value}


def test_looks_are_answered_for_every_position_or_for_one(manual: Manual, job: Job) -> None:
    """`look 9 = yes` answers all that the step looks at; a position or a letter narrows it."""
    every = typed(manual, job, "look 9 = yes")["looks"]
    one = typed(manual, job, "look 9a M3 = no")["looks"]
    lettered = typed(manual, job, "look 2b = yes")["looks"]

    assert [look["at"] for look in every] == [{"main": str(number)} for number in range(1, 5)]
    assert {(look["name"], look["seen"]) for look in every} == {("journal_surface", "yes")}
    assert one == [{"step": "mains", "name": "journal_surface", "at": {"main": "3"}, "seen": "no", **SIGNED}]
    assert {look["name"] for look in lettered} == {"big_end_shells"}


def test_what_is_not_done_is_entered_with_its_reason(manual: Manual, job: Job) -> None:
    """A step, a step at a position, a single box."""
    found = typed(
        manual,
        job,
        "step 2 skipped = shells came matched",
        "step 9 M3 skipped = cap at the welder's",
        "CRK-01 M3 F T skipped = oil hole there",
    )

    assert found == {
        "skipped": [
            {"step": "shells", "name": "", "at": {}, "reason": "shells came matched", **SIGNED},
            {"step": "mains", "name": "", "at": {"main": "3"}, "reason": "cap at the welder's", **SIGNED},
            {
                "step": "mains",
                "name": "journal",
                "at": {"main": "3", "plane": "front", "axis": "T"},
                "reason": "oil hole there",
                **SIGNED,
            },
        ]
    }


def test_passes_are_counted_at_each_position(manual: Manual, job: Job) -> None:
    """With the amount, or `done` where there is none."""
    found = typed(manual, job, "pass 6.1 M3 = 0.0002 in", "pass 6.1 M1 = done", "pass 6.1 M3 = 0.0001 in")

    assert [(one["pass"], one["at"], one["amount"]) for one in found["passes"]] == [
        (1, {"main": "3"}, "0.0002 in"),
        (1, {"main": "1"}, ""),
        (2, {"main": "3"}, "0.0001 in"),
    ]


def test_remarks_and_photos_stand_on_their_steps(manual: Manual, job: Job) -> None:
    """A remark without a number is on the whole sheet; behind the first comma stands what a photo shows."""
    found = typed(
        manual, job, "remark = late in the day", "remark 9 = stiff", "photo 9 = 0117.jpg, the score, lit"
    )

    assert found == {
        "notes": [
            {"step": "", "text": "late in the day", **SIGNED},
            {"step": "mains", "text": "stiff", **SIGNED},
        ],
        "photos": [{"step": "mains", "file": "0117.jpg", "caption": "the score, lit", **SIGNED}],
    }


def test_sheet_says_what_its_edition_said(manual: Manual, job: Job, plans) -> None:  # noqa: ANN001 - the conftest's
    """So that a later edition can tell what has changed."""
    sheet = entered(manual, job, "P18", ["step 1 = done"], OF)
    plan = plans.plan("tarnwick-222h-six", "fit-shell-bearings")

    assert sheet.said == in_short(plan.checklist)


@pytest.mark.parametrize(
    ("entry", "fault", "hint"),
    [
        ("step 99 skipped = no", "there is no step 99", "the steps run from 1 to 18"),
        ("step 9 M9 skipped = no", "step 9 has no `M9`", "write one of M1, M2"),
        ("look 2z = yes", "step 2 has no `2z` to look at", "its letters run from a to "),
        ("look 1 = yes", "step 1 has no `1` to look at", ""),
        ("look 2 = perhaps", "`perhaps` is no answer", "write `yes` or `no`"),
        ("pass 6.9 = done", "step 6 has no correction 9", "its corrections run from 1 to "),
        (
            "CRK-01 M3 F Q skipped = no",
            "`CRK-01 M3 F Q skipped` is no box of this sheet",
            "write `CRK-01 M3 F",
        ),
    ],
)
def test_entry_that_names_nothing_of_the_sheet_is_refused(
    entry: str, fault: str, hint: str, manual: Manual, job: Job
) -> None:
    """In words, with what stands on the sheet."""
    with pytest.raises(Fault) as refused:
        typed(manual, job, entry)

    assert str(refused.value) == fault
    assert refused.value.hint.startswith(hint)

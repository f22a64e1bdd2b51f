"""The kinds of finding of a job, in the order in which they are dealt with, and the finding itself."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum


class Kind(StrEnum):
    """What kind of open point a finding is. The order is the order of dealing with them.

    First the work is stopped where it went past a gate, then what was read wrongly is read again, then what
    is out is put right, then signatures, then the papers.
    """

    STRAY = "stray"
    PASSED_HOLD = "passed hold"
    ORDER = "order"
    NOBODY = "nobody"
    STALE_GAUGE = "stale gauge"
    UNKNOWN_GAUGE = "unknown gauge"
    SLIP = "slip"
    UNREADABLE = "unreadable"
    DOUBTFUL = "doubtful"
    OUT = "out"
    SEEN_WRONG = "seen wrong"
    NOT_READ = "not read"
    NOT_LOOKED = "not looked"
    NO_BLANK = "no blank"
    PASSES = "passes"
    APPRENTICE = "apprentice alone"
    WRONG_PERSON = "wrong person"
    EARLY_HOLD = "early hold"
    REOPENED_HOLD = "re-opened hold"
    REDO = "redo"
    SKIPPED = "skipped"
    CONCESSION = "concession"
    PARTS = "parts"
    TICKET = "ticket"
    RELEASED = "released"


ABOUT: Mapping[Kind, str] = {
    Kind.STRAY: "A sheet belongs to another job or to no checklist of the family.",
    Kind.PASSED_HOLD: "Work went on past a hold that was not signed, or was signed afterwards.",
    Kind.ORDER: "A procedure was begun before what it needs was finished.",
    Kind.NOBODY: "Initials that the job does not know.",
    Kind.STALE_GAUGE: "A gauge was used past its date, or was found wrong later.",
    Kind.UNKNOWN_GAUGE: "A gauge that the job does not list, so that nobody knows its date.",
    Kind.SLIP: "A reading that only makes sense as another one wrongly taken.",
    Kind.UNREADABLE: "What was typed cannot be read as a value.",
    Kind.DOUBTFUL: "Readings that were taken while what they rely on was out.",
    Kind.OUT: "Values outside their limits.",
    Kind.SEEN_WRONG: "Something looked at is not as it should be.",
    Kind.NOT_READ: "Blanks of a finished step without a reading.",
    Kind.NOT_LOOKED: "Things to look at in a finished step without an answer.",
    Kind.NO_BLANK: "Readings that stand in no blank of the checklist.",
    Kind.PASSES: "A correction was made more often than the procedure allows.",
    Kind.APPRENTICE: "An apprentice's reading, or his mark on a step that cannot be undone, stands alone.",
    Kind.WRONG_PERSON: "A hold is signed by someone who may not sign it.",
    Kind.EARLY_HOLD: "A hold was signed before there was anything to see.",
    Kind.REOPENED_HOLD: "A reading was changed after the hold that covers it was signed.",
    Kind.REDO: "Something was touched, and what follows from it is not done again.",
    Kind.SKIPPED: "A step without a mark and without a reason, although later ones are done.",
    Kind.CONCESSION: "A concession lacks its reason, its foreman or the customer.",
    Kind.PARTS: "Parts that are not accounted for.",
    Kind.TICKET: "Outside work that came back and was not measured.",
    Kind.RELEASED: "The release is signed although something stands open.",
}

_RANK = {kind: rank for rank, kind in enumerate(Kind)}


@dataclass(frozen=True)
class Place:
    """Where a finding stands: the file, the procedure by its code, the step, the position in words."""

    path: str
    code: str = ""
    step: str = ""
    number: int = 0
    at: str = ""


@dataclass(frozen=True)
class Subject:
    """What a finding is about in the names of the manual, so that a concession can be about the same."""

    procedure: str
    step: str = ""
    name: str = ""
    at: Mapping[str, str] = field(default_factory=dict)
    hold: str = ""
    run: str = "final"


@dataclass(frozen=True)
class Finding:
    """An open point of a job: where, what is wrong, what to do about it."""

    kind: Kind
    place: Place
    what: str
    cure: str = ""
    subjects: tuple[Subject, ...] = ()
    """What a concession must be about in order to accept it; a finding without any cannot be conceded."""

    @property
    def sheet(self) -> str:
        """The file it stands in."""
        return self.place.path

    @property
    def step(self) -> str:
        """The step it stands at; empty when it is of the whole sheet or job."""
        return self.place.step

    @property
    def at(self) -> str:
        """The position in words."""
        return self.place.at

    @property
    def order(self) -> tuple[int, str, int, str]:
        """What it is sorted by: its kind, then the route."""
        return _RANK[self.kind], self.place.code, self.place.number, self.place.at


def counted(number: int, thing: str) -> str:
    """So many of a thing: `1 reading`, `50 readings`."""
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"

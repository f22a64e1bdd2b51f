"""The order in which keys stand in a tidy file: what it is, what is done, what follows, remarks last.

Keys that are ids of the shop's own (rows, readings, sources) keep their author's order.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Final


@dataclass(frozen=True)
class Shape:
    """The order of the keys of a mapping and the shapes of what stands in it.

    `inside` is by key; `each` is the shape of every item of a list, or of every entry where the keys are ids.
    """

    order: tuple[str, ...] = ()
    inside: Mapping[str, Shape] = field(default_factory=dict)
    each: Shape | None = None

    def under(self, key: str) -> Shape:
        """The shape of what stands under a key."""
        return self.inside.get(key) or self.each or ANY

    def sorted(self, keys: Iterable[str]) -> list[str]:
        """Keys in order; those that have no place in it come last, in the author's order."""
        places = {key: place for place, key in enumerate(self.order)}
        return sorted(keys, key=lambda key: places.get(key, len(places)))


ANY: Final = Shape()
"""A part whose keys keep their order."""


def keys(line: str, **inside: Shape) -> Shape:
    """The shape whose keys stand in the order of this line."""
    return Shape(tuple(line.split()), inside)


def each(shape: Shape) -> Shape:
    """A list of parts of this shape, or a mapping of such parts by ids."""
    return Shape(each=shape)


MEASURE: Final = keys("each plane point axis tool against unit relies_on when unless title")
WORK_OUT: Final = keys("is least most use against size_for unit when unless title")
LOOK: Final = keys("see each when unless")
IF_OUT: Final = keys("when do amount unit at_most then")
MESSAGE: Final = keys("hazard_id as_printed harm severity hazard consequence avoid")
STEP: Final = keys(
    "id when unless run do why expect mistake irreversible apprentice figure safety parts measure look"
    " work_out if_out redo hold tools",
    measure=each(MEASURE),
    work_out=each(WORK_OUT),
    look=each(LOOK),
    if_out=each(IF_OUT),
    safety=each(MESSAGE),
)
APPROVED: Final = keys("by on wording")
PROCEDURE: Final = keys(
    "procedure code title purpose revision approved verification applies needs tools parts supplies hazards"
    " steps",
    approved=APPROVED,
    steps=each(STEP),
)
ROW: Final = keys(
    "code title kind each of threads at order rounds per step from to within columns rows moves_with follows"
    " same differs unknown expect supplier new shop rule aim wear grades source waiver condition words why"
    " note wall_card instrument"
)
SOURCE: Final = keys("title publisher edition kind note")
WHO: Final = "by on why"
FAMILY_CHANGE: Final = keys(
    f"set add {WHO}",
    set=keys("row supplier aim shop instrument differs waiver note was"),
    add=keys("sources rows", sources=each(SOURCE), rows=each(ROW)),
)
PROCEDURE_CHANGE: Final = keys(
    f"insert leave_out reword add {WHO}",
    insert=keys("before after steps", steps=each(STEP)),
    leave_out=keys("step was"),
    reword=keys("step do why expect mistake was"),
    add=keys("needs tools parts supplies hazards"),
)
EXTENSION: Final = keys(
    "extends approved verification changes", approved=APPROVED, changes=each(PROCEDURE_CHANGE)
)
"""What a shop says against a procedure of its base."""

FAMILY_EXTENSION: Final = keys("extends changes", changes=each(FAMILY_CHANGE))
ENGINE: Final = keys(
    "engine title made about layout features sources specs",
    features=each(keys("names of on")),
    sources=each(SOURCE),
    specs=each(ROW),
)
EXAMPLE: Final = keys("given gives from holds_in remark")
WORKSHEET: Final = keys(
    "worksheet code title subject about source inputs is shows words caution safety examples",
    inputs=each(keys("unit list datum title default note")),
    shows=each(keys("unit decimals title")),
    examples=each(EXAMPLE),
)
HOLD: Final = keys("code title check by covers before releases when unless")
HAZARD: Final = keys(
    "code title harm severity hazard consequence avoid protect defer words as_printed source"
)
INSTRUMENT: Final = keys("code title reads uncertainty setting misuse words")
TERM: Final = keys("meaning british american old also misspelt refuse see")
REDO: Final = keys("touched title redo why")
PLANNED: Final = keys("procedure code title phase applies needs")

TABLES: Final = {
    "specs/sources.yaml": keys("sources", sources=each(SOURCE)),
    "specs/hazards.yaml": keys("hazards", hazards=each(HAZARD)),
    "specs/instruments.yaml": keys("instruments", instruments=each(INSTRUMENT)),
    "specs/terms.yaml": keys("terms", terms=each(TERM)),
    "procedures/holds.yaml": keys("holds", holds=each(HOLD)),
    "procedures/redo.yaml": keys("redo", redo=each(REDO)),
    "procedures/planned.yaml": keys("planned", planned=each(PLANNED)),
}


def shape_of(path: str, *, extends: bool = False) -> Shape:
    """The shape of a file of a manual by its place, or of one that extends a part of a base."""
    folder, _, rest = path.partition("/")
    if extends:
        return EXTENSION if folder == "procedures" else FAMILY_EXTENSION
    if path in TABLES:
        return TABLES[path]
    if folder == "procedures":
        return PROCEDURE
    return {"engines": ENGINE, "worksheets": WORKSHEET}.get(rest.partition("/")[0], ANY)

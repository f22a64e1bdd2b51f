"""What an apprentice may do, as it follows from a step."""

from __future__ import annotations

from typing import Any

import pytest

from builder.apprentice import Allowed, Cause, Reason, Standing, allowed
from builder.manual import Manual
from builder.model.base import Text
from builder.model.hazard import Hazard
from builder.model.procedure import Step

HAZARDS = {
    Text(name): Hazard.model_construct(title=Text(name), severity=Text(severity))
    for name, severity in (("molten_metal", "death"), ("lead", "serious"), ("noise", "moderate"))
}
MANUAL = Manual(hazards=HAZARDS)


def step(**said: Any) -> Step:  # noqa: ANN401 - any key of a step
    """A step that says what a test asks."""
    return Step.model_validate({"id": Text("one"), "do": Text("Wipe the bench."), **said})


def texts(*names: str) -> tuple[Text, ...]:
    """Names as the files hold them."""
    return tuple(map(Text, names))


@pytest.mark.parametrize(
    ("said", "standing", "cause"),
    [
        ({}, Standing.ALONE, None),
        ({"safety": texts("noise")}, Standing.ALONE, None),
        ({"safety": texts("lead")}, Standing.BESIDE, Cause.WARNING),
        ({"safety": texts("molten_metal")}, Standing.WATCHES, Cause.DANGER),
        ({"irreversible": Text("true")}, Standing.BESIDE, Cause.IRREVERSIBLE),
        ({"hold": Text("seats-flat")}, Standing.BESIDE, Cause.HOLD),
        ({"measure": {Text("bore"): {"against": Text("main.bore")}}}, Standing.BESIDE, Cause.READING),
        ({"measure": {Text("bore"): {"unit": Text("in")}}}, Standing.ALONE, None),
    ],
)
def test_standing_follows_from_the_step(
    said: dict[str, Any], standing: Standing, cause: Cause | None
) -> None:
    """Deadly: he watches. Grave, not to be undone, signed or judged: beside a builder. The rest alone."""
    found = allowed(MANUAL, step(**said))

    assert found.standing is standing
    assert [reason.cause for reason in found.reasons] == ([cause] if cause else [])


def test_what_the_shop_says_goes_before_what_follows() -> None:
    """`apprentice:` decides; why it would be otherwise stands beside it."""
    found = allowed(MANUAL, step(apprentice=Text("beside"), safety=texts("molten_metal")))

    assert found == Allowed(Standing.BESIDE, (Reason(Cause.SHOP), Reason(Cause.DANGER, "molten_metal")))

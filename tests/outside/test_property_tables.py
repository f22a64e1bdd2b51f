"""Vapour in the air against two libraries of the properties of water, which use other formulas.

`iapws` holds the industrial formulation IAPWS-IF97, `CoolProp` the scientific one of 1995 and real humid air.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import psychrolib
import pytest

WorkOut = Callable[..., dict[str, float]]

INHG = 3386.388640341


@pytest.fixture(scope="module")
def coolprop() -> Any:  # noqa: ANN401 - an extension module without annotations
    """CoolProp, or a reason why nothing was compared."""
    return pytest.importorskip("CoolProp.CoolProp", reason="NOT COMPARED: CoolProp is not installed")


@pytest.mark.parametrize(
    ("celsius", "printed"),
    [
        (20, 2339.214766776897),  # computed with iapws 1.5.5
        (25, 3169.7468549523624),
        (30, 4246.688340548065),
        (40, 7384.42748706953),
    ],
)
def test_saturated_vapour_is_near_the_industrial_formulation(
    work_out: WorkOut, celsius: int, printed: float
) -> None:
    """IAPWS-IF97 gives what is printed; the formula of Hyland and Wexler lies within 0.02 percent of it."""
    iapws97 = pytest.importorskip("iapws.iapws97", reason="NOT COMPARED: iapws is not installed")
    saturation = iapws97._PSat_T(celsius + 273.15) * 1e6  # noqa: SLF001 - the equation of region 4 alone

    assert saturation == pytest.approx(printed, rel=1e-12)
    worked = work_out("saturation_pressure", temperature=f"{celsius} degC")["saturation"] * INHG
    assert worked == pytest.approx(saturation, rel=0.0002)


@pytest.mark.parametrize(
    ("celsius", "printed"),
    [
        (20, 2339.3181834056754),  # computed with CoolProp 8.0.0
        (25, 3169.9293389430873),
        (30, 4246.970836903843),
        (40, 7384.938073826001),
    ],
)
def test_saturated_vapour_is_near_the_scientific_formulation(
    work_out: WorkOut,
    coolprop: Any,  # noqa: ANN401 - an extension module without annotations
    celsius: int,
    printed: float,
) -> None:
    """The formulation of 1995 gives what is printed; the worksheet lies within 0.025 percent of it."""
    saturation = coolprop.PropsSI("P", "T", celsius + 273.15, "Q", 1, "Water")

    assert saturation == pytest.approx(printed, rel=1e-9)
    worked = work_out("saturation_pressure", temperature=f"{celsius} degC")["saturation"] * INHG
    assert worked == pytest.approx(saturation, rel=0.00025)


@pytest.mark.parametrize("sheet", ["vapour_from_wet_bulb", "vapour_by_wmo"])
def test_wet_bulb_of_real_humid_air(
    work_out: WorkOut,
    coolprop: Any,  # noqa: ANN401 - an extension module without annotations
    sheet: str,
) -> None:
    """30 °C, wet bulb 20 °C, 99 kPa: real humid air holds 1709.2076 Pa (computed with CoolProp 8.0.0).

    Formulas for the wet bulb differ by some 50 Pa, so no tighter than 2.5 percent is asked.
    """
    vapour = coolprop.HAPropsSI("P_w", "T", 303.15, "Twb", 293.15, "P", 99000)

    assert vapour == pytest.approx(1709.207599, rel=1e-8)
    worked = work_out(sheet, dry="30 degC", wet="20 degC", barometer="99 kPa")["vapour"] * INHG
    assert worked == pytest.approx(vapour, rel=0.025)


def test_wet_bulb_of_psychrolib() -> None:
    """The same air after ASHRAE: 1700.164802253165 Pa, humidity 0.4004 (computed with psychrolib 2.5.0)."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    ratio = psychrolib.GetHumRatioFromTWetBulb(30, 20, 99000)

    assert psychrolib.GetVapPresFromHumRatio(ratio, 99000) == pytest.approx(1700.164802253165, rel=1e-9)
    assert psychrolib.GetRelHumFromTWetBulb(30, 20, 99000) == pytest.approx(0.400412786700888, rel=1e-9)

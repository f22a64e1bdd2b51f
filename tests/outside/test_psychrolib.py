"""Vapour in the air against psychrolib, which holds the formulas of the ASHRAE Handbook (2017), ch. 1."""

from __future__ import annotations

from collections.abc import Callable

import psychrolib
import pytest

WorkOut = Callable[..., dict[str, float]]

INHG = 3386.388640341


@pytest.fixture(autouse=True)
def _metric() -> None:
    psychrolib.SetUnitSystem(psychrolib.SI)


@pytest.mark.parametrize("celsius", range(1, 60, 3))
def test_saturated_vapour_is_that_of_psychrolib(work_out: WorkOut, celsius: int) -> None:
    """Both use the formula of Hyland and Wexler: no difference beyond the twelfth digit."""
    worked = work_out("saturation_pressure", temperature=f"{celsius} degC")

    assert worked["saturation"] * INHG == pytest.approx(psychrolib.GetSatVapPres(celsius), rel=1e-12)


@pytest.mark.parametrize("humidity", [10, 40, 85, 100])
@pytest.mark.parametrize("celsius", [5, 20, 35])
def test_vapour_from_humidity_is_that_of_psychrolib(work_out: WorkOut, celsius: int, humidity: int) -> None:
    """A share of the saturated vapour, and the dry air is what is left of the barometer."""
    vapour = psychrolib.GetVapPresFromRelHum(celsius, humidity / 100)

    worked = work_out(
        "vapour_from_humidity", dry=f"{celsius} degC", humidity=f"{humidity} percent", barometer="99 kPa"
    )

    assert worked["vapour"] * INHG == pytest.approx(vapour, rel=1e-12)
    assert worked["dry_air"] * INHG == pytest.approx(99000 - vapour, rel=1e-12)


@pytest.mark.parametrize("worksheet", ["vapour_from_wet_bulb", "vapour_by_wmo"])
@pytest.mark.parametrize(("dry", "wet"), [(30, 20), (25, 18), (35, 26), (20, 16), (15, 12)])
def test_vapour_from_wet_bulb_is_near_that_of_psychrolib(
    work_out: WorkOut, worksheet: str, dry: int, wet: int
) -> None:
    """Formulas for the wet bulb differ; within 2 percent of each other and 0.05 percent of the dry air."""
    ratio = psychrolib.GetHumRatioFromTWetBulb(dry, wet, 99000)
    vapour = psychrolib.GetVapPresFromHumRatio(ratio, 99000)

    worked = work_out(worksheet, dry=f"{dry} degC", wet=f"{wet} degC", barometer="99 kPa")

    assert worked["vapour"] * INHG == pytest.approx(vapour, rel=0.02)
    assert worked["dry_air"] * INHG == pytest.approx(99000 - vapour, rel=0.0005)


@pytest.mark.parametrize(
    ("fahrenheit", "humidity", "barometer", "gross", "net"),
    [
        ("85", "85", "28.85", 1.1011239466, 1.0693183414),  # computed with psychrolib 2.5.0
        ("90", "50", "29.50", 1.0688625297, 1.0327211079),  # computed with psychrolib 2.5.0
        ("68", "40", "29.10", 1.0459876022, 1.0067404343),  # computed with psychrolib 2.5.0
    ],
)
def test_weather_correction_from_humidity_to_factor(
    work_out: WorkOut, fahrenheit: str, humidity: str, barometer: str, gross: float, net: float
) -> None:
    """Thermometer, hygrometer and barometer through to both corrections, to seven digits."""
    air = work_out(
        "vapour_from_humidity",
        dry=f"{fahrenheit} degF",
        humidity=f"{humidity} percent",
        barometer=f"{barometer} inHg",
    )
    typed = {
        "barometer": f"{barometer} inHg",
        "vapour": f"{air['vapour']:.9f} inHg",
        "temperature": f"{fahrenheit} degF",
    }

    assert work_out("power_factor_gross", **typed)["factor"] == pytest.approx(gross, rel=1e-6)
    assert work_out("power_factor_net", **typed)["factor"] == pytest.approx(net, rel=1e-6)

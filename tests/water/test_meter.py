import math

import numpy as np
import pytest

from waterkit.water.conductivity import dilute_at_temperature
from waterkit.water.meter import (
    Compensation,
    Meter,
    actual_us_cm,
    natural_water_factor,
    shown_ppm,
    shown_us_cm,
    us_cm_of_ppm,
)


def _meter(compensation: Compensation, reference_c: float = 25.0) -> Meter:
    return Meter("pocket", compensation, reference_c=reference_c)


# Pure water in air at 5 degC, shown by a meter with 2 %/degC: computed from published constants.
@pytest.mark.parametrize(("actual", "shown"), [(0.794, 1.32), (1.225, 2.04)])
def test_a_linear_meter_shows_cold_air_water_too_high(actual: float, shown: float) -> None:
    assert shown_us_cm(actual, 5.0, _meter("linear")) == pytest.approx(shown, abs=0.005)


# 0.01 mol/L KCl at 0 and 20 degC, uS/cm (published table), and what 2 %/degC makes of it.
@pytest.mark.parametrize(
    ("celsius", "actual", "shown"), [(0, 772.92, 1546), (10, 1013.95, 1449), (20, 1273.03, 1415)]
)
def test_a_linear_meter_with_potassium_chloride(
    celsius: float, actual: float, shown: float
) -> None:
    assert shown_us_cm(actual, celsius, _meter("linear")) == pytest.approx(shown, abs=1.0)


@pytest.mark.parametrize("compensation", ["none", "linear", "natural water", "pure water"])
def test_at_the_reference_every_meter_shows_what_is_there(compensation: Compensation) -> None:
    assert shown_us_cm(3.0, 25.0, _meter(compensation)) == pytest.approx(3.0)
    cold = _meter(compensation, reference_c=20.0)
    assert shown_us_cm(3.0, 20.0, cold) == pytest.approx(3.0)


def test_a_meter_without_compensation_shows_what_is_there() -> None:
    assert shown_us_cm(3.0, 5.0, _meter("none")) == 3.0


def test_a_pure_water_meter_shows_the_conductivity_at_25_degc() -> None:
    actual = dilute_at_temperature(1.0, 5.0)
    assert shown_us_cm(actual, 5.0, _meter("pure water")) == pytest.approx(1.0)


def test_a_reference_of_20_degc_reads_a_tenth_lower() -> None:
    at_25 = shown_us_cm(100.0, 12.0, _meter("natural water"))
    at_20 = shown_us_cm(100.0, 12.0, _meter("natural water", reference_c=20.0))
    assert at_25 / at_20 == pytest.approx(1.116)  # ISO 7888


def test_outside_its_table_natural_water_has_no_factor() -> None:
    assert math.isnan(float(natural_water_factor(36.0)))
    assert math.isnan(float(natural_water_factor(-1.0)))
    assert natural_water_factor(10.5) == pytest.approx((1.428 + 1.390) / 2)


def test_readings_may_be_arrays() -> None:
    shown = shown_us_cm(np.array([1.0, 2.0]), np.array([25.0, 5.0]), _meter("linear"))
    assert shown == pytest.approx([1.0, 2.0 / 0.6])


# From the display back to the water, for every compensation and reference.


@pytest.mark.parametrize("compensation", ["none", "linear", "natural water", "pure water"])
@pytest.mark.parametrize("reference_c", [20.0, 25.0])
@pytest.mark.parametrize("celsius", [0.0, 5.0, 19.5, 30.0])
def test_what_is_shown_leads_back_to_what_is_there(
    compensation: Compensation, reference_c: float, celsius: float
) -> None:
    meter = _meter(compensation, reference_c)
    shown = shown_us_cm(np.array([0.8, 12.0, 650.0]), celsius, meter)
    assert actual_us_cm(shown, celsius, meter) == pytest.approx([0.8, 12.0, 650.0])


def test_a_meter_for_dissolved_solids_shows_conductivity_times_its_factor() -> None:
    meter = Meter("pen", "linear", factor=0.5)
    # 0.01 mol/L KCl is 1412 uS/cm at 25 degC, 1273 at 20 (published table)
    assert shown_ppm(1412.0, 25.0, meter) == pytest.approx(706.0)
    assert shown_ppm(1273.03, 20.0, meter) == pytest.approx(707.5, abs=0.5)
    assert us_cm_of_ppm(706.0, meter) == pytest.approx(1412.0)


def test_a_meter_without_a_factor_shows_no_ppm() -> None:
    assert math.isnan(float(shown_ppm(100.0, 25.0, Meter("pocket"))))
    assert math.isnan(float(us_cm_of_ppm(100.0, Meter("pocket"))))

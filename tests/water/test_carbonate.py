import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from waterkit.water.carbonate import carbonate_species, open_to_air

ALKALINITY = st.floats(0.01, 20.0)
PH = st.floats(5.0, 10.5)
CELSIUS = st.floats(0.0, 40.0)
STRENGTH = st.floats(0.0, 0.1)


@given(ALKALINITY, PH, CELSIUS, STRENGTH)
def test_alkalinity_and_carbon_are_conserved(
    alkalinity: float, ph: float, celsius: float, strength: float
) -> None:
    found = carbonate_species(alkalinity, ph, celsius, strength)
    if found.co2 == 0:  # more hydroxide than alkalinity: no such water
        assert alkalinity <= found.oh - found.h
        return
    charges = found.hco3 + 2 * found.co3 + found.oh - found.h
    assert charges == pytest.approx(alkalinity, rel=1e-9, abs=1e-9)
    assert found.total_carbon == pytest.approx(found.co2 + found.hco3 + found.co3)


def test_at_ph_pk1_half_is_carbon_dioxide() -> None:
    assert carbonate_species(3.0, 6.352, 25.0, 0.0).co2 == pytest.approx(3.0, rel=2e-3)


def test_no_alkalinity_leaves_no_carbon_above_neutral() -> None:
    assert carbonate_species(0.0, 8.0, 25.0, 0.0).co2 == 0.0


# Our own arithmetic from published constants, so a check of the code and not an outside check: the
# outside checks are tests/published/air-and-water*.toml. pH and uS/cm at 0, 5 ... 30 degC. The
# table used mol/L, and handbook conductances at 25 degC; this package keeps to mol/kg.
AIR = {
    350: "5.571/0.659 5.582/0.725 5.594/0.782 5.608/0.831 5.622/0.872 5.637/0.908 5.654/0.933",
    400: "5.542/0.705 5.553/0.775 5.565/0.836 5.579/0.888 5.593/0.932 5.609/0.971 5.625/0.997",
    420: "5.532/0.722 5.543/0.794 5.555/0.856 5.568/0.910 5.583/0.955 5.598/0.995 5.614/1.022",
}


@pytest.mark.parametrize("co2_ppm", AIR)
def test_water_open_to_air(co2_ppm: int) -> None:
    printed = [entry.split("/") for entry in AIR[co2_ppm].split()]
    air = open_to_air(np.arange(0.0, 35.0, 5.0), co2_ppm)
    assert air.ph == pytest.approx([float(ph) for ph, _ in printed], abs=0.001)
    conductivity = [float(us_cm) for _, us_cm in printed]
    assert air.conductivity_us_cm == pytest.approx(conductivity, rel=0.005)


def test_air_without_carbon_dioxide_leaves_water_pure() -> None:
    air = open_to_air(25.0, 0.0)
    assert air.conductivity_us_cm == pytest.approx(0.055, abs=0.0005)
    assert air.carbon_dioxide_mmol_l == 0.0


def test_what_a_two_percent_meter_shows_of_air_in_cold_water() -> None:
    # 1.32 and 2.04 uS/cm at 5 degC for 420 and 1000 ppm: worked out apart from this package
    shown = open_to_air(5.0, np.array([420.0, 1000.0])).conductivity_us_cm / (1.0 - 0.02 * 20.0)
    assert shown == pytest.approx([1.32, 2.04], abs=0.01)

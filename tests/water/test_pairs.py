import numpy as np
import pytest

from waterkit.water.equilibria import log_k1, log_k2, water_ion_product
from waterkit.water.pairs import CHARGES, FORMED, FREE, Activity, log_k
from waterkit.water.saturation import AMORPHOUS_SILICA, CALCITE, GYPSUM

BY_KEY = {each.key: each for each in FORMED}

# log K at 25 degC, header lines of PHREEQC's database phreeqc.dat (May 2024). The pairs of sulfate
# with sodium and potassium are left out: its later fits to their salts are far from its headers.
HEADERS = {
    "HCO3": 10.329, "CO2": 16.681, "OH": -14.0, "HSO4": 1.988, "HF": 3.18, "H3SiO4": -9.83,
    "NH3": -9.252, "CaCO3": 3.224, "CaHCO3": 10.91, "CaSO4": 2.25, "CaOH": -12.78, "MgOH": -11.44,
    "MgCO3": 2.98, "MgHCO3": 11.399, "MgSO4": 2.42, "MgF": 1.82,
}  # fmt: skip


@pytest.mark.parametrize("key", HEADERS)
def test_a_constant_at_25_degc_is_the_one_of_its_header(key: str) -> None:
    # the fitted lines of the database leave its headers by some hundredths; CaHCO3 by 0.01
    assert log_k(BY_KEY[key].log_k, 25.0) == pytest.approx(HEADERS[key], abs=0.03)


def test_a_pair_of_hydrogen_carbonate_counts_from_carbonate() -> None:
    # Na+ + HCO3- = NaHCO3 has log K -0.06 at 25 degC
    sodium = log_k(BY_KEY["NaHCO3"].log_k, 25.0) - log_k(BY_KEY["HCO3"].log_k, 25.0)
    assert sodium == pytest.approx(-0.06, abs=1e-9)


@pytest.mark.parametrize("celsius", [0.0, 5.0, 15.0, 25.0, 30.0])
def test_carbonate_and_water_agree_with_their_own_sources(celsius: float) -> None:
    assert log_k(BY_KEY["HCO3"].log_k, celsius) == pytest.approx(-log_k2(celsius), abs=1e-6)
    both = -log_k1(celsius) - log_k2(celsius)
    assert log_k(BY_KEY["CO2"].log_k, celsius) == pytest.approx(both, abs=1e-3)
    kw = np.log10(water_ion_product(celsius))
    assert log_k(BY_KEY["OH"].log_k, celsius) == pytest.approx(kw, abs=0.01)  # IAPWS R11


def test_silica() -> None:
    # pK1 10.28, 10.08 and 9.83 at 0, 10 and 25 degC; amorphous silica dissolves to 69.6, 86.5 and
    # 116.7 mg/L: computed from the lines of the database
    celsius = np.array([0.0, 10.0, 25.0])
    assert -log_k(BY_KEY["H3SiO4"].log_k, celsius) == pytest.approx([10.28, 10.08, 9.83], abs=0.01)
    dissolved = 10.0 ** log_k(AMORPHOUS_SILICA, celsius) * 60083.0
    assert dissolved == pytest.approx([69.6, 86.5, 116.7], abs=0.3)


def test_minerals_at_25_degc() -> None:
    assert log_k(CALCITE, 25.0) == pytest.approx(-8.48, abs=0.01)
    assert log_k(GYPSUM, 25.0) == pytest.approx(-4.58, abs=0.01)


def test_charges_follow_from_the_parts() -> None:
    found = {key: BY_KEY[key].charge for key in ("CaHCO3", "CaSO4", "NaSO4", "OH", "CO2", "MgF")}
    assert found == {"CaHCO3": 1, "CaSO4": 0, "NaSO4": -1, "OH": -1, "CO2": 0, "MgF": 1}


def test_alkalinity_follows_from_the_parts() -> None:
    found = {key: BY_KEY[key].alkalinity for key in ("CO2", "HCO3", "CaCO3", "OH", "HSO4", "H2PO4")}
    assert found == {"CO2": 0, "HCO3": 1, "CaCO3": 2, "OH": 1, "HSO4": -1, "H2PO4": 0}


def test_activity_coefficients() -> None:
    # I = 0.01 at 25 degC; 0.90 and 0.66 for one and two charges after Davies (from memory)
    rows = [(CHARGES["Na"], *FREE["Na"]), (1, None, 0.0), (2, None, 0.0), (0, 0.0, 0.1)]
    sodium, one, two, none = Activity(rows, np.array(25.0))(np.array(0.01))
    assert [float(one), float(two)] == pytest.approx([0.90, 0.66], abs=0.005)
    assert sodium == pytest.approx(one, abs=0.005)
    assert none == pytest.approx(10**0.001)

import datetime as dt
from collections.abc import Mapping
from typing import Any

import pytest

from waterkit.water.checks import (
    alkalinity_meq_l,
    anion_sum_meq_l,
    balance_checks,
    cation_sum_meq_l,
    charge_balance_error_percent,
    check_sample,
    hardness_mg_l_caco3,
    tds_calculated_mg_l,
)
from waterkit.water.ions import to_mmol_l
from waterkit.water.sample import Sample

# The natural water of Standard Methods 2510 A, mg/L (from memory); it was measured at 477 uS/cm.
EXAMPLE = {"Ca": 55.0, "Mg": 12.0, "Na": 28.0, "K": 3.2, "HCO3": 170.0, "SO4": 77.0, "Cl": 20.0}


def sample(mg_l: Mapping[str, float], **measured: Any) -> Sample:
    amounts = {key: float(to_mmol_l(mass, key)) for key, mass in mg_l.items()}
    return Sample("A", "well", dt.date(2027, 6, 1), "feed", amounts, **measured)


def test_one_sample_exercises_every_rule() -> None:
    # expected figures: computed by hand from the printed mg/L
    water = sample(EXAMPLE, conductivity_us_cm=477.0, tds_mg_l=300.0)
    cations, anions = cation_sum_meq_l(water), anion_sum_meq_l(water)
    assert cations == pytest.approx(5.031, abs=1e-3)
    assert anions == pytest.approx(4.953, abs=1e-3)
    assert charge_balance_error_percent(cations or 0, anions or 0) == pytest.approx(0.78, abs=0.01)
    assert tds_calculated_mg_l(water) == pytest.approx(278.9, abs=0.1)
    values = {check.name: check.value for check in check_sample(water)}
    assert values == pytest.approx(
        {
            "charge balance": 0.78,
            "measured / calculated TDS": 300 / 278.9,
            "calculated / measured conductivity": 482.9 / 477,
            "100 x cation sum / conductivity": 1.055,
            "100 x anion sum / conductivity": 1.038,
            "calculated TDS / conductivity": 0.585,
            "measured TDS / conductivity": 300 / 477,
        },
        rel=6e-3,
    )
    assert all(check.passed for check in check_sample(water))


def test_a_check_can_fail() -> None:
    water = sample({**EXAMPLE, "Na": 60.0}, conductivity_us_cm=1000.0, tds_mg_l=200.0)
    assert not any(check.passed for check in check_sample(water))


@pytest.mark.parametrize("missing", ["Ca", "Na", "Cl", "SO4", "HCO3"])
def test_sums_that_lack_an_ion_are_not_checked(missing: str) -> None:
    rest = {key: mass for key, mass in EXAMPLE.items() if key != missing}
    water = sample(rest, conductivity_us_cm=477.0, tds_mg_l=300.0)
    assert [check.name for check in check_sample(water)] == ["measured TDS / conductivity"]


def test_nothing_measured_gives_nothing() -> None:
    water = sample({})
    assert check_sample(water) == ()
    assert cation_sum_meq_l(water) is None
    assert anion_sum_meq_l(water) is None
    assert tds_calculated_mg_l(water) is None
    assert hardness_mg_l_caco3(water) is None
    assert alkalinity_meq_l(water) is None
    assert charge_balance_error_percent(0.0, 0.0) is None


def test_alkalinity_is_measured_or_made_of_its_ions() -> None:
    assert alkalinity_meq_l(sample({"HCO3": 61.016, "CO3": 60.008})) == pytest.approx(3.0)
    assert alkalinity_meq_l(sample({"HCO3": 61.016}, alkalinity_meq_l=2.0)) == 2.0


def test_alkalinity_is_not_counted_twice() -> None:
    water = sample({"HCO3": 61.016, "Cl": 35.45}, alkalinity_meq_l=1.0)
    assert anion_sum_meq_l(water) == pytest.approx(2.0)


def test_silica_is_dissolved_but_has_no_charge() -> None:
    water = sample({**EXAMPLE, "SiO2": 60.083})
    assert anion_sum_meq_l(water) == anion_sum_meq_l(sample(EXAMPLE))
    added = (tds_calculated_mg_l(water) or 0) - (tds_calculated_mg_l(sample(EXAMPLE)) or 0)
    assert added == pytest.approx(76.08, abs=0.01)  # as SiO3, from atomic weights


def test_hardness_is_calcium_and_magnesium_else_what_was_measured() -> None:
    # 2.497 Ca + 4.118 Mg, Standard Methods 2340 B (from memory)
    assert hardness_mg_l_caco3(sample({"Ca": 55.0, "Mg": 12.0})) == pytest.approx(
        2.497 * 55 + 4.118 * 12, rel=1e-3
    )
    assert hardness_mg_l_caco3(sample({"Ca": 55.0}, hardness_mg_l_caco3=190.0)) == 190.0


@pytest.mark.parametrize(
    ("anions", "unit", "limit"),
    [(2.999, "meq/L", 0.2), (3.0, "%", 2.0), (10.0, "%", 2.0), (10.01, "%", 5.0), (800, "%", 5.0)],
)
def test_the_rule_for_each_range_of_salt(anions: float, unit: str, limit: float) -> None:
    (check,) = balance_checks(anions, anions)
    assert (check.unit, check.low, check.high) == (unit, -limit, limit)


def test_beyond_its_range_there_is_no_rule() -> None:
    assert balance_checks(801.0, 801.0) == []

import datetime as dt

import numpy as np
import pytest

from waterkit.water.analysis import report_sample
from waterkit.water.checks import balance_checks, balance_passed
from waterkit.water.completion import Measured
from waterkit.water.many import analyse
from waterkit.water.sample import Sample

AMOUNTS = {
    "Ca": np.array([2.4, 0.3, 1.2]), "Mg": np.array([1.0, 0.1, 0.5]),
    "Na": np.array([0.7, 0.2, 4.0]), "Cl": np.array([0.8, 0.2, 1.0]),
    "SO4": np.array([0.5, 0.05, 0.4]), "SiO2": np.array([0.2, 0.1, 0.3]),
}  # fmt: skip
ALKALINITY, PH = np.array([5.6, 0.7, 3.0]), np.array([7.4, 7.0, 7.9])
CELSIUS, US_CM = np.array([9.8, 12.0, 15.0]), np.array([700.0, 105.0, 300.0])
MANY = analyse(Measured(AMOUNTS, ALKALINITY, None, PH, CELSIUS, US_CM))


def test_many_at_once_and_each_alone_give_the_same() -> None:
    for place in range(3):
        alone = report_sample(
            Sample(
                "A", "", dt.date(2027, 6, 1), "feed",
                {key: float(amounts[place]) for key, amounts in AMOUNTS.items()},
                float(ALKALINITY[place]), ph=float(PH[place]), temperature_c=float(CELSIUS[place]),
                conductivity_us_cm=float(US_CM[place]),
            ),
            10.0,
        )  # fmt: skip

        def of(values: object, place: int = place) -> float:
            return float(np.asarray(values)[place])

        assert of(MANY.cation_sum_meq_l) == pytest.approx(alone.cation_sum_meq_l)
        assert of(MANY.anion_sum_meq_l) == pytest.approx(alone.anion_sum_meq_l)
        assert of(MANY.ionic_strength_mol_l) == pytest.approx(alone.ionic_strength_mol_l, rel=1e-4)
        calculated = alone.conductivity_calculated_us_cm
        assert of(MANY.conductivity_25c_us_cm) == pytest.approx(calculated, rel=1e-4)
        assert of(MANY.carbon_dioxide_mmol_l) * 44.009 == pytest.approx(
            alone.carbon_dioxide_mg_l, rel=1e-3
        )
        assert of(MANY.load.anion_meq_l) == pytest.approx(float(alone.load.anion_meq_l), rel=1e-4)
        assert of(MANY.saturation.calcite) == pytest.approx(
            float(alone.saturation.calcite), abs=1e-3
        )


def test_each_is_judged_by_its_own_rule() -> None:
    assert MANY.balance_passed.tolist() == [True, True, False]
    assert MANY.conductivity_passed is not None
    assert MANY.conductivity_passed.tolist() == [True, True, False]


@pytest.mark.parametrize("anions", [0.5, 2.99, 3.0, 9.9, 10.1, 700.0])
@pytest.mark.parametrize("percent", [-6.0, -3.0, -1.0, 0.0, 1.5, 4.0, 30.0])
def test_the_rule_for_many_is_the_rule_for_one(anions: float, percent: float) -> None:
    cations = anions * (1 + percent / 100) / (1 - percent / 100)
    (one,) = balance_checks(cations, anions)
    assert bool(balance_passed(cations, anions)) is one.passed

import datetime as dt
from collections.abc import Mapping
from typing import Any

import numpy as np
import pytest

from waterkit.water.completion import complete
from waterkit.water.composition import (
    Water,
    at_air,
    at_temperature,
    blend,
    carbon_dioxide,
    conductivity,
    conductivity_25,
    dissolved_mg_l,
    ions,
    load,
    speciation_of,
)
from waterkit.water.ions import charge_sum_meq_l
from waterkit.water.sample import Sample

MAJORS = {"Ca": 1.4, "Mg": 0.5, "Na": 1.2, "K": 0.1, "Cl": 0.6, "SO4": 0.8, "NO3": 0.1}


def sample(mmol_l: Mapping[str, float], **measured: Any) -> Sample:
    return Sample("A", "well", dt.date(2027, 6, 1), "feed", mmol_l, **measured)


def test_load_counts_carbon_and_silica_as_one_each() -> None:
    water = Water({**MAJORS, "C": 3.0, "SiO2": 0.25}, 2.8, 7.2, 10.0)
    taken = load(water)
    assert taken.cation_meq_l == pytest.approx(5.1)
    assert taken.anion_meq_l == pytest.approx(2.3 + 3.25)


def test_ions_of_a_water_balance_where_it_does() -> None:
    water = complete(sample({**MAJORS, "SiO2": 0.0}, ph=8.4), 10.0).water
    every = ions(water)
    cations, anions = charge_sum_meq_l(every, +1), charge_sum_meq_l(every, -1)
    assert cations == pytest.approx(float(anions), rel=1e-6)


def test_a_water_may_hold_arrays() -> None:
    many = {key: np.array([amount, 2 * amount]) for key, amount in MAJORS.items()}
    taken = load(Water({**many, "C": 1.0, "SiO2": 0.0}, 1.0, 7.0, 10.0))
    assert taken.cation_meq_l == pytest.approx([5.1, 10.2])


WATER = complete(sample({**MAJORS, "SiO2": 0.25}, alkalinity_meq_l=2.8, ph=7.2), 10.0).water


def test_warming_a_closed_water_keeps_all_but_its_ph() -> None:
    warm = at_temperature(WATER, 25.0)
    assert warm.mmol_l == WATER.mmol_l
    assert warm.alkalinity_meq_l == WATER.alkalinity_meq_l
    assert speciation_of(warm).total_carbon_mmol_l == pytest.approx(WATER.mmol_l["C"], rel=1e-5)
    assert at_temperature(warm, 10.0).ph == pytest.approx(7.2, abs=1e-4)
    assert conductivity_25(WATER) == pytest.approx(float(conductivity(warm)))
    assert conductivity_25(WATER) / conductivity(WATER) == pytest.approx(1.43, rel=0.02)  # ISO 7888


def test_air_takes_carbon_dioxide_out_of_a_well_water() -> None:
    open_ = at_air(WATER, 420.0)
    assert open_.ph > 8.0
    assert open_.mmol_l["C"] < WATER.mmol_l["C"]
    assert open_.alkalinity_meq_l == WATER.alkalinity_meq_l
    # CO2 = KH p: pKH 1.269 at 10 degC (Plummer and Busenberg 1982)
    assert carbon_dioxide(open_) == pytest.approx(1000 * 10**-1.269 * 420e-6, rel=2e-3)


def test_a_blend_lies_between_its_waters() -> None:
    soft = complete(sample({"Ca": 0.2, "Cl": 0.1, "SiO2": 0.1}, alkalinity_meq_l=0.3, ph=7.0), 20.0)
    mixed = blend([WATER, soft.water], [3.0, 1.0])
    for key in WATER.mmol_l:
        parts = (WATER.mmol_l[key], soft.water.mmol_l.get(key, 0.0))
        assert mixed.mmol_l[key] == pytest.approx(0.75 * parts[0] + 0.25 * parts[1])
    assert mixed.temperature_c == pytest.approx(12.5)
    assert blend([WATER], [0.4]).ph == pytest.approx(7.2, abs=1e-4)


def test_a_blend_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="shares"):
        blend([WATER], [0.0])


def test_what_is_dissolved_weighs_what_was_measured() -> None:
    masses = dissolved_mg_l(WATER)
    assert masses["Ca"] == pytest.approx(1.4 * 40.078)
    assert masses["HCO3"] / 61.016 == pytest.approx(2.8, rel=0.01)

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from waterkit.treatment.softening import HARDNESS, Softener, exchanged_meq_l, soften
from waterkit.water.completion import Measured, fill
from waterkit.water.composition import Water, conductivity_25, load, speciation_of

AMOUNT = st.floats(0.0, 8.0)
WATERS = st.builds(
    lambda ions, alkalinity, ph, celsius: (
        fill(Measured(ions, alkalinity, ph=ph, temperature_c=celsius)).water
    ),
    st.fixed_dictionaries(dict.fromkeys(("Ca", "Mg", "Na", "K", "Cl", "SO4", "Fe"), AMOUNT)),
    st.floats(0.0, 8.0),
    st.floats(6.5, 8.5),
    st.floats(2.0, 30.0),
)
HARD = fill(Measured({"Ca": 2.4, "Mg": 1.0, "Na": 0.7, "Cl": 0.8, "SO4": 0.5}, 5.6, ph=7.4)).water


@settings(deadline=None)
@given(WATERS)
def test_charge_and_all_but_hardness_are_kept(water: Water) -> None:
    out = soften(water, Softener("softener")).water
    before, after = load(water), load(out)
    assert after.cation_meq_l == pytest.approx(float(before.cation_meq_l), abs=1e-9)
    assert after.anion_meq_l == pytest.approx(float(before.anion_meq_l), abs=1e-9)
    assert out.alkalinity_meq_l == water.alkalinity_meq_l
    carbon = speciation_of(water).total_carbon_mmol_l
    assert speciation_of(out).total_carbon_mmol_l == pytest.approx(carbon, rel=1e-3, abs=1e-6)
    assert not any(out.mmol_l.get(key, 0.0) for key in HARDNESS)


def test_salt_and_litres_follow_from_the_hardness() -> None:
    # 6.8 meq/L of hardness, 30 L of resin at 0.9 eq/L take 27 eq: 3970.6 L; 3 kg of salt for them
    found = soften(HARD, Softener("softener", 30.0, 0.9, 3.0))
    assert found.litres_l == pytest.approx(3970.6, abs=0.1)
    assert found.salt_kg_m3 == pytest.approx(3.0 / 3.9706, rel=1e-4)
    assert [note.key for note in found.notes] == ["softened"]
    assert found.workings[0].result == pytest.approx(float(found.salt_kg_m3))


def test_softened_water_conducts_about_as_well_as_before() -> None:
    # 50.1 against 59.5 S cm2/eq, but sodium forms hardly any pairs and drags less
    change = conductivity_25(soften(HARD, Softener("softener")).water) / conductivity_25(HARD)
    assert 0.95 < change < 1.05


def test_a_water_without_hardness_takes_no_salt() -> None:
    soft = fill(Measured({"Na": 1.0, "Cl": 1.0, "Ca": 0.0, "Mg": 0.0}, 0.5, ph=7.0)).water
    found = soften(soft, Softener("softener"))
    assert found.salt_kg_m3 == 0.0
    assert np.isinf(found.litres_l)
    assert [note.key for note in found.notes] == ["nothing-to-soften"]


def test_the_run_length_unrounded() -> None:
    # M. L. Davis, example 8-1, with the exact separation factor 1/1.9: 1011.4 meq/L, 722.4 L/L
    held = exchanged_meq_l(2000.0, 1.4, 2.6, 1 / 1.9)
    assert held == pytest.approx(1011.4, abs=0.1)
    assert held / 1.4 == pytest.approx(722.4, abs=0.1)


def test_the_working_tells_defaults_from_what_the_club_told() -> None:
    (working,) = soften(HARD, Softener("softener", 25.0), "train.3").workings
    given = {each.name: each for each in working.inputs}
    assert {name: each.basis for name, each in given.items()} == {
        "salt of one regeneration": "assumed", "hardness": "worked out", "capacity": "assumed",
        "resin": "quoted",
    }  # fmt: skip
    assert given["salt of one regeneration"].path == "train.3.salt_per_regeneration"

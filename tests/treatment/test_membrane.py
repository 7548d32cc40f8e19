import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from waterkit.treatment.membrane import (
    HIGHEST_LOOKED_AT,
    output_factor,
    output_l_h,
    permeate_of,
    recovery_at,
    separate,
)
from waterkit.treatment.reverse_osmosis import ReverseOsmosis
from waterkit.treatment.softening import Softener, soften
from waterkit.water.completion import Measured, fill
from waterkit.water.composition import Water, load, salts, speciation_of
from waterkit.water.ions import charge_sum_meq_l

HARD = fill(
    Measured({"Ca": 2.4, "Mg": 1.0, "Na": 0.7, "Cl": 0.8, "SO4": 0.5, "SiO2": 0.23}, 5.6, ph=7.4)
).water
UNIT = ReverseOsmosis("reverse osmosis", 150.0, concentrate_flow_l_h=150.0)
AMOUNT = st.floats(0.0, 8.0)
PERCENT = st.floats(40.0, 99.9)


def balanced(ions: dict[str, float], alkalinity: float, ph: float, celsius: float) -> Water:
    """A water without an ion in excess: sodium or chloride makes up the charge."""
    excess = float(charge_sum_meq_l(ions, +1) - charge_sum_meq_l(ions, -1)) - alkalinity
    key = "Cl" if excess > 0 else "Na"
    whole = {**ions, key: ions[key] + abs(excess)}
    return fill(Measured(whole, alkalinity, ph=ph, temperature_c=celsius)).water


WATERS = st.builds(
    balanced,
    st.fixed_dictionaries(
        dict.fromkeys(("Ca", "Mg", "Na", "K", "Cl", "SO4", "NO3", "SiO2"), AMOUNT)
    ),
    st.floats(0.0, 8.0),
    st.floats(6.0, 8.5),
    st.floats(2.0, 30.0),
)
UNITS = st.builds(
    lambda recovery, ions: ReverseOsmosis(
        "reverse osmosis", recovery_percent=recovery, rejection_percent=ions
    ),
    st.floats(5.0, 90.0),
    st.fixed_dictionaries(dict.fromkeys(("Ca", "Na", "Cl", "SO4", "HCO3", "SiO2"), PERCENT)),
)


@settings(deadline=None, max_examples=60)
@given(WATERS, UNITS)
def test_mass_and_charge_are_kept(water: Water, unit: ReverseOsmosis) -> None:
    parted = separate(water, unit)
    recovery = float(parted.recovery)
    for key, amount in water.mmol_l.items():
        passed, left = float(parted.permeate.mmol_l[key]), float(parted.concentrate.mmol_l[key])
        together = recovery * passed + (1.0 - recovery) * left
        assert together == pytest.approx(float(amount), rel=1e-9, abs=1e-9)
        assert -1e-12 <= passed <= float(amount) + 1e-12
        assert left >= -1e-12
    for out in (parted.permeate, parted.concentrate):
        ions = salts(out)
        off = charge_sum_meq_l(ions, +1) - charge_sum_meq_l(ions, -1) - out.alkalinity_meq_l
        assert off == pytest.approx(0.0, abs=1e-7)
        carbon = speciation_of(out).total_carbon_mmol_l
        assert carbon == pytest.approx(float(out.mmol_l["C"]), rel=1e-3, abs=1e-6)


def test_carbon_dioxide_passes_and_makes_the_permeate_acid() -> None:
    parted = separate(HARD, UNIT)
    feed, passed = speciation_of(HARD).co2_mmol_l, speciation_of(parted.permeate).co2_mmol_l
    assert passed == pytest.approx(float(feed), rel=0.02)
    assert parted.permeate.ph < 6.5 < HARD.ph
    assert load(parted.permeate).anion_meq_l > 2.0 * load(parted.permeate).cation_meq_l


def test_the_correction_is_told() -> None:
    (note,) = [n for n in separate(HARD, UNIT).notes if n.key == "permeate-made-neutral"]
    permeate = separate(HARD, UNIT).permeate
    expected = 0.045 * 5.6  # 95.5 % of the hydrogen carbonate is held back
    moved = float(str(note.values["hco3_meq_l"]))
    assert moved == pytest.approx(float(permeate.alkalinity_meq_l) - expected, abs=1e-6)
    assert abs(moved) < 0.3


def test_output_falls_in_the_cold_and_recovery_with_it() -> None:
    assert output_factor(25.0, 2640.0) == 1.0
    # exp(2640 (1/298.15 - 1/283.15)) by hand: exp(-0.46907)
    assert output_factor(10.0, 2640.0) == pytest.approx(0.6256, abs=1e-4)
    assert output_l_h(UNIT, 10.0) == pytest.approx(150.0 * 0.6256, abs=0.05)
    assert recovery_at(UNIT, 25.0) == pytest.approx(0.5)
    assert recovery_at(UNIT, 10.0) == pytest.approx(93.84 / 243.84, abs=1e-3)
    assert np.all(np.diff(recovery_at(UNIT, np.arange(2.0, 30.0))) > 0)


def test_a_unit_rated_in_the_cold_makes_more_when_warm() -> None:
    cold = ReverseOsmosis("reverse osmosis", 100.0, rated_at_c=10.0)
    assert output_l_h(cold, 10.0) == pytest.approx(100.0)
    assert output_l_h(cold, 25.0) == pytest.approx(100.0 / 0.6256, rel=1e-3)


def test_a_told_recovery_stays() -> None:
    told = ReverseOsmosis("reverse osmosis", recovery_percent=75.0)
    assert recovery_at(told, 5.0) == 0.75


def test_a_unit_that_tells_nothing_is_assumed_and_says_so() -> None:
    notes = separate(HARD, ReverseOsmosis("reverse osmosis")).notes
    assert "recovery-assumed" in [note.key for note in notes]


def test_hard_water_scales_and_softened_water_does_not() -> None:
    hard = separate(HARD, UNIT)
    assert hard.saturation.calcite > 0.3
    assert hard.highest_recovery < 0.2
    assert {"scale-at-any-recovery", "recovery-too-high-for-scale"} & {n.key for n in hard.notes}
    soft = separate(soften(HARD, Softener("softener")).water, UNIT)
    assert np.isneginf(soft.saturation.calcite)
    # 14 mg/L of silica, 87.5 % held back, reach the 80 mg/L of 10 degC at about 85 %
    assert 0.7 < float(soft.highest_recovery) < 0.95


def test_up_to_the_highest_recovery_nothing_is_saturated() -> None:
    soft = soften(HARD, Softener("softener")).water
    highest = float(separate(soft, UNIT).highest_recovery)
    for step, over in ((0.0, False), (0.02, True)):
        percent = 100.0 * (highest + step)
        at = separate(soft, ReverseOsmosis("reverse osmosis", recovery_percent=percent))
        worst = max(float(at.saturation.gypsum), float(at.saturation.silica))
        assert (worst > 0.0) is over


def test_many_waters_at_once() -> None:
    many = fill(
        Measured(
            {"Ca": np.array([0.5, 2.4]), "Cl": np.array([0.2, 0.8])}, np.array([0.8, 4.0]), ph=7.2
        )
    ).water
    parted = separate(many, UNIT)
    assert np.shape(parted.permeate.ph) == np.shape(parted.highest_recovery) == (2,)


def test_the_permeate_alone_is_the_permeate() -> None:
    assert permeate_of(HARD, UNIT) == separate(HARD, UNIT).permeate


def test_rejections_that_are_not_told_are_assumed_and_said_so() -> None:
    (all_of_them,) = [n for n in separate(HARD, UNIT).notes if n.key == "rejections-assumed"]
    assert all_of_them.values["ions"] == ("Ca", "Mg", "Na", "Cl", "SO4", "HCO3", "SiO2")
    some = ReverseOsmosis("reverse osmosis", rejection_percent={"Ca": 98.0, "Mg": 98.0, "Na": 96.0})
    (rest,) = [n for n in separate(HARD, some).notes if n.key == "rejections-assumed"]
    assert rest.values == {
        "ions": ("Cl", "SO4", "HCO3", "SiO2"), "low_percent": 87.5, "high_percent": 99.0,
    }  # fmt: skip
    whole = dict.fromkeys(("Ca", "Mg", "Na", "Cl", "SO4", "HCO3", "SiO2"), 97.0)
    told = ReverseOsmosis("reverse osmosis", rejection_percent=whole)
    assert "rejections-assumed" not in [n.key for n in separate(HARD, told).notes]


def test_the_workings_tell_defaults_from_what_the_club_told() -> None:
    output, recovery = separate(HARD, UNIT, "train.4").workings
    assert [each.basis for each in output.inputs] == ["assumed", "assumed", "assumed", "measured"]
    assert recovery.inputs[1].path == "train.4.concentrate_flow"
    assert recovery.inputs[1].basis == "quoted"
    told = ReverseOsmosis("reverse osmosis", 200.0, recovery_percent=60.0)
    output, recovery = separate(HARD, told).workings
    assert (output.inputs[0].basis, recovery.inputs[0].basis) == ("quoted", "quoted")
    assert (
        separate(HARD, ReverseOsmosis("reverse osmosis")).workings[1].inputs[0].basis == "assumed"
    )


def test_a_sound_water_beyond_the_highest_recovery_that_is_looked_at_is_no_scale() -> None:
    pure = fill(Measured({"Na": 0.05, "Cl": 0.05, "SiO2": 0.001}, 0.0, ph=6.5)).water
    eager = ReverseOsmosis("reverse osmosis", recovery_percent=97.0)
    parted = separate(pure, eager)
    assert parted.highest_recovery == HIGHEST_LOOKED_AT
    assert "recovery-too-high-for-scale" not in [note.key for note in parted.notes]
    silica = fill(Measured({"Na": 0.05, "Cl": 0.05, "SiO2": 0.07}, 0.0, ph=6.5)).water
    assert "recovery-too-high-for-scale" in [n.key for n in separate(silica, eager).notes]

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.treatment.test_membrane import WATERS
from waterkit.treatment.ion_exchange import Changeout, Vessel
from waterkit.treatment.reverse_osmosis import ReverseOsmosis
from waterkit.treatment.softening import Softener
from waterkit.treatment.train import (
    BoughtIn,
    Carbon,
    Deioniser,
    Filter,
    Process,
    Tank,
    handed_on,
    reaching_resin,
    treat,
    water_before_resin,
)
from waterkit.water.composition import (
    Water,
    blend,
    carbon_dioxide,
    conductivity,
    load,
    salts,
    with_ions,
)
from waterkit.water.ions import charge_sum_meq_l

WATER = with_ions(
    Water({}, 0.0, 7.2, 10.0),
    {"Ca": 1.4, "Mg": 0.5, "Na": 1.2, "Cl": 0.6, "SO4": 0.8, "C": 3.1, "SiO2": 0.25},
    2.8,
)
LEAD, LAG = Vessel("V1", "lead", 50.0), Vessel("V2", "lag", 50.0)
TRAIN: tuple[Process, ...] = (
    Filter("filter"),
    Carbon("carbon"),
    Deioniser("di", ("lead", "lag"), 800.0),
    Tank("tank", air_co2_ppm=420.0),
)
SOFTENER = Softener("softener", 30.0, 0.9, 3.0)
MEMBRANE = ReverseOsmosis("reverse osmosis", 150.0, concentrate_flow_l_h=150.0)


def test_each_process_gives_its_water() -> None:
    filtered, carbon, di, tank = treat(WATER, TRAIN, (LEAD, LAG), Changeout())
    assert [filtered.process, carbon.process, di.process, tank.process] == [
        "filter", "carbon", "di", "tank",
    ]  # fmt: skip
    assert filtered.water_out == carbon.water_out == WATER
    assert filtered.conductivity_us_cm == pytest.approx(500, rel=0.1)
    assert filtered.conductivity_standard_methods_us_cm == pytest.approx(500, rel=0.1)
    assert filtered.conductivity_as_it_is_us_cm == pytest.approx(float(conductivity(WATER)))
    assert all(result.recovery == 1.0 for result in (filtered, carbon, di, tank))


def test_deionised_water_is_pure() -> None:
    di = treat(WATER, TRAIN, (LEAD, LAG), Changeout())[2]
    assert not any(di.water_out.mmol_l.values())
    assert load(di.water_out).anion_meq_l == 0.0
    # 0.0550 uS/cm at 25 degC; pKw at 10 degC is 14.53 (published figures)
    assert di.conductivity_us_cm == pytest.approx(0.0550, rel=0.02)
    assert di.conductivity_standard_methods_us_cm is None
    assert di.water_out.ph == pytest.approx(14.534 / 2, abs=0.005)
    assert [note.key for note in di.notes] == ["fresh-resin-assumed"]


def test_an_open_tank_takes_up_air_at_its_own_temperature() -> None:
    tank = treat(WATER, TRAIN, (LEAD, LAG), Changeout())[3]
    # 420 ppm at 10 degC: pH 5.555 and 0.856 uS/cm, worked out apart from this package
    assert tank.conductivity_as_it_is_us_cm == pytest.approx(0.856, rel=0.005)
    assert tank.water_out.ph == pytest.approx(5.555, abs=0.002)
    assert tank.water_out.mmol_l["C"] > 0
    # kept closed and warmed: more than the 0.995 of a water that is open at 25 degC
    assert tank.conductivity_us_cm == pytest.approx(1.24, abs=0.01)
    (note,) = tank.notes
    assert (note.key, note.values["temperature_c"]) == ("open-to-air", 10.0)


def test_a_closed_tank_keeps_the_water() -> None:
    closed = Tank("tank", open_=False)
    di, tank, last = treat(WATER, (TRAIN[2], closed, Filter("filter")), (LEAD, LAG), Changeout())
    assert di.water_out == tank.water_out == last.water_out
    assert di.conductivity_us_cm == last.conductivity_us_cm


def test_salty_water_in_an_open_tank_loses_its_carbon_dioxide() -> None:
    (tank,) = treat(WATER, (Tank("tank", air_co2_ppm=420.0),), (), Changeout())
    assert salts(tank.water_out) == salts(WATER)
    assert tank.water_out.alkalinity_meq_l == WATER.alkalinity_meq_l
    assert tank.water_out.ph > 8.0 > WATER.ph
    assert carbon_dioxide(tank.water_out) < 0.1 * carbon_dioxide(WATER)


def test_softener_and_membrane_before_the_resin() -> None:
    train = (SOFTENER, MEMBRANE, TRAIN[2], TRAIN[3])
    results = treat(WATER, train, (LEAD, LAG), Changeout())
    softened, permeate, di, _ = results
    assert softened.salt_kg_m3 == pytest.approx(3.0 * 3.8 / 27.0)  # 3.8 meq/L of hardness
    assert permeate.recovery < 0.5
    assert permeate.reject is not None
    assert permeate.conductivity_us_cm < 0.15 * softened.conductivity_us_cm
    assert di.conductivity_us_cm == pytest.approx(0.055, rel=0.02)
    reaching = reaching_resin(WATER, train, results)
    assert reaching == permeate.water_out
    assert load(reaching).anion_meq_l < 0.4 * load(WATER).anion_meq_l
    handed = handed_on(train, results)
    assert handed.feed_per_l == pytest.approx(1.0 / float(permeate.recovery))
    assert handed.salt_kg_m3 == pytest.approx(softened.salt_kg_m3 / float(permeate.recovery))
    assert handed.most_l_h == pytest.approx(float(permeate.output_l_h or 0))


def test_a_flow_that_the_membrane_does_not_make_is_noted() -> None:
    results = treat(WATER, (MEMBRANE, TRAIN[2]), (LEAD, LAG), Changeout())
    (note,) = [note for note in results[1].notes if note.key == "flow-above-membrane"]
    assert note.values["flow_l_h"] == 800.0
    assert note.values["output_l_h"] == pytest.approx(93.8, abs=0.1)
    between = treat(WATER, (MEMBRANE, Tank("tank"), TRAIN[2]), (LEAD, LAG), Changeout())
    assert "flow-above-membrane" not in [note.key for note in between[2].notes]


def test_a_softener_sees_the_flow_behind_it() -> None:
    small = Softener("softener", 5.0)  # 160 bed volumes an hour
    softened = treat(WATER, (small, TRAIN[2]), (LEAD, LAG), Changeout())[0]
    assert "service-flow-unusual" in [note.key for note in softened.notes]
    # a membrane behind it draws 94 + 150 L/h through 30 L of resin: 8.1 bed volumes an hour
    slow = treat(WATER, (SOFTENER, MEMBRANE, TRAIN[2]), (LEAD, LAG), Changeout())[0]
    assert "service-flow-unusual" not in [note.key for note in slow.notes]


def test_without_a_deioniser_the_last_water_would_reach_it() -> None:
    train = (SOFTENER,)
    results = treat(WATER, train, (), Changeout())
    assert reaching_resin(WATER, train, results) == results[0].water_out
    assert reaching_resin(WATER, (), ()) == WATER


def test_water_bought_in_replaces_all_before_it() -> None:
    brought = with_ions(WATER, {"Na": 0.01, "Cl": 0.01, "C": 0.02, "SiO2": 0.0}, 0.0)
    train = (SOFTENER, MEMBRANE, BoughtIn("bought in", "truck"), TRAIN[3])
    results = treat(WATER, train, (), Changeout(), {"truck": brought})
    assert results[2].water_out == brought
    assert handed_on(train, results).feed_per_l == 1.0
    assert handed_on(train, results).salt_kg_m3 == 0.0
    (note,) = treat(WATER, train, (), Changeout())[2].notes
    assert note.key == "bought-in-without-sample"


PROCESSES = st.sampled_from(
    (
        Filter("filter"), Carbon("carbon"), SOFTENER, MEMBRANE, TRAIN[2], TRAIN[3],
        Tank("tank", open_=False), BoughtIn("bought in", "truck"),
    )
)  # fmt: skip


def stays_neutral(water: Water) -> None:
    ions = salts(water)
    off = charge_sum_meq_l(ions, +1) - charge_sum_meq_l(ions, -1) - water.alkalinity_meq_l
    assert off == pytest.approx(0.0, abs=1e-7)
    assert all(float(amount) >= -1e-12 for amount in water.mmol_l.values())


@settings(deadline=None, max_examples=60)
@given(WATERS, WATERS, st.lists(PROCESSES, max_size=4))
def test_whatever_the_train_the_water_stays_neutral(
    feed: Water, truck: Water, train: list[Process]
) -> None:
    for result in treat(feed, train, (LEAD, LAG), Changeout(), {"truck": truck}):
        for water in filter(None, (result.water_out, result.reject)):
            stays_neutral(water)


@settings(deadline=None, max_examples=40)
@given(st.lists(st.tuples(WATERS, st.floats(0.01, 1.0)), min_size=1, max_size=3))
def test_a_blend_keeps_charge_and_mass(parts: list[tuple[Water, float]]) -> None:
    shares = [share for _, share in parts]
    blended = blend([water for water, _ in parts], shares)
    stays_neutral(blended)
    for key in blended.mmol_l:
        mixed = sum(share * float(water.mmol_l[key]) for water, share in parts) / sum(shares)
        assert float(blended.mmol_l[key]) == pytest.approx(mixed, rel=1e-9, abs=1e-12)


@settings(deadline=None, max_examples=30)
@given(WATERS, WATERS, st.lists(PROCESSES, max_size=3))
def test_the_water_before_the_resin_is_the_one_that_reaches_it(
    feed: Water, truck: Water, train: list[Process]
) -> None:
    results = treat(feed, train, (LEAD, LAG), Changeout(), {"truck": truck})
    found = water_before_resin(feed, train, {"truck": truck})
    assert found == reaching_resin(feed, train, results)


def test_a_membrane_feeds_a_deioniser_that_does_not_tell_its_flow() -> None:
    # 94 L/h through 50 L of resin: 1.9 bed volumes an hour
    bed = Deioniser("di", ("lead",))
    slow = treat(WATER, (MEMBRANE, bed), (LEAD,), Changeout())[1]
    (note,) = [note for note in slow.notes if note.key == "service-flow-unusual"]
    assert note.values["bed_volumes_h"] == pytest.approx(93.8 / 50.0, abs=0.01)
    between = treat(WATER, (MEMBRANE, Tank("tank"), bed), (LEAD,), Changeout())[2]
    assert "service-flow-unusual" not in [note.key for note in between.notes]


def test_a_carbon_filter_tells_its_litres_by_the_chlorine_that_it_meets() -> None:
    carbon = treat(WATER, (Carbon("carbon"),), (), Changeout(), chlorine_mg_l=0.8)[0]
    assert carbon.litres_l == pytest.approx(50_000.0)
    told = treat(WATER, (Carbon("carbon", chlorine_mg_l=0.4),), (), Changeout(), {}, 0.8)[0]
    assert told.litres_l == pytest.approx(100_000.0)
    assert treat(WATER, (Carbon("carbon"),), (), Changeout())[0].litres_l is None


def test_chlorine_that_no_carbon_takes_is_told() -> None:
    bed = Deioniser("di", ("lead",))

    def met(*train: Process) -> list[object]:
        results = treat(WATER, train, (LEAD,), Changeout(), chlorine_mg_l=0.8)
        notes = [note for result in results for note in result.notes]
        return [note.values["met_by"] for note in notes if note.key == "chlorine-without-carbon"]

    assert met(MEMBRANE, bed) == ["membrane", "resin"]
    assert met(Carbon("carbon"), MEMBRANE, bed) == []


def test_no_train_no_results() -> None:
    assert treat(WATER, (), (), Changeout()) == ()


def test_a_position_without_a_vessel_is_noted() -> None:
    di = treat(WATER, TRAIN, (LEAD,), Changeout())[2]
    missing = [note for note in di.notes if note.key == "no-vessel-in-position"]
    assert [note.values["position"] for note in missing] == ["lag"]


def test_each_vessel_sees_the_whole_flow() -> None:
    small = Vessel("V2", "lag", 10.0)  # 80 bed volumes per hour
    di = treat(WATER, TRAIN, (LEAD, small), Changeout())[2]
    unusual = [note for note in di.notes if note.key == "service-flow-unusual"]
    assert [note.values["bed_volumes_h"] for note in unusual] == [80.0]


def test_many_waters_at_once() -> None:
    many = Water(
        {"Na": np.array([1.0, 2.0]), "Cl": np.array([1.0, 2.0]), "C": 0.1, "SiO2": 0.0},
        0.0, 7.0, 10.0,
    )  # fmt: skip
    filtered, di = treat(many, (Filter("filter"), TRAIN[2]), (LEAD, LAG), Changeout())
    each = np.asarray(filtered.conductivity_us_cm)
    assert each[1] / each[0] == pytest.approx(2.0, rel=0.05)
    assert not np.any(di.water_out.mmol_l["Na"])

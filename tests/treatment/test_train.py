import numpy as np
import pytest

from waterkit.treatment.ion_exchange import Changeout, Vessel
from waterkit.treatment.train import Carbon, Deioniser, Filter, Tank, treat
from waterkit.water.composition import Water, load

WATER = Water(
    {"Ca": 1.4, "Mg": 0.5, "Na": 1.2, "Cl": 0.6, "SO4": 0.8, "C": 3.0, "SiO2": 0.25}, 2.8, 7.2, 10.0
)
LEAD, LAG = Vessel("V1", "lead", 50.0), Vessel("V2", "lag", 50.0)
TRAIN = (
    Filter("filter"),
    Carbon("carbon"),
    Deioniser("di", ("lead", "lag"), 800.0),
    Tank("tank", air_co2_ppm=420.0),
)


def test_each_process_gives_its_water() -> None:
    filtered, carbon, di, tank = treat(WATER, TRAIN, (LEAD, LAG), Changeout())
    assert [filtered.process, carbon.process, di.process, tank.process] == [
        "filter", "carbon", "di", "tank",
    ]  # fmt: skip
    assert filtered.water_out == carbon.water_out == WATER
    assert filtered.conductivity_us_cm is None
    assert filtered.conductivity_standard_methods_us_cm == pytest.approx(500, rel=0.1)
    assert all(result.recovery == 1.0 for result in (filtered, carbon, di, tank))


def test_deionised_water_is_pure() -> None:
    di = treat(WATER, TRAIN, (LEAD, LAG), Changeout())[2]
    assert not any(di.water_out.mmol_l.values())
    assert load(di.water_out).anion_meq_l == 0.0
    # 0.0550 uS/cm at 25 degC; pKw at 10 degC is 14.53 (published figures)
    assert di.conductivity_us_cm == pytest.approx(0.0550, abs=0.0005)
    assert di.conductivity_standard_methods_us_cm is None
    assert di.water_out.ph == pytest.approx(14.534 / 2, abs=0.002)
    assert [note.key for note in di.notes] == ["fresh-resin-assumed"]


def test_an_open_tank_takes_up_air() -> None:
    tank = treat(WATER, TRAIN, (LEAD, LAG), Changeout())[3]
    # 420 ppm at 25 degC: pH 5.598 and 0.995 uS/cm, computed with PHREEQC 3
    assert tank.conductivity_us_cm == pytest.approx(0.995, rel=0.005)
    assert tank.water_out.ph == pytest.approx(5.598, abs=0.002)
    assert tank.water_out.mmol_l["C"] > 0


def test_a_closed_tank_keeps_the_water() -> None:
    closed = Tank("tank", open_=False)
    di, tank, last = treat(WATER, (TRAIN[2], closed, Filter("filter")), (LEAD, LAG), Changeout())
    assert di.water_out == tank.water_out == last.water_out
    assert di.conductivity_us_cm == last.conductivity_us_cm


def test_salty_water_in_an_open_tank_stays_as_it_is_and_says_so() -> None:
    (tank,) = treat(WATER, (Tank("tank"),), (), Changeout())
    assert tank.water_out == WATER
    assert [note.key for note in tank.notes] == ["air-left-out"]


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
    each = np.asarray(filtered.conductivity_standard_methods_us_cm)
    assert each[1] / each[0] == pytest.approx(2.0, rel=0.05)
    assert not np.any(di.water_out.mmol_l["Na"])

"""Freezing; heats and densities as printed are in tests/published/."""

import numpy as np
import pytest

from waterkit.errors import FieldError
from waterkit.ice.freezing import PlantRate, freezing_l_h, heat_kj_l, ice_mm, plant_rate_l_h


def rate_of(*, water_c: float = 10.0, sheets: float = 3, **known: float) -> PlantRate:
    freeze_test, spare, capacity, standing = map(
        known.get, ("freeze_test_l_h", "spare_kw", "capacity_kw", "standing_load_kw")
    )
    return plant_rate_l_h(freeze_test, spare, capacity, standing, water_c, int(sheets))


def test_ice_keeps_the_mass_of_its_water() -> None:
    assert ice_mm(10.0) * 916.7215 == pytest.approx(10.0 * 999.8428)  # mm x kg/m3


@pytest.mark.parametrize(
    ("spare_kw", "litres"), [(8, 75), (10, 93), (15, 140), (20, 187), (25, 233), (30, 280)]
)
def test_spare_cooling_freezes_litres(spare_kw: float, litres: float) -> None:
    # Computed table for water of 10 degC from the handbook heats; common practice, no source.
    assert freezing_l_h(spare_kw, 10.0) == pytest.approx(litres, abs=0.5)


def test_warmer_water_and_colder_ice_take_more_heat() -> None:
    heats = heat_kj_l(np.array([0.0, 10.0, 50.0]))
    assert np.all(np.diff(heats) > 0)
    assert heat_kj_l(10.0, -8.0) > heat_kj_l(10.0, -5.0)


def test_heat_of_ice_at_its_melting_point_is_latent_heat() -> None:
    assert heat_kj_l(0.0, 0.0) == pytest.approx(333.43, rel=0.001)  # IAPWS-95 less R10-06


def test_a_freeze_test_is_taken_as_it_is() -> None:
    rate = rate_of(freeze_test_l_h=140.0, spare_kw=99.0)
    assert rate == PlantRate(140.0, "measured")


def test_spare_cooling_goes_before_capacity() -> None:
    rate = rate_of(spare_kw=30.0, capacity_kw=90.0, standing_load_kw=45.0)
    assert rate.basis == "quoted"
    assert rate.litres_per_hour == pytest.approx(30.0 * 3600 / 386.0)
    assert rate.notes == ()


def test_capacity_less_standing_load() -> None:
    rate = rate_of(capacity_kw=90.0, standing_load_kw=60.0)
    assert rate == rate_of(spare_kw=30.0)


def test_a_missing_standing_load_is_assumed_and_told() -> None:
    rate = rate_of(capacity_kw=75.0)
    assert rate.basis == "assumed"
    assert [note.key for note in rate.notes] == ["standing-load-assumed"]
    assert rate.notes[0].values["standing_load_kw"] == 45.0
    assert rate.litres_per_hour == pytest.approx(30.0 * 3600 / 386.0)


def test_nothing_known_is_assumed_by_the_sheet_and_told() -> None:
    rate = rate_of(sheets=4)
    assert rate.basis == "assumed"
    assert rate.notes[0].key == "spare-cooling-assumed"
    assert rate.notes[0].values["spare_kw"] == 40.0
    assert rate.litres_per_hour == pytest.approx(4 * 93.3, abs=0.5)


def test_water_outside_the_range_is_told() -> None:
    rate = rate_of(water_c=75.0, spare_kw=30.0)
    assert [note.key for note in rate.notes] == ["heat-outside-range"]


@pytest.mark.parametrize(
    ("figures", "field"),
    [
        ({"freeze_test_l_h": 0.0}, "freeze_test"),
        ({"spare_kw": -1.0}, "spare"),
        ({"capacity_kw": 40.0, "standing_load_kw": 40.0}, "capacity"),
        ({"capacity_kw": 40.0}, "capacity"),
    ],
)
def test_a_plant_that_freezes_nothing_is_refused(figures: dict[str, float], field: str) -> None:
    with pytest.raises(FieldError) as caught:
        rate_of(**figures)
    assert caught.value.field == field

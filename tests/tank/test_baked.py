"""The baked table against the model that it was baked from."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.tank.tank_cases import METERS, table
from waterkit.errors import FieldError
from waterkit.tank.baked import MILLION, SCALE, Baked, bake, tenths_of, whole, whole_limit
from waterkit.water.carbonate import open_to_air
from waterkit.water.conductivity import dilute_at_25, dilute_at_temperature, pure_water
from waterkit.water.limits import COMMON_LIMITS, USES
from waterkit.water.meter import Meter, actual_us_cm, shown_us_cm

ERROR = 0.001
"""Of a limit, of what air does and of a reading; for the smallest, four in the last place."""
TENTHS = st.integers(0, 600)


def _close(found: int, model: float, share: float = ERROR) -> bool:
    model = max(model, 0.0)  # no water conducts less than nothing
    return abs(found - model * SCALE) <= max(share * model * SCALE, 4)


@given(TENTHS, st.sampled_from(USES))
def test_limits_by_the_table_are_those_of_the_model(tenths: int, use: str) -> None:
    limit = COMMON_LIMITS[use]  # type: ignore[index]
    for at_25 in (limit.good_us_cm, limit.act_us_cm):
        found = table().from_25(whole_limit(at_25), tenths)
        assert _close(found, float(dilute_at_temperature(at_25, tenths / 10)))


@given(TENTHS, st.sampled_from([420.0, 1000.0]))
def test_air_and_pure_water_are_those_of_the_model(tenths: int, co2_ppm: float) -> None:
    baked = table(co2_ppm)
    model = float(open_to_air(tenths / 10, co2_ppm).conductivity_us_cm)
    assert _close(baked.at(baked.air_in_use, tenths), model)
    assert _close(baked.at(baked.pure, tenths), float(pure_water(tenths / 10)), 0.005)


@given(TENTHS, st.sampled_from([name for name in METERS if name != "natural"]),
       st.integers(1, 3_000_000))  # fmt: skip
def test_a_reading_becomes_what_is_there(tenths: int, name: str, shown: int) -> None:
    baked, meter = table(), METERS[name]
    found = baked.actual(baked.meters[name], shown, "uS/cm", tenths)
    assert _close(found, float(actual_us_cm(shown / SCALE, tenths / 10, meter)))
    assert _close(baked.to_25(found, tenths), float(dilute_at_25(found / SCALE, tenths / 10)))


@given(st.integers(0, 350), st.integers(1, 3_000_000))
def test_natural_water_compensation_holds_to_35_degrees(tenths: int, shown: int) -> None:
    baked = table()
    found = baked.actual(baked.meters["natural"], shown, "uS/cm", tenths)
    assert _close(found, float(actual_us_cm(shown / SCALE, tenths / 10, METERS["natural"])))


@given(TENTHS, st.sampled_from(["linear", "none", "fine"]), st.integers(100, 3_000_000))
def test_what_a_meter_shows_is_the_way_back(tenths: int, name: str, actual: int) -> None:
    baked, meter = table(), METERS[name]
    shown = baked.shown(baked.meters[name], actual, tenths)
    assert _close(shown, float(shown_us_cm(actual / SCALE, tenths / 10, meter)))


def test_ppm_are_turned_by_the_factor_of_the_meter() -> None:
    baked = table()
    row = baked.meters["tds half"]
    assert (row.unit, row.factor, row.resolution) == ("ppm", MILLION // 2, SCALE)
    assert baked.actual(row, 10 * SCALE, "ppm", 250) == 20 * SCALE
    assert baked.shown(row, 20 * SCALE, 250) == 10 * SCALE


def test_a_meter_that_is_not_known_is_read_in_the_kindest_way() -> None:
    baked = table()
    unknown = baked.meters[""]
    for tenths in range(0, 600, 7):
        least = min(
            baked.actual(baked.meters[name], 100_000, "uS/cm", tenths)
            for name in ("linear", "none")
        )
        assert abs(baked.actual(unknown, 100_000, "uS/cm", tenths) - least) <= 1


def test_limits_are_rounded_down_and_readings_half_up() -> None:
    assert (whole_limit(5.00009), whole_limit(0.3), whole(0.00005), tenths_of(5.25)) == (
        50_000, 3000, 1, 53,
    )  # fmt: skip


def test_no_product_leaves_the_whole_numbers_of_a_phone() -> None:
    baked, steep = table(), Meter("steep", coefficient_percent_per_c=10.0)
    row = bake(COMMON_LIMITS, [steep], 1000.0).meters["steep"]
    assert max(row.slope) * 10_000 * SCALE + MILLION < 2**53
    assert baked.actual(row, 10**12, "uS/cm", 600) < 2**53


def test_the_table_is_small_and_goes_into_a_page() -> None:
    written = json.dumps(table().row, separators=(",", ":"))
    assert len(written) < 8_000
    assert json.loads(written)["limits"]["pebble"] == [50_000, 100_000]


def test_the_strictest_use_of_the_tank_decides_what_goes_in() -> None:
    assert table().into_tank == "pebble"
    assert bake(COMMON_LIMITS, (), 420.0, ("white", "flood")).into_tank == "flood"


def test_a_reference_that_no_table_holds_is_refused() -> None:
    with pytest.raises(FieldError, match="corrects to 40"):
        bake(COMMON_LIMITS, [Meter("odd", "natural water", reference_c=40.0)], 1000.0)


def test_beyond_its_ends_the_ends_hold() -> None:
    baked: Baked = table()
    assert baked.at(baked.pure, -50) == baked.pure[0]
    assert baked.at(baked.pure, 900) == baked.pure[-1]

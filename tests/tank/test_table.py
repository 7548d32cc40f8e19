"""Limits by temperature on the tank card."""

import pytest

from waterkit.tank.table import CARD_TEMPERATURES_C, LimitRow, limit_table
from waterkit.water.limits import COMMON_LIMITS, USES, Limit


def rows(co2_ppm: float = 420.0) -> dict[float, LimitRow]:
    return {row.temperature_c: row for row in limit_table(COMMON_LIMITS, co2_ppm)}


def test_at_25_degrees_the_limits_are_themselves() -> None:
    row = rows()[25.0]
    for use in USES:
        assert row.good_us_cm[use] == pytest.approx(COMMON_LIMITS[use].good_us_cm)
        assert row.act_us_cm[use] == pytest.approx(COMMON_LIMITS[use].act_us_cm)


@pytest.mark.parametrize(("celsius", "limit"), [(10, 3.508), (15, 3.986), (20, 4.483)])
def test_five_microsiemens_in_the_cold(celsius: float, limit: float) -> None:
    """Our own arithmetic from published conductances (McCleskey 2011, NaCl), worked apart."""
    (row,) = limit_table({"pebble": Limit(5.0, 10.0)}, 420.0, [celsius])
    assert row.good_us_cm["pebble"] == pytest.approx(limit, abs=0.002)


def test_air_alone_at_25_degrees_is_what_phreeqc_gives() -> None:
    """PHREEQC, phreeqc.dat: 0.995 uS/cm for water in equilibrium with 420 ppm at 25 degC."""
    assert rows()[25.0].air_us_cm == pytest.approx(0.995, abs=0.002)


def test_a_hall_in_use_reads_higher_than_an_empty_one() -> None:
    for celsius in CARD_TEMPERATURES_C:
        assert rows(1000.0)[celsius].air_us_cm > rows(420.0)[celsius].air_us_cm


def test_limits_grow_with_temperature() -> None:
    table = limit_table(COMMON_LIMITS, 420.0)
    values = [row.good_us_cm["flood"] for row in table]
    assert values == sorted(values)

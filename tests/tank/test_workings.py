"""A working's inputs, put into its formula by hand, give its result."""

import pytest

from waterkit.tank.table import limit_table
from waterkit.tank.workings import limit_working
from waterkit.water.conductivity import pure_water
from waterkit.water.limits import COMMON_LIMITS
from waterkit.water.meter import Meter
from waterkit.working import Working


def numbers(working: Working) -> list[float]:
    """The inputs that are numbers, in their order."""
    return [given.value for given in working.inputs if isinstance(given.value, int | float)]


def test_a_limit_as_the_meter_shows_it() -> None:
    (row,) = limit_table(COMMON_LIMITS, 1000.0, (5.0,))
    meter = Meter("m", "linear", 2.0, 25.0)
    working = limit_working("flood", COMMON_LIMITS["flood"], row, meter)
    limit, celsius, water, salt, actual = numbers(working)
    at_25 = float(pure_water(25.0))
    assert (limit - at_25) / salt + water == pytest.approx(actual)
    assert working.result == pytest.approx(actual / (1 + 0.02 * (celsius - 25.0)))
    assert working.inputs[0].path == "limits.flood.good"

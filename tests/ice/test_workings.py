"""A working's inputs, put into its formula by hand, give its result."""

import pytest

from waterkit.ice.batches import plan_paint
from waterkit.ice.freezing import plant_rate_l_h
from waterkit.ice.layers import Area, LayerStep, step_hours, step_water
from waterkit.ice.paint import Ratio, White
from waterkit.ice.sheet import Rink
from waterkit.ice.workings import (
    freezing_working,
    litres_working,
    mix_working,
    powder_working,
)
from waterkit.working import Working

RINK = Rink(sheets=3, sheet_length_m=45.72, sheet_width_m=4.75, floor_m2=684.0)
WHITE = White(loss_percent=7.0, heel_l=10.0, coats=4)


def numbers(working: Working) -> list[float]:
    """The inputs that are numbers, in their order."""
    return [given.value for given in working.inputs if isinstance(given.value, int | float)]


def test_litres_by_depth() -> None:
    row = LayerStep("base", "flood", "flood", area=Area("floor"), depth_per_pass_mm=2.2, passes=4,
                    loss_percent=2.0)  # fmt: skip
    working = litres_working(row, step_water(row, RINK, WHITE), RINK)
    depth, area, passes, loss = numbers(working)
    assert working.result == pytest.approx(depth * area * passes * (1 + loss / 100))
    assert working.inputs[1].path == "rink.floor"


def test_litres_by_the_sheet() -> None:
    row = LayerStep("edges", "edges", "mist", litres_per_pass_and_sheet_l=2.5, passes=4,
                    loss_percent=5.0)  # fmt: skip
    working = litres_working(row, step_water(row, RINK, WHITE), RINK)
    litres, sheets, passes, loss = numbers(working)
    assert working.result == pytest.approx(litres * sheets * passes * (1 + loss / 100))


def test_hours_of_freezing() -> None:
    row = LayerStep("base", "flood", "flood", depth_per_pass_mm=2.2, passes=4)
    water = step_water(row, RINK, WHITE)
    rate = plant_rate_l_h(140.0, None, None, None, 10.0, 3)
    working = freezing_working(water, step_hours(water, row, rate.litres_per_hour), rate)
    litres, pace = numbers(working)
    assert working.result == pytest.approx(litres / pace)


@pytest.mark.parametrize("per", ["water", "mix"])
def test_paint(per: str) -> None:
    white = White(ratio=Ratio(0.1, per), loss_percent=7.0, heel_l=10.0)  # type: ignore[arg-type]
    paint = plan_paint(white, 650.0)
    mix = mix_working(paint, white, 650.0)
    area, coats, coat, loss, heel = numbers(mix)
    assert mix.result == pytest.approx(area * coats * coat * (1 + loss / 100) + heel, abs=0.01)
    powder = powder_working(paint.batches[0], white)
    litres, ratio = numbers(powder)
    assert powder.result == pytest.approx(litres * ratio, abs=0.001)

"""The layer plan on the calendar."""

import datetime as dt

import pytest

from waterkit.ice.layers import LayerStep, step_hours, step_water
from waterkit.ice.paint import White
from waterkit.ice.sheet import Rink
from waterkit.season.build import PlannedStep, SeasonDates, in_order, needs_of, schedule

RINK = Rink(sheets=3)
OPENING = dt.date(2027, 10, 2)
SEASON = SeasonDates(OPENING, dt.date(2028, 3, 26), work_hours_h=10.0)
FLOOD = LayerStep("flood", "flood", depth_per_pass_mm=2.0, passes=2)


def planned(*rows: LayerStep, plant_l_h: float = 150.0) -> list[PlannedStep]:
    steps = []
    for row in rows:
        water = step_water(row, RINK, White())
        steps.append(PlannedStep(row, water, step_hours(water, row, plant_l_h)))
    return steps


def test_each_pass_waits_until_the_one_before_is_frozen() -> None:
    (step,) = schedule(planned(FLOOD), SEASON, "America/Toronto")
    first, second = step.passes
    assert second - first >= dt.timedelta(hours=step.hours.wait_per_pass_h)


def test_the_build_ends_in_time_and_a_day_later_it_would_not() -> None:
    rows = [FLOOD, LayerStep("cure", "lay-out", minimum_wait_h=30.0)]
    steps = schedule(planned(*rows), SEASON, "UTC")
    opening = dt.datetime(2027, 10, 2, tzinfo=dt.UTC)
    last = max(step.end for step in steps if step.end)
    assert last <= opening
    assert last + dt.timedelta(days=1) > opening


def test_passes_begin_and_end_in_the_working_hours() -> None:
    for step in schedule(planned(FLOOD, FLOOD_2), SEASON, "UTC"):
        for moment in step.passes:
            finish = moment + dt.timedelta(hours=step.hours.apply_h / step.water.passes)
            assert dt.time(8) <= moment.time()
            assert finish <= moment.replace(hour=18, minute=0)


FLOOD_2 = LayerStep("second flood", "flood", depth_per_pass_mm=1.0)


def test_without_needs_a_row_waits_for_the_row_above() -> None:
    rows = [FLOOD, FLOOD_2, LayerStep("lines", "lines", needs=("flood",))]
    assert needs_of(rows) == {
        "flood": (),
        "second flood": ("flood",),
        "lines": ("flood",),
    }


def test_done_rows_are_the_past() -> None:
    past = LayerStep("flood", "flood", depth_per_pass_mm=2.0, done_on=dt.date(2027, 9, 20))
    first, second = schedule(planned(past, FLOOD_2), SEASON, "UTC")
    assert first.start is None
    assert first.passes == ()
    assert first.end == dt.datetime(2027, 9, 20, tzinfo=dt.UTC)
    assert second.start is not None


def test_steps_keep_the_order_of_the_plan_but_run_in_the_order_of_their_needs() -> None:
    rows = [
        LayerStep("start", "lay-out"),
        LayerStep("late", "flood", depth_per_pass_mm=1.0, needs=("early",)),
        LayerStep("early", "flood", depth_per_pass_mm=1.0, needs=("start",)),
    ]
    steps = schedule(planned(*rows), SEASON, "UTC")
    assert [step.row.step for step in steps] == ["start", "late", "early"]
    late, early = steps[1].start, steps[2].end
    assert late is not None
    assert early is not None
    assert late >= early


def test_a_loop_is_told() -> None:
    loop = planned(LayerStep("a", "lay-out", needs=("b",)), LayerStep("b", "lay-out", needs=("a",)))
    with pytest.raises(ValueError, match="loop"):
        in_order(loop)


def test_a_build_without_end_is_told() -> None:
    with pytest.raises(ValueError, match="400 days"):
        schedule(planned(LayerStep("wait", "lay-out", minimum_wait_h=9999.0)), SEASON, "UTC")

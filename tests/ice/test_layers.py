"""Layers: litres, thickness and hours of a step."""

import datetime as dt
from dataclasses import replace

import pytest

from waterkit.errors import FieldError
from waterkit.ice.batches import plan_paint
from waterkit.ice.common_layers import default_layers
from waterkit.ice.layers import (
    DEFAULT_USE,
    PRACTICE,
    Area,
    Kind,
    LayerStep,
    check_layers,
    check_step,
    covered_area_m2,
    step_hours,
    step_water,
)
from waterkit.ice.paint import Boom, Ratio, White
from waterkit.ice.sheet import Rink, sheets_area_m2

RINK = Rink(3, 45.72, 4.75, floor_m2=720.0)
SHEETS_M2 = 3 * 217.17
WHITE = White(per_coat_l_m2=0.2)
FLOOD = LayerStep("base", "flood", depth_per_pass_mm=2.0, passes=3, loss_percent=2.0)


def test_areas() -> None:
    assert covered_area_m2(Area(), RINK) == pytest.approx(SHEETS_M2)
    assert covered_area_m2(Area("floor"), RINK) == 720.0
    assert covered_area_m2(Area("floor"), Rink(3)) == pytest.approx(sheets_area_m2(Rink(3)))
    assert covered_area_m2(Area("figure", 12.5), RINK) == 12.5


def test_depth_times_area_times_passes_with_loss_on_top() -> None:
    water = step_water(FLOOD, RINK, WHITE)
    assert water.litres_l == pytest.approx(6.0 * SHEETS_M2)
    assert water.loss_l == pytest.approx(0.02 * water.litres_l)
    assert water.drawn_l == water.litres_l + water.loss_l
    assert water.litres_per_pass_l == pytest.approx(2.0 * SHEETS_M2)
    assert water.depth_mm_water == pytest.approx(6.0)
    assert water.ice_mm == pytest.approx(6.0 * 1.0907, abs=1e-3)
    assert (water.use, water.passes, water.notes) == ("flood", 3, ())


def test_litres_for_each_pass_and_sheet() -> None:
    step = LayerStep("houses", "houses", litres_per_pass_and_sheet_l=8.0, passes=2, use="mist")
    water = step_water(step, RINK, WHITE)
    assert water.litres_l == pytest.approx(8.0 * 2 * 3)
    assert water.depth_mm_water == pytest.approx(48.0 / SHEETS_M2)
    assert water.use == "mist"


def test_white_counts_the_water_of_its_mix() -> None:
    white = replace(WHITE, ratio=Ratio(0.5, "mix"), powder_density_kg_l=2.5, loss_percent=10.0)
    water = step_water(LayerStep("white", "white", loss_percent=50.0), RINK, white)
    assert water.litres_l == pytest.approx(SHEETS_M2 * 4 * 0.2 * 0.8)
    assert water.applied_l == pytest.approx(SHEETS_M2 * 4 * 0.2 * 1.1)
    assert water.passes == 4
    assert water.depth_mm_water == pytest.approx(0.64)


def test_white_draws_the_water_that_its_batches_need() -> None:
    water = step_water(LayerStep("white", "white"), RINK, WHITE)
    plan = plan_paint(WHITE, water.area_m2)
    assert water.drawn_l == pytest.approx(plan.water_l, abs=1e-3)
    assert water.loss_l > water.litres_l * 0.07  # the last heel is lost too


def test_passes_of_a_white_row_give_way_to_coats() -> None:
    water = step_water(LayerStep("white", "white", passes=3), RINK, WHITE)
    assert water.passes == WHITE.coats
    assert [note.key for note in water.notes] == ["white-coats-not-passes"]


@pytest.mark.parametrize("kind", ["pull-down", "lay-out", "scrape"])
def test_kinds_without_water(kind: Kind) -> None:
    water = step_water(LayerStep("dry", kind, minimum_wait_h=2.0), RINK, WHITE)
    assert (water.drawn_l, water.ice_mm, water.use, water.notes) == (0.0, 0.0, None, ())
    hours = step_hours(water, LayerStep("dry", kind, minimum_wait_h=2.0), 300.0)
    assert (hours.apply_h, hours.freeze_h, hours.total_h) == (0.0, 0.0, 2.0)


def test_wash_water_makes_no_ice() -> None:
    step = LayerStep("wash", "wash", litres_per_pass_and_sheet_l=10.0)
    water = step_water(step, RINK, WHITE)
    assert (water.drawn_l, water.ice_mm) == (30.0, 0.0)
    assert step_hours(water, step, 300.0).freeze_h == 0.0


@pytest.mark.parametrize("kind", [k for k in PRACTICE if PRACTICE[k].wet and k != "white"])
def test_a_wet_step_without_figures_is_assumed_and_told(kind: Kind) -> None:
    water = step_water(LayerStep("some", kind), RINK, WHITE)
    assert water.litres_l > 0
    assert [note.key for note in water.notes] == ["layer-water-assumed"]
    assert water.use == DEFAULT_USE[kind]
    usual = PRACTICE[kind]
    per_pass = (usual.depth_mm or 0) * SHEETS_M2 + (usual.litres_l or 0) * 3
    assert water.litres_l == pytest.approx(per_pass)


def test_a_depth_of_zero_is_not_a_missing_depth() -> None:
    assert step_water(replace(FLOOD, depth_per_pass_mm=0.0), RINK, WHITE).drawn_l == 0.0


def test_a_done_step_counts_what_it_really_took() -> None:
    planned = step_water(FLOOD, RINK, WHITE)
    used = planned.drawn_l * 1.25
    done = step_water(replace(FLOOD, done_on=dt.date(2027, 9, 20), litres_used_l=used), RINK, WHITE)
    assert done.drawn_l == pytest.approx(used)
    assert done.litres_l == pytest.approx(planned.litres_l * 1.25)
    assert done.ice_mm == pytest.approx(planned.ice_mm * 1.25)
    dry = replace(FLOOD, depth_per_pass_mm=0.0, done_on=dt.date(2027, 9, 20), litres_used_l=50.0)
    assert step_water(dry, RINK, WHITE).drawn_l == 50.0


def test_a_done_white_row_counts_what_it_really_took() -> None:
    step = LayerStep("white", "white", done_on=dt.date(2027, 9, 25), litres_used_l=400.0)
    water = step_water(step, RINK, WHITE)
    planned = step_water(LayerStep("white", "white"), RINK, WHITE)
    assert water.drawn_l == pytest.approx(400.0)
    assert water.litres_l / water.drawn_l == pytest.approx(planned.litres_l / planned.drawn_l)


@pytest.mark.parametrize(
    ("step", "field"),
    [
        (replace(FLOOD, litres_per_pass_and_sheet_l=400.0), "depth per pass"),
        (LayerStep("w", "white", depth_per_pass_mm=0.2), "depth per pass"),
        (LayerStep("s", "scrape", litres_per_pass_and_sheet_l=3.0), "kind"),
        (LayerStep("s", "scrape", done_on=dt.date(2027, 9, 1), litres_used_l=3.0), "kind"),
        (replace(FLOOD, passes=0), "passes"),
        (replace(FLOOD, area=Area("figure")), "area"),
        (replace(FLOOD, area=Area("figure", 0.0)), "area"),
        (replace(FLOOD, litres_used_l=900.0), "litres used"),
    ],
)
def test_contradictions_are_refused(step: LayerStep, field: str) -> None:
    with pytest.raises(FieldError) as caught:
        check_step(step)
    assert caught.value.field == field
    assert caught.value.hint


def test_a_second_white_row_is_refused() -> None:
    first, second = LayerStep("white 1", "white"), LayerStep("white 2", "white")
    check_layers((first, FLOOD))
    with pytest.raises(FieldError, match="'white 1', 'white 2'"):
        check_layers((first, FLOOD, second))


def test_hours_of_a_flood_wait_for_the_plant() -> None:
    # 450 L on one sheet with 10 spare kW and water of 10 degC: 4.8 h (common practice, computed).
    step = LayerStep("top", "flood", litres_per_pass_and_sheet_l=450.0, passes=2)
    water = step_water(step, Rink(1), WHITE)
    hours = step_hours(water, step, 93.3)
    assert hours.wait_per_pass_h == pytest.approx(4.8, abs=0.05)
    assert hours.freeze_h == pytest.approx(2 * hours.wait_per_pass_h)
    assert hours.apply_h == pytest.approx(900.0 / (27.0 * 60.0))
    assert hours.total_h == pytest.approx(hours.apply_h + hours.freeze_h)


def test_hours_of_a_mist_wait_for_the_minimum() -> None:
    step = LayerStep("m", "mist", depth_per_pass_mm=0.05, passes=5, minimum_wait_h=0.5)
    water = step_water(step, RINK, WHITE)
    hours = step_hours(water, step, 300.0)
    assert hours.freeze_h == pytest.approx(water.litres_l / 300.0)
    assert hours.wait_per_pass_h == 0.5
    assert hours.total_h == pytest.approx(hours.apply_h + 2.5)


def test_a_boom_sets_the_pace_of_mist_and_white_but_not_of_a_flood() -> None:
    boom = Boom(nozzles=10, nozzle_flow_l_h=50.0)
    mist, white = LayerStep("m", "mist", depth_per_pass_mm=0.05), LayerStep("w", "white")
    for step in (mist, white):
        water = step_water(step, RINK, WHITE)
        assert step_hours(water, step, 300.0, boom).apply_h == pytest.approx(water.applied_l / 500)
    water = step_water(FLOOD, RINK, WHITE)
    assert step_hours(water, FLOOD, 300.0, boom) == step_hours(water, FLOOD, 300.0)


@pytest.mark.parametrize("rink", [Rink(2), Rink(3, 45.72, 4.42), Rink(6, 45.72, 5.0)])
def test_common_layers_take_the_common_water(rink: Rink) -> None:
    # 5 to 6.5 m3 of treated water for a sheet of 217 m2, 25 to 40 mm: common practice, no source.
    steps = default_layers(rink)
    waters = [step_water(step, rink, WHITE) for step in steps if step.draws_from != "feed"]
    per_reference_sheet = sum(water.drawn_l for water in waters) / sheets_area_m2(rink) * 217.17
    assert 5000 < per_reference_sheet < 6500
    assert 25 < sum(water.ice_mm for water in waters) < 40
    assert all(not water.notes for water in waters)


def test_common_layers_are_a_plan_that_holds_together() -> None:
    steps = default_layers(RINK)
    names = [step.step for step in steps]
    assert len(set(names)) == len(names)
    for number, step in enumerate(steps):
        check_step(step)
        assert set(step.needs) <= set(names[:number])
    check_layers(steps)
    assert {step.area.of for step in steps if step.kind == "flood"} == {"floor"}
    assert {step.area.of for step in default_layers(Rink(3))} == {"sheets"}

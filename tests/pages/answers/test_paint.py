"""The paint answer as JSON: sums, the offer without weighing, what is null and why."""

import dataclasses
import math

import pytest

from waterkit.pages.answers.paint import NO_BAG, NO_PATCH, paint
from waterkit.plan import SeasonPlan, plan_season


def _with_white(plan: SeasonPlan, **changes: object) -> SeasonPlan:
    white = dataclasses.replace(plan.club.white, **changes)  # type: ignore[arg-type]
    return plan_season(dataclasses.replace(plan.club, white=white), plan.as_of)


def test_batches_run_up_to_the_sums(plan: SeasonPlan) -> None:
    answer, reasons = paint(plan)
    assert reasons == {}
    last = answer["batches"][-1]
    assert last["powder_so_far_kg"] == pytest.approx(answer["powder_kg"])
    assert last["water_so_far_l"] == pytest.approx(answer["water_l"])
    assert (last["coats_done"], last["next_coat_done_m2"]) == (plan.club.white.coats, 0.0)
    gone = answer["on_ice_l"] + answer["lost_l"] + answer["left_over_l"]
    assert gone == pytest.approx(answer["mix_l"], abs=1e-3)


def test_without_weighing_every_bag_is_emptied_and_the_price_is_told(plan: SeasonPlan) -> None:
    answer, _ = paint(plan)
    whole, bag_kg = answer["whole_bags_only"], 10.0
    assert sum(batch["bags"] for batch in whole["batches"]) == whole["bags"]
    powder = whole["bags"] * bag_kg
    water = sum(batch["water_l"] for batch in whole["batches"])
    ratio = plan.club.white.ratio.value_kg_l
    assert whole["ratio_off_percent"] == pytest.approx(100 * (powder / water / ratio - 1), abs=1e-3)


def test_the_jug_is_the_batch_in_small(plan: SeasonPlan) -> None:
    answer, _ = paint(plan)
    check, batch = answer["check"], answer["whole_bags_only"]["batches"][0]
    assert answer["cards"] == "whole bags"
    water_kg = 0.99970 * batch["water_l"]  # water of 10 degC, Tanaka 2001
    heavier = (batch["bags"] * 10.0 + water_kg) / batch["mix_l"] - 0.99970
    assert plan.club.white.jug_l is not None
    assert check["expected_g"] == pytest.approx(1e3 * plan.club.white.jug_l * heavier, rel=1e-3)
    assert check["low_g"] < check["expected_g"] < check["high_g"]


def test_no_bag_no_jug_and_no_patch_are_null_with_their_reason(plan: SeasonPlan) -> None:
    bare = _with_white(plan, jug_l=None, patch_black_percent=None, patch_white_percent=None)
    club = dataclasses.replace(bare.club, items=(), offers=(), stock=())
    answer, reasons = paint(plan_season(club, plan.as_of))
    assert (answer["bags"], answer["check"], answer["cover"]["coats"]) == (None, None, None)
    assert answer["cover"]["outcome"] == "no patch"
    assert reasons["bags"] == reasons["batches.0.whole_bags"] == NO_BAG
    assert reasons["cover.coats"] == reasons["cover.contrast"] == NO_PATCH
    assert "jug" in reasons["check"]


def test_a_club_without_white_still_gets_its_lines(bare: SeasonPlan) -> None:
    answer, reasons = paint(bare)
    assert answer["batches"] == []
    assert set(reasons) == {"powder_kg", "water_l", "bags"}
    assert answer["markings"]["yarn_m"] > 0


def test_markings_are_those_of_the_sheet_as_measured(plan: SeasonPlan) -> None:
    marks, rink = paint(plan)[0]["markings"], plan.club.rink
    spare = 1 + plan.club.colours.spare_percent / 100
    assert marks["hog_tape_m"] == pytest.approx(2 * rink.sheet_width_m * rink.sheets * spare)
    blue = next(ring for ring in marks["rings"] if ring["colour"] == "blue")
    twelve_foot = math.pi * (1.8288**2 - 1.2192**2)
    assert blue["area_m2"] == pytest.approx(2 * rink.sheets * twelve_foot)
    assert marks["colours_l"]["blue"] == pytest.approx(blue["litres_l"] * spare)

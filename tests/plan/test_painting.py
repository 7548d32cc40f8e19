"""The painting day joins the white row, its sealing, jug, patch and boom."""

import datetime as dt
from dataclasses import replace
from pathlib import Path

import pytest

from waterkit.club import read_club
from waterkit.club.schema import Club
from waterkit.ice.cover import white_cover
from waterkit.ice.layers import Kind
from waterkit.plan import SeasonPlan, plan_season

DEMO = Path(__file__).parents[2] / "data" / "demo-club"
AS_OF = dt.date(2027, 8, 15)


@pytest.fixture(scope="module")
def club() -> Club:
    return read_club(DEMO)


def _with(club: Club, kind: Kind, **changes: object) -> SeasonPlan:
    layers = tuple(
        replace(row, **changes) if row.kind == kind else row  # type: ignore[arg-type]
        for row in club.layers
    )
    return plan_season(replace(club, layers=layers), AS_OF)


def test_the_day_is_that_of_the_white_row(club: Club) -> None:
    plan = plan_season(club, AS_OF)
    painting = plan.painting
    assert painting is not None
    assert painting.step.row.kind == "white"
    assert painting.sealing is not None
    assert painting.sealing.row.step == "seal the white"
    assert painting.sealing.hours.wait_per_pass_h > painting.sealing.row.minimum_wait_h
    assert painting.cover == white_cover(club.white)
    assert painting.water_c == 10.0
    assert painting.spray.frozen_h == painting.step.hours.wait_per_pass_h
    assert plan.paint is not None
    coats_l = painting.spray.coat_l * club.white.coats
    assert coats_l == pytest.approx(plan.paint.on_ice_l + plan.paint.lost_l)


def test_water_without_a_figure_is_as_warm_as_the_supply_that_day(club: Club) -> None:
    plan = _with(club, "white", water_c=None)
    assert plan.painting is not None
    start = plan.painting.step.start
    assert start is not None
    assert plan.painting.water_c == club.source.temperature_on(start.date())


def test_sealing_is_what_needs_the_white_else_what_follows_it(club: Club) -> None:
    later = tuple(
        replace(row, needs=("white",)) if row.step == "seal the markings" else row
        for row in club.layers
    )
    painting = plan_season(replace(club, layers=later), AS_OF).painting
    assert painting is not None
    assert painting.sealing is not None
    assert painting.sealing.row.step == "seal the markings"
    bare = tuple(row for row in club.layers if row.kind != "seal")
    bare = tuple(replace(row, needs=()) for row in bare)
    painting = plan_season(replace(club, layers=bare), AS_OF).painting
    assert painting is not None
    assert painting.sealing is None


def test_white_that_is_done_leaves_no_painting_day(club: Club) -> None:
    plan = _with(club, "white", done_on=dt.date(2027, 9, 20))
    assert (plan.painting, plan.white, plan.paint, plan.paint_findings) == (None, None, None, ())


def test_too_few_coats_and_a_sheet_too_small_are_findings(club: Club) -> None:
    assert plan_season(club, AS_OF).paint_findings == ()
    thin = replace(club, white=replace(club.white, coats=1))
    keys = {note.key for note in plan_season(thin, AS_OF).paint_findings}
    assert keys == {"white-too-few-coats"}
    short = replace(club, rink=replace(club.rink, sheet_length_m=40.0, floor_m2=None))
    keys = {note.key for note in plan_season(short, AS_OF).paint_findings}
    assert keys == {"markings-do-not-fit"}

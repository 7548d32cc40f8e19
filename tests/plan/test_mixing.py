"""What the cards mix: whole bags where that costs little, else what is weighed."""

import datetime as dt
from dataclasses import replace
from pathlib import Path

import pytest

from waterkit.club import read_club
from waterkit.club.schema import Club
from waterkit.ice.checking import jug_test
from waterkit.ice.paint import Ratio
from waterkit.plan import plan_season
from waterkit.plan.mixing import mixing

DEMO = Path(__file__).parents[2] / "data" / "demo-club"
AS_OF = dt.date(2027, 8, 15)


@pytest.fixture(scope="module")
def club() -> Club:
    return read_club(DEMO)


def test_whole_bags_are_mixed_where_that_costs_little(club: Club) -> None:
    # 58.14 kg are wanted; six bags of 10 kg are 3.3 % more.
    plan = plan_season(club, AS_OF)
    mixed = mixing(plan)
    assert plan.paint is not None
    assert plan.painting is not None
    assert mixed is not None
    assert mixed.whole is plan.paint.in_whole_bags
    assert [(batch.whole_bags, batch.weighed_kg) for batch in mixed.batches] == [(3, 0.0), (3, 0.0)]
    assert mixed.powder_kg == pytest.approx(60.0)
    assert mixed.white.ratio.value_kg_l == pytest.approx(mixed.powder_kg / mixed.water_l, rel=1e-5)
    assert mixed.jug == jug_test(mixed.white, plan.painting.water_c)


def test_what_costs_more_is_weighed_at_the_ratio_asked_for(club: Club) -> None:
    # 54 kg: six bags would be 11 % more powder, five 7 % less.
    white = replace(club.white, ratio=Ratio(0.0928, "water"))
    plan = plan_season(replace(club, white=white), AS_OF)
    mixed = mixing(plan)
    assert plan.paint is not None
    assert mixed is not None
    assert mixed.whole is None
    assert (mixed.batches, mixed.white) == (plan.paint.batches, white)
    assert mixed.batches[-1].weighed_kg


@pytest.mark.parametrize("missing", ["jug_l", "scale_g"])
def test_no_jug_or_no_scale_is_no_jug_test(club: Club, missing: str) -> None:
    white = replace(club.white, **{missing: None})  # type: ignore[arg-type]
    mixed = mixing(plan_season(replace(club, white=white), AS_OF))
    assert mixed is not None
    assert mixed.jug is None


def test_no_white_nothing_to_mix(club: Club) -> None:
    layers = tuple(row for row in club.layers if row.kind != "white")
    assert mixing(plan_season(replace(club, layers=layers), AS_OF)) is None

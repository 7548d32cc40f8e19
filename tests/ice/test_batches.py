"""Batches: they keep the ratio, fill the tank and sum to the plan."""

from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from waterkit.errors import FieldError
from waterkit.ice.batches import plan_paint
from waterkit.ice.paint import Ratio, White, powder_per_mix, water_per_mix

AREA_M2 = 651.5
ratios = st.builds(Ratio, st.floats(0.01, 1.5), st.sampled_from(["water", "mix"]))
whites = st.builds(
    White,
    powder_density_kg_l=st.floats(1.6, 4.5),
    ratio=ratios,
    coats=st.integers(1, 8),
    per_coat_l_m2=st.floats(0.05, 0.5),
    loss_percent=st.floats(0.0, 30.0),
    tank_l=st.floats(60.0, 1000.0),
    heel_l=st.floats(0.0, 40.0),
)


@given(whites, st.floats(20.0, 2000.0), st.none() | st.floats(1.0, 50.0))
def test_batches_sum_to_the_plan(white: White, area_m2: float, bag_kg: float | None) -> None:
    plan = plan_paint(white, area_m2, bag_kg)
    for figure in ("powder_kg", "water_l", "mix_l"):
        total = sum(round(getattr(batch, figure) * 1000) for batch in plan.batches)
        assert total == round(getattr(plan, figure) * 1000)
    total_l = area_m2 * white.coats * white.per_coat_l_m2 * (1 + white.loss_percent / 100)
    assert plan.mix_l == pytest.approx(total_l + white.heel_l, abs=1e-3)
    assert plan.on_ice_l + plan.lost_l + plan.left_over_l == pytest.approx(plan.mix_l, abs=1e-3)


@given(whites, st.floats(20.0, 2000.0))
def test_every_batch_keeps_the_ratio_to_the_gram(white: White, area_m2: float) -> None:
    powder = powder_per_mix(white.ratio, white.powder_density_kg_l)
    water = water_per_mix(white.ratio, white.powder_density_kg_l)
    for batch in plan_paint(white, area_m2).batches:
        assert batch.powder_kg == pytest.approx(batch.mix_l * powder, abs=1.1e-3)
        assert batch.water_l == pytest.approx(batch.mix_l * water, abs=1.1e-3)
        solid_l = batch.powder_kg / white.powder_density_kg_l
        assert batch.water_l + solid_l == pytest.approx(batch.mix_l, abs=2.1e-3)


@given(whites, st.floats(20.0, 2000.0))
def test_no_batch_overfills_the_tank(white: White, area_m2: float) -> None:
    first, *others = plan_paint(white, area_m2).batches
    assert first.mix_l <= white.tank_l + 1e-3
    full = round(white.tank_l * 1000) - round(white.heel_l * 1000)
    assert all(round(batch.mix_l * 1000) == full for batch in others[:-1])
    assert all(0 < round(batch.mix_l * 1000) <= full for batch in others[-1:])


@given(whites, st.floats(20.0, 2000.0), st.floats(1.0, 50.0))
def test_weighed_powder_comes_out_of_one_opened_bag_after_another(
    white: White, area_m2: float, bag_kg: float
) -> None:
    plan = plan_paint(white, area_m2, bag_kg)
    bag_mg = round(bag_kg * 1e6)
    whole = sum(batch.whole_bags or 0 for batch in plan.batches)
    weighed_mg = sum(round((batch.weighed_kg or 0) * 1e6) for batch in plan.batches)
    assert all(0 <= (batch.weighed_kg or 0) < bag_kg + 1e-6 for batch in plan.batches)
    assert plan.bags == whole + ceil(weighed_mg / bag_mg)
    assert plan.bags * bag_mg - bag_mg < round(plan.powder_kg * 1e6) <= plan.bags * bag_mg


def test_a_plan_by_hand() -> None:
    # 600 m2 x 4 x 0.2 = 480 L on the ice, 10 % lost: 528 L sprayed, heel 12 L: 540 L made of
    # 0.1 kg/L mix, so 54 kg. A tank of 300 L takes 300 L, then 240 L on top of its heel.
    white = White("chalk", 2.5, Ratio(0.1, "mix"), 4, 0.2, 10.0, 300.0, 12.0)
    plan = plan_paint(white, 600.0, bag_kg=11.0)
    assert [batch.mix_l for batch in plan.batches] == [300.0, 240.0]
    assert [batch.powder_kg for batch in plan.batches] == [30.0, 24.0]
    assert [batch.water_l for batch in plan.batches] == [288.0, 230.4]
    assert [(batch.whole_bags, batch.weighed_kg) for batch in plan.batches] == [(2, 8.0), (2, 2.0)]
    assert (plan.powder_kg, plan.water_l, plan.mix_l, plan.bags) == (54.0, 518.4, 540.0, 5)
    assert plan.grams_per_m2 == pytest.approx(80.0)


def test_a_small_area_takes_one_scaled_batch() -> None:
    plan = plan_paint(White(per_coat_l_m2=0.2), 20.0)
    assert [batch.batch for batch in plan.batches] == [1]
    assert plan.batches[0].mix_l == pytest.approx(20 * 4 * 0.2 * 1.07 + 10.0)
    assert plan.bags is None
    assert plan.batches[0].whole_bags is None


def test_batch_weight_is_the_weight_of_its_parts() -> None:
    for batch in plan_paint(White(), AREA_M2, water_c=10.0).batches:
        weight = batch.powder_kg + batch.water_l * 0.9997027  # Tanaka 2001 at 10 degC
        assert weight == pytest.approx(batch.mix_l * batch.density_kg_l, abs=3e-3)


@pytest.mark.parametrize(
    ("per_coat", "keys"),
    [(0.1, ["white-grams-unusual"]), (0.27, []), (0.5, ["white-grams-unusual"])],
)
def test_grams_outside_common_practice_are_told(per_coat: float, keys: list[str]) -> None:
    plan = plan_paint(White(per_coat_l_m2=per_coat), AREA_M2)
    assert [note.key for note in plan.notes] == keys


def test_a_plan_refuses_what_cannot_be() -> None:
    with pytest.raises(ValueError, match="area_m2"):
        plan_paint(White(), 0.0)
    with pytest.raises(FieldError, match="bag"):
        plan_paint(White(), AREA_M2, bag_kg=0.0)
    with pytest.raises(FieldError, match="batches"):
        plan_paint(White(tank_l=1.0, heel_l=0.9), AREA_M2)

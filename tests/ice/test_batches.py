"""Batches: they keep the ratio, fill the tank and sum to the plan."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from waterkit.errors import FieldError
from waterkit.ice.batches import LITTLE_PERCENT, PaintPlan, plan_paint
from waterkit.ice.paint import Ratio, White, powder_per_mix, water_per_mix

AREA_M2 = 651.5
unhurried = settings(deadline=None)  # a busy machine is no fault
ratios = st.builds(Ratio, st.floats(0.01, 1.5), st.sampled_from(["water", "mix"]))
bags = st.integers(1_000, 50_000).map(lambda grams: grams / 1e3)  # bags are filled to the gram
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


@unhurried
@given(whites, st.floats(20.0, 2000.0), st.none() | bags)
def test_batches_sum_to_the_plan(white: White, area_m2: float, bag_kg: float | None) -> None:
    plan = plan_paint(white, area_m2, bag_kg)
    for figure in ("powder_kg", "water_l", "mix_l"):
        total = sum(round(getattr(batch, figure) * 1000) for batch in plan.batches)
        assert total == round(getattr(plan, figure) * 1000)
    total_l = area_m2 * white.coats * white.per_coat_l_m2 * (1 + white.loss_percent / 100)
    total_l += white.heel_l
    solid = white.ratio.value_kg_l / white.powder_density_kg_l  # of a litre of water, or of mix
    water_l = total_l / (1 + solid) if white.ratio.per == "water" else total_l * (1 - solid)
    powder_kg = white.ratio.value_kg_l * (water_l if white.ratio.per == "water" else total_l)
    assert plan.mix_l == pytest.approx(total_l, abs=1e-3)
    assert plan.water_l == pytest.approx(water_l, abs=2e-3)
    assert plan.powder_kg == pytest.approx(powder_kg, abs=3e-3)
    assert plan.on_ice_l + plan.lost_l + plan.left_over_l == pytest.approx(plan.mix_l, abs=1e-3)


@unhurried
@given(whites, st.floats(20.0, 2000.0), st.none() | bags)
def test_every_batch_keeps_the_ratio_to_the_gram(
    white: White, area_m2: float, bag_kg: float | None
) -> None:
    powder = powder_per_mix(white.ratio, white.powder_density_kg_l)
    water = water_per_mix(white.ratio, white.powder_density_kg_l)
    plan = plan_paint(white, area_m2, bag_kg)
    in_all = plan.powder_kg / plan.mix_l
    for batch in plan.batches:
        assert batch.water_l == pytest.approx(batch.mix_l * water, abs=1.1e-3)
        # With bags the mix follows the powder: a gram, and a millilitre of up to 1.5 kg/L, and what
        # the sum of the powder was rounded by.
        assert batch.powder_kg == pytest.approx(batch.mix_l * in_all, abs=3.1e-3)
        if bag_kg is not None:
            continue
        assert batch.powder_kg == pytest.approx(batch.mix_l * powder, abs=1.1e-3)
        solid_l = batch.powder_kg / white.powder_density_kg_l
        assert batch.water_l + solid_l == pytest.approx(batch.mix_l, abs=2.1e-3)


@unhurried
@given(whites, st.floats(20.0, 2000.0), st.none() | bags)
def test_no_batch_overfills_the_tank(white: White, area_m2: float, bag_kg: float | None) -> None:
    plan = plan_paint(white, area_m2, bag_kg)
    first, *others = plan.batches
    assert first.mix_l <= white.tank_l + 2e-3
    full = white.tank_l - white.heel_l
    assert all(0 < batch.mix_l <= full + 2e-3 for batch in others)
    assert all(batch.mark_l <= white.tank_l + 2e-3 for batch in plan.batches)
    if bag_kg is None:
        assert all(batch.mix_l == pytest.approx(full, abs=2e-3) for batch in others[:-1])


def _opened(plan: PaintPlan, bag_kg: float) -> int:
    """Bags that are opened, if one is finished before the next."""
    weighed_g = sum(round((batch.weighed_kg or 0.0) * 1000) for batch in plan.batches)
    return -(-(weighed_g - len(plan.batches)) // round(bag_kg * 1000)) if weighed_g else 0


@unhurried
@given(whites, st.floats(20.0, 2000.0), bags)
def test_never_more_than_one_opened_bag(white: White, area_m2: float, bag_kg: float) -> None:
    plan = plan_paint(white, area_m2, bag_kg)
    whole = sum(batch.whole_bags or 0 for batch in plan.batches)
    keys = {note.key for note in plan.notes}
    assert whole * bag_kg <= plan.powder_kg + 1e-3
    assert plan.bags is not None
    assert plan.left_in_bag_kg is not None
    assert plan.bags * bag_kg - plan.left_in_bag_kg == pytest.approx(plan.powder_kg, abs=1e-3)
    for batch in plan.batches:
        in_batch = float(batch.whole_bags or 0) * bag_kg + (batch.weighed_kg or 0.0)
        assert in_batch == pytest.approx(batch.powder_kg, abs=1.5e-3)
        assert (batch.weighed_kg or 0.0) < bag_kg + 1.5e-3
    if "bag-larger-than-tank" in keys:
        room_l = white.tank_l - white.heel_l
        assert bag_kg > room_l * powder_per_mix(white.ratio, white.powder_density_kg_l)
        for batch in plan.batches:  # what goes in unopened is all that can
            assert (batch.whole_bags or 0) == round(batch.powder_kg * 1e3) // round(bag_kg * 1e3)
        return
    assert _opened(plan, bag_kg) <= 1
    assert 0 <= plan.bags - whole <= 1


@unhurried
@given(whites, st.floats(20.0, 2000.0), bags)
def test_whole_bags_leave_none_opened_and_tell_their_price(
    white: White, area_m2: float, bag_kg: float
) -> None:
    plan = plan_paint(white, area_m2, bag_kg)
    offer = plan.in_whole_bags
    if offer is None:  # no bag goes into a filling, or not all that one batch would need
        room_l = white.tank_l - white.heel_l
        per_l = powder_per_mix(white.ratio, white.powder_density_kg_l)
        assert bag_kg > 0.95 * room_l * per_l
        return
    assert all(batch.weighed_kg == 0.0 for batch in offer.batches)
    assert sum(batch.whole_bags or 0 for batch in offer.batches) == offer.bags
    assert offer.powder_kg == pytest.approx(offer.bags * bag_kg, abs=1e-3)
    assert sum(round(b.mix_l * 1000) for b in offer.batches) == round(offer.mix_l * 1000)
    per_l = powder_per_mix(offer.ratio, white.powder_density_kg_l)
    assert offer.powder_kg / offer.mix_l == pytest.approx(per_l, rel=1e-3)
    for batch in offer.batches:
        assert batch.powder_kg == pytest.approx(batch.mix_l * per_l, abs=2e-3)
        assert batch.mark_l <= white.tank_l + 2e-3
    if offer.ratio == white.ratio:  # paid in left-over
        assert offer.more_mix_l >= -1e-3
    else:  # paid in ratio
        assert offer.more_mix_l == 0.0
        per_mix = powder_per_mix(white.ratio, white.powder_density_kg_l)
        assert abs(float(per_l / per_mix) - 1) * 100 <= LITTLE_PERCENT * 1.001


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
    assert plan.left_in_bag_kg == pytest.approx(1.0)
    assert [batch.mark_l for batch in plan.batches] == [300.0, 252.0]


def test_bags_by_hand() -> None:
    # The same white with bags of 10 kg: 30 kg fill the tank, 24 kg stay for the second batch.
    white = White("chalk", 2.5, Ratio(0.1, "mix"), 4, 0.2, 10.0, 300.0, 12.0)
    plan = plan_paint(white, 600.0, bag_kg=10.0)
    assert [(batch.whole_bags, batch.weighed_kg) for batch in plan.batches] == [(3, 0.0), (2, 4.0)]
    # Without weighing: 5 bags would be 7 % short, so 6 bags at the ratio, 60 L left over, and one
    # batch more, as 288 L on the heel take two bags.
    offer = plan.in_whole_bags
    assert offer is not None
    assert (offer.bags, offer.ratio, offer.mix_l, offer.more_mix_l) == (6, white.ratio, 600.0, 60.0)
    assert [batch.whole_bags for batch in offer.batches] == [3, 2, 1]
    assert (offer.more_batches, offer.costs_little) == (1, False)
    # With bags of 13.4 kg four bags are 53.6 kg: 0.7 % thinner, and nothing left over.
    cheap = plan_paint(white, 600.0, bag_kg=13.4).in_whole_bags
    assert cheap is not None
    assert (cheap.bags, cheap.mix_l, cheap.more_mix_l, cheap.more_batches) == (4, 540.0, 0.0, 0)
    assert cheap.ratio_percent == pytest.approx(-0.74, abs=0.01)
    assert cheap.costs_little


def test_bags_larger_than_the_tank_are_opened_one_after_another() -> None:
    white = White("chalk", 2.5, Ratio(0.1, "mix"), 4, 0.2, 10.0, 100.0, 0.0)
    plan = plan_paint(white, 600.0, bag_kg=25.0)
    assert [note.key for note in plan.notes] == ["bag-larger-than-tank"]
    assert plan.in_whole_bags is None
    assert [batch.weighed_kg for batch in plan.batches] == [10.0] * 5 + [2.8]
    assert plan.bags == 3


def test_a_batch_more_for_whole_bags_is_told() -> None:
    # 30 kg in a full tank and bags of 18 kg: one bag a batch.
    white = White("chalk", 2.5, Ratio(0.1, "mix"), 4, 0.2, 10.0, 300.0, 0.0)
    plan = plan_paint(white, 1000.0, bag_kg=18.0)
    assert [note.values for note in plan.notes if note.key == "white-more-batches"] == [
        {"batches": 4, "full_tanks": 3}
    ]


def test_rounding_to_the_gram_opens_no_bag() -> None:
    # 7 bags of 25 lb are 79.3787 kg: nobody opens an eighth for a third of a gram.
    white = replace(White(), ratio=Ratio(79.3787 / 850, "mix"), heel_l=0.0, loss_percent=0.0)
    plan = plan_paint(replace(white, coats=1, per_coat_l_m2=1.0), 850.0, bag_kg=11.33980925)
    assert plan.powder_kg == 79.379
    assert (plan.bags, plan.left_in_bag_kg) == (7, 0.0)


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
    with pytest.raises(FieldError, match="gram"):
        plan_paint(White(ratio=Ratio(1e-6, "water"), heel_l=0.0), 0.1)
    with pytest.raises(FieldError, match="batches"):
        plan_paint(White(tank_l=1.0, heel_l=0.9), AREA_M2)

"""How far the white has come: sums, coats and area after each batch."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from waterkit.ice.batches import plan_paint
from waterkit.ice.paint import Ratio, White
from waterkit.ice.progress import progress

unhurried = settings(deadline=None)  # a busy machine is no fault
PLAIN = White(
    powder_density_kg_l=4.0, ratio=Ratio(0.1, "mix"), coats=3, per_coat_l_m2=0.2,
    loss_percent=0.0, tank_l=110.0, heel_l=10.0,
)  # fmt: skip
whites = st.builds(
    White,
    ratio=st.builds(Ratio, st.floats(0.02, 1.0), st.sampled_from(["water", "mix"])),
    coats=st.integers(1, 8),
    per_coat_l_m2=st.floats(0.05, 0.5),
    loss_percent=st.floats(0.0, 30.0),
    tank_l=st.floats(60.0, 1000.0),
    heel_l=st.floats(0.0, 40.0),
)


def test_coats_by_hand() -> None:
    # 400 m2 take 80 L a coat, 240 L in all; a tank of 110 L leaves 10 L each time: 100, 200, 240 L.
    batches = plan_paint(PLAIN, 400.0).batches
    done = progress(PLAIN, batches, 400.0)
    assert [(each.first_coat, each.coats) for each in done] == [(1, 1), (2, 2), (3, 3)]
    assert [each.area_m2 for each in done] == pytest.approx([100.0, 200.0, 0.0], abs=0.02)
    assert [each.last_coat for each in done] == [2, 3, 3]
    assert [each.mix_l for each in done] == pytest.approx([110.0, 210.0, 250.0], abs=0.002)


def test_a_batch_that_ends_with_a_coat_begins_the_next_one_with_the_next_batch() -> None:
    white = replace(PLAIN, tank_l=90.0)
    done = progress(white, plan_paint(white, 400.0).batches, 400.0)
    assert [(each.first_coat, each.coats, each.area_m2) for each in done] == [
        (1, 1, 0.0), (2, 2, 0.0), (3, 3, 0.0),
    ]  # fmt: skip


@unhurried
@given(whites, st.floats(20.0, 2000.0), st.none() | st.sampled_from([5.0, 11.3, 25.0]))
def test_sums_end_with_the_plan_and_coats_never_go_back(
    white: White, area_m2: float, bag_kg: float | None
) -> None:
    plan = plan_paint(white, area_m2, bag_kg)
    done = progress(white, plan.batches, area_m2)
    assert done[-1].powder_kg == pytest.approx(plan.powder_kg)
    assert done[-1].water_l == pytest.approx(plan.water_l)
    assert (done[-1].coats, done[-1].area_m2) == (white.coats, 0.0)
    so_far = [each.coats * area_m2 + each.area_m2 for each in done]
    assert so_far == sorted(so_far)
    for each in done:
        assert 0.0 <= each.area_m2 < area_m2
        assert 1 <= each.first_coat <= white.coats
        assert each.last_coat <= white.coats


@unhurried
@given(whites, st.floats(20.0, 2000.0))
def test_area_done_takes_the_mix_that_was_sprayed(white: White, area_m2: float) -> None:
    plan = plan_paint(white, area_m2)
    a_square_metre_l = white.per_coat_l_m2 * (1.0 + white.loss_percent / 100.0)
    for each in progress(white, plan.batches, area_m2):
        sprayed_l = max(each.mix_l - white.heel_l, 0.0)
        taken_l = (each.coats * area_m2 + each.area_m2) * a_square_metre_l
        assert taken_l == pytest.approx(sprayed_l, rel=1e-9, abs=3e-3)

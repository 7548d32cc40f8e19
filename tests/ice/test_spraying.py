"""Spraying: what a pass puts on, and what makes a coat of passes."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from waterkit.errors import FieldError
from waterkit.ice.paint import Boom, White, mix_need
from waterkit.ice.spraying import boom_flow_l_h, boom_pass_l_m2, check_boom, spray_coat

unhurried = settings(deadline=None)  # a busy machine is no fault
BOOM = Boom(4.0, 12, 60.0, 1.0)  # 12 L/min over 4 m2 in a second: 0.05 L/m2


def test_a_coat_by_hand() -> None:
    white = White(per_coat_l_m2=0.2, loss_percent=0.0)
    coat = spray_coat(white, BOOM, 200.0, width_m=8.0, wait_h=0.25)
    assert (coat.lanes, coat.lane_m) == (2, 4.0)
    assert coat.pass_l_m2 == pytest.approx(0.05)
    assert coat.pass_l == pytest.approx(10.0)
    assert coat.passes == 4
    assert coat.pace_m_s == pytest.approx(1.0)
    assert coat.single_pace_m_s == pytest.approx(0.25)
    assert coat.coat_l == pytest.approx(40.0)
    assert 60 * coat.spray_h == pytest.approx(40.0 / 12.0)
    assert 60 * coat.next_coat_h == pytest.approx(40.0 / 12.0 + 15.0)
    assert coat.notes == ()


@unhurried
@given(
    st.floats(0.05, 0.5), st.floats(0.0, 30.0), st.floats(0.3, 2.0), st.floats(50.0, 1000.0),
    st.floats(1.0, 40.0),
)  # fmt: skip
def test_passes_at_their_pace_make_the_coat(
    per_coat: float, loss: float, pace: float, area_m2: float, width_m: float
) -> None:
    white = White(per_coat_l_m2=per_coat, loss_percent=loss)
    coat = spray_coat(white, Boom(4.2, 14, 60.0, pace), area_m2, width_m, 0.25)
    assert coat.lanes * coat.lane_m == pytest.approx(width_m)
    assert coat.lane_m <= 4.2 * (1 + 1e-5)
    assert (coat.lanes - 1) * 4.2 < width_m
    # What leaves the boom on all lanes of a sheet's length is the coat and its loss, no more.
    length_m = area_m2 / width_m
    for passes, walked in ((coat.passes, coat.pace_m_s), (1, coat.single_pace_m_s)):
        hours = passes * coat.lanes * length_m / walked / 3600
        assert hours * 14 * 60.0 == pytest.approx(coat.coat_l)
    assert coat.pass_l == pytest.approx(coat.lanes * length_m / pace / 3600 * 14 * 60.0)
    assert coat.coat_l * white.coats == pytest.approx(mix_need(white, area_m2).sprayed_l)
    assert coat.spray_h * 14 * 60.0 == pytest.approx(coat.coat_l)


def test_lanes_that_overlap_are_counted() -> None:
    # Three sheets of 4.75 m are 14.25 m: a boom of 4.2 m takes four lanes, one every 3.5625 m, so
    # a pass puts on 4 x 4.2 / 14.25 = 1.18 times what the boom's own width would.
    boom, white = Boom(4.2, 14, 60.0, 0.9), White(loss_percent=7.0)
    coat = spray_coat(white, boom, 651.5, 14.25, 0.25)
    assert coat.lanes == 4
    assert coat.lane_m == pytest.approx(3.5625)
    assert coat.pass_l_m2 / boom_pass_l_m2(boom, 7.0) == pytest.approx(1.179, abs=1e-3)


def test_a_mist_of_one_sheet() -> None:
    # 9 to 20 L in 1 to 2 minutes: common practice, no source.
    for boom in (Boom(3.7, 14, 43.0, 0.9), Boom(4.6, 20, 60.0, 0.9)):
        litres = 217.2 * boom_pass_l_m2(boom)
        assert 9 <= litres <= 20
        assert 0.8 <= 60 * litres / boom_flow_l_h(boom) <= 2


def test_a_pace_nobody_walks_is_told() -> None:
    slow = spray_coat(White(per_coat_l_m2=0.06), Boom(4.0, 4, 60.0, 0.2), 200.0, 8.0, 0.2)
    fast = spray_coat(White(per_coat_l_m2=0.02), BOOM, 200.0, 8.0, 0.2)
    for coat in (slow, fast):
        assert [note.key for note in coat.notes] == ["boom-pace-unusual"]


@pytest.mark.parametrize(
    ("boom", "field"),
    [
        (Boom(nozzles=0), "nozzles"),
        (Boom(nozzle_flow_l_h=0.0), "nozzle_flow"),
        (Boom(width_m=0.0), "width"),
        (Boom(pace_m_s=0.0), "pace"),
    ],
)
def test_a_boom_that_sprays_nothing_is_refused(boom: Boom, field: str) -> None:
    with pytest.raises(FieldError) as caught:
        check_boom(boom)
    assert (caught.value.field, bool(caught.value.hint)) == (field, True)

"""Bags: fillings take whole ones, and at most one is opened."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from waterkit.ice.bags import BagShare, share_bags

unhurried = settings(deadline=None)  # a busy machine is no fault


@unhurried
@given(st.integers(1, 3000), st.integers(1, 300), st.integers(5, 1000), st.integers(0, 100))
def test_powder_is_shared_out_with_one_opened_bag(
    total: int, bag: int, later: int, heel: int
) -> None:
    first = later + heel
    shares = share_bags(total, bag, first, later)
    if shares is None:
        assert later < bag
        assert total > first
        return
    assert sum(share.powder_mg(bag) for share in shares) == total
    bags = -(-total // bag)
    assert bags - 1 <= sum(share.whole for share in shares) <= bags
    assert sum(share.weighed_mg for share in shares) <= bag
    rooms = [first] + [later] * (len(shares) - 1)
    assert all(0 < s.powder_mg(bag) <= room for s, room in zip(shares, rooms, strict=True))


@unhurried
@given(st.integers(1, 3000), st.integers(1, 200), st.integers(5, 500), st.integers(0, 50))
def test_no_filling_could_be_spared(total: int, bag: int, later: int, heel: int) -> None:
    first = later + heel
    shares = share_bags(total, bag, first, later)
    if shares is None or len(shares) == 1:
        return
    fewer = [first] + [later] * (len(shares) - 2)
    unopened = -(-total // bag) - 1
    assert sum(fewer) < total or sum(room // bag for room in fewer) < unopened


@pytest.mark.parametrize(
    ("total", "bag", "first", "later", "expected"),
    [
        (25, 10, 40, 38, [(2, 5)]),  # all in one
        (60, 10, 35, 33, [(3, 0), (3, 0)]),  # no bag opened
        (65, 10, 38, 36, [(3, 0), (3, 5)]),  # weighed in the last one only
        (54, 11, 30, 28, [(2, 8), (2, 2)]),  # the last one is full: the first is topped up
        (5, 20, 30, 28, [(0, 5)]),  # less than a bag
        (70, 10, 24, 24, [(2, 4), (2, 4), (2, 2)]),  # one opened bag spares a filling
        (62, 20, 31, 29, [(1, 0), (1, 0), (1, 2)]),  # whole bags cost a filling here
        (50, 20, 19, 18, None),  # the tank takes no bag
    ],
)
def test_fillings_by_hand(
    total: int, bag: int, first: int, later: int, expected: list[tuple[int, int]] | None
) -> None:
    shares = share_bags(total, bag, first, later)
    told = None if expected is None else tuple(BagShare(*pair) for pair in expected)
    assert shares == told


def test_whole_bags_only_where_none_may_be_opened() -> None:
    shares = share_bags(70, 10, 24, 24, may_open=False)
    assert shares == (BagShare(2, 0), BagShare(2, 0), BagShare(2, 0), BagShare(1, 0))

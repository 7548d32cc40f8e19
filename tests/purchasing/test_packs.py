"""Whole packs and the cheapest offer."""

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from waterkit.purchasing.packs import Choice, cheapest, in_unit, whole_packs
from waterkit.purchasing.records import Offer

DAY = dt.date(2027, 8, 15)


def best(quantity: float, *offers: Offer) -> Choice:
    choice = cheapest(quantity, "kg", offers, DAY)
    assert choice is not None
    return choice


def offer(supplier: str, size: float, price: str, unit: str = "kg", **more: Any) -> Offer:
    return Offer("powder", supplier, size, unit, Decimal(price), **more)


@pytest.mark.parametrize(
    ("quantity", "size", "packs"),
    [(0, 5, 0), (5, 5, 1), (5.01, 5, 2), (0.1 * 3, 0.1, 3), (12, 5, 3)],
)
def test_whole_packs(quantity: float, size: float, packs: int) -> None:
    assert whole_packs(quantity, size) == packs


def test_a_pack_that_holds_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="pack_size"):
        whole_packs(1, 0)


def test_least_number_of_packs_that_an_offer_asks_for() -> None:
    assert whole_packs(3, 5, from_packs=4) == 4


@given(st.floats(0.01, 1e4), st.floats(0.1, 500))
def test_one_pack_less_would_not_do(quantity: float, size: float) -> None:
    packs = whole_packs(quantity, size)
    assert packs * size >= quantity * (1 - 1e-6) - 1e-6 * size
    assert (packs - 1) * size < quantity


def test_cheapest_counts_whole_packs_and_units() -> None:
    small, large = offer("North", 11.3, "52.00"), offer("South", 55.0, "99.00", unit="lb")
    assert best(11, small, large).offer is small
    choice = best(24, small, large)
    assert choice.offer is large
    assert choice.pack_size == pytest.approx(24.9476, abs=1e-4)
    assert choice.cost == Decimal("99.00")


def test_an_offer_that_ran_out_is_not_taken() -> None:
    old = offer("North", 10, "1.00", valid_until=dt.date(2027, 7, 31))
    assert cheapest(5, "kg", [old], DAY) is None


def test_equal_prices_are_told_apart_by_left_over_then_name() -> None:
    rest = offer("South", 20, "10.00"), offer("West", 10, "10.00"), offer("East", 10, "10.00")
    assert best(5, *rest).offer.supplier == "East"


def test_units_of_our_own_must_agree() -> None:
    assert in_unit(3, "pair", "pair") == 3
    assert in_unit(1, "lb", "kg") == pytest.approx(0.45359237)

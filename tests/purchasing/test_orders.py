"""The purchase list: stock first, whole packs, the day by which to order."""

import datetime as dt
from collections.abc import Sequence
from decimal import Decimal

import pytest

from waterkit.purchasing.needs import Need
from waterkit.purchasing.orders import OrderLine, bag_kg, purchase_list
from waterkit.purchasing.records import Budget, Item, Offer, StockLot, Supplier

AS_OF = dt.date(2027, 8, 15)
NEEDED = dt.date(2027, 9, 20)  # a Monday
ITEM = Item("powder", "kg powder", 1.0, "kg")
OFFER = Offer("powder", "North", 11.0, "kg", Decimal("52.00"), quoted_on=dt.date(2027, 7, 1))
NO_RULES = Budget()
NORTH = Supplier("North", lead_working_days=10)


def order(
    stock: Sequence[StockLot] = (),
    offers: Sequence[Offer] = (OFFER,),
    supplier: Supplier = NORTH,
    budget: Budget = NO_RULES,
    as_of: dt.date = AS_OF,
) -> OrderLine:
    need = Need(ITEM, {NEEDED: 80.0}, 10.0)
    (line,) = purchase_list([need], stock, offers, {"North": supplier}, budget, as_of)
    return line


def test_need_with_contingency_in_whole_packs() -> None:
    line = order()
    assert line.to_buy == pytest.approx(88.0)
    assert line.choice is not None
    assert line.choice.packs == 8
    assert line.cost == Decimal("416.00")
    assert line.left_over == pytest.approx(0.0)


def test_stock_counts_in_the_items_unit() -> None:
    line = order(stock=[StockLot("powder", 50, "lb")])
    assert line.in_stock == pytest.approx(22.68, abs=0.01)
    assert line.choice is not None
    assert line.choice.packs == 6


def test_an_expired_lot_does_not_count() -> None:
    assert order(stock=[StockLot("powder", 88, "kg", expires=dt.date(2027, 9, 1))]).in_stock == 0


def test_enough_in_stock_buys_nothing() -> None:
    line = order(stock=[StockLot("powder", 100, "kg")])
    assert (line.to_buy, line.cost, line.order_by, line.late) == (0.0, Decimal("0.00"), None, False)
    assert line.left_over == pytest.approx(12.0)


def test_order_by_counts_working_days_back_over_lead_and_buffer() -> None:
    # 15 working days before Monday 20 September are three weeks
    assert order().order_by == dt.date(2027, 8, 30)


def test_holidays_and_closed_weeks_push_the_order_forward() -> None:
    holiday = Budget(holidays=(dt.date(2027, 9, 6),))
    assert order(budget=holiday).order_by == dt.date(2027, 8, 27)
    away = Supplier("North", lead_working_days=10, closed_from=dt.date(2027, 8, 30),
                    closed_until=dt.date(2027, 9, 3))  # fmt: skip
    assert order(supplier=away).order_by == dt.date(2027, 8, 23)


def test_late_when_the_day_has_passed() -> None:
    assert not order(as_of=dt.date(2027, 8, 30)).late
    assert order(as_of=dt.date(2027, 8, 31)).late


def test_without_an_offer_there_is_no_price() -> None:
    line = order(offers=())
    assert line.cost is None
    assert [note.key for note in line.notes] == ["no-offer"]


def test_an_old_quote_is_told() -> None:
    line = order(as_of=dt.date(2028, 1, 15))
    assert [note.key for note in line.notes] == ["old-quote"]


def test_lines_come_in_the_order_of_their_days() -> None:
    early = Need(Item("strips", "week", 1.0, "each"), {dt.date(2027, 9, 1): 1.0}, 0.0)
    offers = [OFFER, Offer("strips", "North", 1, "each", Decimal("9.00"))]
    late = Need(ITEM, {NEEDED: 80.0}, 10.0)
    lines = purchase_list([late, early], (), offers, {"North": NORTH}, Budget(), AS_OF)
    assert [line.need.item.item for line in lines] == ["strips", "powder"]


def test_a_bag_is_the_one_to_buy_else_one_on_offer() -> None:
    assert bag_kg([order()]) == 11.0
    pounds = Offer("powder", "North", 25.0, "lb", Decimal("40.00"))
    assert bag_kg([order(offers=[pounds])]) == pytest.approx(11.34, abs=0.001)
    enough = order(stock=[StockLot("powder", 200, "kg")])
    assert bag_kg([enough]) is None
    assert bag_kg([enough], [OFFER]) == 11.0
    assert bag_kg([order(offers=[])], []) is None


def test_what_comes_with_the_powder_is_no_bag_of_it() -> None:
    def line(item: Item, needed: float, pack: Offer) -> OrderLine:
        need = Need(item, {NEEDED: needed}, 0.0)
        (found,) = purchase_list([need], [], [pack], {"North": NORTH}, NO_RULES, AS_OF)
        return found

    binder = Item("binder", "kg powder", 0.02, "L")
    dry = Item("dry binder", "kg powder", 0.05, "kg")
    lines = [
        line(binder, 1.6, Offer("binder", "North", 1.0, "L", Decimal("9.00"))),
        line(dry, 4.0, Offer("dry binder", "North", 2.0, "kg", Decimal("9.00"))),
    ]
    assert bag_kg(lines[:1]) is None
    assert bag_kg([*lines, order()]) == 11.0

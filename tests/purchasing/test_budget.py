"""What the purchase list comes to."""

import datetime as dt
from decimal import Decimal

from waterkit.purchasing.budget import Totals, spent, totals
from waterkit.purchasing.needs import Need
from waterkit.purchasing.orders import purchase_list
from waterkit.purchasing.records import Bill, Budget, Item, Offer, Supplier
from waterkit.season.build import SeasonDates

AS_OF = dt.date(2027, 8, 15)
NEEDED = dt.date(2027, 9, 20)


def money(
    supplier: Supplier, price: str = "40.00", offers: bool = True, as_of: dt.date = AS_OF
) -> Totals:
    need = Need(Item("powder", "kg powder", 1.0, "kg"), {NEEDED: 10.0}, 0.0)
    offer = [Offer("powder", supplier.supplier, 5.0, "kg", Decimal(price))] if offers else []
    suppliers = {supplier.supplier: supplier}
    return totals(purchase_list([need], (), offer, suppliers, Budget(), as_of), suppliers, as_of)


def test_goods_delivery_and_tax_to_the_cent() -> None:
    result = money(Supplier("North", delivery_charge=Decimal("12.50"), tax_percent=13.0))
    (north,) = result.suppliers
    assert (north.goods, north.delivery, north.tax) == (
        Decimal("80.00"),
        Decimal("12.50"),
        Decimal("12.02"),  # 13 % of 92.50 is 12.025, to even
    )
    assert result.likely == Decimal("104.52")


def test_delivery_is_free_from_a_sum() -> None:
    free = Supplier("North", delivery_charge=Decimal("12.50"), free_from=Decimal("80.00"))
    assert money(free).likely == Decimal("80.00")


def test_below_the_minimum_order_is_told() -> None:
    result = money(Supplier("North", minimum_order=Decimal("100.00")))
    assert [note.key for note in result.notes] == ["below-minimum-order"]


def test_cash_falls_due_after_the_days_of_payment() -> None:
    result = money(Supplier("North", lead_working_days=10, payment_d=30))
    # ordered 30 August, paid 29 September
    assert result.cash_by_month == {"2027-09": Decimal("80.00")}


def test_what_is_ordered_late_is_not_paid_in_the_past() -> None:
    late = money(Supplier("North", lead_working_days=10, payment_d=0), as_of=dt.date(2027, 10, 4))
    assert list(late.cash_by_month) == ["2027-10"]  # it should have gone out on 30 August


def test_bills_count_for_the_season_that_they_name() -> None:
    season = SeasonDates(dt.date(2027, 10, 2), dt.date(2028, 3, 26))
    bills = [Bill(AS_OF, name, "x", Decimal("9.50")) for name in ("2026-27", "2027-28", "2027-28")]
    assert spent(bills, season) == Decimal("19.00")
    within = SeasonDates(dt.date(2027, 4, 2), dt.date(2027, 9, 26))
    assert spent([Bill(AS_OF, "2027", "x", Decimal("1.00"))], within) == Decimal("1.00")


def test_what_has_no_price_is_named_and_not_counted() -> None:
    result = money(Supplier("North"), offers=False)
    assert result.unpriced == ("powder",)
    assert result.likely == Decimal("0.00")


def test_months_add_up_to_the_total() -> None:
    result = money(Supplier("North", tax_percent=20.0))
    assert sum(result.cash_by_month.values()) == result.likely

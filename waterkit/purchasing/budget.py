"""Money: what the purchase list comes to, with delivery and tax, and when it is paid."""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from waterkit.dates import month_of
from waterkit.purchasing.orders import OrderLine
from waterkit.purchasing.packs import CENT
from waterkit.purchasing.records import Bill, Supplier
from waterkit.season.build import SeasonDates
from waterkit.working import Note


@dataclass(frozen=True, slots=True)
class SupplierTotal:
    """What one supplier is paid: packs, delivery, tax, and the month in which it falls due."""

    supplier: str
    goods: Decimal
    delivery: Decimal
    tax: Decimal
    due: str

    @property
    def total(self) -> Decimal:
        """Packs, delivery and tax together."""
        return self.goods + self.delivery + self.tax


@dataclass(frozen=True, slots=True)
class Totals:
    """The season's purchases: one row a supplier, cash by month, items without a price."""

    suppliers: tuple[SupplierTotal, ...]
    cash_by_month: Mapping[str, Decimal]
    unpriced: tuple[str, ...]
    notes: tuple[Note, ...] = ()

    @property
    def likely(self) -> Decimal:
        """All that is paid, tax and delivery included."""
        return sum((supplier.total for supplier in self.suppliers), Decimal("0.00"))


def totals(lines: Sequence[OrderLine], suppliers: Mapping[str, Supplier], as_of: dt.date) -> Totals:
    """Add up a purchase list: one order goes to each supplier, when its first line must go out.

    What is late goes out on the day itself: nothing is paid in the past.
    """
    by_supplier: dict[str, list[OrderLine]] = defaultdict(list)
    for line in lines:
        if line.choice is not None and line.choice.packs:
            by_supplier[line.choice.offer.supplier].append(line)
    sums = tuple(
        _supplier_total(suppliers.get(name, Supplier(name)), members, as_of)
        for name, members in sorted(by_supplier.items())
    )
    cash: dict[str, Decimal] = defaultdict(Decimal)
    for total in sums:
        cash[total.due] += total.total
    unpriced = tuple(line.need.item.item for line in lines if line.cost is None)
    notes = tuple(
        Note("below-minimum-order", {"supplier": total.supplier, "goods": str(total.goods)})
        for total in sums
        if total.goods < suppliers.get(total.supplier, Supplier("")).minimum_order
    )
    return Totals(sums, dict(sorted(cash.items())), unpriced, notes)


def season_name(season: SeasonDates) -> str:
    """A season as spending.csv names it: ``2027-28``, or ``2027`` within one year."""
    first, last = season.first_draw.year, season.last_draw.year
    return str(first) if first == last else f"{first}-{last % 100:02d}"


def spent(bills: Iterable[Bill], season: SeasonDates) -> Decimal:
    """What was paid for a season so far."""
    name = season_name(season)
    return sum((bill.amount for bill in bills if bill.season == name), Decimal("0.00"))


def _supplier_total(
    supplier: Supplier, lines: Sequence[OrderLine], as_of: dt.date
) -> SupplierTotal:
    goods = sum((line.cost or Decimal(0) for line in lines), Decimal("0.00"))
    free = supplier.free_from is not None and goods >= supplier.free_from
    delivery = Decimal("0.00") if free else supplier.delivery_charge.quantize(CENT)
    share = Decimal(str(supplier.tax_percent)) / 100
    tax = ((goods + delivery) * share).quantize(CENT)
    ordered = min(line.order_by for line in lines if line.order_by is not None)
    due = max(ordered, as_of) + dt.timedelta(days=supplier.payment_d)
    return SupplierTotal(supplier.supplier, goods, delivery, tax, month_of(due))

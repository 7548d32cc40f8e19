"""Orders: needs less stock, in whole packs, with the day by which to order."""

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from waterkit.dates import days_between, working_days_before
from waterkit.purchasing.needs import Need
from waterkit.purchasing.packs import Choice, cheapest, in_unit
from waterkit.purchasing.records import Budget, Offer, StockLot, Supplier
from waterkit.units import is_mass
from waterkit.working import Note


@dataclass(frozen=True, slots=True)
class OrderLine:
    """One line of the purchase list, in the item's unit; money without tax and delivery."""

    need: Need
    in_stock: float
    on_order: float
    to_buy: float
    choice: Choice | None
    needed_by: dt.date | None
    order_by: dt.date | None
    late: bool
    notes: tuple[Note, ...] = ()

    @property
    def cost(self) -> Decimal | None:
        """Price of the packs; nothing to buy costs nothing, no offer is no price."""
        if self.choice is not None:
            return self.choice.cost
        return Decimal("0.00") if self.to_buy <= 0 else None

    @property
    def left_over(self) -> float:
        """What remains of stock, open orders and packs when the need is met."""
        bought = self.choice.quantity if self.choice else 0.0
        need = self.need.needed + self.need.contingency
        return max(self.in_stock + self.on_order + bought - need, 0.0)


def purchase_list(
    needs: Sequence[Need],
    stock: Sequence[StockLot],
    offers: Sequence[Offer],
    suppliers: Mapping[str, Supplier],
    budget: Budget,
    as_of: dt.date,
) -> tuple[OrderLine, ...]:
    """One line for each need, in the order of the days by which to order."""
    lines = [_line(need, stock, offers, suppliers, budget, as_of) for need in needs]
    return tuple(
        sorted(lines, key=lambda line: (line.order_by or dt.date.max, line.need.item.item))
    )


def order_findings(lines: Sequence[OrderLine]) -> tuple[Note, ...]:
    """What to know of the list: what is late, then the remarks on each line."""
    late = [line.need.item.item for line in lines if line.late]
    first = (Note("late-orders", {"items": late}),) if late else ()
    return (*first, *(note for line in lines for note in line.notes))


def bag_kg(lines: Sequence[OrderLine], offers: Sequence[Offer] = ()) -> float | None:
    """What a bag of the white powder holds [kg]: the one to buy, else one on offer; None else.

    The powder is what is driven by it and counted by mass; of several, what most is needed of.
    """
    powders = [
        line
        for line in lines
        if line.need.item.driver == "kg powder" and is_mass(line.need.item.unit)
    ]
    powder = max(powders, key=lambda line: in_unit(line.need.needed, line.need.item.unit, "kg"),
                 default=None)  # fmt: skip
    if powder is None:
        return None
    sold = [offer for offer in offers if offer.item == powder.need.item.item]
    offer = powder.choice.offer if powder.choice else next(iter(sold), None)
    return in_unit(offer.pack_size, offer.unit, "kg") if offer else None


def _line(
    need: Need,
    stock: Sequence[StockLot],
    offers: Sequence[Offer],
    suppliers: Mapping[str, Supplier],
    budget: Budget,
    as_of: dt.date,
) -> OrderLine:
    item = need.item
    first = min(need.amounts, default=as_of)
    at_hand = sum(
        in_unit(lot.quantity, lot.unit, item.unit)
        for lot in stock
        if lot.item == item.item and (lot.expires is None or lot.expires >= first)
    )
    needed_by = need.runs_out(at_hand)
    to_buy = max(need.needed + need.contingency - at_hand, 0.0) if needed_by else 0.0
    own_offers = [offer for offer in offers if offer.item == item.item]
    choice = cheapest(to_buy, item.unit, own_offers, as_of) if to_buy > 0 else None
    supplier = suppliers.get(choice.offer.supplier) if choice else None
    order_by = _order_by(needed_by, supplier, budget) if needed_by else None
    return OrderLine(
        need,
        at_hand,
        0.0,
        to_buy,
        choice,
        needed_by,
        order_by,
        order_by is not None and order_by < as_of,
        _notes(choice, to_buy, own_offers, budget, as_of, item.item),
    )


def _order_by(needed_by: dt.date, supplier: Supplier | None, budget: Budget) -> dt.date:
    lead = (supplier or Supplier("")).lead_working_days + budget.buffer_working_days
    closed = set(budget.holidays)
    if supplier and supplier.closed_from and supplier.closed_until:
        closed |= set(days_between(supplier.closed_from, supplier.closed_until))
    return working_days_before(needed_by, round(lead), closed)


def _notes(
    choice: Choice | None,
    to_buy: float,
    offers: Sequence[Offer],
    budget: Budget,
    as_of: dt.date,
    item: str,
) -> tuple[Note, ...]:
    if to_buy > 0 and choice is None:
        return (Note("offer-run-out" if offers else "no-offer", {"item": item}),)
    if choice is None or choice.offer.quoted_on is None:
        return ()
    age = (as_of - choice.offer.quoted_on).days
    return (Note("old-quote", {"item": item, "days": age}),) if age > budget.quote_age_d else ()

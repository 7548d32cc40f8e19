"""How the figures of the purchase list were worked out: order-by days, quantities, the total."""

from decimal import Decimal

from waterkit.purchasing.budget import Totals
from waterkit.purchasing.orders import OrderLine
from waterkit.purchasing.records import Budget, Supplier
from waterkit.working import BALANCE, CALENDAR, Given, Working


def order_by_working(line: OrderLine, supplier: Supplier, budget: Budget) -> Working:
    """How the day was found by which one line has to be ordered."""
    assert line.needed_by is not None
    assert line.order_by is not None
    lead = f"suppliers.csv:{supplier.supplier}:lead"
    closed = (
        Given("closed from", supplier.closed_from, basis="quoted"),
        Given("closed until", supplier.closed_until, basis="quoted"),
    ) if supplier.closed_from and supplier.closed_until else ()  # fmt: skip
    return Working(
        f"order by, {line.need.item.item}",
        "counted back from the day it is needed: the supplier's lead time, then days to spare, over"
        " weekends, holidays and days on which the supplier is closed",
        (
            Given("needed by", line.needed_by, basis="worked out"),
            Given("lead time", supplier.lead_working_days, "working days", path=lead),
            Given("to spare", budget.buffer_working_days, "working days", path="budget.buffer"),
            *closed,
        ),
        line.order_by,
        "",
        CALENDAR,
    )


def to_buy_working(line: OrderLine) -> Working:
    """How the quantity of one line was found."""
    item = line.need.item
    unit = item.unit
    return Working(
        f"to buy, {item.item}",
        "needed + contingency - in stock - on order, never less than none",
        (
            Given(f"needed, by {item.driver}", line.need.needed, unit, "worked out"),
            Given("contingency", line.need.contingency, unit, "worked out"),
            Given("in stock", line.in_stock, unit, "measured"),
            Given("on order", line.on_order, unit, "quoted"),
        ),
        line.to_buy,
        unit,
        BALANCE,
    )


def total_working(totals: Totals) -> Working:
    """How the total was added up."""

    def sum_of(name: str) -> Decimal:
        return sum((getattr(each, name) for each in totals.suppliers), Decimal("0.00"))

    return Working(
        "total, likely",
        "packs + delivery + tax, over all suppliers",
        (
            Given("packs at the chosen offers", sum_of("goods"), basis="quoted"),
            Given("delivery", sum_of("delivery"), basis="quoted"),
            Given("tax", sum_of("tax"), basis="worked out"),
        ),
        totals.likely,
        "",
        BALANCE,
        totals.notes,
    )

"""How the figures of the purchase list were worked out: order-by days, quantities, the total."""

import math
from decimal import Decimal

from waterkit.purchasing.budget import Totals
from waterkit.purchasing.orders import OrderLine
from waterkit.purchasing.price import WaterPrice
from waterkit.purchasing.records import Budget, Supplier
from waterkit.units import SPELLINGS
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
    formula = "needed + contingency - in stock - on order, never less than none"
    by_piece = item.unit not in SPELLINGS
    unit = "" if by_piece else item.unit
    return Working(
        f"to buy, {item.item}",
        f"{formula}, rounded up to a whole one" if by_piece else formula,
        (
            Given(f"needed, by {item.driver}", line.need.needed, unit, "worked out"),
            Given("contingency", line.need.contingency, unit, "worked out"),
            Given("in stock", line.in_stock, unit, "measured"),
            Given("on order", line.on_order, unit, "quoted"),
        ),
        float(math.ceil(round(line.to_buy, 6))) if by_piece else line.to_buy,
        unit,
        BALANCE,
    )


def price_working(price: WaterPrice, made_l: float, label: str, litres: float) -> Working:
    """How the price of a volume of treated water was found.

    Parameters
    ----------
    price : WaterPrice
        The price of a litre.
    made_l : float
        Treated water of the season [L].
    label : str
        The volume in words.
    litres : float
        The volume [L].

    Returns
    -------
    Working
        The price with its inputs.

    References
    ----------
    Counted from the purchase list.
    """
    each = price.litre or Decimal(0)
    return Working(
        f"price of {label}",
        "what the season uses of the water's items, at the chosen offers / treated water made x"
        " volume",
        (
            Given("what the season uses", each * Decimal(made_l), basis="worked out"),
            Given("treated water made", made_l, "L", "worked out"),
            Given("volume", litres, "L", "quoted"),
        ),
        each * Decimal(litres),
        "",
        BALANCE,
    )


def total_working(totals: Totals) -> Working:
    """How the total was added up."""

    def sum_of(name: str) -> Decimal:
        return sum((getattr(each, name) for each in totals.suppliers), Decimal("0.00"))

    return Working(
        "still to buy, likely",
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

"""The purchases in words: what to order by when, and what it comes to."""

import datetime as dt
import math
from decimal import Decimal

from waterkit.dates import month_of
from waterkit.pages.view.figures import NBSP, UNKNOWN, Figures, sign, with_unit
from waterkit.pages.view.sentences import counted, sentence, sentences
from waterkit.pages.view.shapes import Column, Fact, Table, Topic, WorkingOut, brief
from waterkit.pages.view.workings import working_out
from waterkit.plan import SeasonPlan
from waterkit.plan.week import WEEK
from waterkit.purchasing.budget import spent
from waterkit.purchasing.orders import OrderLine
from waterkit.purchasing.price import WaterPrice
from waterkit.purchasing.records import Supplier
from waterkit.purchasing.workings import (
    order_by_working,
    price_working,
    to_buy_working,
    total_working,
)
from waterkit.quantities import DAYS
from waterkit.units import SPELLINGS, convert
from waterkit.working import Note, Working

STILL_TO_BUY = "Still to buy, likely"
"""What the purchase list comes to; it holds what is not bought yet."""
MOST_WORKINGS = 30
"""Lines of the list that tell how they came about."""
WHOLE, FEW = ("month", "d"), 100.0
"""Units of which nobody buys a part; below so many of another one a decimal is told."""


def buy(plan: SeasonPlan, figures: Figures) -> Topic:
    """The purchase list with its days and its money."""
    lines = in_order(plan)
    if not plan.club.items:
        return _no_list(plan, figures)
    to_order = [line for line in lines if line.to_buy > 0]
    at_hand = [line for line in lines if line.to_buy <= 0]
    price = plan.price
    return Topic(
        "Purchases",
        _buy_facts(plan, price, figures),
        sentences(plan.order_findings, figures),
        (
            order_table(to_order, plan.as_of, figures),
            cash(plan, figures),
            suppliers(plan, figures),
            prices(price, figures),
            *([covered(at_hand, figures)] if at_hand else []),
        ),
        _workings(plan, to_order, figures),
        notes=sentences([note for line in lines for note in line.need.notes], figures),
        answer=_answer(to_order, figures),
    )


def _no_list(plan: SeasonPlan, figures: Figures) -> Topic:
    """What stands for the purchases where no item is listed: no total, nothing compared."""
    return Topic(
        "Purchases",
        (
            Fact(STILL_TO_BUY, UNKNOWN),
            Fact("Last year", figures.money(plan.club.budget.last_year)),
        ),
        answer=sentence(Note("no-items"), figures),
    )


def _answer(to_order: list[OrderLine], figures: Figures) -> str:
    """What to order now, and when the next order is due."""
    late = [line for line in to_order if line.late]
    days = [line.order_by for line in to_order if not line.late and line.order_by]
    later = f"the next order is due on {figures.date(min(days))}" if days else ""
    if not late:
        return f"Nothing is late; {later}." if later else "Nothing has to be ordered."
    are = "it is" if len(late) == 1 else "they are"
    first = f"Order {counted(len(late), 'item')} at once: {are} late"
    return f"{first}; {later}." if later else f"{first}."


def _workings(
    plan: SeasonPlan, to_order: list[OrderLine], figures: Figures
) -> tuple[WorkingOut, ...]:
    """How each line of the list came about: its quantity and its day."""
    found: list[Working] = []
    for line in to_order[:MOST_WORKINGS]:
        name = line.choice.offer.supplier if line.choice else ""
        supplier = plan.suppliers.get(name, Supplier(name))
        found += [to_buy_working(line), order_by_working(line, supplier, plan.club.budget)]
    return tuple(working_out(working, plan.club, figures) for working in found)


def _buy_facts(plan: SeasonPlan, price: WaterPrice, figures: Figures) -> tuple[Fact, ...]:
    return (
        Fact(
            STILL_TO_BUY,
            figures.money(plan.totals.likely),
            "with tax and delivery; low and high not known yet",
            working_out(total_working(plan.totals), plan.club, figures),
        ),
        Fact(
            "Last year",
            figures.money(plan.club.budget.last_year),
            _against_last_year(plan, figures),
        ),
        price_of_volume(plan, figures),
        *_deposits(plan, figures),
    )


def _deposits(plan: SeasonPlan, figures: Figures) -> tuple[Fact, ...]:
    """What lies with the owners of the vessels, if anything does."""
    held = sum((vessel.deposit for vessel in plan.club.vessels), Decimal(0))
    remark = "money of the club with the vessels' owners; in none of the sums"
    return (Fact("Deposits on vessels", figures.money(held), remark),) if held else ()


def in_order(plan: SeasonPlan) -> list[OrderLine]:
    """The purchase list by the day to order, so that late lines come first."""
    return sorted(
        plan.orders,
        key=lambda line: (not line.late, line.order_by or dt.date.max, line.need.item.item),
    )


def _against_last_year(plan: SeasonPlan, figures: Figures) -> str:
    """This season against the last one, both whole, with tax and delivery."""
    last = plan.club.budget.last_year
    if last is None:
        return "not written in [budget]"
    paid = spent(plan.club.spending, plan.club.season)
    if paid == 0 and plan.as_of > plan.facts.begin:
        return "the whole season; what this one has cost so far is not in spending.csv"
    more = paid + plan.totals.likely - last
    told = f"{figures.money(paid)} paid so far and the rest to buy: " if paid else ""
    if more == 0:
        return f"{told}this season the same"
    return f"{told}this season {figures.money(abs(more))} {'more' if more > 0 else 'less'}"


def order_table(lines: list[OrderLine], as_of: dt.date, figures: Figures) -> Table:
    """What to order, the day by which, and what it costs; late lines stand out."""
    columns = (
        Column("Item"),
        Column("Order by"),
        Column("Needed by"),
        Column("To buy", align="right"),
        Column("Packs", align="right"),
        Column("Supplier"),
        Column("Price of a pack", figures.currency, "right"),
        Column("Cost", figures.currency, "right"),
        Column("Age of quote", figures.unit(DAYS), "right"),
        Column("Left over", align="right"),
    )
    rows = tuple(_order_row(line, as_of, figures) for line in lines)
    marks = frozenset(row for row, line in enumerate(lines) if line.late)
    caption = (
        "To buy is the need with its contingency, less stock, in the unit beside the item; bought"
        " in whole packs. Cost is without tax and delivery."
    )
    groups = _groups(lines, as_of, figures)
    return Table(
        "What to order, by when", columns, rows, caption, marks, name="orders", groups=groups
    )


def _groups(lines: list[OrderLine], as_of: dt.date, figures: Figures) -> dict[int, str]:
    """Above the first line of each span of time: when, how many items, what they cost."""
    spans = [_span(line, as_of, figures) for line in lines]
    found = {}
    for span in dict.fromkeys(spans):
        members = [line for line, own in zip(lines, spans, strict=True) if own == span]
        cost = sum((line.cost or Decimal(0) for line in members), Decimal("0.00"))
        found[spans.index(span)] = f"{span}: {counted(len(members), 'item')}, {figures.money(cost)}"
    return found


def _span(line: OrderLine, as_of: dt.date, figures: Figures) -> str:
    """The span of time in which a line has to be ordered, in words."""
    if line.late:
        return "At once, late"
    if line.order_by is None:
        return "Some day"
    if line.order_by < as_of + WEEK:
        return "This week"
    return f"In {figures.month(month_of(line.order_by))}"


def _order_row(line: OrderLine, as_of: dt.date, figures: Figures) -> tuple[str, ...]:
    choice = line.choice
    to_buy, left_over = _amounts(line, (line.to_buy,), (line.left_over,), figures)
    ordered = figures.brief(line.order_by) if line.order_by else UNKNOWN
    return (
        _named(line),
        f"late: {ordered}" if line.late else ordered,
        figures.brief(line.needed_by) if line.needed_by else UNKNOWN,
        to_buy,
        _packs(line, figures),
        brief(choice.offer.supplier) if choice else UNKNOWN,
        figures.cents(choice.offer.price if choice else None),
        figures.cents(line.cost),
        _quote_age(line, as_of),
        left_over if choice else UNKNOWN,
    )


def _named(line: OrderLine) -> str:
    """An item with what it is counted in."""
    return f"{brief(line.need.item.item)} [{sign(line.need.item.unit)}]"


def _amounts(
    line: OrderLine, needs: tuple[float, ...], stocks: tuple[float, ...], figures: Figures
) -> tuple[str, ...]:
    """Amounts of one item, alike in decimals: needs rounded up, what is there rounded down.

    What is counted piece by piece comes whole.
    """
    most = max(*needs, *stocks, 0.0)
    measured = line.need.item.unit in SPELLINGS and line.need.item.unit not in WHOLE
    decimals = 1 if measured and 0 < most < FEW else 0
    step = 10**decimals
    up = [math.ceil(round(value * step, 6)) / step for value in needs]
    down = [math.floor(round(value * step, 6)) / step for value in stocks]
    return tuple(figures.fixed(value, decimals) for value in (*up, *down))


def _packs(line: OrderLine, figures: Figures) -> str:
    if line.choice is None:
        return UNKNOWN
    offer, own = line.choice.offer, line.need.item.unit
    size = amount(offer.pack_size, offer.unit, figures, own)
    return f"{line.choice.packs}{NBSP}×{NBSP}{size}"


def _quote_age(line: OrderLine, as_of: dt.date) -> str:
    quoted = line.choice.offer.quoted_on if line.choice else None
    return UNKNOWN if quoted is None else str((as_of - quoted).days)


def amount(value: float, unit: str, figures: Figures, own: str) -> str:
    """So many of a unit, which is named where it is not the item's own."""
    return with_unit(figures.plain(value), "" if unit == own else sign(unit))


def covered(lines: list[OrderLine], figures: Figures) -> Table:
    """What need not be bought: it is in stock, or this season does not use it."""
    columns = (
        Column("Item"),
        Column("Needed", align="right"),
        Column("In stock", align="right"),
        Column("Left over", align="right"),
    )
    rows = tuple(
        (
            _named(line),
            *_amounts(
                line,
                (line.need.needed + line.need.contingency,),
                (line.in_stock, line.left_over),
                figures,
            ),
        )
        for line in lines
    )
    return Table("Nothing to order", columns, rows, "Needed counts the contingency.")


def suppliers(plan: SeasonPlan, figures: Figures) -> Table:
    """What each supplier is paid."""
    heads = ("Goods", "Delivery", "Tax", "Total")
    columns = (
        Column("Supplier"),
        *(Column(head, figures.currency, "right") for head in heads),
        Column("Paid in"),
    )
    rows = tuple(
        (
            total.supplier,
            *map(figures.cents, (total.goods, total.delivery, total.tax, total.total)),
            figures.month(total.due),
        )
        for total in plan.totals.suppliers
    )
    unpriced = plan.totals.unpriced
    caption = (
        f"Not in these sums, for want of a price: {figures.listed(unpriced)}." if unpriced else ""
    )
    return Table("What each supplier is paid", columns, rows, caption)


def cash(plan: SeasonPlan, figures: Figures) -> Table:
    """What is paid in each month, and in all."""
    months = plan.totals.cash_by_month
    columns = (Column("Month"), Column("To pay", figures.currency, "right"))
    rows = (
        *((figures.month(month), figures.cents(sum_)) for month, sum_ in months.items()),
        ("In all", figures.cents(plan.totals.likely)),
    )
    caption = (
        "With tax and delivery. A supplier is paid in the month in which its days to pay end,"
        " counted from its first order."
    )
    return Table("Cash by month", columns, rows, caption, name="cash")


def _volume(figures: Figures) -> tuple[str, float]:
    """A volume of treated water that people know, in words and in litres."""
    if figures.display == "us":
        return "1000 US gal of treated water", float(convert(1000.0, "US gal", "L"))
    return "1 m³ of treated water", 1000.0


def _of_litres(price: WaterPrice, litres: float) -> Decimal | None:
    return None if price.litre is None else price.litre * Decimal(litres)


def price_of_volume(plan: SeasonPlan, figures: Figures) -> Fact:
    """The price of a cubic metre of treated water, of 1000 US gallons where those are read."""
    label, litres = _volume(figures)
    cost, working = _of_litres(plan.price, litres), None
    if cost is not None:
        made = float(plan.supply.litres_di[0])
        found = price_working(plan.price, made, label, litres)
        working = working_out(found, plan.club, figures)
    remark = "without tax and delivery charges"
    return Fact(f"Price of {label}", figures.money(cost), remark, working)


def prices(price: WaterPrice, figures: Figures) -> Table:
    """The price of water by volume, draw and bonspiel."""
    label, litres = _volume(figures)
    columns = (Column("Price of treated water"), Column("Likely", figures.currency, "right"))
    rows = (
        (label, figures.cents(_of_litres(price, litres))),
        ("Pebble water of one draw, all sheets in use", figures.cents(price.draw)),
        ("Pebble water of one bonspiel", figures.cents(price.bonspiel)),
    )
    return Table("Price of water", columns, rows, _price_caption(price, figures))


def _price_caption(price: WaterPrice, figures: Figures) -> str:
    counted = f"Counted: {figures.listed(price.counted)}. " if price.counted else ""
    missing = f"No price for {figures.listed(price.unpriced)}. " if price.unpriced else ""
    return f"{counted}{missing}Without tax and delivery charges; scraping counts with the draws."

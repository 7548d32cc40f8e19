"""The purchases in words: what to order by when, and what it comes to."""

import datetime as dt
from decimal import Decimal

from waterkit.dates import month_of
from waterkit.pages.view.figures import NBSP, UNKNOWN, Figures, sign, with_unit
from waterkit.pages.view.season import NO_RANGE
from waterkit.pages.view.sentences import sentences
from waterkit.pages.view.shapes import Column, Fact, Table, Topic, WorkingOut
from waterkit.pages.view.workings import working_out
from waterkit.plan import SeasonPlan
from waterkit.plan.week import WEEK
from waterkit.purchasing.orders import OrderLine
from waterkit.purchasing.price import WaterPrice
from waterkit.purchasing.records import Supplier
from waterkit.purchasing.workings import order_by_working, to_buy_working, total_working
from waterkit.quantities import DAYS
from waterkit.units import convert


def buy(plan: SeasonPlan, figures: Figures) -> Topic:
    """The purchase list with its days and its money."""
    lines = in_order(plan)
    to_order = [line for line in lines if line.to_buy > 0]
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
            covered([line for line in lines if line.to_buy <= 0], figures),
        ),
        _workings(plan, to_order, figures),
        notes=(
            f"Low and high of the total are not given: {NO_RANGE}.",
            *sentences([note for line in lines for note in line.need.notes], figures),
        ),
        answer=_answer(to_order, figures),
    )


def _answer(to_order: list[OrderLine], figures: Figures) -> str:
    """What to order now, and when the next order is due."""
    late = [line for line in to_order if line.late]
    days = [line.order_by for line in to_order if not line.late and line.order_by]
    later = f"the next order is due on {figures.date(min(days))}" if days else ""
    if not late:
        return f"Nothing is late; {later}." if later else "Nothing has to be ordered."
    are = "it is" if len(late) == 1 else "they are"
    first = f"Order {counted(len(late), 'line')} at once, {are} late"
    return f"{first}; {later}." if later else f"{first}."


def counted(count: int, noun: str) -> str:
    """So many of something."""
    return f"{count} {noun}{'' if count == 1 else 's'}"


def _workings(
    plan: SeasonPlan, to_order: list[OrderLine], figures: Figures
) -> tuple[WorkingOut, ...]:
    """How the first line of the list came about: its quantity and its day."""
    found = []
    for line in to_order[:1]:
        name = line.choice.offer.supplier if line.choice else ""
        supplier = plan.suppliers.get(name, Supplier(name))
        found = [to_buy_working(line), order_by_working(line, supplier, plan.club.budget)]
    return tuple(working_out(working, plan.club, figures) for working in found)


def _buy_facts(plan: SeasonPlan, price: WaterPrice, figures: Figures) -> tuple[Fact, ...]:
    return (
        Fact(
            "Total, likely",
            figures.money(plan.totals.likely),
            "with tax and delivery; low and high not known yet",
            working_out(total_working(plan.totals), plan.club, figures),
        ),
        Fact(
            "Last year",
            figures.money(plan.club.budget.last_year),
            _against_last_year(plan, figures),
        ),
        price_of_volume(price, figures),
    )


def in_order(plan: SeasonPlan) -> list[OrderLine]:
    """The purchase list by the day to order, so that late lines come first."""
    return sorted(
        plan.orders,
        key=lambda line: (not line.late, line.order_by or dt.date.max, line.need.item.item),
    )


def _against_last_year(plan: SeasonPlan, figures: Figures) -> str:
    """This year against last year, both with tax and delivery."""
    if plan.club.budget.last_year is None:
        return "not written in [budget]"
    more = plan.totals.likely - plan.club.budget.last_year
    if more == 0:
        return "this year the same"
    return f"this year {figures.money(abs(more))} {'more' if more > 0 else 'less'}"


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
        "To buy is the need with its contingency, less stock; bought in whole packs. Cost is"
        " without tax and delivery."
    )
    groups = _groups(lines, as_of, figures)
    return Table(
        "What to order, by when", columns, rows, caption, marks, name="orders", groups=groups
    )


def _groups(lines: list[OrderLine], as_of: dt.date, figures: Figures) -> dict[int, str]:
    """Above the first line of each span of time: when, how many lines, what they cost."""
    spans = [_span(line, as_of, figures) for line in lines]
    found = {}
    for span in dict.fromkeys(spans):
        members = [line for line, own in zip(lines, spans, strict=True) if own == span]
        cost = sum((line.cost or Decimal(0) for line in members), Decimal("0.00"))
        found[spans.index(span)] = f"{span}: {counted(len(members), 'line')}, {figures.money(cost)}"
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
    unit, choice = line.need.item.unit, line.choice
    ordered = figures.day(line.order_by)
    return (
        line.need.item.item,
        f"late: {ordered}" if line.late else ordered,
        figures.day(line.needed_by),
        amount(line.to_buy, unit, figures),
        _packs(line, figures),
        choice.offer.supplier if choice else UNKNOWN,
        figures.cents(choice.offer.price if choice else None),
        figures.cents(line.cost),
        _quote_age(line, as_of),
        amount(line.left_over, unit, figures) if choice else UNKNOWN,
    )


def _packs(line: OrderLine, figures: Figures) -> str:
    if line.choice is None:
        return UNKNOWN
    offer = line.choice.offer
    return f"{line.choice.packs}{NBSP}×{NBSP}{amount(offer.pack_size, offer.unit, figures)}"


def _quote_age(line: OrderLine, as_of: dt.date) -> str:
    quoted = line.choice.offer.quoted_on if line.choice else None
    return UNKNOWN if quoted is None else str((as_of - quoted).days)


def amount(value: float, unit: str, figures: Figures) -> str:
    """So many of what an item is counted in."""
    return with_unit(figures.plain(value), sign(unit))


def covered(lines: list[OrderLine], figures: Figures) -> Table:
    """What need not be bought: it is in stock, or this season does not use it."""
    columns = (
        Column("Item"),
        Column("Needed", align="right"),
        Column("Contingency", align="right"),
        Column("In stock", align="right"),
        Column("Left over", align="right"),
    )
    rows = tuple(
        (
            line.need.item.item,
            *(
                amount(value, line.need.item.unit, figures)
                for value in (
                    line.need.needed,
                    line.need.contingency,
                    line.in_stock,
                    line.left_over,
                )
            ),
        )
        for line in lines
    )
    return Table("Nothing to order", columns, rows)


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
    caption = "With tax and delivery, by suppliers' terms."
    return Table("Cash by month", columns, rows, caption, name="cash")


def _volume(price: WaterPrice, figures: Figures) -> tuple[str, Decimal | None]:
    """A volume that people know, and what so much treated water costs."""
    if figures.display == "us":
        label, litres = "1000 US gal of treated water", float(convert(1000.0, "US gal", "L"))
    else:
        label, litres = "1 m³ of treated water", 1000.0
    return label, None if price.litre is None else price.litre * Decimal(litres)


def price_of_volume(price: WaterPrice, figures: Figures) -> Fact:
    """The price of a cubic metre of treated water, of 1000 US gallons where those are read."""
    label, cost = _volume(price, figures)
    return Fact(f"Price of {label}", figures.money(cost), "without tax and delivery charges")


def prices(price: WaterPrice, figures: Figures) -> Table:
    """The price of water by volume, draw and bonspiel."""
    label, cost = _volume(price, figures)
    columns = (Column("Price of treated water"), Column("Likely", figures.currency, "right"))
    rows = (
        (label, figures.cents(cost)),
        ("Pebble water of one draw, all sheets in use", figures.cents(price.draw)),
        ("Pebble water of one bonspiel", figures.cents(price.bonspiel)),
    )
    return Table("Price of water", columns, rows, _price_caption(price, figures))


def _price_caption(price: WaterPrice, figures: Figures) -> str:
    counted = f"Counted: {figures.listed(price.counted)}. " if price.counted else ""
    missing = f"No price for {figures.listed(price.unpriced)}. " if price.unpriced else ""
    return f"{counted}{missing}Without tax and delivery charges; scraping counts with the draws."

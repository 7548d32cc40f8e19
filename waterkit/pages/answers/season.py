"""Answers about the season and the purchases."""

from waterkit.dates import iso_week
from waterkit.pages.answers.values import (
    LATER,
    Answer,
    Json,
    day_text,
    money,
    number,
    reasons_for_null,
)
from waterkit.plan import SeasonPlan
from waterkit.water.limits import USES


def season(plan: SeasonPlan) -> Answer:
    """The season day by day, the water balance, and the changes of vessels."""
    supply = plan.supply
    days = [
        {
            "date": day.day.isoformat(),
            "week": iso_week(day.day),
            **{f"{use}_l": number(plan.demand.at[day.day, use]) for use in USES},
            **{f"{name}_l": number(getattr(day, name)) for name in _DAY_FIGURES},
            "resin_left_l": number(day.resin_left) if plan.resin else None,
            "changes": day.changes,
        }
        for day in supply.rows()
    ]
    position = plan.vessel.position if plan.vessel else None
    changeouts = [
        {"date": day.isoformat(), "low": None, "high": None, "position": position}
        for day in supply.change_days()
    ]
    first_short = supply.first_short()
    answer = {
        "days": days,
        "first_short": first_short.isoformat() if first_short else None,
        "changeouts": changeouts,
        "spare_vessels": None,
        "litres_di": number(supply.litres_di[0]),
        "litres_feed": number(supply.litres_feed[0]),
        "balance": _season_balance(plan),
        "spread": None,
    }
    reasons = {
        "first_short": "no day of the season is short of water",
        "spare_vessels": f"spare vessels are {LATER}",
        "spread": f"the spread of the season is {LATER}",
        "low": f"the spread of the season is {LATER}",
        "high": f"the spread of the season is {LATER}",
        "resin_left_l": "no vessel stands in the lead",
    }
    return answer, reasons_for_null(answer, reasons)


_DAY_FIGURES = ("start", "made", "used", "lost", "left", "short")


def _season_balance(plan: SeasonPlan) -> Json:
    supply = plan.supply
    if not supply.days:
        return dict.fromkeys(("start_l", "made_l", "used_l", "lost_l", "left_l"), 0.0)
    return {
        "start_l": number(supply.start[0, 0]),
        "made_l": number(supply.made[:, 0].sum()),
        "used_l": number(supply.used[:, 0].sum()),
        "lost_l": number(supply.lost[:, 0].sum()),
        "left_l": number(supply.left[-1, 0]),
    }


def buy(plan: SeasonPlan) -> Answer:
    """The purchase list, what each supplier is paid, and the total."""
    lines = [
        {
            "item": line.need.item.item,
            "needed": number(line.need.needed),
            "contingency": number(line.need.contingency),
            "in_stock": number(line.in_stock),
            "on_order": number(line.on_order),
            "to_buy": number(line.to_buy),
            "unit": line.need.item.unit,
            "pack_size": number(line.choice.pack_size) if line.choice else None,
            "packs": line.choice.packs if line.choice else (0 if line.to_buy <= 0 else None),
            "supplier": line.choice.offer.supplier if line.choice else None,
            "cost": money(line.cost),
            "left_over": number(line.left_over),
            "order_by": day_text(line.order_by),
            "needed_by": day_text(line.needed_by),
            "late": line.late,
        }
        for line in plan.orders
    ]
    answer = {
        "lines": lines,
        "suppliers": [
            {
                "supplier": total.supplier,
                "goods": money(total.goods),
                "delivery": money(total.delivery),
                "tax": money(total.tax),
                "total": money(total.total),
                "due": total.due,
            }
            for total in plan.totals.suppliers
        ],
        "cash_by_month": {month: money(sum_) for month, sum_ in plan.totals.cash_by_month.items()},
        "unpriced": list(plan.totals.unpriced),
        "total": {"low": None, "likely": money(plan.totals.likely), "high": None},
        "currency": plan.club.currency,
    }
    reasons = {
        "low": f"the spread of the season is {LATER}",
        "high": f"the spread of the season is {LATER}",
        "cost": "no open offer for the item",
        "packs": "no open offer for the item",
        "supplier": "nothing to buy, or no open offer",
        "pack_size": "nothing to buy, or no open offer",
        "order_by": "nothing to buy",
        "needed_by": "nothing to buy",
    }
    return answer, reasons_for_null(answer, reasons)

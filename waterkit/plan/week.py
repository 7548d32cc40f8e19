"""What needs doing and when: orders, steps of the build, vessels to change, tests that grow old."""

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

from waterkit.plan.season import SeasonPlan
from waterkit.purchasing.orders import OrderLine
from waterkit.season.build import PlannedStep
from waterkit.tank.beliefs import standard_until
from waterkit.working import Note

Topic = Literal["buy", "layers", "resin", "water", "card"]

WEEK = dt.timedelta(days=7)
SAMPLE_HOLDS = dt.timedelta(days=365)
"""A sample of the supply is planned with for a year: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Due:
    """One thing to do: the last day for it, what it is, and the topic that tells more."""

    day: dt.date
    note: Note
    topic: Topic


def orders_due(plan: SeasonPlan) -> tuple[Due, ...]:
    """Every line still to be ordered, by the day to order."""
    lines = [line for line in plan.orders if line.to_buy > 0]
    return tuple(
        Due(line.order_by, _order(line), "buy") for line in lines if line.order_by is not None
    )


def _order(line: OrderLine) -> Note:
    item, choice = line.need.item.item, line.choice
    if choice is None:
        return Note("offer-to-ask-for", {"item": item})
    offer = choice.offer
    values = {"item": item, "packs": choice.packs, "size": offer.pack_size, "unit": offer.unit,
              "supplier": offer.supplier}  # fmt: skip
    return Note("order-due", values)


def steps_due(plan: SeasonPlan) -> tuple[Due, ...]:
    """Every step of the build to come, by the day on which it begins; none once play has begun."""
    if plan.as_of > plan.club.season.first_draw:
        return ()
    return tuple(Due(step.start.date(), _step(step), "layers") for step in plan.steps if step.start)


def _step(step: PlannedStep) -> Note:
    if step.water.drawn_l <= 0:
        return Note("dry-step-due", {"step": step.row.step})
    return Note("step-due", {"step": step.row.step, "litres": step.water.drawn_l})


def changeouts_due(plan: SeasonPlan) -> tuple[Due, ...]:
    """Every vessel to change, by the day on which it will be spent."""
    vessel = plan.vessel
    if vessel is None or plan.resin is None:
        return ()
    note = Note("changeout-due", {"position": vessel.position})
    return tuple(Due(day, note, "resin") for day in plan.supply.change_days())


def checks_due(plan: SeasonPlan) -> tuple[Due, ...]:
    """The sample in force and each meter's standard, by the day on which they grow old."""
    plan.club.need("meters")
    sample = plan.feed.in_force
    old = Note("sample-grows-old", {"sample": sample.sample, "date": sample.date})
    standards = [
        Due(until, Note("standard-grows-old", {"meter": meter.name, "date": meter.opened}), "card")
        for meter in plan.club.meters
        if (until := standard_until(meter)) is not None
    ]  # fmt: skip
    return (Due(sample.date + SAMPLE_HOLDS, old, "water"), *standards)


KINDS: Mapping[str, Callable[[SeasonPlan], tuple[Due, ...]]] = {
    "orders": orders_due,
    "steps of the build": steps_due,
    "vessels to change": changeouts_due,
    "tests and standards": checks_due,
}
"""What may be due, each kind by itself: where one cannot be told, the others still are."""

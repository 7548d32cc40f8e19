"""Deposits on vessels are told beside the purchases, and counted in no sum."""

import dataclasses
from decimal import Decimal

from waterkit.pages.view.figures import Figures
from waterkit.pages.view.money import buy
from waterkit.plan import SeasonPlan, plan_season


def test_deposits_are_told_where_there_are_some(plan: SeasonPlan, figures: Figures) -> None:
    vessels = tuple(
        dataclasses.replace(vessel, deposit=Decimal("150.00")) for vessel in plan.club.vessels[:2]
    )
    held = plan_season(dataclasses.replace(plan.club, vessels=vessels), plan.as_of)
    (fact,) = [fact for fact in buy(held, figures).facts if fact.label == "Deposits on vessels"]
    assert fact.text == figures.money(Decimal("300.00"))
    none = tuple(dataclasses.replace(vessel, deposit=Decimal(0)) for vessel in vessels)
    bare = plan_season(dataclasses.replace(plan.club, vessels=none), plan.as_of)
    assert held.totals.likely == bare.totals.likely
    assert "Deposits on vessels" not in {fact.label for fact in buy(bare, figures).facts}
